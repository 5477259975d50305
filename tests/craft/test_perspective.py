"""Derived checks and laws of parallax and forced perspective; all are plane geometry."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.craft import perspective, survey

F35 = survey.focal_px(35, 24.892, 2048)
F50 = survey.focal_px(50, 24.892, 2048)
SET = perspective.ForcedPerspective(true_m=3, apparent_far_m=15, built_far_m=6)
DEPTHS = st.floats(3, 1000)


def test_half_a_metre_slides_twenty_metres_against_a_hundred_by_58_pixels() -> None:
    # 2879.64 x 0.5 x (1/20 - 1/100) = 57.59
    assert perspective.parallax_px(F35, 0.5, 20, 100) == pytest.approx(57.59, abs=0.01)


def test_one_pixel_allows_under_nine_millimetres() -> None:
    # 1 / (2879.64 x 0.04) = 8.68 mm
    allowed_mm = 1000 * perspective.allowed_shift_m(F35, 20, 100, 1)
    assert allowed_mm == pytest.approx(8.68, abs=0.01)


def test_depths_that_are_the_same_allow_any_shift() -> None:
    assert perspective.allowed_shift_m(F35, 20, 20, 1) == math.inf


def test_pan_of_thirty_degrees_off_axis_slides_near_against_far() -> None:
    # 2 x 0.15 sin 15 = 0.0776 m; 4113.8 x 0.0776 x (1 - 1/3) = 212.9 px
    assert perspective.pupil_travel_m(0.15, 30) == pytest.approx(0.0776, abs=1e-4)
    assert perspective.pan_shift_px(F50, 0.15, 30, 1, 3) == pytest.approx(212.9, abs=0.2)


def test_pan_through_the_pupil_slides_nothing() -> None:
    assert perspective.pan_shift_px(F50, 0, 30, 1, 3) == 0


def test_a_quarter_scale_foreground_hangs_at_a_quarter_of_the_distance() -> None:
    # published weakly: handbook page on hanging foreground miniatures, quarter-scale case
    assert perspective.hanging_distance_m(20, 4) == 5


def test_forced_set_of_fifteen_metres_built_in_six() -> None:
    # alpha = (1/6 - 1/3) / (1/15 - 1/3) = 0.625; beta = 0.375/3, so 1/beta = 8 m
    assert SET.alpha == pytest.approx(0.625)
    assert SET.vanishing_m == pytest.approx(8)


def test_forced_set_builds_six_metres_at_4_36() -> None:
    # 1 / (0.625/6 + 0.125) = 4.3636; 4.3636 / 6 = 0.7273; far 6/15 = 0.4
    assert SET.built_m(6) == pytest.approx(4.3636, abs=1e-4)
    assert SET.size_ratio(6) == pytest.approx(0.72727, abs=1e-5)
    assert SET.size_ratio(15) == pytest.approx(0.4)


def test_floor_of_the_forced_set_rises_by_ninety_centimetres() -> None:
    # 1.5 (1 - 0.4) = 0.9
    assert SET.floor_rise_m(15, 1.5) == pytest.approx(0.9)


def test_a_centimetre_breaks_the_forced_set_by_three_pixels() -> None:
    # 2879.64 x 0.01 x (1/6 - 1/15) = 2.88
    assert SET.shift_error_px(F35, 0.01, 15) == pytest.approx(2.88, abs=0.005)


@given(st.floats(-5, 5), st.floats(-5, 5), st.floats(3, 30), st.floats(3, 30), st.floats(0, 1))
def test_forced_perspective_keeps_straight_lines_straight(
    x_m: float, y_m: float, near_m: float, far_m: float, part: float
) -> None:
    def built(x: float, y: float, z: float) -> tuple[float, float, float]:
        ratio = SET.size_ratio(z)
        return (x * ratio, y * ratio, z * ratio)

    a = built(x_m, y_m, near_m)
    b = built(-y_m, x_m, far_m)
    middle = built(
        x_m + part * (-y_m - x_m), y_m + part * (x_m - y_m), near_m + part * (far_m - near_m)
    )
    along = math.dist(a, middle) + math.dist(middle, b)
    assert along == pytest.approx(math.dist(a, b), abs=1e-6)


def test_a_set_built_true_is_not_squeezed() -> None:
    plain = perspective.ForcedPerspective(3, 15, 15)
    assert plain.built_m(9) == pytest.approx(9)
    assert plain.vanishing_m == math.inf


@given(DEPTHS, DEPTHS, st.floats(0.001, 2), st.floats(0.1, 10))
def test_the_allowed_shift_slides_just_the_tolerance(
    near_m: float, far_m: float, shift_m: float, tolerance_px: float
) -> None:
    allowed = perspective.allowed_shift_m(F35, near_m, far_m, tolerance_px)
    if math.isfinite(allowed):
        slide = perspective.parallax_px(F35, allowed, near_m, far_m)
        assert slide == pytest.approx(tolerance_px)


@given(st.floats(1, 50), st.floats(1, 50), st.floats(-0.5, 0.5))
def test_parallax_is_what_projection_shows(near_m: float, far_m: float, shift_m: float) -> None:
    view = survey.View(F35, 2048, 1556)
    start, shifted = survey.Pose(0, 0, 0), survey.Pose(shift_m, 0, 0)
    moved = [
        survey.project(shifted, view, (0, 0, z))[0] - survey.project(start, view, (0, 0, z))[0]
        for z in (near_m, far_m)
    ]
    slide = perspective.parallax_px(F35, shift_m, near_m, far_m)
    assert slide == pytest.approx(abs(moved[0] - moved[1]), abs=1e-9)


def test_a_set_forced_the_wrong_way_is_refused() -> None:
    with pytest.raises(ValueError, match="no farther than it reads"):
        perspective.ForcedPerspective(3, 6, 15)


def test_a_depth_behind_the_pupil_is_refused() -> None:
    with pytest.raises(ValueError, match="ahead of the pupil"):
        perspective.parallax_px(F35, 0.1, -2, 10)
