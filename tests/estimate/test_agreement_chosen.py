"""Blur given, factors of scale, joins hidden and prints matched, between the pieces of a shot.

Expected numbers are worked by hand (derived): 2048 px on 24.892 mm are 82.28 px to the millimetre.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.model.place import Problem

    Find = Callable[..., dict[str, Problem]]

CAMERA = "lens: prime_35, stop: f/8, focus: 40 m"


def test_blur_no_lens_of_the_shot_gives_is_told_with_the_stop_that_would(find: Find) -> None:
    # 35^2 / 8 x (40000 - 5000) / 5000 / (40000 - 35) = 0.02682 mm, 2.207 px at 5 m.
    # 9 px is 4.08 times that, as at f/8 / 4.08 = f/1.96.
    told = find(camera=CAMERA, town="given_blur: {is: 9 px, distance: 5 m}")[
        "blur-not-of-that-lens"
    ]
    assert "blurs 2.2 px" in told.message
    assert "4.1 times as much, as at f/2" in told.message
    passes = find(camera=CAMERA, town="given_blur: {is: 4 px, distance: 5 m}")
    assert "blur-not-of-that-lens" not in passes


def test_a_t_stop_of_the_shot_blurs_as_its_f_number_does(find: Find) -> None:
    # T8.8 is f/8 where the lens says nothing: the 2.207 px above.
    camera = CAMERA.replace("f/8", "T8.8")
    told = find(camera=camera, town="given_blur: {is: 9 px, distance: 5 m}")
    assert "at f/8 blurs 2.2 px" in told["blur-not-of-that-lens"].message


def test_a_camera_set_by_the_scale_of_another_piece_is_told(find: Find) -> None:
    # 40 m at 1/8 is 5 m; the town is at 1/24: 1667 mm.
    more = "  gate: {kind: set_piece, sort: full_size, scale: 1/8, nearest: 40 m}\n"
    place = "camera_place: {distance: 5 m}"
    found = find(town=place, more=more + "  whole: {kind: composite, joins: [final, gate]}\n")
    told = found["factor-of-another-scale"]
    assert "40 m at 1:8, the scale of HL010.gate" in told.message
    assert "1.67 m off" in told.remedy


def test_a_join_is_bare_where_what_hides_it_is_not_seen(find: Find) -> None:
    # The cut is 1-96 and the smoke is seen on 40-96: 39 frames bare.
    hiding = "hides: town, in_frame: 40-96"
    assert "39 frames lie bare" in find(sky=hiding)["join-no-longer-hidden"].message
    assert "join-no-longer-hidden" not in find(sky="hides: town")


def test_colours_matched_to_an_older_print_are_told(find: Find) -> None:
    matched = "colour_from: sky, colour_revision: print 2"
    told = find(sky="revision: print 3", town=matched)["colour-from-old-print"]
    assert "print 2 of HL010.sky, and print 3 is in use" in told.message
    assert "colour-from-old-print" not in find(sky="revision: print 2", town=matched)


def test_life_of_a_plate_and_dust_of_a_model_are_blown_from_one_side(find: Find) -> None:
    # Washing blown from 90 deg, dust from 200 deg: 110 deg apart, 30 pass.
    sky, town = "life: [washing, gulls], wind_from: 90 deg", "wind_from: 200 deg"
    assert "110 deg apart" in find(sky=sky, town=town)["wind-differs"].message
