"""A walk's board pushed back in time and placed forwards again, by compiled code.

Takes a walk of `moves`, changes its board. Knows nothing of when. It closes gaps all over a board,
which moves of a few activities each do not find; what it opens they soon close again.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from planner.schedule.flat import Stand
from planner.schedule.orders import back_of
from planner.schedule.pad import A_QUARTER, COST_PRICE, PLACED, pad_of
from planner.schedule.placing import Table, Wanted
from planner.schedule.pushing import compile_swing, swing

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.schedule.indexed import Indexed
    from planner.schedule.moves import Moves
    from planner.schedule.pushing import Back

PRICE = 2.0
"""Quarters rather waited than changed over, where everything is placed again."""


class Swing:
    """What boards of one question are pushed back and forth with."""

    def __init__(self, back: Back, moves: Moves) -> None:
        """Lay the tables.

        Args:
            back: the question turned round.
            moves: a walk, like all that are given later.
        """
        stand = Stand(*(each.copy() for each in moves.stand))
        pad = pad_of(moves.ground, stand, 0)
        for kept in (COST_PRICE, A_QUARTER):
            pad.how[kept] = moves.pad.how[kept]
        count = len(stand.at)
        self._back, self._trial = back, Table(moves.ground, stand, pad)
        self._wanted = Wanted(np.zeros(count, np.int64), np.zeros(count, np.int64))

    @classmethod
    def of(cls, indexed: Indexed, finish: int, moves: Moves) -> Swing | None:
        """For boards that end not much after some quarter; None if the tables do not hold it."""
        back = back_of(indexed, finish)
        return None if back is None else cls(back, moves)

    def compile(self, is_given_up: Callable[[], bool]) -> bool:
        """Compile part by part, as `compile_moves`; whether all is compiled."""
        return compile_swing(self._trial, self._back, self._wanted, is_given_up)

    def go(self, moves: Moves) -> None:
        """Push the board of a walk back and forth; it goes on from there unless that is too heavy.

        What was placed counts as the walk's.
        """
        trial, before = self._trial, self._placed()
        now = Table(moves.ground, moves.stand, moves.pad)
        if swing(now, trial, self._back, self._wanted, PRICE):
            moves.go_on_from(trial)
        moves.pad.tally[PLACED] += self._placed() - before
        moves.swung_at = moves.placed

    def _placed(self) -> int:
        return int(self._trial.pad.tally[PLACED] + self._back.table.pad.tally[PLACED])
