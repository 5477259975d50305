"""Published checks and laws of models built at 1:N.

Figures not used as truth: a forum gives "around 160" fps for 1:50 (24 sqrt 50 = 169.7), and the VES
Handbook rounds sqrt 6 = 2.449 to 2.5.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.craft import optics, scale

DENOMINATORS = st.floats(1, 1000)
LENGTHS = st.floats(0.001, 10000)


def test_quarter_scale_runs_at_48() -> None:
    # published: VES Handbook of Visual Effects, Appendix A
    assert scale.gravity_fps(4) == 48


def test_sixteenth_scale_runs_at_96() -> None:
    assert scale.gravity_fps(16) == 96  # published weakly: model-ship site


@pytest.mark.parametrize(
    ("denominator", "fps"),
    # derived: 24 sqrt N
    [
        (2, 33.9),
        (3, 41.6),
        (5, 53.7),
        (6, 58.8),
        (8, 67.9),
        (10, 75.9),
        (12, 83.1),
        (20, 107.3),
        (24, 117.6),
        (25, 120),
        (32, 135.8),
        (48, 166.3),
        (50, 169.7),
        (64, 192),
        (100, 240),
    ],
)
def test_gravity_rate_is_24_times_the_root_of_the_scale(denominator: float, fps: float) -> None:
    assert scale.gravity_fps(denominator) == pytest.approx(fps, abs=0.05)


def test_sixteenth_scale_flow_takes_a_quarter_of_the_time() -> None:
    # published: University of Florida thesis UF00079950, eqs 3.4-3.8 (Froude)
    assert scale.stage_seconds(1, 16) == 0.25


def test_thrice_slower_looks_nine_times_bigger() -> None:
    # published: Theory of Mechanical Miniatures in Cinematography, SMPE, May 1924
    assert scale.apparent_enlargement(3) == 9


def test_36_mph_at_a_sixth_moves_22_feet_a_second() -> None:
    # published: VES Handbook, Appendix A: 8.8 ft/s x 2.5 = 22 ft/s; exact 8.8 x 2.4495 = 21.56
    story_mps = 36 * 1609.344 / 3600
    model_fps = scale.gravity_speed_mps(story_mps, 6) / 0.3048
    assert model_fps == pytest.approx(21.56, abs=0.005)
    assert model_fps == pytest.approx(22, rel=0.025)


def test_the_same_speed_without_the_fast_camera_is_8_8_feet_a_second() -> None:
    # published: the same page; 52.8 / 6
    story_mps = 36 * 1609.344 / 3600
    assert scale.controlled_speed_mps(story_mps, 6) / 0.3048 == pytest.approx(8.8)


def test_fiftieth_scale_camera_six_inches_up_reads_25_feet() -> None:
    # published weakly: cinematographers' list; 25 ft / 50 = 6 in
    assert scale.stage_m(25 * 0.3048, 50) == pytest.approx(6 * 0.0254)
    assert scale.story_m(6 * 0.0254, 50) == pytest.approx(25 * 0.3048)


@pytest.mark.parametrize(
    ("top_fps", "denominator"),
    # derived: (fps/24)^2; 128 fps older pin-registered camera (model-ship site), 360 fps handbook
    [(96, 16), (120, 25), (128, 28.44), (360, 225)],
)
def test_camera_ceiling_sets_the_smallest_model(top_fps: float, denominator: float) -> None:
    assert scale.largest_denominator(top_fps) == pytest.approx(denominator, abs=0.005)


def test_a_twenty_metre_fall_at_a_sixteenth_shows_as_many_frames() -> None:
    # derived: sqrt(40 / 9.80665) = 2.0196 s = 48.5 frames; 1.25 m filmed at 96 fps the same
    assert scale.fall_seconds(20) == pytest.approx(2.0196, abs=1e-4)
    assert scale.fall_seconds(20 / 16) * 96 == pytest.approx(scale.fall_seconds(20) * 24)
    assert scale.fall_seconds(20 / 16) * 96 == pytest.approx(48.5, abs=0.05)


def test_matching_the_depth_of_f4_at_a_25th_needs_f100() -> None:
    assert scale.matched_f_number(4, 25) == 100  # published weakly: cinematographers' list


def test_matched_depth_agrees_near_within_one_and_far_within_four_per_cent() -> None:
    # derived: 50 mm f/2.8 at 10 m against f/28 at 1 m, both by the plain thin-lens limits
    full = optics.depth_limits(50, 2.8, 0.025, 10)
    model = optics.depth_limits(50, scale.matched_f_number(2.8, 10), 0.025, 1)
    assert 10 * model.near_m == pytest.approx(full.near_m, rel=0.01)
    assert 10 * model.far_m == pytest.approx(full.far_m, rel=0.04)


def test_depth_at_a_25th_costs_nine_stops() -> None:
    assert scale.depth_cost_stops(25) == pytest.approx(9.29, abs=0.005)  # derived: 2 log2 25


def test_depth_and_gravity_at_a_sixteenth_cost_ten_stops() -> None:
    # derived: 2.5 log2 16 = 10
    assert scale.depth_and_gravity_cost_stops(16) == pytest.approx(10)


def test_half_as_large_again_weighs_three_and_three_eighths() -> None:
    # derived: 1.5^3 = 3.375 mass against 1.5^2 = 2.25 strength
    assert scale.mass_at_height_kg(1, 1, 1.5) == 3.375
    assert scale.section_strength(1.5) == 2.25


def test_a_ninth_scale_six_metre_creature_weighs_under_five_kilograms() -> None:
    # derived: 3.5 kg times (0.6667 / 0.6) cubed is 4.80
    assert scale.mass_at_height_kg(3.5, 0.60, 6 / 9) == pytest.approx(4.80, abs=0.01)


def test_force_scales_with_the_cube() -> None:
    # published weakly: Froude-scaling table, force x N^3
    assert scale.model_mass_kg(1000, 10) == pytest.approx(1)


def test_material_of_a_tenth_scale_model_is_a_tenth_as_strong() -> None:
    # published: Theory of Mechanical Miniatures in Cinematography, rule 3
    assert scale.model_strength(30, 10) == 3


@given(LENGTHS, DENOMINATORS)
def test_lengths_go_there_and_back(length_m: float, denominator: float) -> None:
    there = scale.stage_m(length_m, denominator)
    assert scale.story_m(there, denominator) == pytest.approx(length_m)


@given(st.floats(1, 30), st.floats(1, 30))
def test_gravity_rate_composes_over_scales(first: float, second: float) -> None:
    composed = scale.gravity_fps(second, scale.gravity_fps(first))
    assert composed == pytest.approx(scale.gravity_fps(first * second))


@given(DENOMINATORS)
def test_the_gravity_rate_is_just_within_its_own_ceiling(denominator: float) -> None:
    fps = scale.gravity_fps(denominator)
    assert scale.largest_denominator(fps) == pytest.approx(denominator)


# A 1:N move filmed at F and shown at P runs F/P times story speed over N: with F = 24 sqrt N that
# must be the free-action speed V / sqrt N. (Writing the factor as shown over filmed would not be.)
@given(st.floats(0.01, 100), DENOMINATORS)
def test_controlled_speed_at_the_gravity_rate_is_free_speed(
    story_mps: float, denominator: float
) -> None:
    controlled = scale.controlled_speed_mps(story_mps, denominator, scale.gravity_fps(denominator))
    assert controlled == pytest.approx(scale.gravity_speed_mps(story_mps, denominator))


@given(LENGTHS, DENOMINATORS)
def test_a_fall_takes_stage_time_in_every_scale(height_m: float, denominator: float) -> None:
    model_s = scale.fall_seconds(scale.stage_m(height_m, denominator))
    assert model_s == pytest.approx(scale.stage_seconds(scale.fall_seconds(height_m), denominator))


@given(st.floats(0.1, 1e6), DENOMINATORS, st.floats(0.1, 100))
def test_mass_by_scale_is_mass_by_height(
    mass_kg: float, denominator: float, height_m: float
) -> None:
    by_height = scale.mass_at_height_kg(mass_kg, height_m, height_m / denominator)
    assert scale.model_mass_kg(mass_kg, denominator) == pytest.approx(by_height)


@pytest.mark.parametrize("denominator", [0, 0.5, -4, math.inf, math.nan])
def test_a_scale_below_full_size_is_refused(denominator: float) -> None:
    with pytest.raises(ValueError, match="1:N with N at least 1"):
        scale.gravity_fps(denominator)


def test_a_camera_slower_than_projection_is_refused() -> None:
    with pytest.raises(ValueError, match="cannot slow action"):
        scale.largest_denominator(12)


def test_the_gravity_rate_of_a_sixteenth_costs_two_stops() -> None:
    # derived: sqrt 16 = 4 times the frames a second, a quarter of the light on each
    assert scale.gravity_cost_stops(16) == pytest.approx(2)
