"""Published checks and laws of exposure.

Misprints not used as truth: an art-school lab page prints 45 degrees as 1/198 (it is 1/192), and a
foot-candle page rounds 24 fc at 1/48 to 25 (25 exactly at 1/50).
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.craft import exposure

LIGHT = st.floats(1, 10000)
INDEX = st.floats(10, 3200)
STOPS = st.floats(1, 64)
ANGLES = st.floats(1, 360)
RATES = st.floats(0.1, 360)
CLOSE = st.floats(0, 2)


def test_meter_at_f16_reads_3200_candela() -> None:
    # published weakly: blog on ISO 2720:1974; 12.5 x 256 / (125 / 125) = 3200
    assert exposure.metered_luminance_cd_m2(16, 1 / 125, 125) == pytest.approx(3200)


def test_meter_exposes_the_film_to_what_its_speed_asks() -> None:
    # published weakly: forum quoting the ANSI meter standard; 0.065 lx s against 8/S = 0.064
    on_film = exposure.focal_plane_exposure_lux_s(3200, 1 / 125, 16)
    assert on_film == pytest.approx(0.065, abs=1e-4)
    assert on_film == pytest.approx(8 / 125, rel=0.02)


def test_incident_meter_at_f16_sunlight_reads_64000_lux() -> None:
    # derived: 250 x 256 / (125/125) = 64 000 lx, C 250 for a flat receptor
    assert exposure.metered_illuminance_lux(16, 1 / 125, 125) == pytest.approx(64000)


@pytest.mark.parametrize(
    ("t_number", "index", "seconds", "foot_candles"),
    [
        (4, 800, 1 / 48, 24),  # published weakly: cinematography blog 2013-08 (page rounds to 25)
        (4, 800, 1 / 50, 25),  # the same, at 1/50
        (2.8, 100, 1 / 50, 98),  # from memory: 100 fc, EI 100, T2.8
    ],
)
def test_cine_light_needed(
    t_number: float, index: float, seconds: float, foot_candles: float
) -> None:
    needed = exposure.foot_candles_needed(t_number, index, seconds)
    assert needed == pytest.approx(foot_candles)


def test_cine_constant_in_lux_is_near_the_flat_receptor_constant() -> None:
    # derived: 25 x 10.7639 = 269.1, beside 250
    assert exposure.lux_needed(1, 1, 1) == pytest.approx(269.1, abs=0.01)
    assert exposure.lux_needed(1, 1, 1) == pytest.approx(exposure.INCIDENT_C, rel=0.08)


@pytest.mark.parametrize(
    ("angle_deg", "fps", "denominator"),
    [
        # published weakly: art-school lab page
        (360, 24, 24),
        (270, 24, 32),
        (180, 24, 48),
        (172.8, 24, 50),
        (144, 24, 60),
        (90, 24, 96),
        (72, 24, 120),
        (45, 24, 192),  # derived; the page prints 198
        (180, 6, 12),  # published weakly: cinematographers' list
        (45, 6, 48),  # the same
    ],
)
def test_shutter_table(angle_deg: float, fps: float, denominator: float) -> None:
    assert 1 / exposure.shutter_seconds(angle_deg, fps) == pytest.approx(denominator)


def test_f2_8_to_f22_is_six_stops() -> None:
    # derived, exact numbers: 2 log2(2^4.5 / 2^1.5) = 6
    assert exposure.stops_between_f_numbers(2**1.5, 2**4.5) == pytest.approx(6)


def test_nine_tenths_of_density_takes_eight_times_the_light() -> None:
    assert exposure.density_factor(0.9) == pytest.approx(7.943, abs=1e-3)  # derived: 10^0.9


def test_two_thirds_of_a_stop_is_a_factor_of_1_587() -> None:
    assert exposure.filter_factor(2 / 3) == pytest.approx(1.587, abs=1e-3)  # derived


@pytest.mark.parametrize(
    ("magnification", "factor", "tolerance"),
    [
        (50 / 200, 1.5, 0.07),  # published weakly: close-up page, 50 mm at 250 mm; exact 1.5625
        (50 / 120, 2.0, 0.01),  # the same, at 170 mm
        (50 / 50, 4.0, 1e-9),  # the same, at 100 mm
        (12 / 30, 1.96, 1e-9),  # published weakly: close-up page, stamp 30 mm to 12 mm
        (5 / 10, 2.25, 1e-9),  # published: photography textbook, DOI 10.4324/9780080494012-22
    ],
)
def test_close_up_factor(magnification: float, factor: float, tolerance: float) -> None:
    assert exposure.close_up_factor(magnification) == pytest.approx(factor, abs=tolerance)


def test_half_a_second_becomes_about_one_at_half_size() -> None:
    # published: photography textbook, DOI 10.4324/9780080494012-22: 1/2 s x 2 1/4, about 1 s
    assert 0.5 * exposure.close_up_factor(0.5) == pytest.approx(1, abs=0.13)


def test_metered_f8_at_half_size_is_set_to_f5_3() -> None:
    # published: Cinematography: Theory and Practice; 8 / 1.5 = 5.33
    assert exposure.f_number_corrected(8, 0.5) == pytest.approx(5.3, abs=0.04)


def test_pupil_ratio_of_one_is_the_symmetrical_lens() -> None:
    # from memory: (1 + m/p)^2; p = 2 at m = 1 is 1.5^2
    assert exposure.close_up_factor(1, 2) == 2.25


def test_motion_control_frame_at_t16() -> None:
    # derived: 25 x 256 x 1.02^2 / (200 x 100) = 0.3329 s; a stop more 0.6659
    assert exposure.frame_exposure_s(200, 100, 16, 0.02) == pytest.approx(0.3329, abs=1e-4)
    one_stop_down = exposure.f_number_closed(16, 1)
    frame_s = exposure.frame_exposure_s(200, 100, one_stop_down, 0.02)
    assert frame_s == pytest.approx(0.6659, abs=1e-4)


@pytest.mark.parametrize(("run_frames", "seconds"), [(0, 136), (40, 176)])
def test_continuous_pass_at_180_takes_twice_its_exposures(run_frames: int, seconds: float) -> None:
    # derived: (136 + run) x 2 x 0.5 s
    assert exposure.continuous_pass_s(136, 0.5, 180, run_frames) == pytest.approx(seconds)


def test_stepped_pass_of_half_and_half_seconds() -> None:
    assert exposure.stepped_pass_s(136, 0.5, 0.5) == 136  # derived: 136 x 1 s


def test_an_eighth_of_the_light_is_three_stops_short() -> None:
    # derived: 100 is an eighth of 800, and two to the third is eight
    assert exposure.stops_short(800, 100) == 3
    assert exposure.stops_short(100, 800) == -3


@given(LIGHT, INDEX, STOPS, CLOSE)
def test_exposure_and_opening_undo_each_other(
    light: float, index: float, t_number: float, magnification: float
) -> None:
    seconds = exposure.frame_exposure_s(light, index, t_number, magnification)
    allowed = exposure.t_number_allowed(light, index, seconds, magnification)
    assert allowed == pytest.approx(t_number)


@given(LIGHT, INDEX, STOPS)
def test_exposure_and_light_needed_undo_each_other(
    light: float, index: float, t_number: float
) -> None:
    seconds = exposure.frame_exposure_s(light, index, t_number)
    assert exposure.foot_candles_needed(t_number, index, seconds) == pytest.approx(light)


@given(LIGHT, INDEX, STOPS)
def test_twice_the_light_halves_the_time(light: float, index: float, t_number: float) -> None:
    once = exposure.frame_exposure_s(light, index, t_number)
    assert exposure.frame_exposure_s(2 * light, index, t_number) == pytest.approx(once / 2)


@given(LIGHT, INDEX, STOPS, st.floats(-6, 6))
def test_opening_by_stops_is_time_by_stops(
    light: float, index: float, t_number: float, stops: float
) -> None:
    before = exposure.frame_exposure_s(light, index, t_number)
    closed = exposure.f_number_closed(t_number, stops)
    after = exposure.frame_exposure_s(light, index, closed)
    assert exposure.stops_between_times(before, after) == pytest.approx(stops, abs=1e-9)
    assert exposure.stops_between_f_numbers(t_number, closed) == pytest.approx(stops, abs=1e-9)


@given(ANGLES, RATES)
def test_shutter_angle_comes_back_from_its_time(angle_deg: float, fps: float) -> None:
    seconds = exposure.shutter_seconds(angle_deg, fps)
    assert exposure.shutter_angle_deg(seconds, fps) == pytest.approx(angle_deg)


@given(st.floats(0, 4))
def test_a_density_of_three_tenths_is_nearly_a_stop(density: float) -> None:
    # log10 2 = 0.30103
    stops = math.log2(exposure.density_factor(density))
    assert stops == pytest.approx(density / math.log10(2), abs=1e-9)


@given(st.floats(0.01, 1e5))
def test_lux_and_foot_candles_undo_each_other(light: float) -> None:
    assert exposure.foot_candles(exposure.lux(light)) == pytest.approx(light)


@given(st.integers(0, 1000), st.floats(0.01, 10), ANGLES)
def test_a_pass_is_never_shorter_than_its_exposures(
    frames: int, exposure_s: float, angle_deg: float
) -> None:
    taken = exposure.continuous_pass_s(frames, exposure_s, angle_deg)
    assert taken >= frames * exposure_s * (1 - 1e-12)


def test_no_light_is_refused() -> None:
    with pytest.raises(ValueError, match="light foot candles must be above zero, not 0"):
        exposure.frame_exposure_s(0, 100, 16)


@pytest.mark.parametrize("angle_deg", [0, -1, 361])
def test_an_impossible_shutter_is_refused(angle_deg: float) -> None:
    with pytest.raises(ValueError, match="a shutter opens"):
        exposure.shutter_seconds(angle_deg, 24)


def test_an_exposure_longer_than_a_frame_is_refused() -> None:
    with pytest.raises(ValueError, match="longer than a frame lasts"):
        exposure.shutter_angle_deg(0.1, 24)


def test_a_filter_that_adds_light_is_refused() -> None:
    with pytest.raises(ValueError, match="add light"):
        exposure.frame_exposure_s(100, 100, 4, 0, 0.5)


def test_half_a_turn_open_is_half_the_time_of_a_frame() -> None:
    # derived: 180 of 360 degrees, at any rate
    assert exposure.shutter_fraction(180) == pytest.approx(0.5)
