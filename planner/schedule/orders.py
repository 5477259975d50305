"""A walk over whole orders of one question, and the tables that it goes over.

Takes an `Indexed` and an order, gives lighter ones as they would stand on a board. Knows nothing of
when to stop. Importing it imports what compiles: do so where it is needed.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from planner.schedule.appraise import quarter_weight
from planner.schedule.changing import PRICE, Line
from planner.schedule.flat import HORIZON, ground_of, horizon_of, is_flat, lay, stand_of
from planner.schedule.mirror import Mirror
from planner.schedule.ordering import compile_walk, walk
from planner.schedule.pad import A_QUARTER, COST_PRICE, LIGHTEST, PLACED, TOTAL, pad_of
from planner.schedule.placing import Table, Wanted, place_all
from planner.schedule.pushing import Back

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.schedule.flat import Ground
    from planner.schedule.indexed import Indexed
    from planner.schedule.search import Found

MEMORY = 400
"""A change may be as heavy as the order so many tries ago."""
FIRST_PRICE = 2.0
"""Quarters rather waited for one changed over where an order does not say."""
ROOM = 1.5
"""Finishes of a first board that one may have that is pushed back."""


class Orders:
    """A walk over whole orders of one question.

    `is_on` says whether it was begun; then `lightest` is the weight of the lightest so far.
    """

    def __init__(self, indexed: Indexed, found: Found, seed: int) -> None:
        """Lay the tables.

        Args:
            indexed: the question, fit for the tables.
            found: an order of it, which others are not much longer than.
            seed: of the pseudo-random choices.
        """
        self.indexed, self.is_on = indexed, False
        ground = ground_of(indexed, horizon_of(indexed, found.board.finishes))
        self._now, self._trial = (_table(indexed, ground, found, seed) for _ in range(2))
        self._back = back_of(indexed, found.parts.finish)
        self._line = _line(found)

    @property
    def lightest(self) -> int:
        """What the lightest so far weighs."""
        return int(self._now.pad.tally[LIGHTEST])

    @property
    def placed(self) -> int:
        """Activities put so far."""
        tables = (self._now, self._trial, *((self._back.table,) if self._back else ()))
        return sum(int(table.pad.tally[PLACED]) for table in tables)

    def compile(self, is_given_up: Callable[[], bool]) -> bool:
        """Compile what is needed; false if it was given up, or the tables do not hold all."""
        back = self._back
        return back is not None and compile_walk(self._now, back, self._line, is_given_up)

    def begin(self, found: Found) -> None:
        """Go on from an order, as free to become heavier as before; off if a lock would break."""
        line, tally, kept = self._line, self._now.pad.tally, self._now.pad.kept
        line.now.order[:], line.now.modes[:] = found.wish.order, found.wish.modes
        line.prices[PRICE] = found.wish.price or line.prices[PRICE]
        self.is_on = max(found.board.finishes) < int(self._now.ground.sizes[HORIZON])
        if not self.is_on:
            return
        lay(self._now.stand, stand_of(self.indexed, self._now.ground, found.board))
        slack = np.maximum(0, kept - tally[TOTAL])
        total = place_all(self._now, line.now, line.prices[PRICE])
        self.is_on = total >= 0
        if not self.is_on:
            return
        tally[TOTAL], kept[:] = total, total + slack
        if not tally[LIGHTEST] or total < tally[LIGHTEST]:
            tally[LIGHTEST], self._now.pad.best[:] = total, self._now.stand.at

    def go(self, tries: int) -> None:
        """Try so many changes."""
        if self._back is not None:
            walk(self._now, self._trial, self._back, self._line, tries)

    def best(self) -> tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]]:
        """Starts, finishes and modes of the lightest."""
        starts, finishes, modes = self._now.pad.best.T.tolist()
        return tuple(starts), tuple(finishes), tuple(modes)


def _table(indexed: Indexed, ground: Ground, found: Found, seed: int) -> Table:
    stand = stand_of(indexed, ground, found.board)
    pad = pad_of(ground, stand, seed)._replace(kept=np.zeros(MEMORY, np.int64))
    pad.how[COST_PRICE], pad.how[A_QUARTER] = found.wish.cost_price, quarter_weight(indexed)
    return Table(ground, stand, pad)


def _line(found: Found) -> Line:
    order = np.array(found.wish.order, np.int64)
    modes = np.array(found.wish.modes, np.int64)
    prices = np.array([found.wish.price or FIRST_PRICE] * 2)
    now, new = (Wanted(order.copy(), modes.copy()) for _ in range(2))
    return Line(now, new, np.zeros(order.size, np.int64), prices)


def back_of(indexed: Indexed, finish: int) -> Back | None:
    """A question turned round, for boards that end not much after some quarter; None if too big."""
    mirror = Mirror(indexed, int(ROOM * finish))
    turned, count = mirror.decoder.indexed, len(indexed.ids)
    end = horizon_of(turned, [mirror.horizon])
    if not is_flat(turned, end):
        return None
    ground = ground_of(turned, end)
    blank = mirror.decoder.blank()
    for each in (blank.starts, blank.finishes, blank.modes):
        each[:] = [0] * count
    stand = stand_of(turned, ground, blank)
    pad = pad_of(ground, stand, 0)
    pad.how[COST_PRICE], pad.how[A_QUARTER] = 0.0, 1.0
    topological = np.array(indexed.topological, np.int64)
    rank = np.empty(count, np.int64)
    rank[topological] = np.arange(count)
    nothing = np.zeros(count, np.int64)
    wanted = Wanted(nothing.copy(), nothing.copy())
    horizon = np.array([mirror.horizon], np.int64)
    return Back(Table(ground, stand, pad), wanted, topological, rank, nothing, horizon)
