"""Published checks and laws of footage and time code.

Rough figures not used as truth: pages that give 400 ft of 35 mm as 3.5 minutes (4:26.7) or 100 ft
of 16 mm as 2.5 minutes (2:46.7).
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.craft import footage

GAUGES = {"35/4": 16, "35/3": 64 / 3, "35/8": 8, "65/5": 12.8, "16": 40}


@pytest.mark.parametrize(
    ("perforations", "frames"),
    [
        (4, 16),  # published weakly: encyclopedia citing a cinematographer's manual, 8th ed.
        (3, 64 / 3),  # published: film-editing user manual pp. 231-232, pattern 21/21/22
        (8, 8),  # derived
        (5, 12.8),  # published weakly: encyclopedia "film foot", 5 ft = 64 frames
    ],
)
def test_frames_in_a_foot(perforations: int, frames: float) -> None:
    assert footage.frames_per_foot(perforations) == pytest.approx(frames)


def test_three_feet_of_three_perforation_film_hold_64_frames() -> None:
    # published: film-editing user manual pp. 231-232; the pattern 21, 21, 22
    assert 3 * footage.frames_per_foot(3) == pytest.approx(21 + 21 + 22)


@pytest.mark.parametrize(
    ("gauge", "feet"),
    [
        ("35/4", 90),  # published weakly: specification of 35 mm film; "film foot"
        ("35/3", 67.5),  # derived
        ("35/8", 180),  # derived
        ("65/5", 112.5),  # derived
        ("16", 36),  # published weakly: "film foot"
    ],
)
def test_feet_a_minute_at_24(gauge: str, feet: float) -> None:
    assert footage.feet_per_minute(GAUGES[gauge]) == pytest.approx(feet)


@pytest.mark.parametrize(
    ("gauge", "feet", "seconds"),
    [
        # derived: feet x frames per foot / 24
        ("35/4", 400, 266.7),
        ("35/4", 1000, 666.7),  # specification of 35 mm film: "about 11 minutes"
        ("35/3", 400, 355.6),
        ("35/3", 1000, 888.9),
        ("35/8", 400, 133.3),
        ("35/8", 1000, 333.3),
        ("65/5", 400, 213.3),
        ("65/5", 1000, 533.3),
        ("16", 400, 666.7),
        ("16", 1000, 1666.7),
        ("16", 100, 166.7),
    ],
)
def test_running_time_of_a_roll(gauge: str, feet: float, seconds: float) -> None:
    assert footage.running_s(feet, GAUGES[gauge]) == pytest.approx(seconds, abs=0.05)


def test_a_minute_of_35_mm_measures_27_36_metres() -> None:
    # published weakly: projection page; 1440 x 19.00 mm; 90 nominal feet would be 27.43
    assert footage.tape_measure_m(24 * 60) == pytest.approx(27.36)


def test_a_metre_of_35_mm_holds_almost_53_frames() -> None:
    # published weakly: projection page; 1000 / 19.00 = 52.6
    assert 1 / footage.tape_measure_m(1) == pytest.approx(52.6, abs=0.05)
    assert footage.tape_measure_m(53) == pytest.approx(1, abs=0.01)


def test_ninety_minutes_are_2469_metres_by_the_foot() -> None:
    # published weakly: encyclopedia "film length"; 90 x 90 x 0.3048
    assert 90 * footage.feet_per_minute(16) * 0.3048 == pytest.approx(2469, abs=0.5)


# published weakly: worked film-maths conversions in a public text data set
def test_39_feet_14_and_1769_feet_7_make_1809_feet_5() -> None:
    total = footage.frame_count(footage.FeetFrames(39, 14))
    total += footage.frame_count(footage.FeetFrames(1769, 7))
    assert footage.feet_and_frames(total) == footage.FeetFrames(1809, 5)


def test_83_feet_38_of_16_mm_are_209_feet_14_of_35_mm() -> None:
    frames = footage.frame_count(footage.FeetFrames(83, 38), 40)
    assert footage.feet_and_frames(frames) == footage.FeetFrames(209, 14)


def test_36_feet_of_16_mm_are_90_feet_of_35_mm() -> None:
    # published weakly: worked film-maths conversions; 36 x 40 / 16
    assert footage.feet(36 * 40, 16) == 90


def test_last_frame_1827_feet_13_gives_length_1815_feet_14() -> None:
    # one frame more for counting both ends, less 12 ft of leader
    last = footage.frame_count(footage.FeetFrames(1827, 13))
    first = footage.frame_count(footage.FeetFrames(12, 0))
    length = footage.frames_inclusive(first, last)
    assert str(footage.feet_and_frames(length)) == "1815+14"


def test_four_film_frames_become_five_of_video() -> None:
    # published weakly: worked film-maths conversions
    assert footage.pulled_down_frames(4) == 5


def test_ninety_minutes_at_24_run_86_4_at_25() -> None:
    # derived: 90 x 24 / 25
    frames = 90 * 60 * 24
    assert footage.running_s(footage.feet(frames, 16), 16, 25) / 60 == pytest.approx(86.4)


@pytest.mark.parametrize(
    ("real_s", "fps", "screen_s"),
    [
        (1, 72, 3),  # published: film-school textbook chapter, DOI 10.4324/9780080547701-17
        (1, 96, 4),  # the same
        (1, 48, 2),  # derived, half speed
        (300, 1, 12.5),  # derived, 300 frames
    ],
)
def test_screen_time(real_s: float, fps: float, screen_s: float) -> None:
    assert footage.screen_s(real_s, fps) == screen_s


@pytest.mark.parametrize(
    ("frame", "code"),
    # derived: 1800 frames in the first minute, 1798 in the others, 17 982 in ten
    [
        (0, "00:00:00;00"),
        (1799, "00:00:59;29"),
        (1800, "00:01:00;02"),
        (3597, "00:01:59;29"),
        (3598, "00:02:00;02"),
        (17981, "00:09:59;29"),
        (17982, "00:10:00;00"),
        (107892, "01:00:00;00"),
        (2589407, "23:59:59;29"),
    ],
)
def test_drop_frame_table(frame: int, code: str) -> None:
    assert footage.drop_frame_code(frame) == code
    assert footage.drop_frame_number(code) == frame


def test_ten_minutes_of_drop_frame_hold_17982_frames() -> None:
    # published weakly: drop-frame explanation
    assert footage.drop_frame_number("00:10:00;00") == 17_982


def test_drop_frame_leaves_out_108_numbers_an_hour() -> None:
    # published weakly: drop-frame explanation
    assert footage.drop_frame_number("01:00:00;00") == 108_000 - 108


def test_after_12_38_59_29_comes_12_39_00_02() -> None:
    # published weakly: drop-frame explanation
    following = footage.drop_frame_number("12:38:59;29") + 1
    assert footage.drop_frame_code(following) == "12:39:00;02"


def test_an_hour_counted_without_dropping_is_3_6_seconds_long() -> None:
    # published weakly: drop-frame explanation; with dropping it is 3.6 ms short
    assert pytest.approx(3.6) == 108_000 / footage.DROP_FPS - 3600
    dropped = footage.drop_frame_number("01:00:00;00")
    assert (dropped / footage.DROP_FPS - 3600) * 1000 == pytest.approx(-3.6)


def test_drop_frame_goes_there_and_back_over_a_day() -> None:
    sampled = range(0, footage.DROP_FRAMES_PER_DAY, 97)
    codes = [footage.drop_frame_code(frame) for frame in sampled]
    assert [footage.drop_frame_number(code) for code in codes] == list(sampled)
    assert codes == sorted(set(codes))


@given(st.integers(0, footage.DROP_FRAMES_PER_DAY - 1))
def test_any_drop_frame_code_gives_its_frame_back(frame: int) -> None:
    assert footage.drop_frame_number(footage.drop_frame_code(frame)) == frame


@given(st.integers(0, 10**6), st.sampled_from([8, 16, 40]))
def test_feet_and_frames_go_there_and_back(frames: int, per_foot: int) -> None:
    assert footage.frame_count(footage.feet_and_frames(frames, per_foot), per_foot) == frames


def test_time_code_of_an_hour_at_24() -> None:
    assert footage.time_code(86400 + 25) == "01:00:01:01"  # derived: 24 x 3600 = 86 400


def test_loads_of_400_feet_after_waste() -> None:
    # derived: 385 ft x 16 = 6160 frames a load
    assert footage.loads(6160, 16, 400) == 1
    assert footage.loads(6161, 16, 400) == 2


def test_a_cut_of_120_with_handles_of_eight_is_136_frames() -> None:
    # common practice: 120 + 2 x 8
    assert footage.element_frames(120, 8) == 136
    assert footage.element_frames(121, 8, 0.5) == 69  # 68.5 rounded up


@pytest.mark.parametrize("code", ["00:01:00;00", "00:59:00;01", "1:00:00;00", "00:00:00:00"])
def test_a_code_that_does_not_exist_is_refused(code: str) -> None:
    with pytest.raises(ValueError, match="drop-frame"):
        footage.drop_frame_number(code)


def test_a_code_past_the_day_is_refused() -> None:
    with pytest.raises(ValueError, match="no time of day"):
        footage.drop_frame_number("24:00:00;00")
    with pytest.raises(ValueError, match="outside"):
        footage.drop_frame_code(footage.DROP_FRAMES_PER_DAY)


def test_a_length_with_too_many_frames_over_is_refused() -> None:
    with pytest.raises(ValueError, match="39\\+16 is no length"):
        footage.frame_count(footage.FeetFrames(39, 16))


def test_a_load_that_is_all_waste_is_refused() -> None:
    with pytest.raises(ValueError, match="leaves nothing"):
        footage.loads(100, 16, 15)


def test_a_last_frame_before_the_first_is_refused() -> None:
    with pytest.raises(ValueError, match="comes before"):
        footage.frames_inclusive(10, 9)
