"""Text for a terminal of 80 columns: problems, missing facts, reasons, the bid, the stage order.

Takes the frozen values of the other rooms, gives text. Knows nothing of screens: who prints it
decides on colour and width. Paths are never broken, so that an editor can follow them; everything
else keeps within the width. What files say is shown inert: control characters are spelled out.
"""

from __future__ import annotations

import unicodedata
from datetime import date, timedelta
from decimal import Decimal
from itertools import chain, groupby
from typing import TYPE_CHECKING, Literal

from planner.bid import by_use, rollup
from planner.estimate import mark_of
from planner.model.place import Severity

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from planner.bid import Bid, By, Figures
    from planner.kinds import MissingFact
    from planner.model.place import Problem
    from planner.model.quantity import Quantity
    from planner.model.show import Show
    from planner.order.stage_order import Call, StageOrder

WIDTH = 80
_LUX_IN_A_FOOT_CANDLE = 10.7639  # 1 lm/ft2 over 1 lm/m2: (1 / 0.3048)^2
_DEEPEST_INDENT = 24
_TINTS = {Severity.ERROR: "31;1", Severity.WARNING: "33", Severity.NOTE: "36"}
_HEADINGS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.NOTE: "note"}
_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = "JanFebMarAprMayJunJulAugSepOctNovDec"
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
    if _is_money(unit):
        return f"{value:,.2f} {unit}"
    said = f"{_plain(value)} {'' if unit == '1' else unit}".rstrip()
    if foot_candles and unit == "lx":
        said += f" ({_plain(value / _LUX_IN_A_FOOT_CANDLE)} fc)"
    return said


def _is_money(unit: str) -> bool:
    """Whether a unit is a currency, or so much of one for something (``GBP/hour``)."""
    code = unit.partition("/")[0]
    return len(code) == 3 and code.isalpha() and code.isupper()


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

    The same sentence about several places is printed once, under all of them. In brackets stand the
    rule's code and the finding's mark, by which it can be waived; of several places all marks, in
    their order.

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
    marks = " ".join(dict.fromkeys(mark_of(each) for each in same))
    lines.extend(folded(f"{first.message} [{first.code} {marks}]", "  ", width=width))
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


# The bid ----------------------------------------------------------------------------------------


def bid_text(bid: Bid, by: By | Literal["use"] = "sequence", *, width: int = WIDTH) -> str:
    """The bid's sums in three figures, loads apart, then what a reader of them must know.

    Args:
        bid: priced.
        by: side to sum by; ``use`` splits what is shared over the shots that use it.
        width: in columns.
    """
    sums = by_use(bid) if by == "use" else rollup(bid, by)
    rows = [
        (name.replace("_", " ") if by == "craft" else name, each) for name, each in sums.items()
    ]
    loads = [
        (f"{load.name}, {_plain(float(load.share * 100))} % of {load.base.likely:,.2f}", load)
        for load in bid.loads
    ]
    table = [*rows, ("cost", bid.cost), *((name, load.figures) for name, load in loads)]
    table.append(("total", bid.total))
    span = max(12, *(len(f"{figures.high:,.2f}") for _, figures in table)) + 1
    room = max(width - 3 * span, 16)
    rule = "-" * (room + 3 * span)
    heading = "".join(f"{each:>{span}}" for each in ("low", "likely", "high"))
    parts = [_row(*each, room, span) for each in table]
    body = [
        *chain.from_iterable(parts[: len(rows)]),
        rule,
        *chain.from_iterable(parts[len(rows) :]),
    ]
    title = folded(f"{bid.title}: bid by {by}, in {bid.currency}", width=width)
    lines = [*title, "", " " * room + heading, rule, *body, ""]
    return "\n".join([*lines, *_bid_remarks(bid, width)]) + "\n"


def _row(name: str, figures: Figures, room: int, span: int) -> list[str]:
    """A name and its three figures; a long name is folded, the figures beside its last line."""
    lines = folded(name, "", "  ", width=room - 1)
    padding = " " * (room - columns(lines[-1]))
    sums = (figures.low, figures.likely, figures.high)
    lines[-1] += padding + "".join(f"{each:>{span},.2f}" for each in sums)
    return lines


def _bid_remarks(bid: Bid, width: int) -> list[str]:
    carries = "carries" if bid.terms.contingency_carries_overhead else "does not carry"
    said = [f"Contingency {carries} overhead. Every line is rounded to the cent, halves up."]
    dead: dict[str, Decimal] = {}
    for line in bid.lines:
        if line.is_dead:
            dead[line.element] = dead.get(line.element, Decimal(0)) + line.figures.likely
    said.extend(
        f"Dead cost: {name}, {cost:,.2f}; only omitted shots use it." for name, cost in dead.items()
    )
    apart: dict[str, Decimal] = {}
    for line in bid.not_in_bid:
        apart[line.shot] = apart.get(line.shot, Decimal(0)) + line.figures.likely
    said.extend(
        f"Not in the bid: {shot}, {cost:,.2f} likely without stage days."
        for shot, cost in apart.items()
    )
    lines = [row for each in said for row in folded(each, "", "  ", width=width)]
    if bid.unpriced:
        lines.append(f"{counted(len(bid.unpriced), 'line')} at 0 for want of a rate:")
        for each in bid.unpriced:
            lines.extend(folded(f"{each.element or each.what}: {each.what}", "  ", width=width))
    return lines


