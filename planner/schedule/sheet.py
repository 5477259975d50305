"""The tables of one question, on which whole orders are placed and weighed by compiled code.

Takes an `Indexed` and a board, gives what wishes weigh. Knows nothing of which are kept. Each takes
a tenth of the time that it takes in Python: 4 ms where 500 generated pieces take 50. Importing it
imports what compiles: do so where it is needed.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from planner.schedule.appraise import quarter_weight
from planner.schedule.flat import HORIZON, Stand, ground_of, horizon_of, lay, stand_of
from planner.schedule.pad import A_QUARTER, COST_PRICE, pad_of
from planner.schedule.placing import Table, Wanted, place_all

if TYPE_CHECKING:
    from planner.schedule.decode import Board, Wish
    from planner.schedule.indexed import Indexed
    from planner.schedule.lifting import Staying


class Sheet:
    """The tables, and a board of the question to place on.

    Attributes:
        ground: the question; only read.
        trial: a board that is whole, and what is worked out on.
        wanted: an order that is to be placed.
    """

    def __init__(self, indexed: Indexed, board: Board, staying: Staying | None = None) -> None:
        """Lay the tables.

        Args:
            indexed: the question, fit for the tables.
            board: a whole board of it, which none that counts is much longer than.
            staying: what was issued, where some should stay near it.
        """
        self.indexed = indexed
        self.ground = ground_of(indexed, horizon_of(indexed, board.finishes), staying)
        self._first = stand_of(indexed, self.ground, board)
        stand = Stand(*(each.copy() for each in self._first))
        pad = pad_of(self.ground, stand, 0)
        pad.how[A_QUARTER] = quarter_weight(indexed)
        self.trial = Table(self.ground, stand, pad)
        count = len(indexed.ids)
        self.wanted = Wanted(np.zeros(count, np.int64), np.zeros(count, np.int64))

    def holds(self, board: Board) -> bool:
        """Whether a board ends before the tables do."""
        return max(board.finishes, default=0) < int(self.ground.sizes[HORIZON])

    def weigh(self, wish: Wish) -> int | None:
        """What a wish leads to weighs; None if something has no place or it ends far too late."""
        self.wanted.order[:], self.wanted.modes[:] = wish.order, wish.modes
        self.trial.pad.how[COST_PRICE] = wish.cost_price
        total = int(place_all(self.trial, self.wanted, wish.price))
        if total < 0:
            # What is left of it is no board to lift anything from.
            lay(self.trial.stand, self._first)
        return total if total >= 0 else None
