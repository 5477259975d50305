"""The numbers a formula asks for, as a person types them: ``focal=50mm``, ``f_number=f/4``.

Takes words of the form ``NAME=VALUE`` and the names wanted, gives values in the unit that each name
ends in (``subject_m`` is metres), or a sentence for every word that will not do. A number without
a unit is in that unit already. Knows nothing of formulas.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING

from planner.text.measures import read_measure, read_scale

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

Value = float | int | bool | str


@dataclass(frozen=True, slots=True)
class Unit:
    """What the last part of a name says of its number.

    Attributes:
        sign: of the unit, as printed after a number.
        dimension: by which a value with a unit is read; empty where only `sign` itself may follow.
        size: one of this unit in the canonical unit of `dimension`.
        mark: what is printed before the number: of stops, ``f/`` or ``T``.
    """

    sign: str
    dimension: str = ""
    size: float = 1.0
    mark: str = ""


# A foot and a foot-candle by definition: 304.8 mm, one lumen on a square foot.
UNITS: Mapping[str, Unit] = {
    "mm": Unit("mm", "length"),
    "m": Unit("m", "length", 1000.0),
    "ft": Unit("ft", "length", 304.8),
    "feet": Unit("ft", "length", 304.8),
    "m2": Unit("m2", "area"),
    "deg": Unit("deg", "angle"),
    "s": Unit("s", "duration"),
    "seconds": Unit("s", "duration"),
    "fps": Unit("fps", "rate"),
    "mps": Unit("m/s", "speed", 1000.0),
    "mps2": Unit("m/s2", "acceleration", 1000.0),
    "kg": Unit("kg", "mass"),
    "lux": Unit("lx", "light"),
    "foot_candles": Unit("fc", "light", 1 / 0.3048**2),
    "f_number": Unit("", "stop", mark="f/"),
    "t_number": Unit("", "stop", mark="T"),
    "index": Unit("", "exposure_index"),
    "density": Unit("", "density"),
    "stops": Unit("stops", "stops"),
    "px": Unit("px"),
    "nm": Unit("nm"),
    "gpa": Unit("GPa"),
    "n": Unit("N"),
    "lux_s": Unit("lx s"),
    "cd_m2": Unit("cd/m2"),
}
# With these a name may begin as well: `foot_candles_needed`, `t_number_allowed`.
_LEADING = ("foot_candles", "t_number", "f_number", "lux", "stops")
_DENOMINATOR = "denominator"
_NUMBER = re.compile(r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]{1,3})?").fullmatch
_PART = re.compile(r"([0-9]{1,9})/([0-9]{0,8}[1-9][0-9]{0,8})").fullmatch
_MILLISECONDS = re.compile(r"([0-9]+\.?[0-9]*|\.[0-9]+) *ms").fullmatch
_TRUTHS = {"yes": True, "true": True, "no": False, "false": False}


def unit_of(name: str) -> Unit:
    """The unit that the end of a name tells of, or its beginning; without one where none does."""
    parts = name.split("_")
    ends = ("_".join(parts[i:]) for i in range(len(parts)))
    told = (*ends, *(each for each in _LEADING if name.startswith(f"{each}_")))
    return next((UNITS[each] for each in told if each in UNITS), Unit(""))


def without_unit(name: str) -> str:
    """``focal`` for ``focal_mm``, ``scale`` for ``scale_denominator``: a name as people say it."""
    if name.endswith(f"_{_DENOMINATOR}"):
        return name.removesuffix(f"_{_DENOMINATOR}")
    parts = name.split("_")
    ends = ((i, "_".join(parts[i:])) for i in range(1, len(parts)))
    return next(("_".join(parts[:i]) for i, end in ends if UNITS.get(end, Unit("")).sign), name)


def read_arguments(
    words: Sequence[str],
    wanted: Mapping[str, str],
    optional: frozenset[str] = frozenset(),
    examples: Mapping[str, str] | None = None,
) -> tuple[dict[str, Value], tuple[str, ...]]:
    """Values by full name, and a sentence for every word that will not do.

    Args:
        words: as typed, ``NAME=VALUE``; the unit at the end of a name may be left out, and so may
            the end of a name with which only one begins.
        wanted: ``float``, ``int``, ``bool`` or ``str``, by full name.
        optional: names that may be left out.
        examples: a value by full name, for hints; of what is left out, ``8``.

    Returns:
        Values in the units of their names; nothing is left out silently: what is wanted and was
        not given is among the sentences.
    """
    spoken = _spoken(wanted)
    values: dict[str, Value] = {}
    wrong: list[str] = []
    for word in words:
        typed, equals, text = word.partition("=")
        name = _meant(typed.strip().replace("-", "_").lower(), spoken)
        if not equals:
            wrong.append(_without_value(word, wanted, examples or {}))
        elif name is None:
            wrong.append(_unknown(typed, spoken))
        elif name in values:
            wrong.append(f"{name} is given twice")
        else:
            value = _read(text.strip(), name, wanted[name])
            if isinstance(value, _Refusal):
                wrong.append(f"{name}: {value}")
            values[name] = value
    lacking = [name for name in wanted if name not in values and name not in optional]
    return values, (*wrong, *(f"{name} is not given" for name in lacking))


def _spoken(wanted: Iterable[str]) -> dict[str, str]:
    """Full names by what may be typed for them; a short form that could mean two means neither."""
    short = Counter(without_unit(name) for name in wanted)
    return {
        typed: name
        for name in wanted
        for typed in (without_unit(name), name)
        if typed == name or short[typed] == 1
    }


def _meant(typed: str, spoken: Mapping[str, str]) -> str | None:
    """The full name of what was typed, whole or as far as it takes to tell one from the others."""
    begun = {name for name in spoken.values() if typed and name.startswith(typed)}
    return spoken.get(typed) or (begun.pop() if len(begun) == 1 else None)


class _Refusal(str):
    """A clause that says what would do; text itself may be a value."""

    __slots__ = ()


def _without_value(word: str, wanted: Mapping[str, str], examples: Mapping[str, str]) -> str:
    name = next(iter(wanted), "fps")
    example = examples.get(name, "WORD" if wanted.get(name) == "str" else "8")
    shown = without_unit(name)
    return f"{word} has no value; write NAME=VALUE, such as {shown}={example}"


def _unknown(typed: str, spoken: Mapping[str, str]) -> str:
    near = get_close_matches(typed, spoken, n=1)
    return f"{typed} is not asked for" + (f"; did you mean {near[0]}?" if near else "")


def _read(text: str, name: str, sort: str) -> Value | _Refusal:
    if sort == "str":
        return text or _Refusal("nothing is written after =")
    if sort == "bool":
        given = _TRUTHS.get(text.lower())
        return _Refusal(f"{text} is neither yes nor no") if given is None else given
    number = float(text) if _NUMBER(text) else _with_unit(text, name)
    if isinstance(number, _Refusal):
        return number
    if not math.isfinite(number):
        return _Refusal(f"{text} is not a finite number")
    if sort == "float":
        return number
    return int(number) if number == int(number) else _Refusal(f"{text} is not a whole number")


def _with_unit(text: str, name: str) -> float | _Refusal:
    if name.endswith(_DENOMINATOR):
        scale = read_scale(text)
        return _Refusal(scale) if isinstance(scale, str) else scale
    unit = unit_of(name)
    if unit.dimension == "duration" and (seconds := _short_seconds(text)) is not None:
        return seconds / unit.size
    if unit.dimension:
        measure = read_measure(text, unit.dimension)
        if isinstance(measure, str):
            return _Refusal(measure)
        if unit.dimension == "stop" and measure.unit != unit.mark.removesuffix("/"):
            return _Refusal(f"{text} is the other sort of stop; `t-number` turns f into T")
        return measure.value / unit.size
    bare = text.removesuffix(unit.sign).strip()
    also = f", with or without {unit.sign}" if unit.sign else ""
    return float(bare) if _NUMBER(bare) else _Refusal(f"{text} is not a number{also}")


def _short_seconds(text: str) -> float | None:
    """Seconds of a shutter as people say them: ``1/48``, ``1/48 s``, ``20 ms``."""
    if part := _PART(text.removesuffix("s").strip()):
        return int(part[1]) / int(part[2])
    found = _MILLISECONDS(text)
    return float(found[1]) / 1000 if found else None
