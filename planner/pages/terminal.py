"""Text for a terminal of 80 columns: problems, missing facts, reasons, the bid, the stage order.

Takes the frozen values of the other rooms, gives text. Knows nothing of screens: who prints it
decides on colour and width. Paths are never broken, so that an editor can follow them; everything
else keeps within the width. What files say is shown inert: control characters are spelled out.
"""

from __future__ import annotations

import unicodedata
from itertools import groupby
from typing import TYPE_CHECKING

from planner.model.place import Severity

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from planner.kinds import MissingFact
    from planner.model.place import Problem
    from planner.model.quantity import Quantity

WIDTH = 80
_LUX_IN_A_FOOT_CANDLE = 10.7639  # 1 lm/ft2 over 1 lm/m2: (1 / 0.3048)^2
_DEEPEST_INDENT = 24
_TINTS = {Severity.ERROR: "31;1", Severity.WARNING: "33", Severity.NOTE: "36"}
_HEADINGS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.NOTE: "note"}
# Unit, the size from which a larger one reads better, the larger one, how many make it.
_LARGER = {
    "mm": (1000.0, "m", 1000.0),
    "mm/s": (1000.0, "m/s", 1000.0),
    "mm/s2": (1000.0, "m/s2", 1000.0),
    "mm2": (10_000.0, "m2", 1_000_000.0),
    "s": (120.0, "min", 60.0),
}


# Measuring and folding --------------------------------------------------------------------------


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


def counted(number: int, name: str) -> str:
    """``1 error``, ``2 errors``."""
    return f"{number:,} {name}" if number == 1 else f"{number:,} {name}s"


# Numbers ----------------------------------------------------------------------------------------


