"""Measures as people write them: the number in its canonical unit, or the clause that helps.

Conversions: inch 25.4 mm, foot 304.8 mm, pound 0.453 592 37 kg, exact (published: international
yard and pound agreement, 1959). Foot-candle 10.7639 lx (derived: a lumen on a square foot).
"""

from __future__ import annotations

import json
import math
from datetime import date, time
from decimal import Decimal
from importlib.resources import files

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.text.measures import (
    DIMENSIONS,
    Measure,
    read_clock,
    read_date,
    read_date_range,
    read_frames,
    read_measure,
    read_money,
    read_scale,
)


@pytest.mark.parametrize(
    ("written", "dimension", "value", "unit"),
    [
        ("28 mm", "length", 28, "mm"),
        ("28mm", "length", 28, "mm"),
        ("3.6 m", "length", 3600, "mm"),
        ("1.1 m", "length", 1100, "mm"),
        ("45 cm", "length", 450, "mm"),
        ("25 um", "length", 0.025, "mm"),
        ("25 µm", "length", 0.025, "mm"),
        ("1.2 km", "length", 1_200_000, "mm"),
        ("4 in", "length", 101.6, "mm"),
        ("12 ft", "length", 3657.6, "mm"),
        ("5 ft 6 in", "length", 1676.4, "mm"),  # 66 in x 25.4
        ("5' 6\"", "length", 1676.4, "mm"),
        (".5 m", "length", 500, "mm"),
        ("0 mm", "length", 0, "mm"),
        ("-0.4 m", "offset", -400, "mm"),
        ("−0.4 m", "offset", -400, "mm"),  # the typographer's minus
        ("-1 ft 6 in", "offset", -457.2, "mm"),  # one sign for the whole: -18 in
        ("2 m2", "area", 2, "m2"),
        ("100 ft2", "area", 9.290304, "m2"),
        ("22 deg", "angle", 22, "deg"),
        ("-22.5°", "angle", -22.5, "deg"),
        ("12 deg 30'", "angle", 12.5, "deg"),
        ("180 deg", "shutter", 180, "deg"),
        ("3.5 kg", "mass", 3.5, "kg"),
        ("250 g", "mass", 0.25, "kg"),
        ("10 lb", "mass", 4.5359237, "kg"),
        ("2 s", "duration", 2, "s"),
        ("40 min", "duration", 2400, "s"),
        ("1 h 30 min", "duration", 5400, "s"),
        ("2 days", "duration", 172_800, "s"),
        ("0.5 h", "hours", 0.5, "h"),
        ("1 h 30 min", "hours", 1.5, "h"),
        ("6 hours", "hours", 6, "h"),
        ("24 fps", "rate", 24, "fps"),
        ("23.976 fps", "rate", 23.976, "fps"),
        ("1.2 m/s", "speed", 1200, "mm/s"),
        ("18 km/h", "speed", 5000, "mm/s"),  # 5 m/s
        ("0.6 m/s2", "acceleration", 600, "mm/s2"),
        ("0.6 m/s²", "acceleration", 600, "mm/s2"),
        ("0.6 m/s^2", "acceleration", 600, "mm/s2"),
        ("4 m/s3", "jerk", 4000, "mm/s3"),
        ("4 m/s³", "jerk", 4000, "mm/s3"),
        ("4 m/s^3", "jerk", 4000, "mm/s3"),
        ("4000mm/s3", "jerk", 4000, "mm/s3"),
        ("300 deg/s3", "angular_jerk", 300, "deg/s3"),
        ("5 m32 cm", "length", 5320, "mm"),
        ("60 deg/s", "angular_speed", 60, "deg/s"),
        ("10 rpm", "angular_speed", 60, "deg/s"),  # 10 x 360 deg in 60 s
        ("90 deg/s2", "angular_acceleration", 90, "deg/s2"),
        ("2700 lx", "light", 2700, "lx"),
        ("f/8", "stop", 8, "f"),
        ("f5.6", "stop", 5.6, "f"),
        ("T2.8", "stop", 2.8, "T"),
        (8, "stop", 8, "f"),
        ("12 %", "share", 0.12, "1"),
        ("57%", "share", 0.57, "1"),
        (0.12, "share", 0.12, "1"),
        ("150 %", "share", 1.5, "1"),
        (8, "count", 8, "1"),
        ("8", "count", 8, "1"),
        (-1.1, "number", -1.1, "1"),
        ("2048 px", "pixels", 2048, "px"),
        (2048, "pixels", 2048, "px"),
        ("2 kW", "power", 2000, "W"),
        ("ND 0.9", "density", 0.9, "1"),
        ("ND0.9", "density", 0.9, "1"),
        (0.9, "density", 0.9, "1"),
        ("-1.5 stops", "stops", -1.5, "stops"),
        ("1 stop", "stops", 1, "stops"),
        ("80 lp/mm", "resolution", 80, "lp/mm"),
        (200, "exposure_index", 200, "1"),
        ("EI 200", "exposure_index", 200, "1"),
    ],
)
def test_a_measure_is_read_into_its_canonical_unit(
    written: str | float, dimension: str, value: float, unit: str
) -> None:
    assert read_measure(written, dimension) == Measure(value, unit)


