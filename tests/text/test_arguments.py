"""Numbers typed for a formula, in the unit that each name ends in."""

from __future__ import annotations

import pytest

from planner.text.arguments import read_arguments, unit_of, without_unit


@pytest.mark.parametrize(
    ("typed", "name", "value"),
    [
        ("focal=50", "focal_mm", 50.0),  # bare: in the unit of the name
        ("focal=2in", "focal_mm", 50.8),  # 2 x 25.4
        ("subject=10 ft", "subject_m", 3.048),  # 10 x 0.3048
        ("subject_m=305 cm", "subject_m", 3.05),
        ("offset=-0.04", "offset_m", -0.04),  # the formula says whether that may be
        ("f_number=f/4", "f_number", 4.0),
        ("t-number=T2.8", "t_number", 2.8),
        ("scale_denominator=1/16", "scale_denominator", 16.0),
        ("light=200 fc", "light_foot_candles", 200.0),
        ("height=6 ft", "height_m", 1.8288),
        ("exposure=2 min", "exposure_s", 120.0),
        ("seconds=1/48", "seconds", 1 / 48),  # as a shutter's time is said
        ("exposure=1/50 s", "exposure_s", 0.02),
        ("exposure=20 ms", "exposure_s", 0.02),
        ("scale=1:9", "scale_denominator", 9.0),
        ("exp=100", "exposure_index", 100.0),  # the only name that begins so
        ("speed=3.6 km/h", "speed_mps", 1.0),
        ("width_px=2048 px", "width_px", 2048.0),
        ("width_px=0.5", "width_px", 0.5),
    ],
)
def test_is_read_in_the_unit_of_its_name(typed: str, name: str, value: float) -> None:
    values, wrong = read_arguments([typed], {name: "float"})
    assert wrong == ()
    assert values == {name: pytest.approx(value)}


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("focal=3 kg", "focal_mm: 3 kg is a mass, not a length; write one such as 3.6 m"),
        ("focal", "focal has no value; write NAME=VALUE, such as focal=8"),
        ("focla=3", "focla is not asked for; did you mean focal?"),
        ("frames=12.5", "frames: 12.5 is not a whole number"),
        ("frames=a few", "frames: a few is not a number"),
        ("f_number=T4", "f_number: T4 is the other sort of stop; `t-number` turns f into T"),
        ("locked=perhaps", "locked: perhaps is neither yes nor no"),
        ("slug=", "slug: nothing is written after ="),
        ("width_px=3 mm", "width_px: 3 mm is not a number, with or without px"),
        ("exposure=1/0", "exposure_s: 1/0 has a fraction in it"),
        (f"exposure=1{'0' * 400}/3", "exposure_s: 1000"),  # past what a float holds
        ("focal=1/48", "focal_mm: 1/48 "),  # a part of a unit is said of seconds only
        ("denominator=1/0.5", "denominator: 1/0.5 is 2 times full size; if that is meant write"),
    ],
)
def test_says_what_would_do(typed: str, says: str) -> None:
    wanted = {
        "focal_mm": "float",
        "frames": "int",
        "f_number": "float",
        "locked": "bool",
        "slug": "str",
        "width_px": "float",
        "denominator": "float",
        "exposure_s": "float",
    }
    _, wrong = read_arguments([typed], wanted, frozenset(wanted))
    assert len(wrong) == 1
    assert wrong[0].startswith(says)


def test_tells_everything_wrong_at_once() -> None:
    _, wrong = read_arguments(["fps=24", "fps=25", "x=1"], {"fps": "float", "angle_deg": "float"})
    assert wrong == ("fps is given twice", "x is not asked for", "angle_deg is not given")


def test_takes_no_short_form_that_could_mean_two() -> None:
    wanted = {"size_m": "float", "size_px": "float"}
    values, wrong = read_arguments(["size=3", "size_px=40"], wanted)
    assert values == {"size_px": 40.0}
    assert wrong == ("size is not asked for; did you mean size_m?", "size_m is not given")


def test_takes_no_beginning_that_two_names_have() -> None:
    _, wrong = read_arguments(["ga=3"], {"gain": "float", "gap_mm": "float"})
    assert wrong[0].startswith("ga is not asked for")


def test_shows_a_word_where_a_word_is_wanted() -> None:
    _, wrong = read_arguments(["flame"], {"hazard": "str"}, frozenset({"hazard"}))
    assert wrong == ("flame has no value; write NAME=VALUE, such as hazard=WORD",)


def test_knows_units_that_stand_first_in_a_name() -> None:
    assert unit_of("foot_candles_needed").sign == "fc"
    assert unit_of("t_number_allowed").mark == "T"
    assert unit_of("feet_per_minute").sign == ""  # feet in a minute are no feet


def test_leaves_a_name_without_unit_alone() -> None:
    assert without_unit("focal_mm") == "focal"
    assert without_unit("f_number") == "f_number"
    assert without_unit("frames_per_foot") == "frames_per_foot"
    assert unit_of("frames_per_foot").sign == ""
