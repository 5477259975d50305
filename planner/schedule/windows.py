"""Better orders by taking a few activities out and putting them back while the rest stand still.

Takes a `Floor`, walks to lighter boards a handful of activities at a time, so that a
try costs what it moves and not what there is. Knows nothing of budgets or of whole orders. The same
seed and number of tries give the same boards.

What is taken out: something late, the chain it waits for, what holds its resources just before it,
and whatever follows from those. What is late goes back first, the rest after it. Where days held
cost, mostly all that one resource does on a day is taken out instead, rather where that is little,
and put back on another day; where they or waiting do, now and then one work is put later, up to the
next.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from planner.schedule.appraise import work_by_day
from planner.schedule.lifting import Change, Floor, held_by

if TYPE_CHECKING:
    from random import Random

    from planner.schedule.instance import Activity

MOST_OUT = 60
"""Activities taken out at once, at most."""
FARTHEST = 16
"""Works of one resource looked back at."""
MEMORY = 200
DRAWN_SHARE = 0.15
CLEARED_SHARE = 0.7
"""Of tries, where days held cost: they lift so little that this is a third of the effort."""
THINNEST_OF, DAYS_AWAY, FOLLOWED_SHARE = 4, 6, 0.7
"""Held days of which the one with least work is cleared; held days to either side, to one of which
that goes; and how often what follows from it is put back after it rather than standing still."""
PATIENCE = (0.0, 0.5, 1.0, 2.0, 4.0, 8.0)


class Windows:
    """A walk over one floor.

    `total` is its present weight, `placed` counts what was put back; `best` has the starts,
    finishes and modes of the lightest so far, which weighed `lightest`.
    """

    def __init__(self, floor: Floor, total: int, random: Random) -> None:
        """Begin a walk.

        Args:
            floor: what is changed in place.
            total: what it weighs, its surcharges with it.
            random: of the choices.
        """
        self.floor = floor
        self.indexed = floor.indexed
        self.total = total
        self.random = random
        self.placed = 0
        self._still = floor.indexed.standing_still()
        self._dues = [
            i for i, a in enumerate(self.indexed.activities) if a.due is not None and a.weight > 0
        ]
        self._costly = [
            r
            for r, resource in enumerate(self.indexed.instance.resources)
            if resource.capacity == 1 and (resource.held_day_cost or resource.waiting_cost)
        ]
        self._day_prices = {
            r: resource.held_day_cost
            for r, resource in enumerate(self.indexed.instance.resources)
            if resource.capacity == 1 and resource.held_day_cost
        }
        self._kept = [total] * MEMORY
        self._at = 0
        self.lightest = total
        self.best = self._snapshot()

    def _snapshot(self) -> tuple[list[int], list[int], list[int]]:
        return self.floor.starts[:], self.floor.finishes[:], self.floor.modes[:]

    def moved_to(self, floor: Floor, total: int) -> Windows:
        """The same walk on a better floor."""
        other = Windows(floor, total, self.random)
        other._kept = [max(total, kept - self.total + total) for kept in self._kept]
        return other

    def order(self) -> tuple[int, ...]:
        """The activities by start in `best`, each after all that it waits for."""
        starts, finishes, _ = self.best
        rank = {i: n for n, i in enumerate(self.indexed.topological)}
        return tuple(sorted(rank, key=lambda i: (starts[i], finishes[i] > starts[i], rank[i])))

    def try_once(self) -> bool:
        """Move a few activities; true if that was kept."""
        self.placed += 1
        if self._costly and self.random.random() < DRAWN_SHARE:
            return self._draw_together()
        is_cleared = bool(self._day_prices) and self.random.random() < CLEARED_SHARE
        out = self._choose_day() if is_cleared else self._choose()
        return bool(out.members) and self._rearrange(out)

    def _draw_together(self) -> bool:
        """Move one work later, up to the next on a resource that costs by held day or waiting."""
        floor = self.floor
        r = self._costly[self.random.randrange(len(self._costly))]
        users = floor.users[r]
        if len(users) < 2:
            return False
        at = self.random.randrange(len(users) - 1)
        start, i = users[at]
        gap = users[at + 1][0] - floor.finishes[i]
        if gap <= 0 or i in self._still or self.indexed.runs[i]:
            return False
        change = Change(floor)
        change.lift(i)
        self.placed += 1
        if not change.put(i, 0.0, are_free=False, not_before=start + gap):
            change.undo()
            return False
        return self._settle(change)

    def _rearrange(self, out: _Out) -> bool:
        change = Change(self.floor)
        patience = self.random.choice(PATIENCE)
        are_free = self.random.random() < 0.5
        for i in out.members:
            change.lift(i)
        for i in self._sequence(out):
            self.placed += 1
            run = self.indexed.runs[i]
            if run and i != run[-1]:
                continue
            first = out.not_before if i in out.first else 0
            if not (
                change.put_run(run, patience, are_free=are_free, not_before=first)
                if run
                else change.put(i, patience, are_free=are_free, not_before=first)
            ):
                change.undo()
                return False
        return self._settle(change)

    def _settle(self, change: Change) -> bool:
        """Keep a change if it is light enough, else undo it."""
        longer = change.later_finish()
        total = self.total + change.difference() + longer * self.indexed.instance.weights.finish
        is_taken = total <= max(self._kept[self._at], self.total)
        if is_taken:
            self.total = total
            self.floor.finish += longer
            if total < self.lightest:
                self.lightest, self.best = total, self._snapshot()
        else:
            change.undo()
        self._kept[self._at] = self.total
        self._at = (self._at + 1) % MEMORY
        return is_taken

    def _choose_day(self) -> _Out:
        """What a resource does on a day that it is held for little, to go to another such day."""
        prices = self._day_prices
        r = self.random.choices(list(prices), list(prices.values()))[0]
        work = work_by_day(self.indexed, r, self.floor.rows[r])
        days = sorted(work)
        if not days:
            return _Out()
        few = [self.random.randrange(len(days)) for _ in range(THINNEST_OF)]
        at = min(few, key=lambda n: work[days[n]])
        out = _Out()
        there = self._done_on(r, days[at])
        follows = self.random.random() < FOLLOWED_SHARE
        for i in there:
            self._add(out, i, follows=follows)
        out.first = frozenset(j for i in there for j in self.indexed.runs[i] or (i,))
        others = days[max(0, at - DAYS_AWAY) : at + DAYS_AWAY + 1]
        others[others.index(days[at])] += 1
        out.not_before = self.random.choice(others) * self.indexed.day
        return out

    def _done_on(self, r: int, day: int) -> list[int]:
        """All that a resource does on a day; where it only stands, what it does before or after."""
        users, length = self.floor.users[r], self.indexed.day
        begin, end = day * length, (day + 1) * length
        there = [i for start, i in users if start < end and self.floor.finishes[i] > begin]
        if there:
            return there
        at = bisect_left(users, (begin, -1))
        return [self.random.choice(users[max(0, at - 1) : at + 1])[1]]

    def _choose(self) -> _Out:
        hero = self._hero()
        out = _Out()
        i, chain = hero, []
        while True:
            chain.append(i)
            before = self.indexed.before[i]
            if not before or self.random.random() < 0.2:
                break
            i = max((j for j, _, _ in before), key=self.floor.finishes.__getitem__)
        for i in chain:
            self._add(out, i)
        out.first = frozenset(out.members)
        for i in chain:
            if i in out.members:
                for j in self._blockers(i):
                    self._add(out, j)
        return out

    def _hero(self) -> int:
        """Something late, the latest of a few; now and then anything."""
        if not self._dues or self.random.random() < 0.15:
            return self.random.randrange(len(self.floor.starts))
        activities = self.indexed.activities
        few = [self._dues[self.random.randrange(len(self._dues))] for _ in range(4)]
        return max(
            few, key=lambda i: activities[i].weight * (self.floor.finishes[i] - _due(activities[i]))
        )

    def _add(self, out: _Out, i: int, *, follows: bool = True) -> None:
        """Take out an activity and, unless that is too much, all that follows from it."""
        still, follow, runs = self._still, self.indexed.follow, self.indexed.runs
        alone = dict.fromkeys(runs[i] or (i,))
        found, stack = alone.copy(), list(alone) if follows else []
        while stack:
            for j, _, _ in follow[stack.pop()]:
                if j not in found and j not in still:
                    more = runs[j] or (j,)
                    found |= dict.fromkeys(more)
                    stack.extend(more)
            if len(found) > MOST_OUT:
                found = alone
                break
        if i not in still and len(out.members | found.keys()) <= MOST_OUT:
            out.members |= found.keys()

    def _blockers(self, i: int) -> list[int]:
        """Some that hold what an activity wants just before it begins."""
        way = self.indexed.ways[i][self.random.randrange(len(self.indexed.ways[i]))]
        held = held_by(way)
        if not held:
            return []
        r = held[self.random.randrange(len(held))]
        users = self.floor.users[r]
        at = bisect_left(users, (self.floor.starts[i], -1))
        reach = 1 + int(self.random.random() ** 2 * FARTHEST)
        near = [j for _, j in users[max(0, at - reach) : at] if j != i]
        if self.random.random() < 0.7:
            return near
        return self.random.sample(near, min(self.random.randrange(1, 5), len(near)))

    def _sequence(self, out: _Out) -> list[int]:
        """What is taken out, in the order of putting it back: no precedence broken."""
        noise = self.random.choice((0, 0, 20, 100))
        key = {
            i: (i not in out.first, self.floor.starts[i] + self.random.random() * noise, i)
            for i in sorted(out.members)
        }
        waiting = {i: sum(j in key for j, _, _ in self.indexed.before[i]) for i in key}
        free = sorted((key[i], i) for i, count in waiting.items() if count == 0)
        order = []
        while free:
            _, i = free.pop(0)
            order.append(i)
            for j, _, _ in self.indexed.follow[i]:
                if j in waiting:
                    waiting[j] -= 1
                    if waiting[j] == 0:
                        insort(free, (key[j], j))
        return order


@dataclass(slots=True)
class _Out:
    """What is taken out, which of it goes back first, and from which quarter on that may begin."""

    members: set[int] = field(default_factory=set)
    first: frozenset[int] = frozenset()
    not_before: int = 0


def _due(activity: Activity) -> int:
    return activity.due or 0
