"""A walk's board pushed back in time and placed forwards again, by compiled code.

Takes a walk of `moves`, changes its board. Knows nothing of when. It closes gaps all over a board,
which moves of a few activities each do not find; what it opens they soon close again.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.schedule.orders import back_of
from planner.schedule.pad import COST_PRICE, PLACED
from planner.schedule.placing import Table
from planner.schedule.pushing import compile_swing, swing

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.schedule.moves import Moves
    from planner.schedule.pushing import Back
    from planner.schedule.sheet import Sheet

PRICE = 2.0
"""Quarters rather waited than changed over, where everything is placed again."""


class Swing:
    """What boards of one question are pushed back and forth with."""

    def __init__(self, back: Back, sheet: Sheet) -> None:
        """Take the tables.

        Args:
            back: the question turned round.
            sheet: the question, and a board to place on.
        """
        self._back, self._sheet = back, sheet

    @classmethod
    def of(cls, sheet: Sheet, finish: int) -> Swing | None:
        """For boards that end not much after some quarter; None if the tables do not hold it."""
        back = back_of(sheet.indexed, finish)
        return None if back is None else cls(back, sheet)

    def compile(self, is_given_up: Callable[[], bool]) -> bool:
        """Compile part by part, as `compile_moves`; whether all is compiled."""
        return compile_swing(self._sheet.trial, self._back, self._sheet.wanted, is_given_up)

    def go(self, moves: Moves) -> None:
        """Push the board of a walk back and forth; it goes on from there unless that is too heavy.

        What was placed counts as the walk's.
        """
        trial, before = self._sheet.trial, self._placed()
        trial.pad.how[COST_PRICE] = moves.pad.how[COST_PRICE]
        now = Table(moves.ground, moves.stand, moves.pad)
        if swing(now, trial, self._back, self._sheet.wanted, PRICE):
            moves.go_on_from(trial)
        moves.pad.tally[PLACED] += self._placed() - before
        moves.swung_at = moves.placed

    def _placed(self) -> int:
        tables = self._sheet.trial, self._back.table
        return sum(int(table.pad.tally[PLACED]) for table in tables)
