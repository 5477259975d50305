"""Ways of improving an order, taken in turns: whichever gains most for its effort goes on.

Takes a `Search` with a first order and perhaps more ways, leaves the best in it. Knows nothing of
solvers or clocks. The same seed and number of tries give the same answer.

Changing the order and placing all that comes after it moves everything, slowly; lifting a few
activities while the rest stand still is quick, but only rearranges. Small questions gain more by
the first, large ones by the second, and which it is changes on the way. Small questions breed
orders as well. Where compiled code is there, or there is time to compile it, questions of some size
do both by it in turns, large ones rearrange.
"""

from __future__ import annotations

from dataclasses import replace
from random import Random
from typing import TYPE_CHECKING

from planner.schedule.alternating import Alternating, can_alternate
from planner.schedule.breeding import Brood
from planner.schedule.lifting import Floor
from planner.schedule.moving import LEAST_COMPILED, Moving, can_be_moved, can_swing, rivals_of
from planner.schedule.windows import Windows

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.schedule.search import Found, Search

    Way = Callable[[Callable[[], bool]], None]

SLICE = 12
"""Effort of one turn, in placings of everything."""
LIFTED_EFFORT = 6
"""Placings that take about as long as lifting and putting back one activity."""
MOVED = 1
"""Which way is rearranging; by compiled code it goes on alone for as long as it gains."""
FEW = 20
FORGETTING = 0.5
EXPLORE_EVERY = 6
MOST_BRED = 200
"""Activities up to which orders are bred."""


class Climb:
    """The turns over one search."""

    def __init__(
        self,
        search: Search,
        seed: int,
        seconds_left: Callable[[], float | None],
        tries: int | None = None,
    ) -> None:
        """Begin; `seconds_left` gives None where no clock plays a part, but a number of tries."""
        self.search = search
        self.seconds_left = seconds_left
        self.tries = tries
        self.random = Random(seed)  # noqa: S311 - repeatable, not secret
        self.turns = 0
        self._ways: list[Way] = [self._walk, self._rearrange]  # the second is MOVED
        if len(search.indexed.ids) <= MOST_BRED:
            self._ways.append(self._breed)
        self._rates: list[float | None] = [None] * len(self._ways)
        self._spent = [0] * len(self._ways)
        self._brood: Brood | None = None
        self._windows: Windows | None = None
        self._moving: Moving | Alternating | None = None
        self._seed = seed
        self._left: Found | None = None

    @property
    def swings(self) -> bool:
        """Whether boards are pushed back and forth while they are rearranged."""
        return isinstance(self._moving, Moving) and self._moving.swings

    def take_also(self, way: Way) -> None:
        """Take one more way in turns: it improves the search's best until it is told to stop.

        It adds to the search's `placed` what its effort comes to.
        """
        self._ways.append(lambda stop: way(self._until(stop)))
        self._rates.append(None)
        self._spent.append(0)

    def go(self, stop: Callable[[], bool]) -> None:
        """Improve until `stop()`, which is asked before every try."""
        while not stop():
            turn = self._next()
            before, spent = self._best().total, self.search.placed
            self._ways[turn](stop)
            effort = max(1, self.search.placed - spent)
            self._spent[turn] += effort
            rate = (before - self._best().total) / effort
            known = self._rates[turn]
            self._rates[turn] = rate if known is None else known + FORGETTING * (rate - known)

    def _next(self) -> int:
        self.turns += 1
        rates = [rate or 0.0 for rate in self._rates]
        if self._moving is not None and rates[MOVED] > 0:
            return MOVED
        untried = [turn for turn, rate in enumerate(self._rates) if rate is None]
        if untried:
            is_large = len(self.search.indexed.ids) >= LEAST_COMPILED
            return MOVED if is_large and MOVED in untried else untried[0]
        best = max(rates)
        if best <= 0 or self.turns % EXPLORE_EVERY == 0:
            # A turn of one may be much longer than one of another.
            return self._spent.index(min(self._spent))
        return rates.index(best)

    def _best(self) -> Found:
        best = self.search.best
        if best is None:
            raise RuntimeError("there is no order to start from")
        return best

    def _until(self, stop: Callable[[], bool], effort: int = SLICE) -> Callable[[], bool]:
        search = self.search
        last = search.placed + effort * max(FEW, len(search.indexed.ids))
        return lambda: search.placed >= last or stop()

    def _walk(self, stop: Callable[[], bool]) -> None:
        best = self._best()
        self.search.walk(None if best is self._left else best, self._until(stop))
        self._left = self._best()

    def breed(self, stop: Callable[[], bool]) -> None:
        """Breed orders until `stop()`; a herd that has become even is let go for a new one."""
        if self._brood is None:
            self._brood = Brood(self.search, self.random, self._best())
        while not stop():
            self._brood.breed()
            if self._brood.is_even:
                self._brood = Brood(self.search, self.random)

    def _breed(self, stop: Callable[[], bool]) -> None:
        self.breed(self._until(stop))

    def _rearrange(self, stop: Callable[[], bool]) -> None:
        search, best = self.search, self._best()
        if self._moving is None and self._windows is None:
            self._moving = self._by_compiled_code()
        if self._moving is not None:
            self._moving.go(self._until(stop, self._moving.slice))
            return
        windows = self._windows
        if windows is None or windows.lightest > best.total:
            floor = Floor(search.decoder, best, search.staying)
            windows = Windows(floor, best.total, self.random)
        over = self._until(stop)
        placed = search.placed
        while not over():
            windows.try_once()
            search.count_to(placed + LIFTED_EFFORT * windows.placed)
        windows.placed = 0
        self._windows = self._compacted(windows, best)

    def _by_compiled_code(self) -> Moving | Alternating | None:
        """What rearranges from now on; None if that is not to be had."""
        search, seconds, count = self.search, self.seconds_left(), len(self.search.indexed.ids)
        tries = None if self.tries is None else self.tries - search.tries
        if can_alternate(search, seconds, tries):
            return Alternating(search, self._seed)
        if can_be_moved(search, seconds, tries):
            rivals, swings = rivals_of(count, seconds, tries), can_swing(search, seconds)
            return Moving(search, self._seed, rivals, swings=swings)
        return None

    def _compacted(self, windows: Windows, best: Found) -> Windows:
        """Place everything again in the order of its start, so that what was freed is used."""
        search, (starts, _, modes) = self.search, windows.best
        wish = replace(
            best.wish,
            order=windows.order(),
            modes=tuple(modes),
            price=0.0,
            not_before=search.not_before,
        )
        price = self.random.choice((1.0, 2.0, 4.0, 8.0))
        wishes = [wish, replace(wish, price=price)]
        if windows.lightest < best.total:
            wishes.append(replace(wish, not_before=tuple(starts), cost_price=0.0))
        found = [f for f in map(search.consider, wishes) if f is not None]
        lightest = min(found, key=lambda f: f.total, default=None)
        if lightest is None or lightest.total >= windows.total:
            return windows
        floor = Floor(search.decoder, lightest, search.staying)
        return windows.moved_to(floor, lightest.total)
