"""Softness, light, wind, colour and depth between the pieces of a shot.

Expected numbers are worked by hand (derived): 2048 px on 24.892 mm are 82.28 px to the millimetre.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.craft.optics import defocus_mm
from planner.estimate.agreement.picture import lights_apart_deg, turn_between_deg

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.model.place import Problem
    from tests.estimate.conftest import OneShot

    Find = Callable[..., dict[str, Problem]]

BEARINGS = st.floats(-360, 360)
HEIGHTS = st.floats(-90, 90)


def test_blur_is_the_circle_of_confusion_at_the_near_limit_of_depth() -> None:
    # Magazine article on depth of field (published): 50 mm f/4 at 10 ft with 0.030 mm is sharp
    # from 8 ft 9 in to 11 ft 8 in, printed to the inch; so the blur there is 0.030 mm to 4 %.
    assert defocus_mm(50, 4, 3.048, 2.667) == pytest.approx(0.030, rel=0.04)
    assert defocus_mm(50, 4, 3.048, 3.556) == pytest.approx(0.030, rel=0.04)


@given(n=st.floats(1, 100), stop=st.floats(1, 32), near=st.floats(50, 1000))
def test_a_model_blurs_as_the_picture_does_at_its_stop_times_n(
    n: float, stop: float, near: float
) -> None:
    full = defocus_mm(35, stop, near, 2 * near)
    model = defocus_mm(35, stop * n, near / n, 2 * near / n)
    # Only the extension of the lens differs, f N / u: 7 % at most here.
    assert model == pytest.approx(full, rel=0.035 * n / near * 1.1 + 1e-9)


def test_a_model_sharper_than_the_picture_is_told_in_pixels(find: Find) -> None:
    found = find(camera="lens: prime_35, stop: f/1.4, focus: 3 m")
    # The picture at 90 m: 35^2 / 1.4 x (1/3000 - 1/90000) / (1 - 35/3000) = 0.2853 mm, 23.5 px.
    # The model holds 40 m to 90 m to 0.025 mm, 2.1 px.
    problem = found["softness-differs"]
    assert "90 m off HL010.town blurs 2.1 px" in problem.message
    assert "23.5 px" in problem.message
    assert "soften it by 21.4 px" in problem.remedy


def test_a_plate_that_was_taken_sets_the_softness_where_the_shot_states_none(find: Find) -> None:
    report = "report: {taken: true, focal_length: 35 mm, stop: f/1.4, focus: 3 m}"
    assert "HL010.sky 23.5 px" in find(sky=report)["softness-differs"].message


def test_a_model_that_holds_as_much_as_the_picture_agrees(find: Find) -> None:
    assert find(camera="lens: prime_35, stop: f/5.6, focus: 55 m") == {}


def test_key_lights_are_compared_in_degrees(find: Find) -> None:
    problem = find(
        shot="key_light: {from: 90 deg}", town="key_light: {from: 120 deg, height: 0 deg}"
    )["key-light-differs"]
    assert "30 deg apart" in problem.message
    assert problem.remedy == "light HL010.town from 90 deg round and 0 deg up"


def test_a_key_light_a_little_off_passes(find: Find) -> None:
    assert find(shot="key_light: {from: 90 deg}", town="key_light: {from: 100 deg}") == {}


def test_two_pieces_lit_from_two_sides_are_told_where_the_shot_says_nothing(find: Find) -> None:
    problem = find(sky="key_light: {from: 350 deg}", town="key_light: {from: 20 deg}")[
        "key-light-differs"
    ]
    assert "30 deg apart" in problem.message
    assert "HL010.sky" in problem.message


def test_lights_high_up_on_opposite_sides_are_nearer_than_their_bearings_say() -> None:
    # Both 60 deg up on opposite sides: over the zenith 30 + 30 = 60 deg
    assert lights_apart_deg((0, 60), (180, 60)) == pytest.approx(60)
    # Level, a quarter round: 90 deg; straight above against level: 90 deg
    assert lights_apart_deg((0, 0), (90, 0)) == pytest.approx(90)
    assert lights_apart_deg((0, 90), (45, 0)) == pytest.approx(90)


@given(BEARINGS, HEIGHTS, BEARINGS, HEIGHTS)
def test_the_angle_between_lights_is_the_same_both_ways(
    a: float, b: float, c: float, d: float
) -> None:
    assert lights_apart_deg((a, b), (c, d)) == pytest.approx(lights_apart_deg((c, d), (a, b)))


@given(BEARINGS, HEIGHTS, st.integers(-3, 3))
def test_a_light_agrees_with_itself_however_often_one_goes_round(
    around: float, height: float, turns: int
) -> None:
    # acos near 1 loses half the digits: 1e-8 rad, a millionth of a degree
    again = (around + 360 * turns, height)
    assert lights_apart_deg((around, height), again) == pytest.approx(0, abs=1e-5)


@pytest.mark.parametrize(
    ("one", "other", "between"), [(350, 20, 30), (0, 180, 180), (-90, 90, 180), (10, 730, 0)]
)
def test_bearings_are_compared_the_short_way_round(
    one: float, other: float, between: float
) -> None:
    assert turn_between_deg(one, other) == pytest.approx(between)


def test_contrast_is_compared_in_stops(find: Find) -> None:
    problem = find(shot="contrast: 2 stops", town="contrast: 3 stops")["contrast-differs"]
    assert "1.0 stops apart" in problem.message
    assert "give HL010.town more fill, to 2 stops" in problem.remedy


def test_wind_is_compared_in_degrees_the_short_way_round(find: Find) -> None:
    problem = find(sky="wind_from: 350 deg", town="wind_from: 80 deg")["wind-differs"]
    assert "90 deg apart" in problem.message
    assert problem.about == "HL010.town"


def test_wind_from_nearly_the_same_side_passes(find: Find) -> None:
    assert find(sky="wind_from: 350 deg", town="wind_from: 10 deg") == {}


def test_a_model_coloured_after_another_plate_than_the_one_it_is_joined_to_is_told(
    find: Find,
) -> None:
    other = "  dusk: {kind: plate, sort: live, on: location}\n"
    found = find(town="colour_from: dusk", more=other)
    problem = found["colour-from-differs"]
    assert "HL010.dusk" in problem.message
    assert "HL010.sky" in problem.remedy
    assert find(town="colour_from: sky") == {}


def test_what_is_in_front_must_not_stand_behind(find: Find) -> None:
    found = find(town="in_front_of: sky", sky="field: {distance: 30 m}")
    problem = found["farther-than-what-is-behind"]
    # The town's nearest is 40 m, the plate's plane 30 m: 10 m behind it
    assert "10 m behind it" in problem.message
    assert "frames 1-96" in problem.message


def test_pieces_never_seen_together_have_no_order_in_depth(find: Find) -> None:
    found = find(
        town="in_front_of: sky, in_frame: 1-40", sky="field: {distance: 30 m}, in_frame: 41-96"
    )
    assert found == {}


def test_a_piece_in_front_of_something_deep_may_stand_anywhere_before_its_far_end(
    find: Find,
) -> None:
    assert find(sky="in_front_of: town, field: {distance: 50 m}") == {}


def test_what_is_laid_over_by_its_light_has_no_place_in_depth(
    find: Find, one_shot: OneShot
) -> None:
    found = find(sky="in_front_of: town, field: {distance: 95 m}")
    assert set(found) == {"farther-than-what-is-behind"}
    folder = one_shot.folder
    folder.replace(
        "sequences/hill.yaml", "joins: [sky, town]", "joins: [sky, town], joined_by: {sky: screen}"
    )
    assert one_shot.found() == ()