# The stage order --------------------------------------------------------------------------------


def order_text(order: StageOrder, show: Show, *, width: int = WIDTH) -> str:
    """The order of work by stage and day, work off stage by craft, then what is late.

    Args:
        order: dated.
        show: for the names of resources.
        width: in columns.
    """
    if not order.calls:
        return "No work to order.\n"
    first = min(each.starts for each in order.calls)
    last = max(each.ends for each in order.calls)
    opening = (
        f"{counted(len(order.calls), 'call')}, {_day(first)} to {_day(last)}; {order.method},"
        f" {'proven the best' if order.proven else 'not proven the best'}. No order needs fewer"
        f" than {_plain(order.bound_days)} working days."
    )
    blocks = ["\n".join(folded(opening, width=width))]
    for stage in show.resources_of("stage"):
        calls = [each for each in order.calls if each.stage == stage.id]
        days = order.days_held.get(stage.id, ())
        if calls or days:
            title = f"{inert(stage.title or stage.id)}: {counted(len(days), 'day')} held"
            blocks.append(
                "\n".join([*folded(title, width=width), *_stage(calls, days, show, width)])
            )
    off_stage = sorted(
        (each for each in order.calls if not each.stage),
        key=lambda each: (each.work.craft, each.starts),
    )
    for craft, group in groupby(off_stage, key=lambda each: each.work.craft):
        lines = [f"Off stage, {inert(craft.replace('_', ' '))}"]
        lines.extend(row for each in group for row in _off_stage_call(each, show, width))
        blocks.append("\n".join(lines))
    blocks.extend(_lateness(order, width))
    return "\n\n".join(blocks) + "\n"


def _stage(calls: Sequence[Call], days: Iterable[date], show: Show, width: int) -> list[str]:
    """Calls under their dates; set-ups and things held named where they change, idle days too."""
    begun: dict[date, list[Call]] = {}
    busy: set[date] = set()
    for call in sorted(calls, key=lambda each: (each.starts, each.element)):
        begun.setdefault(call.starts.date(), []).append(call)
        span = (call.ends.date() - call.starts.date()).days
        busy |= {call.starts.date() + timedelta(each) for each in range(span + 1)}
    lines: list[str] = []
    set_up = beside = ""
    for day in sorted({*begun, *days}):
        if day not in busy:
            lines.append(f"  {_day(day)}  held, idle")
        if day not in begun:
            continue
        lines.append(f"  {_day(day)}")
        for call in begun[day]:
            if call.work.set_up and call.work.set_up != set_up:
                set_up = call.work.set_up
                lines.extend(folded(set_up, "    set-up: ", width=width))
                beside = ""
            if (held := _beside(call, show)) != beside:
                beside = held
                lines.extend(folded(beside or "nothing else", "    with ", width=width))
            lines.extend(_stage_call(call, width))
    return lines


def _stage_call(call: Call, width: int) -> list[str]:
    ends = f"{call.ends:%H:%M}"
    until = "" if call.ends.date() == call.starts.date() else f", until {_day(call.ends)} {ends}"
    clock = f"    {call.starts:%H:%M}-{ends}" if not until else f"    {call.starts:%H:%M}-     "
    head = f"{clock} {figure(call.hours, 'h'):>7}  "
    said = f"{call.element}: {call.work.name}{until}"
    return folded(said, head, width=width)


def _off_stage_call(call: Call, show: Show, width: int) -> list[str]:
    starts, ends = call.starts.date(), call.ends.date()
    days = _day(starts) if starts == ends else f"{_day(starts)} to {_day(ends)}"
    beside = _beside(call, show)
    said = f"{call.element}: {call.work.name}{f', with {beside}' if beside else ''}"
    if call.work.wait_hours:
        said += f"; then {figure(call.work.wait_hours, 'h')} before what follows"
    return [f"  {days}, {figure(call.hours, 'h')}", *folded(said, "    ", width=width)]


def _beside(call: Call, show: Show) -> str:
    """What is held beside the stage, by the names people use; crews go without saying."""
    names = []
    for each in call.holds:
        resource = show.resources.get(each)
        if each == call.stage or (resource is not None and resource.sort == "crew"):
            continue
        names.append((resource.title if resource else "") or each)
    return ", ".join(names)


def _lateness(order: StageOrder, width: int) -> Iterator[str]:
    if order.late:
        yield "\n".join(
            row
            for shot, days in sorted(order.late.items(), key=lambda each: (-each[1], each[0]))
            for row in folded(_late(order, shot, days), width=width)
        )
    elif order.finals:
        yield f"Every composite is in time; the last is done on {_day(max(order.finals.values()))}."


def _late(order: StageOrder, shot: str, days: float) -> str:
    final = order.finals.get(shot)
    done = f", done on {_day(final)}" if final else ""
    return f"{shot} is late by {counted_days(days)}{done}."


def counted_days(days: float) -> str:
    """``1 working day``, ``2.5 working days``."""
    return f"{_plain(days)} working day{'' if days == 1 else 's'}"


def _day(day: date) -> str:
    """``Mon 2 Mar 2026``, in the same words everywhere."""
    month = _MONTHS[3 * day.month - 3 : 3 * day.month]
    return f"{_WEEKDAYS[day.weekday()]} {day.day} {month} {day.year}"
