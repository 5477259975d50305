"""What a set of starts and modes weighs.

Takes an `Indexed` and the chosen times by number, gives `Parts`. Knows nothing of how they were
found and does not check that they are feasible.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from planner.schedule.answer import Parts
from planner.schedule.indexed import BARE, Indexed, index
from planner.schedule.worktime import Spell, merged, start_before

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from planner.schedule.answer import Answer
    from planner.schedule.instance import Instance

Row = list[tuple[int, int, int]]
"""What one resource does, `(start, finish, state or BARE)`, in order of start."""


def appraise(
    indexed: Indexed, starts: Sequence[int], finishes: Sequence[int], modes: Sequence[int]
) -> Parts:
    """Weigh an order.

    Returns:
        Its parts; a resource is held from the first work or changeover to the last of the same
        state, idle days between included, and counted in whole working days.
    """
    weights = indexed.instance.weights
    lateness = mode_cost = 0
    for i, activity in enumerate(indexed.activities):
        if activity.due is not None and finishes[i] > activity.due:
            lateness += activity.weight * (finishes[i] - activity.due)
        mode_cost += indexed.ways[i][modes[i]].cost
    changeover = held_days = held_cost = 0
    for resource, row in rows(indexed, starts, finishes, modes).items():
        changeover += _changeover(indexed, resource, row)
        price = indexed.instance.resources[resource].held_day_cost
        if price:
            days = _days(held(indexed, resource, row), indexed.day)
            held_days += days
            held_cost += days * price
    finish = max(finishes, default=0)
    total = (
        weights.late * lateness
        + weights.finish * finish
        + weights.cost * (mode_cost + held_cost)
        + weights.changeover * changeover
    )
    return Parts(lateness, finish, mode_cost, held_days, held_cost, changeover, total)


def held_spells(instance: Instance, answer: Answer) -> Mapping[str, tuple[Spell, ...]]:
    """Spells in which each one-unit resource in use cannot be given away, by resource id.

    At work, changing over, or standing set up for the next work of the same state.
    """
    indexed = index(instance)
    starts, finishes, modes = (
        [by[name] for name in indexed.ids] for by in (answer.starts, answer.finishes, answer.modes)
    )
    return {
        instance.resources[resource].id: merged(held(indexed, resource, row))
        for resource, row in rows(indexed, starts, finishes, modes).items()
    }


def rows(
    indexed: Indexed, starts: Sequence[int], finishes: Sequence[int], modes: Sequence[int]
) -> dict[int, Row]:
    """What each one-unit resource does, in order."""
    found: dict[int, Row] = defaultdict(list)
    for i, ways in enumerate(indexed.ways):
        way = ways[modes[i]]
        states = dict(way.states)
        for resource in way.single:
            found[resource].append((starts[i], finishes[i], states.get(resource, BARE)))
    for row in found.values():
        row.sort()
    return dict(found)


def held(indexed: Indexed, resource: int, row: Row) -> list[Spell]:
    """Spells in which a resource cannot be given away: working, changing over, standing set up."""
    spells: list[Spell] = []
    state = indexed.standing[resource]
    last_end: int | None = None
    for start, end, wanted in row:
        if wanted != BARE:
            if wanted == state and last_end is not None:
                spells.append((last_end, start))
            quarters = indexed.change(resource, state, wanted)
            spells.append((start_before(start, quarters, indexed.spells[resource]), start))
            state, last_end = wanted, end
        spells.append((start, end))
    return sorted(spells)


def _days(spells: list[Spell], day: int) -> int:
    counted, last = 0, -1
    for start, end in spells:
        if end > start:
            first = max(max(start, 0) // day, last + 1)
            last = max(last, (end - 1) // day)
            counted += max(0, last - first + 1)
    return counted


def _changeover(indexed: Indexed, resource: int, row: Row) -> int:
    state, quarters = indexed.standing[resource], 0
    for _, _, wanted in row:
        if wanted != BARE:
            quarters += indexed.change(resource, state, wanted)
            state = wanted
    return quarters
