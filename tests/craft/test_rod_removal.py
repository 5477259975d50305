"""Checks of rod removal, all common practice with no source, and published rotoscoping rates.

The rotoscoping rates are a bracket for good sense; that the example lands near them validates
nothing.
"""

from __future__ import annotations

import dataclasses

import pytest

from planner.craft import rod_removal

STEADY = rod_removal.RodSpan(100, background_px=300, crossings=1, blur_px=4, width_px=8)
CROSSING = rod_removal.RodSpan(100, 300, figure_px=80, crossings=2, blur_px=4, width_px=8)
THREE_RODS = (rod_removal.Rod((CROSSING,)), rod_removal.Rod((STEADY,)), rod_removal.Rod((STEADY,)))


def test_removing_three_rods_over_a_locked_plate() -> None:
    # common practice: per frame (.25x3 + 2x.8 + 2)x1.25 + 2(.25x3 + 1)x1.25 = 9.8125, so 981.25;
    # keys 3 x 2 x 26 = 156; start 60, plate 45: 1242.25 min, 20.7 h, 38.6 frames a day
    minutes = rod_removal.removal_minutes(THREE_RODS)
    assert minutes.likely == pytest.approx(1242.25)
    assert minutes.keys == 156
    assert 100 / (minutes.likely / 480) == pytest.approx(38.6, abs=0.05)


def test_removing_three_rods_with_texture_and_no_plate() -> None:
    # common practice: 60 + 240 + 156 + 100 x 1.25 x (13.25 + 2x.8x1.6 + 2) = 2682.25 min = 44.7 h
    around = rod_removal.Surroundings("none", "texture without plate", "textured")
    minutes = rod_removal.removal_minutes(THREE_RODS, around)
    assert minutes.likely / 60 == pytest.approx(44.7, abs=0.05)
    assert 100 / (minutes.likely / 480) == pytest.approx(17.9, abs=0.05)


def test_work_list_counts_each_rod_on_each_frame() -> None:
    over_nothing = rod_removal.Rod((rod_removal.RodSpan(50, 300),))
    assert rod_removal.rod_frames((*THREE_RODS, over_nothing)) == 350
    assert rod_removal.crossing_share((*THREE_RODS, over_nothing)) == pytest.approx(300 / 350)
    assert rod_removal.crossing_share(()) == 0


def test_low_and_high_bracket_the_likely() -> None:
    minutes = rod_removal.removal_minutes(THREE_RODS)
    assert minutes.low == pytest.approx(0.6 * minutes.likely)
    assert minutes.high == pytest.approx(2.2 * minutes.likely)


def test_no_rods_take_no_time() -> None:
    assert rod_removal.removal_minutes(()).likely == 0


def test_spans_of_one_frame_add_up_to_the_whole() -> None:
    frame = dataclasses.replace(CROSSING, frames=1)
    cut_up = rod_removal.removal_minutes((rod_removal.Rod((frame,) * 100),))
    assert cut_up.likely == pytest.approx(
        rod_removal.removal_minutes((rod_removal.Rod((CROSSING,)),)).likely
    )


@pytest.mark.parametrize(
    ("harder", "easier"),
    [
        (
            rod_removal.Surroundings(figure="hair or feather"),
            rod_removal.Surroundings(figure="textured"),
        ),
        (rod_removal.Surroundings(background="tracked patch"), rod_removal.Surroundings()),
        (
            rod_removal.Surroundings(clean_plate="none"),
            rod_removal.Surroundings(clean_plate="motion-control"),
        ),
    ],
)
def test_harder_surroundings_take_longer(
    harder: rod_removal.Surroundings, easier: rod_removal.Surroundings
) -> None:
    slow = rod_removal.removal_minutes(THREE_RODS, harder).likely
    assert slow > rod_removal.removal_minutes(THREE_RODS, easier).likely


def test_calibration_finds_the_coefficients_shots_were_made_with() -> None:
    true = rod_removal.RemovalRates(50, 3, 0.4, 1.5, 0.7)
    shots = []
    for step in range(1, 9):
        span = rod_removal.RodSpan(20 * step, 100 + 37 * step, 30 * (step % 3), step % 4, 2, 8)
        shot_rods = (rod_removal.Rod((span,), "slow" if step % 2 else "fast"),) * (1 + step % 2)
        around = rod_removal.Surroundings()
        taken = rod_removal.removal_minutes(shot_rods, around, true).likely
        shots.append(rod_removal.FinishedShot(shot_rods, around, taken))
    found = rod_removal.calibrate(shots)
    assert found.rates.figure_minutes == pytest.approx(1.5, rel=1e-6)
    assert found.rates.background_minutes == pytest.approx(0.4, rel=1e-6)
    assert found.rates.start_minutes == pytest.approx(50, rel=1e-4)
    assert found.residual_minutes == pytest.approx(0, abs=1e-6)


def test_five_finished_shots_are_too_few_to_calibrate() -> None:
    shot = rod_removal.FinishedShot(THREE_RODS, rod_removal.Surroundings(), 1000)
    with pytest.raises(ValueError, match="at least 6 finished shots, not 5"):
        rod_removal.calibrate((shot,) * 5)


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
    rate = rod_removal.PUBLISHED_ROTO[index]
    assert rate.frames_per_day == pytest.approx(frames_per_day, abs=0.01)
    assert rate.minutes_per_frame == pytest.approx(minutes, abs=0.05)


def test_rotoscoping_days_leave_nine_frames_a_day_for_the_hard_shots() -> None:
    # derived, if all levels share the mean length: 38 x 67 / 28 = 90.9 d, 94 x 67 / 14 = 449.9 d,
    # the other 26 shots 26 x 67 / 193.2 = 9.0 a day
    easy, middling = (rate.frames_per_day for rate in rod_removal.PUBLISHED_ROTO[:2])
    left_days = 734 - 38 * 67 / easy - 94 * 67 / middling
    assert 26 * 67 / left_days == pytest.approx(9.0, abs=0.05)


def test_an_unknown_background_is_refused_with_those_there_are() -> None:
    with pytest.raises(ValueError, match=r"no background is called 'fire'.*locked plate"):
        rod_removal.removal_minutes(THREE_RODS, rod_removal.Surroundings(background="fire"))


def test_a_span_of_negative_length_is_refused() -> None:
    with pytest.raises(ValueError, match="background px cannot be -1"):
        rod_removal.RodSpan(10, -1)
