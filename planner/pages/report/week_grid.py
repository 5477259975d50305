"""The stage order week by week, as grids of days and stages, and the whole of it as one strip.

Takes dated calls and the working calendar, gives blocks with their places in hours, each labelled
with what its height has room for. Knows nothing of HTML.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING

from planner.pages.wording import folded

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from planner.model.show import Show, WorkCalendar
    from planner.order import Call, StageOrder

HOUR_HIGH = 24  # pixels
LINE_HIGH = 12  # pixels
_DAY = timedelta(days=1)
_PAGE_WIDE, _LETTER_WIDE, _EDGES = 590, 6.0, 12  # pixels: printed days together, a letter, borders


@dataclass(frozen=True, slots=True)
class Block:
    """One element's work on one stage on one day, without a break.

    Attributes:
        element: id.
        begins: hours after midnight.
        ends: the same.
        says: lines that fit within its height below the element's name; may be none.
        is_named: whether the name itself fits.
        told: everything in full.
        across: which of several side by side it is, from 0.
        abreast: how many stand side by side.
    """

    element: str
    begins: float
    ends: float
    says: tuple[str, ...]
    is_named: bool
    told: str
    across: int = 0
    abreast: int = 1


@dataclass(frozen=True, slots=True)
class StageWeek:
    """One stage in one week: its blocks by day, and the days it is held without work."""

    stage: str
    by_day: tuple[tuple[Block, ...], ...]
    idle: frozenset[date]


@dataclass(frozen=True, slots=True)
class Week:
    """One week in which a stage works.

    Attributes:
        days: working days, and others on which something is called.
        opens: earliest hour of the grid.
        closes: latest.
        stages: those that work or are held.
    """

    days: tuple[date, ...]
    opens: int
    closes: int
    stages: tuple[StageWeek, ...]


@dataclass(frozen=True, slots=True)
class _Part:
    """What falls on one day of a call."""

    call: Call
    day: date
    begins: float
    ends: float


def weeks_of(order: StageOrder, show: Show) -> tuple[Week, ...]:
    """Weeks in which any stage works, each with the stages that do."""
    stages = [each.id for each in show.resources_of("stage")]
    held = {id_: frozenset(order.days_held.get(id_, ())) for id_ in stages}
    return cut(order.calls, held, show.calendar)


def cut(
    calls: Iterable[Call], held: dict[str, frozenset[date]], calendar: WorkCalendar
) -> tuple[Week, ...]:
    """Weeks in which any stage works, each with the stages that do.

    Args:
        calls: dated; those off stage are left out.
        held: per stage, in the order to be shown, the days it is held.
        calendar: days and hours of work.
    """
    parts: defaultdict[date, list[_Part]] = defaultdict(list)
    for call in calls:
        for part in _parts(call, calendar) if call.stage else ():
            parts[_monday(part.day)].append(part)
    for days in held.values():
        for day in days:
            parts[_monday(day)] += ()
    return tuple(_week(monday, parts[monday], held, calendar) for monday in sorted(parts))


def _week(
    monday: date, parts: Sequence[_Part], held: dict[str, frozenset[date]], calendar: WorkCalendar
) -> Week:
    every = [monday + n * _DAY for n in range(7)]
    busy = {part.day for part in parts}
    days = [day for day in every if calendar.is_working(day) or day in busy]
    room = int((_PAGE_WIDE / max(len(days), 1) - _EDGES) / _LETTER_WIDE)
    first = _hour(calendar.day_starts)
    opens = int(min([first, *(part.begins for part in parts)]))
    last = _hours_into(monday, calendar.closes(monday))
    closes = math.ceil(max([last, *(part.ends for part in parts)]))
    stages = []
    for stage, its_days in held.items():
        mine = [part for part in parts if part.call.stage == stage]
        by_day = tuple(_blocks([p for p in mine if p.day == day], room) for day in days)
        idle = frozenset(
            day for day, blocks in zip(days, by_day, strict=True) if day in its_days and not blocks
        )
        if any(by_day) or idle:
            stages.append(StageWeek(stage, by_day, idle))
    return Week(tuple(days), opens, closes, tuple(stages))


def _parts(call: Call, calendar: WorkCalendar) -> Iterator[_Part]:
    """A call cut at nights and days off."""
    day = call.starts.date()
    while day <= call.ends.date():
        opens, closes = calendar.opens(day), calendar.closes(day)
        begins = max(call.starts, opens) if day != call.starts.date() else call.starts
        ends = min(call.ends, closes) if day != call.ends.date() else call.ends
        if begins < ends and (calendar.is_working(day) or day == call.starts.date()):
            yield _Part(call, day, _hours_into(day, begins), _hours_into(day, ends))
        day += _DAY


def _blocks(parts: Sequence[_Part], room: int) -> tuple[Block, ...]:
    """Parts of one stage and day as blocks: those of one element that touch are one."""
    runs: list[list[_Part]] = []
    for part in sorted(parts, key=lambda each: (each.begins, each.ends, each.call.id)):
        last = runs[-1] if runs else []
        if last and last[0].call.element == part.call.element and part.begins <= last[-1].ends:
            last.append(part)
        else:
            runs.append([part])
    return tuple(_abreast([_block(run, room) for run in runs]))


def _block(run: Sequence[_Part], room: int) -> Block:
    element = run[0].call.element
    begins, ends = run[0].begins, max(part.ends for part in run)
    lines = int((ends - begins) * HOUR_HIGH - 2) // LINE_HIGH
    works = [f"{clock(part.begins)} {part.call.work.name}" for part in run]
    told = f"{element}: {', '.join(works)}, until {clock(ends)}"
    ways = (works, [", ".join(part.call.work.name for part in run)])
    taken = len(folded(element, width=room))
    fitting = [
        tuple(said)
        for said in ways
        if taken + sum(len(folded(line, width=room)) for line in said) <= lines
    ]
    return Block(element, begins, ends, next(iter(fitting), ()), taken <= lines, told)


def clock(hour: float) -> str:
    """``09:45`` for 9.75 hours after midnight."""
    minutes = round(60 * hour)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def _abreast(blocks: Sequence[Block]) -> Iterator[Block]:
    """Blocks that share an hour side by side; a stage seldom has any."""
    group: list[Block] = []
    for block in [*blocks, None]:
        if block is not None and group and block.begins < max(each.ends for each in group):
            group.append(block)
            continue
        for across, each in enumerate(group):
            narrow = len(group) > 1
            yield Block(
                each.element,
                each.begins,
                each.ends,
                () if narrow else each.says,
                each.is_named and not narrow,
                each.told,
                across,
                len(group),
            )
        group = [block] if block is not None else []


def _monday(day: date) -> date:
    return day - day.weekday() * _DAY


def _hour(clock: time) -> float:
    return clock.hour + clock.minute / 60


def _hours_into(day: date, moment: datetime) -> float:
    return (moment - datetime.combine(day, time())).total_seconds() / 3600
