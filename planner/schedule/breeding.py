"""Orders bred from one another: a genetic search with every child pushed back and placed again.

Takes a `Search`, leaves the best in it. Knows nothing of when to stop. The same seed and number of
children give the same answer. Best where little but the finish counts.

Source:
    S. Hartmann, "A competitive genetic algorithm for resource-constrained project scheduling",
    Naval Research Logistics 45 (1998), pp. 733-750: activity lists and their two-point crossover.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner.schedule.indexed import topological_order
from planner.schedule.ranking import latest_starts

if TYPE_CHECKING:
    from random import Random

    from planner.schedule.search import Found, Search

MOST_KEPT = 60
MUTATION = 0.05
MOST_REFUSED = 30
"""Orders refused for being there already, after which no more are sampled."""
SPREADS = (0.2, 0.3, 0.3, 1.0)
"""By how much of the longest chain a sampled order may depart from the latest starts."""


class Brood:
    """A herd of orders, no two with the same starts, the lightest first."""

    def __init__(self, search: Search, random: Random, guest: Found | None = None) -> None:
        """Begin an empty herd, or one with a guest that was found otherwise."""
        self.search = search
        self.random = random
        self.herd: list[Found] = []
        self._starts: set[tuple[int, ...]] = set()
        self._refused = 0
        self._latest = latest_starts(search.indexed)
        if guest is not None:
            self._admit(guest)

    @property
    def is_even(self) -> bool:
        """Whether the herd is grown and all weigh the same, so that little more will come of it."""
        return self._is_grown() and self.herd[0].total == self.herd[-1].total

    def breed(self) -> None:
        """Add one order: a sample while the herd is small, then a child of two."""
        best = self.search.best
        if best is None:
            return
        order, modes = self._child() if self._is_grown() else self._sample()
        child = self.search.consider(replace(best.wish, order=order, modes=modes, not_before=None))
        if child is None:
            return
        pushed = self.search.justify(child)
        self._admit(child if pushed is None or pushed.total > child.total else pushed)

    def _is_grown(self) -> bool:
        return len(self.herd) >= MOST_KEPT or self._refused >= MOST_REFUSED

    def _admit(self, found: Found) -> None:
        starts = tuple(found.board.starts)
        if starts in self._starts:
            self._refused += 1
            return
        if len(self.herd) >= MOST_KEPT:
            if found.total >= self.herd[-1].total:
                return
            self._starts.discard(tuple(self.herd.pop().board.starts))
        self._starts.add(starts)
        self.herd.append(found)
        self.herd.sort(key=lambda one: one.total)

    def _sample(self) -> tuple[tuple[int, ...], tuple[int, ...]]:
        indexed, random = self.search.indexed, self.random
        spread = random.random() * random.choice(SPREADS) * max(1, max(self._latest, default=1))
        keys = [latest + random.random() * spread for latest in self._latest]
        return topological_order(indexed.before, indexed.follow, keys), (-1,) * len(keys)

    def _child(self) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """A stretch of the father's order between two of the mother's."""
        random = self.random
        mother, father = self._parent(), self._parent()
        one, other = mother.wish.order, father.wish.order
        count = len(one)
        first, last = sorted((random.randrange(count + 1), random.randrange(count + 1)))
        order = list(one[:first])
        taken = set(order)
        stretch = [i for i in other if i not in taken][: last - first]
        order += stretch
        taken.update(stretch)
        order += [i for i in one if i not in taken]
        modes = list(mother.board.modes)
        for i in stretch:
            modes[i] = father.board.modes[i]
        return self._mutated(order), tuple(modes)

    def _parent(self) -> Found:
        return self.herd[min(self.random.randrange(len(self.herd)) for _ in range(2))]

    def _mutated(self, order: list[int]) -> tuple[int, ...]:
        before = self.search.indexed.before
        for at in range(1, len(order)):
            if self.random.random() < MUTATION:
                one, other = order[at - 1], order[at]
                if all(j != one for j, _, _ in before[other]):
                    order[at - 1], order[at] = other, one
        return tuple(order)
