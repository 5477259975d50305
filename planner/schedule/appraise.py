"""What a set of starts and modes weighs.

Takes an `Indexed` and the chosen times by number, gives `Parts`. Knows nothing of how they were
found and does not check that they are feasible.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from dataclasses import dataclass
from itertools import pairwise
from statistics import fmean
from typing import TYPE_CHECKING

from planner.schedule.answer import Parts
from planner.schedule.indexed import BARE, Indexed, index
from planner.schedule.worktime import Spell, start_before

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.schedule.answer import Answer
    from planner.schedule.instance import Instance

Row = list[tuple[int, int, int, int]]
"""What one resource does, `(start, finish, state or BARE, group or -1)`, in order of start."""


def appraise(
    indexed: Indexed, starts: Sequence[int], finishes: Sequence[int], modes: Sequence[int]
) -> Parts:
    """Weigh an order.

    Returns:
        Its parts; a resource is held from the first work or changeover to the last of the same
        state, or of states between which an exception takes nothing, idle days between included,
        and counted in whole working days.
    """
    weights = indexed.instance.weights
    lateness = mode_cost = overtime = preferences = 0
    for i, activity in enumerate(indexed.activities):
        if activity.due is not None and finishes[i] > activity.due:
            lateness += activity.weight * (finishes[i] - activity.due)
        way = indexed.ways[i][modes[i]]
        mode_cost += way.cost
        if way.overtime:
            overtime += way.overtime_cost(starts[i], finishes[i], indexed.day)
        if activity.preference is not None:
            preferences += indexed.away(i, starts[i])
    changeover = held_days = held_cost = waiting = 0
    for resource, row in rows(indexed, starts, finishes, modes).items():
        stretch = _stretch(indexed, resource, row, -1, len(row))
        changeover += stretch.changeover
        waiting += stretch.waiting
        price = indexed.instance.resources[resource].held_day_cost
        if price:
            held_days += stretch.days
            held_cost += stretch.days * price
    finish = max(finishes, default=0)
    total = (
        weights.late * lateness
        + weights.finish * finish
        + weights.cost * (mode_cost + held_cost + overtime + waiting + preferences)
        + weights.changeover * changeover
    )
    return Parts(
        lateness,
        finish,
        mode_cost,
        held_days,
        held_cost,
        changeover,
        total,
        overtime,
        waiting,
        preferences,
    )


def quarter_weight(indexed: Indexed) -> float:
    """What it adds to the total when something due of mean weight ends a quarter later."""
    weights = indexed.instance.weights
    due = [activity.weight for activity in indexed.activities if activity.due is not None]
    return max(1.0, weights.late * (fmean(due) if due else 0) + weights.finish)


def own_weight(indexed: Indexed, i: int, mode: int, start: int, finish: int) -> int:
    """What one activity adds to the total by itself."""
    weights, activity = indexed.instance.weights, indexed.activities[i]
    cost = indexed.ways[i][mode].cost + indexed.soft_cost(i, mode, start, finish)
    total = weights.cost * cost
    if activity.due is not None and finish > activity.due:
        total += weights.late * activity.weight * (finish - activity.due)
    return total


def stretch_weight(indexed: Indexed, resource: int, row: Row, first: int, last: int) -> int:
    """What a resource adds to the total between the set-up works around two quarters.

    Rows that differ only in works starting between `first` and `last` differ by this in weight.
    """
    begin = bisect_left(row, (first, -1, -1)) - 1
    while begin >= 0 and row[begin][2] == BARE:
        begin -= 1
    end = bisect_left(row, (last + 1, -1, -1))
    while end < len(row) and row[end][2] == BARE:
        end += 1
    stretch = _stretch(indexed, resource, row, begin, end)
    weights = indexed.instance.weights
    held_cost = indexed.instance.resources[resource].held_day_cost * stretch.days
    return weights.changeover * stretch.changeover + weights.cost * (held_cost + stretch.waiting)


def work_by_day(indexed: Indexed, resource: int, row: Row) -> dict[int, int]:
    """Quarters of work on each day on which a one-unit resource is held, by day.

    Days on which it is only changed over, or stands set up, have none.
    """
    day, found = indexed.day, dict[int, int]()
    for start, end in _held(indexed, resource, row, -1, len(row))[1]:
        if end > start:
            found |= dict.fromkeys(range(max(start, 0) // day, (end - 1) // day + 1), 0)
    for start, finish, _, _ in row:
        for at in range(start // day, (finish - 1) // day + 1):
            found[at] += min(finish, (at + 1) * day) - max(start, at * day)
    return found


def weighed(instance: Instance, answer: Answer) -> Parts:
    """What an answer weighs; whether it keeps the rules is for `verify` to say."""
    indexed = index(instance)
    return appraise(indexed, *_numbered(indexed, answer))


def _numbered(indexed: Indexed, answer: Answer) -> tuple[list[int], list[int], list[int]]:
    """Starts, finishes and modes in the order of the activities."""
    starts, finishes, modes = answer.starts, answer.finishes, answer.modes
    ids = indexed.ids
    return [starts[i] for i in ids], [finishes[i] for i in ids], [modes[i] for i in ids]


def rows(
    indexed: Indexed, starts: Sequence[int], finishes: Sequence[int], modes: Sequence[int]
) -> dict[int, Row]:
    """What each one-unit resource does, in order."""
    found: dict[int, Row] = defaultdict(list)
    for i, ways in enumerate(indexed.ways):
        way = ways[modes[i]]
        states = dict(way.states)
        for resource in way.single if finishes[i] > starts[i] else ():
            work = starts[i], finishes[i], states.get(resource, BARE), indexed.groups[i]
            found[resource].append(work)
    for row in found.values():
        row.sort()
    return dict(found)


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Quarters of changeover, days held, and the cost of idle quarters inside groups."""

    changeover: int
    days: int
    waiting: int


