"""A walk by compiled code over the best order of a search, for questions that are large.

Takes a `Search` with an order, leaves the best in it. Knows nothing of budgets. The same seed and
number of tries give the same answer. The first use compiles for some thirty seconds, part by part
on a thread of its own, so that whoever waits can stop waiting and a command that ends has to wait
for one part at most; then what was compiled is kept on disk.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor, wait
from dataclasses import replace
from threading import Event
from typing import TYPE_CHECKING

from planner.schedule.appraise import quarter_weight
from planner.schedule.flat import ground_of, horizon_of, is_flat, stand_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.schedule.flat import Ground
    from planner.schedule.moves import Moves
    from planner.schedule.search import Found, Search

LEAST_COMPILED = 800
"""Activities from which compiled code is worth its compiling, once."""
LEAST_MOVED = 150
"""Activities from which it is worth reading where it is kept; fewer are done whole."""
LEAST_SECONDS = 50.0
"""Seconds left from which compiling is begun; a budget of a minute has them.

It takes about 30 of a processor, and what is left makes good that nothing was improved meanwhile.
"""
LEAST_TRIED = 4_500_000
"""Activities to be placed from which it is begun where no clock plays a part: about a minute's."""
LEAST_SECONDS_KEPT = 3.0
"""Seconds left from which it is read where it is kept, which takes most of one."""
STRIDE = 100
"""Tries between two looks: some hundredths of a second."""
PUT_BACK_A_PLACING = 3
"""Activities put back in about the time that placing one in a whole order takes."""
LOOK_SECONDS = 0.05


def can_be_moved(search: Search, seconds: float | None, tries: int | None = None) -> bool:
    """Whether compiled code can go over a question, and is there or worth waiting for.

    Where no clock plays a part, what is kept from former runs plays none either: the same question
    has the same answer everywhere.

    Args:
        search: with an order; large, and fit for the tables.
        seconds: that are left; None if the clock plays no part.
        tries: that are left then; None for no end of them.
    """
    indexed, count = search.indexed, len(search.indexed.ids)
    if count < LEAST_MOVED or search.best is None:
        return False
    if not is_flat(indexed, horizon_of(indexed, search.best.board.finishes)):
        return False
    if may_compile(count, seconds, tries):
        return True
    return seconds is not None and seconds >= LEAST_SECONDS_KEPT and _are_compiled()


def may_compile(count: int, seconds: float | None, tries: int | None = None) -> bool:
    """Whether so many activities, and so many seconds or else tries, are worth compiling for."""
    if count < LEAST_COMPILED:
        return False
    if seconds is not None:
        return seconds >= LEAST_SECONDS
    return tries is None or tries * count >= LEAST_TRIED


def _are_compiled() -> bool:
    from planner.schedule.moves import are_compiled

    return are_compiled()


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
        thread, given_up = ThreadPoolExecutor(1), Event()
        beginning = thread.submit(self._begin, best, given_up)
        thread.shutdown(wait=False)
        try:
            while wait([beginning], LOOK_SECONDS).not_done:
                if over():
                    return None
        finally:
            given_up.set()
        self.seed += 1
        return beginning.result()

    def _begin(self, best: Found, given_up: Event) -> Moves | None:
        from planner.schedule.moves import Moves, compile_moves

        indexed, finishes = self.search.indexed, best.board.finishes
        if self._ground is None or max(finishes) >= self._horizon:
            self._horizon = horizon_of(indexed, finishes)
            self._ground = ground_of(indexed, self._horizon, self.search.staying)
        stand = stand_of(indexed, self._ground, best.board)
        if not compile_moves(self._ground, stand, given_up.is_set):
            return None
        weight = quarter_weight(indexed)
        return Moves(self._ground, stand, self.seed, best.wish.cost_price, weight)
