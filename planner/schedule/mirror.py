"""Orders read off a schedule pushed back in time: what can wait, waits, and stops being in the way.

Takes an `Indexed` and a board, gives another order. Knows nothing of weights or of search.

Everything is placed from the far end backwards, each activity as late as its followers, its
resources and its due or present finish allow; the order of the starts so found is a new order to
place forwards.

Source:
    V. Valls, F. Ballestin, S. Quintanilla, "Justification and RCPSP: a technique that pays",
    European Journal of Operational Research 165 (2005), pp. 375-386.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner.schedule.decode import Decoder, Wish
from planner.schedule.indexed import BARE, Indexed, topological_order
from planner.schedule.worktime import merged

if TYPE_CHECKING:
    from planner.schedule.decode import Board
    from planner.schedule.worktime import Spell


class Mirror:
    """The question with time running backwards from a horizon."""

    def __init__(self, indexed: Indexed, horizon: int) -> None:
        """Turn the question round.

        Args:
            indexed: the question.
            horizon: quarter that becomes 0, rounded up to whole days; boards that end after that
                cannot be justified.
        """
        self.indexed = indexed
        self.horizon = -(-horizon // indexed.day) * indexed.day
        self.decoder = Decoder(_turned(indexed, self.horizon))

    def justified(self, board: Board, price: float) -> tuple[int, ...] | None:
        """An order by the latest starts that keep every due, or its present lateness."""
        last = max(board.finishes, default=0)
        if last > self.horizon:
            return None
        ends = [
            max(finish, last if activity.due is None else min(activity.due, last))
            for finish, activity in zip(board.finishes, self.indexed.activities, strict=True)
        ]
        backwards = self.decoder.indexed
        order = topological_order(
            backwards.before, backwards.follow, [-finish for finish in board.finishes]
        )
        wish = Wish(
            order,
            tuple(board.modes),
            price,
            not_before=tuple(self.horizon - end for end in ends),
        )
        late = self.decoder.decode(wish)
        return topological_order(
            self.indexed.before,
            self.indexed.follow,
            [self.horizon - finish for finish in late.finishes],
        )


def _turned(indexed: Indexed, horizon: int) -> Indexed:
    def spells(of: tuple[Spell, ...]) -> tuple[Spell, ...]:
        return merged([(max(0, horizon - b), horizon - a) for a, b in of if a < horizon])

    return replace(
        indexed,
        ways=tuple(
            # How soon work pauses after its start is left out: there it is how late before its end.
            tuple(replace(way.however_soon(), spells=spells(way.spells)) for way in ways)
            for ways in indexed.ways
        ),
        # By the clock a wait may be short or long on the axis: left out, only the order is used.
        before=tuple(tuple((j, lag, 0) for j, lag, _ in waits) for waits in indexed.follow),
        follow=tuple(tuple((j, lag, 0) for j, lag, _ in waits) for waits in indexed.before),
        topological=indexed.topological[::-1],
        locks={},
        # Only the order is used; placing forwards keeps them unbroken.
        runs=((),) * len(indexed.runs),
        begun={},
        standing=(BARE,) * len(indexed.standing),
        spells=tuple(map(spells, indexed.spells)),
        set_up=indexed.strike,
        strike=indexed.set_up,
        odd={(r, b, a): quarters for (r, a, b), quarters in indexed.odd.items()},
    )