def figure(value: float, unit: str, *, foot_candles: bool = False) -> str:
    """A number with its unit as people say it: ``3.6 m``, ``1:24``, ``f/8``, ``1,250.00 GBP``.

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
        return f"1:{_plain(value)}"
    if unit in {"f", "T"}:
        return f"f/{_plain(value)}" if unit == "f" else f"T{_plain(value)}"
    if len(unit) == 3 and unit.isalpha() and unit.isupper():
        return f"{value:,.2f} {unit}"
    said = f"{_plain(value)} {'' if unit == '1' else unit}".rstrip()
    if foot_candles and unit == "lx":
        said += f" ({_plain(value / _LUX_IN_A_FOOT_CANDLE)} fc)"
    return said


def _plain(value: float) -> str:
    """Four figures, thousands set apart, never an exponent unless the number is absurd."""
    if value == 0 or not 1e-6 <= abs(value) < 1e15:
        return f"{value:.4g}"
    if float(value).is_integer() or abs(value) >= 1000:
        return f"{value:,.0f}"
    places = 3 if abs(value) >= 1 else 6
    return f"{float(f'{value:.4g}'):.{places}f}".rstrip("0").rstrip(".")


# Problems ---------------------------------------------------------------------------------------


def problems_text(problems: Iterable[Problem], *, colour: bool = False, width: int = WIDTH) -> str:
    """Every problem, errors before warnings before notes, each with place, sentence and remedy.

    The same sentence about several places is printed once, under all of them.

    Args:
        problems: in any order.
        colour: tint the headings for a terminal; the words say the same without.
        width: in columns.
    """
    ordered = sorted(set(problems))
    if not ordered:
        return "No problems.\n"
    blocks: list[str] = []
    tally: list[str] = []
    for severity, group in groupby(ordered, key=lambda each: each.severity):
        held = tuple(group)
        count = counted(len(held), _HEADINGS[severity])
        tally.append(count)
        heading = count[0].upper() + count[1:]
        blocks.append(_tinted(heading, _TINTS[severity]) if colour else heading)
        blocks.extend(_problem_block(same, width) for same in _alike(held))
    return "\n\n".join([*blocks, ", ".join(tally) + "."]) + "\n"


def _alike(problems: Sequence[Problem]) -> list[list[Problem]]:
    """Problems that say the same, together, at the place of the first of them."""
    groups: dict[tuple[str, str, str], list[Problem]] = {}
    for each in problems:
        groups.setdefault((each.code, each.message, each.remedy), []).append(each)
    return list(groups.values())


def _problem_block(same: Sequence[Problem], width: int) -> str:
    lines: list[str] = []
    for each in same:
        place = inert(str(each.place))
        about = inert(each.about)
        if about and columns(place) + 2 + columns(about) <= width:
            lines.append(f"{place}  {about}")
        else:
            lines.append(place)
            lines.extend(folded(about, "    ", width=width) if about else ())
    first = same[0]
    lines.extend(folded(f"{first.message} [{first.code}]", "  ", width=width))
    if first.remedy:
        lines.extend(folded(first.remedy, "  do: ", "      ", width=width))
    return "\n".join(lines)


def _tinted(text: str, tint: str) -> str:
    return f"\x1b[{tint}m{text}\x1b[0m"


# Missing facts ----------------------------------------------------------------------------------


def missing_text(missing: Iterable[MissingFact], *, width: int = WIDTH) -> str:
    """What nobody knows yet, by the thing it belongs to, with what rests on each fact."""
    facts = sorted(missing, key=lambda each: (each.place.file, each.about, each.place, each.name))
    if not facts:
        return "No facts are missing.\n"
    assumed = sum(1 for each in facts if each.assumed)
    opening = f"{counted(len(facts), 'fact')} missing"
    if assumed:
        opening += f", {assumed:,} of them replaced by an assumption"
    blocks = [opening + "."]
    for about, group in groupby(facts, key=lambda each: each.about):
        lines = folded(about or "the show", width=width)
        for each in group:
            lines.extend(_missing_lines(each, width))
        blocks.append("\n".join(lines))
    return "\n\n".join(blocks) + "\n"


def _missing_lines(fact: MissingFact, width: int) -> list[str]:
    name, place = inert(fact.name.replace("_", " ")), inert(str(fact.place))
    lines = [f"  {name}  {place}"]
    if columns(lines[0]) > width:
        lines = [*folded(name, "  ", width=width), f"    {place}"]
    if fact.rests:
        lines.extend(folded(fact.rests, "    without it: ", "      ", width=width))
    if fact.assumed:
        lines.extend(folded(fact.assumed, "    taken for it: ", "      ", width=width))
    return lines


# Reasons ----------------------------------------------------------------------------------------


def reason_text(quantity: Quantity, *, foot_candles: bool = False, width: int = WIDTH) -> str:
    """A number opened to its arithmetic, each part under what was reckoned from it.

    A part that itself rests on others is opened once, and afterwards named with "as above".

    Args:
        quantity: the number asked about.
        foot_candles: add foot-candles to light given in lux.
        width: in columns.
    """
    lines: list[str] = []
    opened: set[int] = set()
    worst = quantity.standing
    # A stack of our own: arithmetic may nest deeper than Python recurses.
    waiting: list[tuple[Quantity, int]] = [(quantity, 0)]
    while waiting:
        part, depth = waiting.pop()
        worst = max(worst, part.standing)
        said = figure(part.value, part.unit, foot_candles=foot_candles)
        if part.inputs and id(part) in opened:
            lines.extend(_indented(f"{part.name} = {said}, as above", depth, width))
            continue
        opened.add(id(part))
        lines.extend(_reason_lines(part, said, depth, width))
        waiting.extend((each, depth + 1) for each in reversed(part.inputs))
    if worst is not quantity.standing:
        lines.append(f"Rests on something {worst}.")
    return "\n".join(lines) + "\n"


def _reason_lines(part: Quantity, said: str, depth: int, width: int) -> list[str]:
    if part.spread is not None:
        said += f" ± {figure(part.spread, part.unit)}"
    head = f"{part.name.replace('_', ' ')} = {said}, {part.standing}"
    written = f', written "{part.text}"' if part.text else ""
    lines = _indented(head + written, depth, width)
    why = "; ".join(
        each for each in (part.reason, f"source: {part.source}" if part.source else "") if each
    )
    if why:
        lines.extend(_indented(why, depth, width, mark="  by " if part.inputs else "  "))
    if part.place is not None:
        lines.append(f"{_margin(depth)}  {inert(str(part.place))}")
    return lines


def _margin(depth: int) -> str:
    return " " * min(2 * depth, _DEEPEST_INDENT)


def _indented(text: str, depth: int, width: int, mark: str = "") -> list[str]:
    margin = _margin(depth)
    return folded(text, margin + mark, f"{margin}    ", width=width)