def test_a_foot_candle_is_a_lumen_on_a_square_foot() -> None:
    light = read_measure("1 fc", "light")
    assert isinstance(light, Measure)
    assert light.value == pytest.approx(10.7639, abs=0.00005)


@pytest.mark.parametrize(
    ("written", "dimension", "clause"),
    [
        (28, "length", "28 has no unit; write one, as in 3.6 m"),
        ("28", "length", "28 has no unit; write one, as in 3.6 m"),
        (24.0, "rate", "24 has no unit; write one, as in 24 fps"),
        ("28 kg", "length", "28 kg is a mass, not a length; write one such as 3.6 m"),
        (
            "3 m/s",
            "angular_speed",
            "3 m/s is a speed, not a turning speed; write one such as 60 deg/s",
        ),
        (
            "28 furlongs",
            "length",
            (
                "28 furlongs: furlongs is no unit of length (mm, m, cm, um, km, in, ft);"
                " write one such as 3.6 m"
            ),
        ),
        (
            "28 MM",
            "length",
            "28 MM: MM is no unit of length (mm, m, cm, um, km, in, ft); write one such as 3.6 m",
        ),
        ("-3 m", "length", "-3 m is below zero, which a length cannot be"),
        ("-3.5 kg", "mass", "-3.5 kg is below zero, which a mass cannot be"),
        ("-2 s", "duration", "-2 s is below zero, which a duration cannot be"),
        ("-24 fps", "rate", "-24 fps is below zero, which a frame rate cannot be"),
        ("0 fps", "rate", "0 fps is zero, which a frame rate cannot be"),
        ("f/0", "stop", "f/0 is zero, which a stop cannot be"),
        ("400 deg", "shutter", "400 deg is more than 360 deg"),
        ("3,6 m", "length", "3,6 m has a comma in the number; write 3.6 m or leave the comma out"),
        ("1/2 in", "length", "1/2 in has a fraction in it; write a decimal, such as 3.6 m"),
        ("6 in 5 ft", "length", "6 in 5 ft adds up units out of order; write one such as 3.6 m"),
        ("3 m 3 m", "length", "3 m 3 m adds up units out of order; write one such as 3.6 m"),
        ("--3 m", "offset", "--3 m is not an offset; write one such as -0.4 m"),
        ("wide", "length", "wide is not a length; write one such as 3.6 m"),
        ("", "length", "nothing is not a length; write one such as 3.6 m"),
        (None, "length", "nothing is not a length; write one such as 3.6 m"),
        (True, "count", "true is not a whole number; write one such as 8"),
        (["3 m"], "length", "a list is not a length; write one such as 3.6 m"),
        ({}, "stop", "a mapping is not a stop; write one such as f/8"),
        ("eight", "stop", "eight is not a stop; write one such as f/8 or T8"),
        (8.5, "count", "8.5 is not a whole number"),
        ("8 rods", "count", "8 rods is not a whole number; write it without a unit, such as 8"),
        (12, "share", "12 is 12 times the whole; write 12 %"),
        (
            "2 days",
            "hours",
            "2 days: days of work differ in length; write hours, such as 8 h",
        ),
        (
            "2 work days",
            "duration",
            "2 work days: days of work differ in length; write hours, such as 8 h",
        ),
        ("1e308 km", "length", "1e308 km is not a finite number"),
        ("1e999", "number", "1e999 is not a finite number"),
        (math.inf, "number", "inf is not a number; write one such as 1.1"),
        (math.nan, "number", "nan is not a number; write one such as 1.1"),
    ],
)
def test_what_cannot_be_read_is_told_with_what_would_do(
    written: object, dimension: str, clause: str
) -> None:
    assert read_measure(written, dimension) == clause


