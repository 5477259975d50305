"""Measures, scales, frames, money and dates as people write them.

Takes text (or the number YAML made of it), gives values in canonical units, or a short clause
saying what is wrong and what would do, fit to stand after ``file:line:column:``. Knows nothing of
files, places or standing; a lone `?` is the caller's to handle.

Nothing is guessed: a bare number where a unit is needed, a decimal comma, a day of unknown length
are all refused with the spelling that would do.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from datetime import date, time
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class Measure:
    """A number in the canonical unit of its dimension; for a stop the unit is `f` or `T`."""

    value: float
    unit: str


@dataclass(frozen=True, slots=True)
class _Dimension:
    """How one sort of measure is written.

    Attributes:
        noun: with its article, as in "28 kg is no …".
        units: what one of each unit is in the canonical unit, which comes first.
        example: as a person writes it.
        may_be_bare: a number without a unit is in the canonical unit.
        prefixes: words that may stand before the number instead.
        low: smallest value allowed.
        may_be_low: whether `low` itself is allowed.
        high: largest value allowed.
        is_whole: only whole numbers.
        hints: for units one may expect, why they are not taken.
    """

    noun: str
    units: Mapping[str, Fraction]
    example: str
    may_be_bare: bool = False
    prefixes: tuple[str, ...] = ()
    low: float = 0.0
    may_be_low: bool = True
    high: float = math.inf
    is_whole: bool = False
    hints: Mapping[str, str] | None = None

    @property
    def unit(self) -> str:
        return next(iter(self.units))


# Exact by definition: inch 25.4 mm, pound 0.453 592 37 kg (international yard and pound, 1959).
_FOOT, _INCH, _POUND = Fraction("304.8"), Fraction("25.4"), Fraction("0.45359237")
_ONE, _THOUSAND = Fraction(1), Fraction(1000)
_LENGTHS = {
    "mm": _ONE,
    "m": _THOUSAND,
    "cm": Fraction(10),
    "um": Fraction(1, 1000),
    "km": Fraction(10**6),
    "in": _INCH,
    "ft": _FOOT,
    '"': _INCH,
    "'": _FOOT,
}
_ANGLES = {"deg": _ONE, "'": Fraction(1, 60), '"': Fraction(1, 3600)}
_DAYS_OF_WORK = "days of work differ in length; write hours, such as 8 h"
_DAYS = dict.fromkeys(("d", "day", "days", "work day", "work days", "workdays"), _DAYS_OF_WORK)

_DIMENSIONS: Mapping[str, _Dimension] = {
    "length": _Dimension("a length", _LENGTHS, "3.6 m"),
    "offset": _Dimension("an offset", _LENGTHS, "-0.4 m", low=-math.inf),
    "area": _Dimension(
        "an area",
        {
            "m2": _ONE,
            "cm2": Fraction(1, 10**4),
            "mm2": Fraction(1, 10**6),
            "ft2": (_FOOT / 1000) ** 2,
        },
        "12 m2",
    ),
    "angle": _Dimension("an angle", _ANGLES, "22 deg", low=-math.inf),
    "shutter": _Dimension(
        "a shutter angle", {"deg": _ONE}, "180 deg", may_be_low=False, high=360.0
    ),
    "mass": _Dimension(
        "a mass",
        {"kg": _ONE, "g": Fraction(1, 1000), "t": _THOUSAND, "lb": _POUND, "oz": _POUND / 16},
        "3.5 kg",
    ),
    "duration": _Dimension(
        "a duration",
        {
            "s": _ONE,
            "min": Fraction(60),
            "h": Fraction(3600),
            "day": Fraction(86400),
            "days": Fraction(86400),
        },
        "40 min",
        hints={unit: why for unit, why in _DAYS.items() if unit not in {"day", "days"}},
    ),
    "hours": _Dimension(
        "a time of work",
        {"h": _ONE, "hour": _ONE, "hours": _ONE, "min": Fraction(1, 60)},
        "0.5 h",
        hints=_DAYS,
    ),
    "rate": _Dimension("a frame rate", {"fps": _ONE}, "24 fps", may_be_low=False),
    "speed": _Dimension(
        "a speed",
        {
            "mm/s": _ONE,
            "m/s": _THOUSAND,
            "cm/s": Fraction(10),
            "km/h": Fraction(10**6, 3600),
            "in/s": _INCH,
            "ft/s": _FOOT,
        },
        "1.2 m/s",
    ),
    "acceleration": _Dimension(
        "an acceleration",
        {"mm/s2": _ONE, "m/s2": _THOUSAND, "cm/s2": Fraction(10), "in/s2": _INCH, "ft/s2": _FOOT},
        "0.6 m/s2",
    ),
    "angular_speed": _Dimension(
        "a turning speed",
        {"deg/s": _ONE, "rpm": Fraction(6), "deg/min": Fraction(1, 60)},
        "60 deg/s",
    ),
    "angular_acceleration": _Dimension("a turning acceleration", {"deg/s2": _ONE}, "90 deg/s2"),
    "jerk": _Dimension("a change of acceleration", {"mm/s3": _ONE, "m/s3": _THOUSAND}, "2 m/s3"),
    "angular_jerk": _Dimension("a change of turning acceleration", {"deg/s3": _ONE}, "300 deg/s3"),
    # A foot-candle is a lumen on a square foot.
    "light": _Dimension(
        "a light level", {"lx": _ONE, "fc": 1 / (_FOOT / 1000) ** 2, "klx": _THOUSAND}, "250 fc"
    ),
    "share": _Dimension("a share", {"1": _ONE, "%": Fraction(1, 100)}, "12 %", may_be_bare=True),
    "count": _Dimension("a whole number", {"1": _ONE}, "8", may_be_bare=True, is_whole=True),
    "number": _Dimension("a number", {"1": _ONE}, "1.1", may_be_bare=True, low=-math.inf),
    "pixels": _Dimension(
        "a number of pixels", {"px": _ONE}, "2048 px", may_be_bare=True, is_whole=True
    ),
    "power": _Dimension("a power", {"W": _ONE, "kW": _THOUSAND}, "2000 W"),
    "density": _Dimension("a density", {"ND": _ONE}, "ND 0.9", may_be_bare=True, prefixes=("ND",)),
    "stops": _Dimension(
        "a number of stops",
        {"stops": _ONE, "stop": _ONE},
        "1.5 stops",
        may_be_bare=True,
        low=-math.inf,
    ),
    "resolution": _Dimension("a resolving power", {"lp/mm": _ONE}, "80 lp/mm"),
    "exposure_index": _Dimension(
        "an exposure index",
        {"EI": _ONE},
        "200",
        may_be_bare=True,
        prefixes=("EI",),
        may_be_low=False,
    ),
}
DIMENSIONS = (*_DIMENSIONS, "stop")

_CANONICAL_UNITS = {"share": "1", "density": "1", "exposure_index": "1"}
_SPELLINGS = str.maketrans(
    {"−": "-", "°": "deg", "²": "2", "³": "3", "µ": "u", "μ": "u", "′": "'", "″": '"'}
)
_DIGITS = r"[0-9]{1,30}(?:\.[0-9]{0,30})?(?:[eE][-+]?[0-9]{1,3})?|\.[0-9]{1,30}"
_BARE = re.compile(rf"([-+]?)({_DIGITS})").fullmatch
_PART = re.compile(rf"({_DIGITS})\s*([^\d\s.,/:-][^\d,]*?(?:2|(?<=/s)3)?)(?=\s*[\d.]|\s*\Z)\s*")
_FRACTION = re.compile(r"[0-9]/[0-9]").search
_COMMA = re.compile(r"[0-9],[0-9]").search
_STOP = re.compile(r"(?:([fFtT])\s*/?\s*)?([0-9]{1,4}(?:\.[0-9]{1,4})?)").fullmatch
_SCALE = re.compile(rf"({_DIGITS})\s*[/:]\s*({_DIGITS})").fullmatch
_INCHES = re.compile(
    rf"({_DIGITS})(?:/({_DIGITS}))?\s*(?:in|inch|inches|\")(?:\s*(?:=|to)\s*(?:1\s*)?(?:the\s+|a\s+)?"
    r"(?:ft|foot|'))?"
).fullmatch
_FRAMES = re.compile(r"([0-9]{1,9})(?:\s*[-–]\s*([0-9]{1,9}))?").fullmatch
_MONEY = re.compile(
    r"([0-9]{1,3}(?:[, \u00a0\u202f][0-9]{3}){1,5}|[0-9]{1,18})(\.[0-9]{1,4})?\s*([A-Z]{3})"
).fullmatch
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}").fullmatch
_CLOCK = re.compile(r"([0-9]{1,2}):([0-9]{2})").fullmatch

_LONGEST = 60  # characters
_CACHE = 16_384  # distinct spellings in a large show; most are written many times


def read_measure(written: object, dimension: str) -> Measure | str:
    """A measure in its canonical unit, or what is wrong with it.

    Args:
        written: text such as ``28 mm`` or ``5 ft 6 in``, or a bare number.
        dimension: one of `DIMENSIONS`.

    Returns:
        The measure: mm, deg, kg, s, h (for ``hours``), fps, mm/s, mm/s2, mm/s3, deg/s, deg/s2,
        deg/s3, lx, m2, px, W, lp/mm, stops, f or T (for ``stop``), 1; or a clause saying what would
        do.

    Raises:
        KeyError: no such dimension; a programmer's mistake.
    """
    if isinstance(written, str):
        return _read_written(written, dimension)
    if isinstance(written, bool) or not isinstance(written, int | float):
        noun, example = _wanted(dimension)
        return f"{_shown(written)} is not {noun}; write one such as {example}"
    return _read_text(_shown(written), dimension)


@lru_cache(maxsize=_CACHE)
def _read_written(written: str, dimension: str) -> Measure | str:
    return _read_text(_shown(written), dimension)


@lru_cache(maxsize=_CACHE)
def _read_text(text: str, dimension: str) -> Measure | str:
    if dimension == "stop":
        return _read_stop(text)
    wanted = _DIMENSIONS[dimension]
    tidy = text.translate(_SPELLINGS).replace("^2", "2").replace("^3", "3").strip()
    for prefix in wanted.prefixes:
        tidy = tidy.removeprefix(prefix).strip()
    bare = _BARE(tidy)
    if bare:
        if not wanted.may_be_bare:
            return f"{text} has no unit; write one, as in {wanted.example}"
        value: float | str = _number(Fraction(tidy))
        if dimension == "share" and float(tidy) > 1:
            return f"{text} is {text} times the whole; write {text} %"
    else:
        value = _sum_of_parts(text, tidy, wanted)
    if isinstance(value, str):
        return value
    return _within(text, value, wanted) or Measure(
        value, _CANONICAL_UNITS.get(dimension, wanted.unit)
    )


def _sum_of_parts(text: str, tidy: str, wanted: _Dimension) -> float | str:
    """``5 ft 6 in``: parts in ever smaller units, one sign before all of them."""
    rest = tidy[1:] if tidy.startswith(("+", "-")) else tidy
    total, smallest, position = Fraction(), math.inf, 0
    while position < len(rest):
        part = _PART.match(rest, position)
        if part is None:
            return _not_read(text, wanted)
        unit = " ".join(part.group(2).split())
        size = wanted.units.get(unit)
        if size is None or unit == "1":
            return _wrong_unit(text, unit, wanted)
        if size >= smallest:
            return f"{text} adds up units out of order; write one such as {wanted.example}"
        total += Fraction(part.group(1)) * size
        smallest, position = float(size), part.end()
    if not position:
        return _not_read(text, wanted)
    return _number(-total if tidy.startswith("-") else total)


def _number(exact: Fraction) -> float:
    """The nearest float, so that 57 % is 0.57 and not one bit more; infinity past the largest."""
    try:
        return float(exact)
    except OverflowError:
        return math.inf if exact > 0 else -math.inf


def _not_read(text: str, wanted: _Dimension) -> str:
    if _COMMA(text):
        point = text.replace(",", ".")
        return f"{text} has a comma in the number; write {point} or leave the comma out"
    if _FRACTION(text):
        return f"{text} has a fraction in it; write a decimal, such as {wanted.example}"
    return f"{text or 'nothing'} is not {wanted.noun}; write one such as {wanted.example}"


def _wrong_unit(text: str, unit: str, wanted: _Dimension) -> str:
    if wanted.hints and unit in wanted.hints:
        return f"{text}: {wanted.hints[unit]}"
    other = next((each for each in _DIMENSIONS.values() if unit in each.units), None)
    if other is not None:
        return f"{text} is {other.noun}, not {wanted.noun}; write one such as {wanted.example}"
    known = [each for each in wanted.units if each.isalnum() or "/" in each or each == "%"]
    if known == ["1"]:
        return f"{text} is not {wanted.noun}; write it without a unit, such as {wanted.example}"
    units = ", ".join(each for each in known if each != "1")
    article = wanted.noun.removeprefix("a ").removeprefix("an ")
    return f"{text}: {unit} is no unit of {article} ({units}); write one such as {wanted.example}"


def _within(text: str, value: float, wanted: _Dimension) -> str:
    """Why the value cannot be, or nothing."""
    if not math.isfinite(value):
        return f"{text} is not a finite number"
    if value < wanted.low or (value == wanted.low and not wanted.may_be_low):
        limit = "below zero" if value < 0 else "zero"
        return f"{text} is {limit}, which {wanted.noun} cannot be"
    if value > wanted.high:
        return f"{text} is more than {wanted.high:g} {wanted.unit}"
    if wanted.is_whole and value != math.floor(value):
        return f"{text} is not a whole number"
    return ""


def _read_stop(text: str) -> Measure | str:
    found = _STOP(text)
    if found is None:
        return f"{text or 'nothing'} is not a stop; write one such as f/8 or T8"
    value = float(found.group(2))
    if value == 0:
        return f"{text} is zero, which a stop cannot be"
    return Measure(value, "T" if (found.group(1) or "f") in "tT" else "f")


def _wanted(dimension: str) -> tuple[str, str]:
    if dimension == "stop":
        return "a stop", "f/8"
    return _DIMENSIONS[dimension].noun, _DIMENSIONS[dimension].example


def _shown(written: object) -> str:
    """A value as a person would write it, on one line, and short.

    Whatever is cut short here is far too long to be read as anything, and ends in a character that
    keeps it so.
    """
    if isinstance(written, bool):
        return "true" if written else "false"
    if isinstance(written, list | dict):
        return "a list" if isinstance(written, list) else "a mapping"
    if written is None:
        return "nothing"
    text = f"{written:.15g}" if isinstance(written, float) else " ".join(str(written).split())
    return text if len(text) <= _LONGEST else f"{text[:_LONGEST]}…"


def read_scale(written: object) -> float | str:
    """Denominator N of a scale 1:N, dimensionless.

    Args:
        written: ``1/24`` or ``1:24``; ``1/1`` is full size; ``3/1`` is three times full size. A
            bare number is refused, as people write 3 and mean a third; so is ``1/0.5``.

    Returns:
        N (24.0; a third for ``3/1``), or a clause saying what would do.
    """
    text = _shown(written)
    ratio = _SCALE(text)
    if ratio:
        ours, full = float(ratio.group(1)), float(ratio.group(2))
        if 0 < ours < math.inf and 1 <= full < math.inf:
            return full / ours
        if 0 < full < 1 and 0 < ours / full < math.inf:
            # Written so it is more often a slip than a thing made larger than it is.
            larger = f"{ours / full:.4g}"
            return f"{text} is {larger} times full size; if that is meant write {larger}/1"
        wrong = "zero" if min(ours, full) == 0 else "endless"
        return f"{text} is not a scale: neither side may be {wrong}; write one such as 1/24"
    return _to_the_foot(text) or _bare_scale(text)


def _to_the_foot(text: str) -> str:
    """What to write for ``1/4 in``, as drawings give a scale; nothing where it is no such thing."""
    inches = _INCHES(text)
    if inches is None:
        return ""
    drawn, over = float(inches.group(1)), float(inches.group(2) or 1)
    if not (0 < drawn < math.inf and 0 < over < math.inf):
        return ""
    return f"{text} is a length; if it stands for a foot, write 1/{12 * over / drawn:.4g}"


def _bare_scale(text: str) -> str:
    value = float(text) if _BARE(text) else 0.0
    if not 0 < value < math.inf:
        return f"{text or 'nothing'} is not a scale; write one such as 1/24 or 1:24"
    if value == 1:
        return "1 is not clear as a scale; write 1/1 for full size"
    if value < 1:
        return f"{text} is not written as a ratio; write 1/{1 / value:.4g} or 1:{1 / value:.4g}"
    return f"{text} is {text} times full size; write 1/{text} or 1:{text}"


def read_frames(written: object) -> tuple[int, int] | str:
    """First and last frame, both counted, of ``60-112``, ``96`` or 96; or what would do."""
    text = _shown(written)
    found = None if isinstance(written, bool) else _FRAMES(text)
    if found is None:
        return f"{text} is not a range of frames; write one such as 60-112, whole numbers"
    first = int(found.group(1))
    last = int(found.group(2) or first)
    if last < first:
        return f"{text} runs backwards; write {last}-{first}"
    return first, last


def read_money(written: object) -> tuple[Decimal, str] | str:
    """Exact amount and ISO 4217 code of ``4200 GBP``, ``4,200 GBP`` or ``38.50 GBP``."""
    text = _shown(written)
    found = _MONEY(text)
    if found:
        whole, fraction, code = found.groups()
        return Decimal(re.sub(r"\D", "", whole) + (fraction or "")), code
    if text.startswith(("-", "−")):
        return f"{text} is below zero; write a sum such as 4200 GBP"
    if _BARE(text):
        return f"{text} has no currency; write {text} and its code, such as {text} GBP"
    return f"{text or 'nothing'} is not a sum of money; write one such as 4200 GBP or 38.50 GBP"


def read_date(written: object) -> date | str:
    """A day written year-month-day, or what would do."""
    text = _shown(written)
    if not _DATE(text):
        return f"{text or 'nothing'} is not a date; write year-month-day, such as 2027-03-01"
    try:
        return date.fromisoformat(text)
    except ValueError:
        return f"{text} is no day of the calendar"


def read_date_range(written: object) -> tuple[date, date] | str:
    """First and last day, both counted, of ``2027-04-12..2027-04-15`` or of a single date."""
    text = _shown(written)
    if ".." not in text:
        day = read_date(text)
        if isinstance(day, str):
            return day if _DATE(text) else f"{day}, or a range, 2027-04-12..2027-04-15"
        return day, day
    first_text, _, last_text = text.partition("..")
    first, last = read_date(first_text), read_date(last_text)
    if isinstance(first, str):
        return first
    if isinstance(last, str):
        return last
    if last < first:
        return f"{text} runs backwards; write {last}..{first}"
    return first, last


def read_clock(written: object) -> time | str:
    """A time of day on the 24-hour clock, ``08:30``, or what would do."""
    text = _shown(written)
    found = _CLOCK(text)
    hour, minute = (int(each) for each in found.groups()) if found else (99, 0)
    if hour > 23 or minute > 59:
        return f"{text or 'nothing'} is not a time of day; write one such as 08:30"
    return time(hour, minute)
