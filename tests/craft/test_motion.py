"""Derived checks and laws of motion-controlled moves.

The one published envelope found (handbook page on motion-control studio equipment) gives tracks,
not speeds: camera track at least 50 ft, which is 15.24 m.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.craft import motion

MOVE = motion.positions(3.0, 121)
RIG = motion.AxisLimits(speed=2.0, acceleration=1.0)
# tenths of a millimetre within ten metres
LONG_PATHS = st.lists(
    st.integers(-100_000, 100_000).map(lambda step: step / 10_000), min_size=4, max_size=40
)


def test_three_metre_smoothstep_peaks() -> None:
    # middle step 0.0374965; second difference at the ends (6 - 12/120) x 3 / 120^2 = 0.00122917
    speed, acceleration, _ = motion.peaks(MOVE)
    assert speed.size == pytest.approx(0.0374965, abs=1e-7)
    assert acceleration.size == pytest.approx((6 - 12 / 120) * 3 / 120**2)


def test_acceleration_binds_the_three_metre_move_at_28_5_fps() -> None:
    # 2 / 0.0374965 = 53.34 by speed; sqrt(1 / 0.00122917) = 28.52 by acceleration
    rate = motion.fastest_rate({"track": MOVE}, {"track": RIG})
    assert rate.fps == pytest.approx(28.52, abs=0.005)
    assert (rate.axis, rate.limit) == ("track", "acceleration")
    assert rate.frame in (1, 119)  # the ends of the move, where it starts and stops hardest


def test_speed_alone_allows_53_fps() -> None:
    rate = motion.fastest_rate({"track": MOVE}, {"track": motion.AxisLimits(2.0)})
    assert rate.fps == pytest.approx(53.34, abs=0.005)
    assert (rate.limit, rate.frame) == ("speed", 59)


def test_jerk_binds_where_it_is_known_and_small() -> None:
    # third difference of a smoothstep is 12 x 3 / 120^3 throughout, as 12 D / T^3
    soft = motion.AxisLimits(100, 100, 1.0)
    rate = motion.fastest_rate({"track": MOVE}, {"track": soft})
    assert rate.limit == "jerk"
    assert rate.fps == pytest.approx((120**3 / 36) ** (1 / 3), rel=1e-4)


@pytest.mark.parametrize(
    ("limits", "gain"),
    [(RIG, math.sqrt(10)), (motion.AxisLimits(2.0), 10)],
    ids=["acceleration binds", "speed binds"],
)
def test_a_tenth_scale_move_runs_faster(limits: motion.AxisLimits, gain: float) -> None:
    full = motion.fastest_rate({"track": MOVE}, {"track": limits}).fps
    tenth = [position / 10 for position in MOVE]
    small = motion.fastest_rate({"track": tenth}, {"track": limits}).fps
    assert small / full == pytest.approx(gain)


def test_the_slowest_axis_binds() -> None:
    pan = motion.positions(90, 121)
    axes = {"track": MOVE, "pan": pan}
    limits = {"track": RIG, "pan": motion.AxisLimits(10)}
    assert motion.fastest_rate(axes, limits).axis == "pan"


def test_a_rig_that_stands_still_may_run_at_any_rate() -> None:
    rate = motion.fastest_rate({"track": [1.0] * 10}, {"track": RIG})
    assert rate == motion.FastestRate(math.inf)


@pytest.mark.parametrize(
    ("profile", "speed", "acceleration"),
    [
        ("smoothstep", 1.5, 6),  # u' = 6u - 6u^2 at 1/2; u'' = 6 - 12u at 0
        ("minimum jerk", 1.875, 5.7735),  # 30/16; 10 / sqrt 3
        ("half cosine", math.pi / 2, math.pi**2 / 2),
    ],
)
def test_profile_factors_match_their_moves(profile: str, speed: float, acceleration: float) -> None:
    described = motion.PROFILES[profile]
    assert described.speed_factor == pytest.approx(speed)
    assert described.acceleration_factor == pytest.approx(acceleration, abs=5e-5)
    fine = motion.positions(1.0, 2001, profile)  # D = 1 in T = 1 at 2000 frames a second
    assert motion.peak_speed(fine, 2000) == pytest.approx(speed, rel=1e-3)
    assert motion.peak_acceleration(fine, 2000) == pytest.approx(acceleration, rel=2e-3)


def test_smoothstep_of_three_metres_in_five_seconds() -> None:
    # 1.5 x 3 / 5 = 0.9 m/s; 6 x 3 / 25 = 0.72 m/s^2
    assert motion.peak_speed(MOVE, 24) == pytest.approx(0.9, rel=1e-3)
    assert motion.peak_acceleration(MOVE, 24) == pytest.approx(0.72, rel=0.02)


def test_run_up_to_ninety_centimetres_a_second() -> None:
    # 0.81 / 1.0 = 0.81 m; 24 x 0.9 / 0.5 = 43.2 frames; track 3 + 0.81 + 0.81
    assert motion.run_up_distance(0.9, 0.5) == pytest.approx(0.81)
    assert motion.run_up_frames(0.9, 0.5, 24) == pytest.approx(43.2)
    assert motion.track_needed(3.0, 0.9, 0.9, 0.5) == pytest.approx(4.62)


def test_forty_pixels_a_frame_smears_twenty_at_180_degrees() -> None:
    assert motion.blur_px(180, 40) == 20
    assert motion.blur_px(180, -40) == 20


def test_extent_and_smallest_step_of_a_path() -> None:
    path = [0.0, 0.0, 0.5, 0.4, -0.2]
    assert motion.extent(path) == pytest.approx(0.7)
    assert motion.smallest_step(path) == pytest.approx(0.1)
    assert motion.smallest_step([1.0, 1.0]) == 0


@given(LONG_PATHS)
def test_at_its_fastest_rate_a_move_just_meets_one_limit(path: list[float]) -> None:
    limits = motion.AxisLimits(2.0, 5.0, 9.0)
    rate = motion.fastest_rate({"track": path}, {"track": limits})
    if math.isinf(rate.fps):
        assert motion.peaks(path)[0].size == 0
        return
    used = (
        motion.peak_speed(path, rate.fps) / 2.0,
        motion.peak_acceleration(path, rate.fps) / 5.0,
        motion.peak_jerk(path, rate.fps) / 9.0,
    )
    assert max(used) == pytest.approx(1.0)


@given(LONG_PATHS)
def test_a_move_run_backwards_is_as_fast(path: list[float]) -> None:
    there = motion.fastest_rate({"track": path}, {"track": RIG}).fps
    back = motion.fastest_rate({"track": path[::-1]}, {"track": RIG}).fps
    assert back == pytest.approx(there)


@given(st.sampled_from(sorted(motion.PROFILES)), st.integers(2, 200), st.floats(0.01, 100))
def test_moves_start_at_rest_and_end_where_they_should(
    profile: str, frames: int, distance: float
) -> None:
    path = motion.positions(distance, frames, profile)
    assert len(path) == frames
    assert path[0] == pytest.approx(0)
    assert path[-1] == pytest.approx(distance)
    assert all(before <= after + 1e-12 for before, after in pairwise(path))


def test_a_position_that_is_no_number_is_refused() -> None:
    with pytest.raises(ValueError, match="finite number"):
        motion.fastest_rate({"track": [0.0, math.nan, 1.0]}, {"track": RIG})


def test_limits_of_zero_are_refused() -> None:
    with pytest.raises(ValueError, match="limits above zero"):
        motion.AxisLimits(0)


def test_an_unknown_profile_is_refused_with_those_there_are() -> None:
    with pytest.raises(ValueError, match=r"'sudden'.*smoothstep"):
        motion.positions(1, 10, "sudden")


def test_a_move_of_one_frame_is_refused() -> None:
    with pytest.raises(ValueError, match="one by one"):
        motion.positions(1.0, 1_000_001)
    with pytest.raises(ValueError, match="at least 2 frames"):
        motion.positions(1, 1)
