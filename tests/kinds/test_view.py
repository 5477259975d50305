"""The camera an element is seen by: who says what, fields and pixels."""

from __future__ import annotations

import pytest

from planner.kinds import Worksheet
from planner.kinds.view import view_of
from planner.model.quantity import Standing


def seen(context):
    sheet = Worksheet(context)
    return view_of(sheet), sheet.estimate()


def test_field_width_follows_the_thin_lens(make, quantity) -> None:
    # 22 mm frame, 50 mm lens, 10 m: 22 x (10 - .05) / 50 = 4.378 m (derived; 4.40 m far off).
    # Academy is 21.95 mm: 4.368 m.
    camera = {"format": "academy-35", "focal_length": quantity(50, "mm")}
    view, _ = seen(make("plate", {}, shot_camera=camera))
    field = view.field_width(quantity(10000, "mm"))
    assert field.value == pytest.approx(21.95 * 9950 / 50)
    assert field.value == pytest.approx(4368, abs=1)


def test_focal_length_in_pixels(make, quantity) -> None:
    # 35 mm on 24.892 mm and 2048 px: 35 x 2048 / 24.892 = 2879.64 px (derived).
    camera = {"format": "full-aperture-35", "focal_length": quantity(35, "mm")}
    view, _ = seen(make("plate", {}, shot_camera=camera))
    assert view.focal_px().value == pytest.approx(2879.64, abs=0.01)


def test_a_squeezed_frame_sees_twice_as_wide(make, quantity) -> None:
    # 20.95 mm at 2:1 is 41.9 mm wide and 17.53 mm high.
    view, _ = seen(make("plate", {"format": "scope-239"}))
    assert view.width.value == pytest.approx(41.9)
    assert view.height.value == pytest.approx(17.53)


def test_a_lens_by_name_gives_its_focal_length(make, quantity) -> None:
    lens = {"fifty": {"sort": "lens", "focal_length": quantity(50, "mm")}}
    view, _ = seen(make("plate", {}, shot_camera={"lens": "fifty"}, resources=lens))
    assert view.lens.id == "fifty"
    assert view.focal.value == 50


def test_the_innermost_word_holds(make, quantity) -> None:
    lens = {"fifty": {"sort": "lens", "focal_length": quantity(50, "mm")}}
    view, _ = seen(
        make(
            "plate",
            {"focal_length": quantity(28, "mm")},
            shot_camera={"lens": "fifty"},
            show_facts={"camera": {"focal_length": quantity(85, "mm")}},
            resources=lens,
        )
    )
    assert view.focal.value == 28
    assert view.lens is None


def test_the_show_speaks_where_nobody_else_does(make, quantity) -> None:
    view, _ = seen(make("plate", {}, show_facts={"camera": {"shutter": quantity(172.8, "deg")}}))
    assert view.shutter.value == 172.8
    assert view.open_share == pytest.approx(0.48)


def test_a_shutter_is_open_a_whole_turn_at_most(make, quantity) -> None:
    whole, found = seen(make("plate", {"shutter": quantity(360, "deg")}))
    assert whole.open_share == 1
    assert found.problems == ()
    past, found = seen(make("plate", {"shutter": quantity(400, "deg")}))
    assert [each.code for each in found.problems] == ["shutter-past-whole-turn"]
    assert past.open_share == 1
    assert past.shutter.value == 360
    assert past.shutter.weakest is Standing.ASSUMED


def test_no_lens_is_a_missing_fact_and_no_field(make, quantity) -> None:
    view, found = seen(make("plate", {}))
    assert view.field_width(quantity(1000, "mm")) is None
    assert view.focal_px() is None
    assert {"focal_length", "format"} <= {each.name for each in found.missing}


def test_what_nobody_states_is_assumed(make) -> None:
    view, _ = seen(make("plate", {}))
    assert view.image.standing is Standing.ASSUMED
    assert view.frame_rate.value == 24
    assert view.circle.value == pytest.approx(0.025)


def test_the_circle_shrinks_with_the_frame(make) -> None:
    # 12.52 / 24.892 x .025 = .01257 mm, near the .015 usual on 16 mm and on the safe side of it.
    view, _ = seen(make("plate", {"format": "super-16"}))
    assert view.circle.value == pytest.approx(0.0126)


def test_an_unknown_format_is_told_with_those_there_are(make, finding) -> None:
    _, found = seen(make("plate", {"format": "wide-70"}))
    assert "academy-35" in finding(found, "format-unknown").remedy


def test_a_distance_within_the_focal_length_is_refused(make, quantity) -> None:
    view, _ = seen(make("plate", {"focal_length": quantity(50, "mm")}))
    with pytest.raises(ValueError, match="farther than the focal length"):
        view.field_width(quantity(40, "mm"))
