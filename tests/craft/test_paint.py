"""Derived checks and laws of matte paintings; resolving powers from named sources."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.craft import paint, perspective, survey

F35 = survey.focal_px(35, 24.892, 2048)
ACADEMY_LINES = paint.lines_across(21.946, 40)


def test_academy_frame_at_forty_line_pairs_holds_1756_lines() -> None:
    # 2 x 21.946 x 40 = 1755.7
    assert pytest.approx(1755.7, abs=0.05) == ACADEMY_LINES


@pytest.mark.parametrize(("framed_mm", "mark_mm"), [(600, 0.342), (300, 0.171)])
def test_finest_mark_of_a_framing(framed_mm: float, mark_mm: float) -> None:
    # 600 / 1755.7 = 0.342 mm
    assert paint.finest_mark_mm(framed_mm, ACADEMY_LINES) == pytest.approx(mark_mm, abs=5e-4)


@pytest.mark.parametrize(("pull", "width_mm", "tolerance"), [(1, 526.7, 0.05), (3, 1580, 0.5)])
def test_painting_width_for_a_third_of_a_millimetre(
    pull: float, width_mm: float, tolerance: float
) -> None:
    # 0.3 x 1755.7 = 526.7 mm at the tightest; three times that for a 3:1 pull-back
    width = paint.painting_width_mm(ACADEMY_LINES, 0.3, pull)
    assert width == pytest.approx(width_mm, abs=tolerance)


def test_all_beyond_1440_metres_is_flat_for_half_a_metre() -> None:
    assert paint.flat_beyond_m(F35, 0.5, 1) == pytest.approx(1439.8, abs=0.1)  # 2879.64 x 0.5


@pytest.mark.parametrize(("shift_m", "layers"), [(0.5, 29), (0.02, 2), (0.0, 1)])
def test_flat_layers_between_twenty_and_a_hundred_metres(shift_m: float, layers: int) -> None:
    # 57.59 / 2 = 28.8; 2.30 / 2 = 1.15; a locked camera needs the one
    assert paint.flat_layers(F35, shift_m, 20, 100, 1) == layers


@pytest.mark.parametrize(("depth_m", "growth_px"), [(20, 20.5), (100, 4.02)])
def test_dolly_of_half_a_metre_grows_layers_unequally(depth_m: float, growth_px: float) -> None:
    # 800 x (20/19.5 - 1) = 20.5; 800 x (100/99.5 - 1) = 4.02
    assert paint.dolly_growth_px(800, depth_m, 0.5) == pytest.approx(growth_px, abs=0.05)


@given(st.floats(0.01, 2), st.floats(2, 50), st.floats(1.1, 20), st.floats(0.5, 3))
def test_no_depth_slides_more_than_the_tolerance_against_its_layer(
    shift_m: float, near_m: float, ratio: float, tolerance_px: float
) -> None:
    far_m = near_m * ratio
    layers = paint.flat_layers(F35, shift_m, near_m, far_m, tolerance_px)
    depths = paint.layer_depths_m(near_m, far_m, layers)
    for tenth in range(11):
        depth = 1 / (1 / near_m + tenth / 10 * (1 / far_m - 1 / near_m))
        slide = min(perspective.parallax_px(F35, shift_m, depth, layer) for layer in depths)
        assert slide <= tolerance_px * (1 + 1e-9)


@given(st.floats(100, 10000), st.floats(100, 5000))
def test_a_painting_framed_at_its_width_shows_the_brush(lines: float, brush_um: float) -> None:
    brush_mm = brush_um / 1000
    width = paint.painting_width_mm(lines, brush_mm)
    assert paint.finest_mark_mm(width, lines) == pytest.approx(brush_mm)


def test_layers_to_infinity_are_counted() -> None:
    # 2879.64 x 0.1 / 20 = 14.4 px; 14.4 / 2 = 7.2
    assert paint.flat_layers(F35, 0.1, 20, math.inf, 1) == 8


@pytest.mark.parametrize(("near_m", "layers"), [(math.inf, 1), (0, 1), (1, 0), (1, 1_000_001)])
def test_layers_that_cannot_be_hung_are_refused(near_m: float, layers: int) -> None:
    with pytest.raises(ValueError, match="layers"):
        paint.layer_depths_m(near_m, math.inf, layers)


def test_a_camera_that_reaches_the_painting_is_refused() -> None:
    with pytest.raises(ValueError, match="reaches a layer"):
        paint.dolly_growth_px(800, 0.5, 0.5)


def test_a_widest_framing_tighter_than_the_tightest_is_refused() -> None:
    with pytest.raises(ValueError, match="at least the tightest"):
        paint.painting_width_mm(2048, 0.3, 0.5)
