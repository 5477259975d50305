"""A walk by compiled code over the best order of a search, for questions that are large.

Takes a `Search` with an order, leaves the best in it. Knows nothing of budgets. The same seed and
number of tries give the same answer. The first use compiles for the better part of a minute, on a
thread of its own, so that whoever waits can stop waiting; then what was compiled is kept on disk.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor, wait
from dataclasses import replace
from typing import TYPE_CHECKING

from planner.schedule.flat import ground_of, horizon_of, is_flat, stand_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.schedule.flat import Ground
    from planner.schedule.moves import Moves
    from planner.schedule.search import Found, Search

LEAST_MOVED = 600
"""Activities from which compiled code is worth its compiling."""
STRIDE = 100
"""Tries between two looks: some hundredths of a second."""
PUT_BACK_A_PLACING = 3
"""Activities put back in about the time that placing one in a whole order takes."""
LOOK_SECONDS = 0.05


def can_be_moved(search: Search) -> bool:
    """Whether a question is large and fits the tables; nothing issued holds it."""
    indexed = search.indexed
    if len(indexed.ids) < LEAST_MOVED or search.staying is not None or search.best is None:
        return False
    return is_flat(indexed, horizon_of(indexed, search.best.board.finishes))


class Moving:
    """The walk, begun anew wherever something else has found a lighter order."""

    def __init__(self, search: Search, seed: int) -> None:
        self.search = search
        self.seed = seed
        self._moves: Moves | None = None
        self._ground: Ground | None = None
        self._horizon = 0

    def go(self, over: Callable[[], bool]) -> None:
        """Move activities until `over()`, then place the best so that the search has it."""
        search, best = self.search, self.search.best
        if best is None:
            return
        moves = self._moves
        if moves is None or moves.lightest > best.total:
            moves = self._moves = self._begun(best, over)
        if moves is None:
            return
        tries, placed, before = search.tries, search.placed, moves.placed
        count = len(search.indexed.ids)
        while not over():
            moves.go(STRIDE)
            search.placed = placed + (moves.placed - before) // PUT_BACK_A_PLACING
            search.tries = tries + search.placed // count - placed // count
        if moves.lightest < best.total:
            self._give(moves, best)

    def _give(self, moves: Moves, best: Found) -> None:
        """Place the best of the moves in a whole order, everything where it is."""
        starts, finishes, modes = moves.best()
        order = sorted(
            self.search.indexed.topological,
            key=lambda i: (starts[i], finishes[i] > starts[i]),
        )
        wish = replace(best.wish, order=tuple(order), modes=modes, price=0.0, cost_price=0.0)
        self.search.consider(replace(wish, not_before=starts))

    def _begun(self, best: Found, over: Callable[[], bool]) -> Moves | None:
        """A walk from an order; None if it is over before that is compiled."""
        thread = ThreadPoolExecutor(1)
        beginning = thread.submit(self._begin, best)
        thread.shutdown(wait=False)
        while wait([beginning], LOOK_SECONDS).not_done:
            if over():
                return None
        self.seed += 1
        return beginning.result()

    def _begin(self, best: Found) -> Moves:
        from planner.schedule.moves import Moves

        indexed, finishes = self.search.indexed, best.board.finishes
        if self._ground is None or max(finishes) >= self._horizon:
            self._horizon = horizon_of(indexed, finishes)
            self._ground = ground_of(indexed, self._horizon)
        stand = stand_of(indexed, self._ground, best.board)
        moves = Moves(self._ground, stand, self.seed, best.wish.cost_price)
        moves.go(0)
        return moves
