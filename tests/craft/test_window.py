"""The worked scale window of three shots, and its laws.

All derived: the shots are invented, the arithmetic is checked by a second route through the plain
depth-of-field formula. Full aperture 24.892 mm, c 0.025 mm, 2048 px.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.craft import optics, scale, survey, window

COC = 0.025
HOLDS = {
    "A": window.Hold(30, 150, 28, COC),
    "B": window.Hold(8, 25, 35, COC),
    "C": window.Hold(12, 40, 35, COC),
}
LIGHTS = {
    "A": window.Light(250, 200, 2.0),
    "B": window.Light(250, 200, 2.0),
    "C": window.Light(2000, 500, 0.5 / 24, is_gravity_rate=True),
}
EXTENTS = {"A": (120, 150, 40, 60), "B": (40, 60, 15, 10), "C": (60, 80, 25, 0)}
CAMERA_HEIGHTS = {"A": 6.0, "B": 1.8, "C": 2.5}


def bounds_of(
    shot: str, stage_width_m: float = 14.0, light: window.Light | None = None
) -> list[window.Bound]:
    width, depth, height, move = EXTENTS[shot]
    hold = HOLDS[shot]
    focal = survey.focal_px(hold.focal_mm, 24.892, 2048)
    low = {
        "stage width": window.lowest_by_extent(width, stage_width_m),
        "stage depth": window.lowest_by_extent(depth, 18.0),
        "stage height": window.lowest_by_extent(height, 5.5),
        "track": window.lowest_by_track(move, 12.0),
        "rod load": window.lowest_by_mass(6.0, 0.60, 3.5, 8.0),
    }
    high = {
        "close focus": window.highest_by_close_focus(hold.near_m, hold.focal_mm, 0.60),
        "clearance": window.highest_by_clearance(hold.near_m, 0.27),
        "camera height": window.highest_by_camera_height(CAMERA_HEIGHTS[shot], 0.15),
        "smallest stop": window.highest_by_smallest_stop(hold, 22),
        "available light": window.highest_by_light(hold, light or LIGHTS[shot]),
        "detail": window.highest_by_detail(hold.near_m, focal, 0.3e-3, 2.0),
    }
    if shot == "C":
        high["camera speed"] = scale.largest_denominator(120)
    return [window.Bound(shot, reason, "low", n) for reason, n in low.items()] + [
        window.Bound(shot, reason, "high", n) for reason, n in high.items()
    ]


@pytest.mark.parametrize(
    ("shot", "reason", "expected"),
    [
        # lows: 120/14, 150/18, 40/5.5, 60/12, 10 x (3.5/8)^(1/3) = 7.59
        ("A", "stage width", 8.57),
        ("A", "stage depth", 8.33),
        ("A", "stage height", 7.27),
        ("A", "track", 5.0),
        ("A", "rod load", 7.59),
        ("B", "stage width", 2.86),
        ("B", "stage depth", 3.33),
        ("B", "stage height", 2.73),
        ("B", "track", 0.83),
        ("C", "stage width", 4.29),
        ("C", "stage depth", 4.44),
        ("C", "stage height", 4.55),
        ("C", "track", 0),
        # highs: close focus .60 m from film; 30/.27; 6/.15; detail 2 x 24.892 x d / (f x 2048 x b)
        ("A", "close focus", 52.6),
        ("A", "clearance", 111.1),
        ("A", "camera height", 40.0),
        ("A", "smallest stop", 51.1),
        ("A", "available light", 119.7),
        ("A", "detail", 86.8),
        ("B", "close focus", 14.2),
        ("B", "clearance", 29.6),
        ("B", "camera height", 12.0),
        ("B", "smallest stop", 10.25),
        ("B", "available light", 23.9),
        ("B", "detail", 18.5),
        ("C", "close focus", 21.3),
        ("C", "clearance", 44.4),
        ("C", "camera height", 16.7),
        ("C", "smallest stop", 14.96),
        ("C", "available light", 9.95),
        ("C", "detail", 27.8),
        ("C", "camera speed", 25),
    ],
)
def test_bound_of_the_worked_example(shot: str, reason: str, expected: float) -> None:
    found = {bound.reason: bound.scale_denominator for bound in bounds_of(shot)}
    assert found[reason] == pytest.approx(expected, rel=3e-3, abs=6e-3)


@pytest.mark.parametrize(
    ("shot", "low", "high"), [("A", 8.57, 40.0), ("B", 7.59, 10.25), ("C", 7.59, 9.95)]
)
def test_window_of_each_shot(shot: str, low: float, high: float) -> None:
    found = window.intersect(bounds_of(shot))
    assert found.low.scale_denominator == pytest.approx(low, abs=5e-3)
    assert found.high.scale_denominator == pytest.approx(high, abs=5e-3)


def test_common_window_names_what_binds_at_each_end() -> None:
    common = window.intersect(bound for shot in "ABC" for bound in bounds_of(shot))
    assert (common.low.shot, common.low.reason) == ("A", "stage width")
    assert (common.high.shot, common.high.reason) == ("C", "available light")
    assert common.low.scale_denominator == pytest.approx(8.571, abs=1e-3)
    assert common.high.scale_denominator == pytest.approx(9.952, abs=1e-3)
    assert not common.is_empty
    assert common.admits(9)
    assert common.relaxation == 1


def test_upper_end_agrees_with_a_walk_through_the_depth_formula() -> None:
    # second route: step N until plain near and far limits at the T-stop the light allows fall short
    hold = HOLDS["C"]
    for step in range(9500, 10500):
        n = step / 1000
        focus_m = hold.focus_m / n
        m = optics.magnification(35, focus_m)
        t_stop = math.sqrt(2000 * 500 * (0.5 / (24 * math.sqrt(n))) / 25) / (1 + m)
        limits = optics.depth_limits(35, t_stop / 1.10, COC, focus_m)
        if limits.near_m * n > 12 or limits.far_m * n < 40:
            break
    assert window.highest_by_light(hold, LIGHTS["C"]) == pytest.approx(n, abs=2e-3)


def test_one_stop_more_light_in_c_hands_the_upper_end_to_b() -> None:
    brighter = window.Light(4000, 500, 0.5 / 24, is_gravity_rate=True)
    common = window.intersect([*bounds_of("A"), *bounds_of("B"), *bounds_of("C", light=brighter)])
    assert (common.high.shot, common.high.reason) == ("B", "smallest stop")
    assert common.high.scale_denominator == pytest.approx(10.251, abs=3e-3)


def test_a_ten_metre_stage_leaves_no_common_scale() -> None:
    # 120 / 10 = 12 > 9.952, so the stage or the light must give way by 12 / 9.952 = 1.206
    common = window.intersect(bound for shot in "ABC" for bound in bounds_of(shot, 10.0))
    assert common.is_empty
    assert common.low.scale_denominator == 12
    assert common.relaxation == pytest.approx(1.2058, abs=1e-3)


@pytest.mark.parametrize(
    ("stage_width_m", "served"),
    [
        (14.0, [("A", "B", "C")]),
        (10.0, [("B", "C"), ("A",)]),
    ],
)
def test_fewest_builds(stage_width_m: float, served: list[tuple[str, ...]]) -> None:
    bounds = [bound for shot in "ABC" for bound in bounds_of(shot, stage_width_m)]
    builds = window.fewest_builds(window.shot_windows(bounds))
    assert [build.shots for build in builds] == served


def test_needs_at_a_ninth_match_the_example() -> None:
    # A f/3.8; B f/19.2 (T21.2); C T14.4 at 72 fps against T16.4 available
    assert HOLDS["A"].f_number(9) == pytest.approx(3.8, abs=0.05)
    assert HOLDS["B"].f_number(9) == pytest.approx(19.2, abs=0.05)
    assert optics.t_number(HOLDS["B"].f_number(9)) == pytest.approx(21.2, abs=0.05)
    assert optics.t_number(HOLDS["C"].f_number(9)) == pytest.approx(14.4, abs=0.05)
    available = LIGHTS["C"].t_number(9, HOLDS["C"].magnification(9))
    assert available == pytest.approx(16.4, abs=0.05)
    assert scale.gravity_fps(9) == 72


def test_the_stop_for_b_at_a_ninth_holds_eight_to_twenty_five_metres() -> None:
    hold = HOLDS["B"]
    limits = optics.depth_limits(35, hold.f_number(9), COC, hold.focus_m / 9)
    assert limits.near_m * 9 == pytest.approx(8)
    assert limits.far_m * 9 == pytest.approx(25)


SPANS = st.floats(0.5, 200)


@given(SPANS, st.floats(1, 30), st.floats(1, 30))
def test_a_larger_stage_never_raises_the_low_end(story_m: float, a: float, b: float) -> None:
    small, large = sorted((a, b))
    assert window.lowest_by_extent(story_m, large) <= window.lowest_by_extent(story_m, small)


@given(st.floats(1, 50), st.floats(1.1, 10), st.floats(16, 100), st.floats(2, 40))
def test_a_smaller_opening_never_lowers_the_high_end(
    near_m: float, ratio: float, focal_mm: float, stop: float
) -> None:
    hold = window.Hold(near_m, near_m * ratio, focal_mm, COC)
    smaller = window.highest_by_smallest_stop(hold, stop * 1.4)
    assert smaller > window.highest_by_smallest_stop(hold, stop)


@given(st.floats(1, 50), st.floats(1.1, 10), st.floats(16, 100), st.floats(1, 5000), st.booleans())
def test_more_light_never_lowers_the_high_end(
    near_m: float, ratio: float, focal_mm: float, light: float, gravity: bool
) -> None:
    hold = window.Hold(near_m, near_m * ratio, focal_mm, COC)
    dim = window.highest_by_light(hold, window.Light(light, 100, 1 / 48, gravity))
    bright = window.highest_by_light(hold, window.Light(2 * light, 100, 1 / 48, gravity))
    assert bright >= dim


@given(st.floats(1, 50), st.floats(1.1, 10), st.floats(16, 100), st.floats(2, 40))
def test_the_smallest_stop_is_just_needed_at_its_bound(
    near_m: float, ratio: float, focal_mm: float, stop: float
) -> None:
    hold = window.Hold(near_m, near_m * ratio, focal_mm, COC)
    bound = window.highest_by_smallest_stop(hold, stop)
    assert hold.f_number(bound) == pytest.approx(stop)


@given(st.floats(1, 50), st.floats(1.1, 10), st.floats(16, 100), st.floats(10, 5000))
def test_the_light_is_just_enough_at_its_bound(
    near_m: float, ratio: float, focal_mm: float, light: float
) -> None:
    hold = window.Hold(near_m, near_m * ratio, focal_mm, COC)
    lit = window.Light(light, 100, 1 / 48, is_gravity_rate=True)
    bound = window.highest_by_light(hold, lit)
    needed = optics.t_number(hold.f_number(bound))
    assert needed == pytest.approx(lit.t_number(bound, hold.magnification(bound)), rel=1e-5)


def test_one_distance_alone_is_held_in_any_light_down_to_the_lens_itself() -> None:
    # derived: at 1:N the only plane is 5 m / N off, and a 50 mm lens needs more than 50 mm: N < 100
    hold = window.Hold(5.0, 5.0, 50.0, COC)
    assert window.highest_by_light(hold, LIGHTS["C"]) == pytest.approx(100)


@given(st.floats(1, 100), st.floats(20, 100), st.floats(0.3, 1))
def test_a_nearer_close_focus_never_lowers_the_high_end(
    nearest_m: float, focal_mm: float, close_m: float
) -> None:
    # the mark lies beyond four focal lengths, 0.4 m for a 100 mm lens
    mark_m = max(close_m, 4.1 * focal_mm / 1000)
    near = window.highest_by_close_focus(nearest_m, focal_mm, mark_m)
    assert near >= window.highest_by_close_focus(nearest_m, focal_mm, mark_m * 1.2)


INTERVALS = st.lists(st.tuples(st.floats(1, 50), st.floats(1, 4)), min_size=1, max_size=8)


@given(INTERVALS)
def test_every_shot_is_served_once_by_a_scale_in_its_window(
    spans: list[tuple[float, float]],
) -> None:
    windows = {
        str(i): window.intersect(
            (window.Bound("", "stage", "low", low), window.Bound("", "lens", "high", low * ratio))
        )
        for i, (low, ratio) in enumerate(spans)
    }
    builds = window.fewest_builds(windows)
    assert sorted(shot for build in builds for shot in build.shots) == sorted(windows)
    for build in builds:
        assert all(windows[shot].admits(build.scale_denominator) for shot in build.shots)


@given(INTERVALS)
def test_no_fewer_builds_would_do(spans: list[tuple[float, float]]) -> None:
    # As many shots with windows that do not meet prove that many builds are needed; taking the
    # window that ends first again and again finds the most such shots.
    windows = {
        str(i): window.intersect(
            (window.Bound("", "stage", "low", low), window.Bound("", "lens", "high", low * ratio))
        )
        for i, (low, ratio) in enumerate(spans)
    }
    apart = 0
    end = 0.0
    for w in sorted(windows.values(), key=lambda w: w.high.scale_denominator):
        if w.low.scale_denominator > end:
            apart += 1
            end = w.high.scale_denominator
    assert len(window.fewest_builds(windows)) == apart


def test_a_window_without_upper_end_is_built_as_large_as_it_may_be() -> None:
    open_ended = {
        "A": window.intersect([window.Bound("A", "stage width", "low", 6)]),
        "B": window.intersect([window.Bound("B", "stage width", "low", 9)]),
    }
    assert window.fewest_builds(open_ended) == (window.Build(9, ("A", "B")),)


def test_a_model_is_never_larger_than_full_size() -> None:
    found = window.intersect([window.Bound("A", "track", "low", 0.4)])
    assert found.low.reason == "full size"
    assert found.low.scale_denominator == 1


def test_a_shot_no_scale_serves_is_named_with_both_bounds() -> None:
    empty = window.intersect(
        (window.Bound("A", "stage width", "low", 12), window.Bound("A", "light", "high", 9))
    )
    with pytest.raises(ValueError, match=r"no scale serves shot A: stage width .* light"):
        window.fewest_builds({"A": empty})


def test_run_up_that_uses_up_the_track_is_refused() -> None:
    with pytest.raises(ValueError, match="leave nothing"):
        window.lowest_by_track(60, 12, 12)


def test_run_up_shortens_the_track() -> None:
    assert window.lowest_by_track(60, 12, 2) == 6  # 60 / 10


def test_a_mechanism_must_fit_its_cavity() -> None:
    assert window.highest_by_mechanism(1.2, 0.08) == pytest.approx(15)
