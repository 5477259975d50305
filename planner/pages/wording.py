"""Words and numbers as people read them, measured and folded for a terminal.

Takes text and values with their units, gives lines of a width in columns, figures and counts. Knows
nothing of what they are about, or of screens: who prints decides on colour and width. What files
say is shown inert: control characters are spelled out.
"""

from __future__ import annotations

import unicodedata
from typing import TYPE_CHECKING

from planner.model.ratio import in_ratio

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from decimal import Decimal


WIDTH = 80
_LUX_IN_A_FOOT_CANDLE = 10.7639  # 1 lm/ft2 over 1 lm/m2: (1 / 0.3048)^2
# Unit, the size from which a larger one reads better, the larger one, how many make it.
_LARGER = {
    "mm": (1000.0, "m", 1000.0),
    "mm/s": (1000.0, "m/s", 1000.0),
    "mm/s2": (1000.0, "m/s2", 1000.0),
    "mm2": (10_000.0, "m2", 1_000_000.0),
    "s": (120.0, "min", 60.0),
}
_ONE = {"days": "day", "stops": "stop", "times": "time"}
"""Units that are words, and how one of them is called."""


def inert(text: str) -> str:
    """`text` on one line, with nothing a terminal would obey.

    Line ends become spaces; control characters and marks that turn the direction of text around
    are spelled out. Joiners inside words of other scripts stay.
    """
    line = " ".join(text.split())
    if line.isprintable():
        return line
    return "".join(
        char if char.isprintable() or char in "\u200c\u200d" else f"<U+{ord(char):04X}>"
        for char in line
    )


def name_said(id_: str) -> str:
    """What people call a thing: ``dam face``; a piece of a shot keeps its id, ``NB150.mud``."""
    return id_ if "." in id_ else id_.replace("_", " ")


def dead_said(id_: str, cost: Decimal) -> str:
    """A dead cost in words: of a piece of a shot, or of what only such pieces use."""
    why = "spent before it was omitted" if "." in id_ else "only omitted shots use it"
    return f"{name_said(id_)}, {cost:,.2f}; {why}"


def missing_said(by: str) -> str:
    """That a fact is missing, and who is to find it where somebody is named."""
    return f"missing, {by} is to find it" if by else "missing"


def columns(text: str) -> int:
    """Columns `text` takes on a terminal: wide characters two, combining ones none."""
    if text.isascii():
        return len(text)
    return sum(_columns_of(char) for char in text)


def _columns_of(char: str) -> int:
    if unicodedata.category(char) in {"Mn", "Me", "Cf"}:
        return 0
    return 2 if unicodedata.east_asian_width(char) in {"W", "F"} else 1


def folded(text: str, first: str = "", rest: str | None = None, *, width: int = WIDTH) -> list[str]:
    """Lines of at most `width` columns.

    Args:
        text: to be folded at its spaces; a word longer than a line is cut.
        first: what the first line begins with.
        rest: what the others begin with; as many spaces as `first` has columns when left out.
        width: in columns.
    """
    rest = " " * columns(first) if rest is None else rest
    lines: list[str] = []
    line, is_bare = first, True
    for word in _bites(inert(text).split(" "), max(width - columns(rest), 8)):
        if not is_bare and columns(line) + 1 + columns(word) > width:
            lines.append(line)
            line, is_bare = rest, True
        line = line + word if is_bare else f"{line} {word}"
        is_bare = False
    return [*lines, line]


def _bites(words: Iterable[str], room: int) -> Iterator[str]:
    """Words as they are, those wider than `room` columns cut into pieces that fit."""
    for word in words:
        if columns(word) <= room:
            yield word
            continue
        piece, taken = "", 0
        for char in word:
            wide = _columns_of(char)
            if taken + wide > room:
                yield piece
                piece, taken = "", 0
            piece += char
            taken += wide
        yield piece


def figure(value: float, unit: str, *, foot_candles: bool = False) -> str:
    """A number with its unit as people say it: ``3.6 m``, ``1:24``, ``f/8``, ``1,250.00 GBP``.

    Rates are written as cameras show them, with no mark of thousands: ``1080 fps``.

    Args:
        value: in `unit`.
        unit: canonical unit of a `Quantity`, or an ISO 4217 code for money.
        foot_candles: add foot-candles to light given in lux.
    """
    if unit in _LARGER:
        threshold, larger, size = _LARGER[unit]
        if abs(value) >= threshold:
            value, unit = value / size, larger
    if unit == "1:N":
        return in_ratio(value, 4) if 0 < value < 1 else f"1:{plain(value)}"
    if unit in {"f", "T"}:
        return f"f/{plain(value)}" if unit == "f" else f"T{plain(value)}"
    if _is_money(unit):
        return f"{value:,.2f} {unit}"
    number = plain(value).replace(",", "") if unit == "fps" else plain(value)
    if number == "1":
        unit = _ONE.get(unit, unit)
    said = f"{number} {'' if unit == '1' else unit}".rstrip()
    if foot_candles and unit == "lx":
        said += f" ({plain(value / _LUX_IN_A_FOOT_CANDLE)} fc)"
    return said


def _is_money(unit: str) -> bool:
    """Whether a unit is a currency, or so much of one for something (``GBP/hour``)."""
    code = unit.partition("/")[0]
    return len(code) == 3 and code.isalpha() and code.isupper()


def plain(value: float) -> str:
    """Four figures, thousands set apart, never an exponent unless the number is absurd."""
    if value == 0 or not 1e-6 <= abs(value) < 1e15:
        return f"{value:.4g}"
    if float(value).is_integer() or abs(value) >= 1000:
        return f"{value:,.0f}"
    places = 3 if abs(value) >= 1 else 6
    return f"{float(f'{value:.4g}'):.{places}f}".rstrip("0").rstrip(".")