def _stretch(indexed: Indexed, resource: int, row: Row, begin: int, end: int) -> _Stretch:
    """What happens after the row's work `begin` and before its work `end`.

    Both are works with a state; -1 and the length of the row stand for its ends. Days on which
    those two are at work are not counted.
    """
    quarters, spells = _held(indexed, resource, row, begin, end)
    day = indexed.day
    last = (row[begin][1] - 1) // day if begin >= 0 else -1
    bound = row[end][0] // day if end < len(row) else None
    days = _days(spells, day, last, bound)
    price = indexed.instance.resources[resource].waiting_cost
    idle = _idle(indexed.spells[resource], row, begin, end) if price else 0
    return _Stretch(quarters, days, price * idle)


def _idle(blocked: tuple[Spell, ...], row: Row, begin: int, end: int) -> int:
    """Quarters there but idle between works of one group that follow each other."""
    idle = 0
    for (_, free, _, group), (start, _, _, other) in pairwise(row[max(begin, 0) : end + 1]):
        if group == other != -1:
            away = sum(max(0, min(b, start) - max(a, free)) for a, b in blocked)
            idle += max(0, start - free - away)
    return idle


def _held(
    indexed: Indexed, resource: int, row: Row, begin: int, end: int
) -> tuple[int, list[Spell]]:
    """Quarters of changeover, and spells at work, changing over or standing set up for the next."""
    spells: list[Spell] = []
    total, blocked = 0, indexed.spells[resource]
    state = indexed.standing[resource] if begin < 0 else row[begin][2]
    last_end = None if begin < 0 else row[begin][1]
    for start, finish, wanted, _ in row[begin + 1 : end + 1]:
        if wanted != BARE:
            if indexed.goes_on(resource, state, wanted):
                if last_end is not None and start > last_end:
                    spells.append((last_end, start))
            else:
                quarters = indexed.change(resource, state, wanted)
                total += quarters
                if quarters:
                    spells.append((start_before(start, quarters, blocked), start))
            state, last_end = wanted, finish
        spells.append((start, finish))
    if end < len(row):
        spells.pop()
    return total, spells


def _days(spells: list[Spell], day: int, last: int, bound: int | None) -> int:
    """Days met by the spells after day `last` and before day `bound`."""
    counted = 0
    for start, end in sorted(spells):
        first = max(max(start, 0) // day, last + 1)
        until = (end - 1) // day if bound is None else min((end - 1) // day, bound - 1)
        if end > start and until >= first:
            counted += until - first + 1
            last = until
    return counted
