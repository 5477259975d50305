"""Whose turn comes after whose in an answer, on everything scarce.

Takes an indexed instance and an answer to it, gives for each activity what it follows once all
turns are kept: what it waits for, who had its units before it, and what was changed over. Any
durations that keep these turns keep every capacity. Knows nothing of dates but the answer's own.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from planner.schedule.indexed import BARE, topological_order
from planner.schedule.worktime import finish_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.schedule.answer import Answer
    from planner.schedule.indexed import Indexed, Way
    from planner.schedule.worktime import Spell


@dataclass(frozen=True, slots=True)
class Turn:
    """One activity that another follows.

    Attributes:
        after: number of the activity followed.
        lag: working quarters between.
        clock: quarters by day and night between.
        change: quarters of changing over between, counted outside `spells`.
        spells: when nobody can change over.
    """

    after: int
    lag: int = 0
    clock: int = 0
    change: int = 0
    spells: tuple[Spell, ...] = ()


@dataclass(frozen=True, slots=True)
class Turns:
    """The turns of an answer, all by number.

    Attributes:
        order: activities, each after all that it follows.
        before: for each activity what it follows.
        earliest: for each activity its release, its lock, or the first set-up of what it holds.
        ways: the mode of each as chosen.
    """

    order: tuple[int, ...]
    before: tuple[tuple[Turn, ...], ...]
    earliest: tuple[int, ...]
    ways: tuple[Way, ...]


def turns_of(indexed: Indexed, answer: Answer) -> Turns:
    """Read the turns of an answer; about linear in what is held.

    Units of what there are many of are handed from holder to holder: a unit that something waited
    for anyway gave back, before one that has long been free.
    """
    reading = _Reading(indexed, answer)
    before = reading.before()
    arrows = tuple(tuple((turn.after, 0, 0) for turn in turns) for turns in before)
    follow: list[list[tuple[int, int, int]]] = [[] for _ in before]
    for i, turns in enumerate(before):
        for turn in turns:
            follow[turn.after].append((i, 0, 0))
    order = topological_order(arrows, follow, reading.starts)
    return Turns(order, before, tuple(reading.earliest), reading.ways)


class _Reading:
    def __init__(self, indexed: Indexed, answer: Answer) -> None:
        self.indexed = indexed
        self.starts = [answer.starts[name] for name in indexed.ids]
        self.finishes = [answer.finishes[name] for name in indexed.ids]
        self.ways = tuple(
            ways[answer.modes[name]] for name, ways in zip(indexed.ids, indexed.ways, strict=True)
        )
        thawed = frozenset(answer.thawed)
        self.earliest = [max(0, activity.release) for activity in indexed.activities]
        for i, (start, _mode) in indexed.locks.items():
            if indexed.ids[i] not in thawed:
                self.earliest[i] = max(self.earliest[i], start)

    def before(self) -> tuple[tuple[Turn, ...], ...]:
        found = [
            {(j, lag, clock, 0): Turn(j, lag, clock) for j, lag, clock in waits}
            for waits in self.indexed.before
        ]
        for r, holders in sorted(self._holders().items()):
            for i, turn in (*self._handed(r, holders), *self._changed(r, holders)):
                found[i].setdefault((turn.after, turn.lag, turn.clock, turn.change), turn)
        return tuple(tuple(each.values()) for each in found)

    def _holders(self) -> dict[int, list[tuple[int, int]]]:
        """Who holds how many units of each resource, in turn."""
        holders: defaultdict[int, list[tuple[int, int]]] = defaultdict(list)
        for i in sorted(range(len(self.ways)), key=lambda i: (self.starts[i], self.finishes[i], i)):
            way = self.ways[i]
            if way.duration:
                for r in way.single:
                    holders[r].append((i, 1))
                for r, units, _level in way.shared:
                    holders[r].append((i, units))
        return holders

    def _handed(self, r: int, holders: list[tuple[int, int]]) -> Iterator[tuple[int, Turn]]:
        """Units handed on: each holder takes those of others that are free when it starts."""
        lanes: list[int | None] = [None] * self.indexed.instance.resources[r].capacity
        for i, units in holders:
            waits = {j for j, _lag, _clock in self.indexed.before[i]}
            free = [
                lane
                for lane, j in enumerate(lanes)
                if j is None or self.finishes[j] <= self.starts[i]
            ]
            free.sort(key=lambda lane: self._liking(lanes[lane], waits))
            for lane in free[:units]:
                if (j := lanes[lane]) is not None:
                    yield i, Turn(j)
                lanes[lane] = i

    def _liking(self, j: int | None, waits: set[int]) -> tuple[bool, int, int]:
        if j is None:
            return (False, -1, -1)
        return (j not in waits, self.finishes[j], j)

    def _changed(self, r: int, holders: list[tuple[int, int]]) -> Iterator[tuple[int, Turn]]:
        """Changes of set-up; work without a state may go on while they are made."""
        wanted = [(i, dict(self.ways[i].states).get(r, BARE)) for i, _units in holders]
        stated = [(i, state) for i, state in wanted if state != BARE]
        spells = self.indexed.spells[r]
        if stated:
            i, state = stated[0]
            first = self.indexed.change(r, self.indexed.standing[r], state)
            self.earliest[i] = max(self.earliest[i], finish_of(0, first, spells))
        for (j, was), (i, state) in pairwise(stated):
            if change := self.indexed.change(r, was, state):
                yield i, Turn(j, change=change, spells=spells)