def test_a_long_text_is_not_repeated_whole() -> None:
    clause = read_measure("rain\n" * 10_000, "length")
    assert isinstance(clause, str)
    assert clause.startswith("rain rain rain")
    assert len(clause) < 120
    assert "\n" not in clause


def test_one_and_true_are_not_confused_however_often_they_are_asked_for() -> None:
    for _ in range(2):
        assert read_measure(1, "count") == Measure(1, "1")
        assert isinstance(read_measure(True, "count"), str)


def test_an_unknown_dimension_is_a_programmers_mistake() -> None:
    with pytest.raises(KeyError):
        read_measure("1 m", "lengthh")


@given(st.text(max_size=30) | st.floats() | st.integers(), st.sampled_from(DIMENSIONS))
def test_anything_gives_a_finite_number_or_a_clause(written: str | float, dimension: str) -> None:
    read = read_measure(written, dimension)
    assert isinstance(read, str) or math.isfinite(read.value)


@given(st.text(st.sampled_from("0123456789.,-+/:' \"mftinkgdeg%fT"), max_size=12))
def test_every_reader_answers_near_misses_with_a_value_or_a_clause(written: str) -> None:
    for dimension in DIMENSIONS:
        assert isinstance(read_measure(written, dimension), Measure | str)
    for reader in (read_scale, read_frames, read_money, read_date, read_date_range, read_clock):
        assert reader(written) is not None


@given(st.decimals(0, 10**6, places=3), st.sampled_from([("mm", 1), ("cm", 10), ("m", 1000)]))
def test_a_length_is_the_float_nearest_to_what_was_written(
    number: Decimal, unit: tuple[str, int]
) -> None:
    assert read_measure(f"{number} {unit[0]}", "length") == Measure(float(number * unit[1]), "mm")


def test_each_example_in_the_schema_of_facts_can_be_read() -> None:
    facts = json.loads((files("planner_schemas") / "facts.json").read_text())["$defs"]
    measured = [fact for fact in facts.values() if fact.get("measure") in DIMENSIONS]
    assert len(measured) > 15
    for fact in measured:
        for example in fact["examples"]:
            assert isinstance(read_measure(example, fact["measure"]), Measure), example


@pytest.mark.parametrize(
    ("written", "denominator"),
    [
        ("1/24", 24),
        ("1:24", 24),
        ("1 : 24", 24),
        ("1/1", 1),
        ("1:87.1", 87.1),
        ("2/3", 1.5),
        ("4/1", 0.25),  # four times full size
        ("2:1", 0.5),  # as every page writes what is twice full size
    ],
)
def test_a_scale_is_read_as_its_denominator(written: str, denominator: float) -> None:
    assert read_scale(written) == denominator


@pytest.mark.parametrize(
    ("written", "clause"),
    [
        (3, "3 is 3 times full size; write 1/3 or 1:3"),
        ("24", "24 is 24 times full size; write 1/24 or 1:24"),
        (1, "1 is not clear as a scale; write 1/1 for full size"),
        (0.25, "0.25 is not written as a ratio; write 1/4 or 1:4"),
        (-3, "-3 is not a scale; write one such as 1/24 or 1:24"),
        (True, "true is not a scale; write one such as 1/24 or 1:24"),
        ("quarter", "quarter is not a scale; write one such as 1/24 or 1:24"),
        ("1/0", "1/0 is not a scale: neither side may be zero; write one such as 1/24"),
        ("1/1e400", "1/1e400 is not a scale: neither side may be endless; write one such as 1/24"),
        ("", "nothing is not a scale; write one such as 1/24 or 1:24"),
        # 1 / 0.554 = 1.80505
        ("1/0.554", "1/0.554 is 1.805 times full size; if that is meant write 1.805/1"),
        # As drawings say it: a quarter of an inch for 12 inches is 1 for 48, 3 inches 1 for 4.
        ("1/4 in", "1/4 in is a length; if it stands for a foot, write 1/48"),
        ('1/4"', '1/4" is a length; if it stands for a foot, write 1/48'),
        ("3 in = 1 ft", "3 in = 1 ft is a length; if it stands for a foot, write 1/4"),
        ("0 in", "0 in is not a scale; write one such as 1/24 or 1:24"),
    ],
)
def test_a_bare_number_is_no_scale(written: object, clause: str) -> None:
    assert read_scale(written) == clause


