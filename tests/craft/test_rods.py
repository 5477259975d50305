"""Checks and laws of rods: bending and projection derived, removal minutes common practice.

No published rate of rod removal was found. The rotoscoping rates are a bracket for good sense; that
the example lands near them validates nothing.
"""

from __future__ import annotations

import dataclasses
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.craft import rods, survey
from planner.craft.mark import Mark

VIEW = survey.View(survey.focal_px(35, 24.892, 2048), 2048, 1536)
STEADY = rods.RodSpan(100, background_px=300, crossings=1, blur_px=4, width_px=8)
CROSSING = rods.RodSpan(100, 300, figure_px=80, crossings=2, blur_px=4, width_px=8)
THREE_RODS = (rods.Rod((CROSSING,)), rods.Rod((STEADY,)), rods.Rod((STEADY,)))


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


def test_removing_three_rods_over_a_locked_plate() -> None:
    # common practice: per frame (.25x3 + 2x.8 + 2)x1.25 + 2(.25x3 + 1)x1.25 = 9.8125, so 981.25;
    # keys 3 x 2 x 26 = 156; start 60, plate 45: 1242.25 min, 20.7 h, 38.6 frames a day
    minutes = rods.removal_minutes(THREE_RODS)
    assert minutes.likely == pytest.approx(1242.25)
    assert minutes.keys == 156
    assert 100 / (minutes.likely / 480) == pytest.approx(38.6, abs=0.05)


def test_removing_three_rods_with_texture_and_no_plate() -> None:
    # common practice: 60 + 240 + 156 + 100 x 1.25 x (13.25 + 2x.8x1.6 + 2) = 2682.25 min = 44.7 h
    around = rods.Surroundings("none", "texture without plate", "textured")
    minutes = rods.removal_minutes(THREE_RODS, around)
    assert minutes.likely / 60 == pytest.approx(44.7, abs=0.05)
    assert 100 / (minutes.likely / 480) == pytest.approx(17.9, abs=0.05)


def test_low_and_high_bracket_the_likely() -> None:
    minutes = rods.removal_minutes(THREE_RODS)
    assert minutes.low == pytest.approx(0.6 * minutes.likely)
    assert minutes.high == pytest.approx(2.2 * minutes.likely)


def test_no_rods_take_no_time() -> None:
    assert rods.removal_minutes(()).likely == 0


def test_spans_of_one_frame_add_up_to_the_whole() -> None:
    frame = dataclasses.replace(CROSSING, frames=1)
    cut_up = rods.removal_minutes((rods.Rod((frame,) * 100),))
    assert cut_up.likely == pytest.approx(rods.removal_minutes((rods.Rod((CROSSING,)),)).likely)


@pytest.mark.parametrize(
    ("harder", "easier"),
    [
        (rods.Surroundings(figure="hair or feather"), rods.Surroundings(figure="textured")),
        (rods.Surroundings(background="tracked patch"), rods.Surroundings()),
        (rods.Surroundings(clean_plate="none"), rods.Surroundings(clean_plate="motion-control")),
    ],
)
def test_harder_surroundings_take_longer(
    harder: rods.Surroundings, easier: rods.Surroundings
) -> None:
    slow = rods.removal_minutes(THREE_RODS, harder).likely
    assert slow > rods.removal_minutes(THREE_RODS, easier).likely


def test_every_coefficient_says_it_has_no_source() -> None:
    marks = rods.rate_marks()
    assert set(marks) == {f.name for f in dataclasses.fields(rods.RemovalRates)}
    assert {mark for _, mark in marks.values()} == {Mark.COMMON_PRACTICE}


def test_calibration_finds_the_coefficients_shots_were_made_with() -> None:
    true = rods.RemovalRates(50, 3, 0.4, 1.5, 0.7)
    shots = []
    for step in range(1, 9):
        span = rods.RodSpan(20 * step, 100 + 37 * step, 30 * (step % 3), step % 4, 2, 8)
        shot_rods = (rods.Rod((span,), "slow" if step % 2 else "fast"),) * (1 + step % 2)
        around = rods.Surroundings()
        taken = rods.removal_minutes(shot_rods, around, true).likely
        shots.append(rods.FinishedShot(shot_rods, around, taken))
    found = rods.calibrate(shots)
    assert found.rates.figure_minutes == pytest.approx(1.5, rel=1e-6)
    assert found.rates.background_minutes == pytest.approx(0.4, rel=1e-6)
    assert found.rates.start_minutes == pytest.approx(50, rel=1e-4)
    assert found.residual_minutes == pytest.approx(0, abs=1e-6)


def test_five_finished_shots_are_too_few_to_calibrate() -> None:
    shot = rods.FinishedShot(THREE_RODS, rods.Surroundings(), 1000)
    with pytest.raises(ValueError, match="give at least 6"):
        rods.calibrate((shot,) * 5)


@pytest.mark.parametrize(
    ("index", "frames_per_day", "minutes"),
    [
        # published: data-set page of DOI 10.1145/2897824.2925973
        (0, 28, 17.1),
        (1, 14, 34.3),
        # derived: 158 x 67 = 10 586 frames (page: over 10 000) in 734 days = 14.42 a day
        (2, 14.42, 33.3),
        # published: slides of Keyframe-based Tracking for Rotoscoping and Animation, 2004, 250 h a
        # minute; derived 15 000 / 1440 = 10.42 minutes a frame
        (3, 46.08, 10.42),
    ],
)
def test_published_rotoscoping_rates(index: int, frames_per_day: float, minutes: float) -> None:
    rate = rods.PUBLISHED_ROTO[index]
    assert rate.frames_per_day == pytest.approx(frames_per_day, abs=0.01)
    assert rate.minutes_per_frame == pytest.approx(minutes, abs=0.05)


def test_rotoscoping_days_leave_nine_frames_a_day_for_the_hard_shots() -> None:
    # derived, if all levels share the mean length: 38 x 67 / 28 = 90.9 d, 94 x 67 / 14 = 449.9 d,
    # the other 26 shots 26 x 67 / 193.2 = 9.0 a day
    easy, middling = (rate.frames_per_day for rate in rods.PUBLISHED_ROTO[:2])
    left_days = 734 - 38 * 67 / easy - 94 * 67 / middling
    assert 26 * 67 / left_days == pytest.approx(9.0, abs=0.05)


def test_an_unknown_background_is_refused_with_those_there_are() -> None:
    with pytest.raises(ValueError, match=r"no background is called 'fire'.*locked plate"):
        rods.removal_minutes(THREE_RODS, rods.Surroundings(background="fire"))


def test_a_span_of_negative_length_is_refused() -> None:
    with pytest.raises(ValueError, match="background px cannot be -1"):
        rods.RodSpan(10, -1)


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
