"""Derived checks and laws of rods on stage and in the picture."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.craft import rods, survey

VIEW = survey.View(survey.focal_px(35, 24.892, 2048), 2048, 1536)


def test_six_millimetre_rod_sags_134_mm() -> None:
    # derived: I = pi 6^4 / 64 = 63.6 mm^4; 10 x 800^3 / (3 x 200000 x 63.6) = 134.1
    assert rods.bending_mm(10, 800, 6) == pytest.approx(134.1, abs=0.1)


def test_twice_the_rod_sags_a_sixteenth() -> None:
    assert rods.bending_mm(10, 800, 12) == pytest.approx(rods.bending_mm(10, 800, 6) / 16)


def test_rod_below_the_hand_shows_1000_of_its_1400_pixels() -> None:
    # derived: y from +230.4 to -1178.0 px about the middle, cut at -768: 998.4 of 1408.5 (the
    # cut at 0.7088 of the length)
    seen = rods.in_frame(VIEW, (0.1, 0.2, 2.5), (0.1, -0.9, 2.2))
    assert seen.length_px == pytest.approx(1408.5, abs=0.5)
    assert seen.visible_px == pytest.approx(998.4, abs=0.5)
    assert seen.ends[1][1] == pytest.approx(1536)


def test_eight_millimetre_rod_at_2_4_metres_is_under_ten_pixels() -> None:
    assert rods.width_px(VIEW.focal_px, 0.008, 2.4) == pytest.approx(9.60, abs=0.01)


def test_a_rod_beside_the_frame_does_not_show() -> None:
    seen = rods.in_frame(VIEW, (3, 0, 2), (3, 1, 2))
    assert seen.visible_px == 0
    assert seen.ends == ()


def test_a_rod_behind_the_camera_does_not_show() -> None:
    assert rods.in_frame(VIEW, (0, 0, -1), (0, 1, -2)) == rods.RodInFrame(0, 0, ())


def test_a_rod_reaching_back_past_the_camera_shows_up_to_the_edge() -> None:
    # runs from the middle of the picture downward and back under the camera
    seen = rods.in_frame(VIEW, (0, 0, 2.0), (0, -1, -1))
    assert seen.visible_px == pytest.approx(768)


@given(
    st.tuples(st.floats(-3, 3), st.floats(-3, 3), st.floats(0.1, 10)),
    st.tuples(st.floats(-3, 3), st.floats(-3, 3), st.floats(0.1, 10)),
)
def test_what_shows_is_part_of_the_rod_and_within_the_frame(
    start: survey.Point, end: survey.Point
) -> None:
    seen = rods.in_frame(VIEW, start, end)
    assert 0 <= seen.visible_px <= seen.length_px * (1 + 1e-9)
    for x, y in seen.ends:
        assert -1e-6 <= x <= 2048 + 1e-6
        assert -1e-6 <= y <= 1536 + 1e-6


@given(
    st.tuples(st.floats(-3, 3), st.floats(-3, 3), st.floats(0.1, 10)),
    st.tuples(st.floats(-3, 3), st.floats(-3, 3), st.floats(0.1, 10)),
)
def test_a_rod_shows_the_same_from_either_end(start: survey.Point, end: survey.Point) -> None:
    there, back = rods.in_frame(VIEW, start, end), rods.in_frame(VIEW, end, start)
    assert there.visible_px == pytest.approx(back.visible_px, abs=1e-6)


def test_a_rod_without_thickness_is_refused() -> None:
    with pytest.raises(ValueError, match="diameter mm must be above zero"):
        rods.bending_mm(10, 800, 0)


@given(st.floats(0, 100), st.floats(10, 2000), st.floats(1, 30))
def test_bending_goes_with_force_and_the_cube_of_length(
    force_n: float, length_mm: float, diameter_mm: float
) -> None:
    once = rods.bending_mm(force_n, length_mm, diameter_mm)
    assert rods.bending_mm(2 * force_n, 2 * length_mm, diameter_mm) == pytest.approx(16 * once)
    assert math.isfinite(once)


def test_rods_cross_where_each_has_its_ends_on_both_sides_of_the_other() -> None:
    def rod(*ends: survey.Pixel) -> rods.RodInFrame:
        return rods.RodInFrame(1.0, 1.0, ends)

    rising, falling = rod((0, 0), (100, 100)), rod((0, 100), (100, 0))
    assert rods.cross(rising, falling)
    assert not rods.cross(rising, rod((60, 0), (100, 30)))
    assert not rods.cross(rising, rods.RodInFrame(5.0, 0.0, ()))