@pytest.mark.parametrize(
    ("written", "frames"),
    [
        ("60-112", (60, 112)),
        ("60 - 112", (60, 112)),
        ("60–112", (60, 112)),
        (96, (96, 96)),
        ("96", (96, 96)),
        ("96-96", (96, 96)),
        ("112-60", "112-60 runs backwards; write 60-112"),
        (-3, "-3 is not a range of frames; write one such as 60-112, whole numbers"),
        (9.5, "9.5 is not a range of frames; write one such as 60-112, whole numbers"),
        (True, "true is not a range of frames; write one such as 60-112, whole numbers"),
    ],
)
def test_frames_are_a_range_with_both_ends_or_one_frame(
    written: object, frames: tuple[int, int] | str
) -> None:
    assert read_frames(written) == frames


@pytest.mark.parametrize(
    ("written", "money"),
    [
        ("4200 GBP", (Decimal(4200), "GBP")),
        ("38.50 GBP", (Decimal("38.50"), "GBP")),
        ("4,200 GBP", (Decimal(4200), "GBP")),
        ("4 200 GBP", (Decimal(4200), "GBP")),
        ("1,234,567.89 EUR", (Decimal("1234567.89"), "EUR")),
        ("4200", "4200 has no currency; write 4200 and its code, such as 4200 GBP"),
        (4200, "4200 has no currency; write 4200 and its code, such as 4200 GBP"),
        ("1,23 GBP", "1,23 GBP is not a sum of money; write one such as 4200 GBP or 38.50 GBP"),
        ("£4200", "£4200 is not a sum of money; write one such as 4200 GBP or 38.50 GBP"),
        ("-3 GBP", "-3 GBP is below zero; write a sum such as 4200 GBP"),
    ],
)
def test_money_is_exact_and_names_its_currency(
    written: object, money: tuple[Decimal, str] | str
) -> None:
    assert read_money(written) == money


def test_money_never_passes_through_a_float() -> None:
    # The nearest float to this sum is 90071992547409.94.
    assert read_money("90071992547409.93 GBP") == (Decimal("90071992547409.93"), "GBP")


@pytest.mark.parametrize(
    ("written", "day"),
    [
        ("2027-03-01", date(2027, 3, 1)),
        ("2027-02-29", "2027-02-29 is no day of the calendar"),
        ("1/3/2027", "1/3/2027 is not a date; write year-month-day, such as 2027-03-01"),
        (20270301, "20270301 is not a date; write year-month-day, such as 2027-03-01"),
        ("2027-W09-1", "2027-W09-1 is not a date; write year-month-day, such as 2027-03-01"),
    ],
)
def test_a_date_is_year_month_day(written: object, day: date | str) -> None:
    assert read_date(written) == day


@pytest.mark.parametrize(
    ("written", "days"),
    [
        ("2027-04-12..2027-04-15", (date(2027, 4, 12), date(2027, 4, 15))),
        ("2027-04-12 .. 2027-04-15", (date(2027, 4, 12), date(2027, 4, 15))),
        ("2027-04-12", (date(2027, 4, 12), date(2027, 4, 12))),
        (
            "2027-04-15..2027-04-12",
            "2027-04-15..2027-04-12 runs backwards; write 2027-04-12..2027-04-15",
        ),
        ("2027-04-31..2027-05-02", "2027-04-31 is no day of the calendar"),
        ("2027-04-12..", "nothing is not a date; write year-month-day, such as 2027-03-01"),
        (
            "April",
            (
                "April is not a date; write year-month-day, such as 2027-03-01,"
                " or a range, 2027-04-12..2027-04-15"
            ),
        ),
    ],
)
def test_a_range_of_dates_counts_both_days(written: object, days: tuple[date, date] | str) -> None:
    assert read_date_range(written) == days


@pytest.mark.parametrize(
    ("written", "clock"),
    [
        ("08:30", time(8, 30)),
        ("8:30", time(8, 30)),
        ("23:59", time(23, 59)),
        ("24:00", "24:00 is not a time of day; write one such as 08:30"),
        ("08:60", "08:60 is not a time of day; write one such as 08:30"),
        (510, "510 is not a time of day; write one such as 08:30"),
    ],
)
def test_a_time_of_day_is_on_the_24_hour_clock(written: object, clock: time | str) -> None:
    assert read_clock(written) == clock
