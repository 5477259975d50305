"""A walk by compiled code over the best order of a search, for questions that are large.

Takes a `Search` with an order, leaves the best in it. Knows nothing of budgets. The same seed and
number of tries give the same answer. The first use compiles for some thirty seconds, part by part
on a thread of its own, so that whoever waits can stop waiting and a command that ends has to wait
for one part at most; then what was compiled is kept on disk.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from planner.schedule.appraise import quarter_weight
from planner.schedule.flat import horizon_of, is_flat, stand_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.schedule.moves import Moves
    from planner.schedule.search import Found, Search
    from planner.schedule.sheet import Sheet
    from planner.schedule.swinging import Swing

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
RIVALS, HEAT, RACE_SHARE = 3, 2000, 0.4
"""Walks begun from one order, the times that they put each activity back before only the lightest
goes on, and how much of a budget that may take: the first thousands of tries settle in which order
what is scarcest is done, 5 % to one side or the other, and later ones seldom change it."""
PUT_BACK_A_SECOND = 250_000
"""Activities put back in a second of a processor, about."""
LEAST_SWUNG, SWUNG_EVERY = 1500, 60
"""Activities from which boards are pushed back and forth as well, and the times that a walk puts
each back before that is done. 500 generated pieces come to 0.95 in ten seconds of what they come to
when it is done three times by Python; from every 30 to every 60 it gains alike, more often less."""
LEAST_SECONDS_TO_SWING = 120.0
"""Seconds left from which it is compiled for that: as much again."""


def can_be_moved(search: Search, seconds: float | None, tries: int | None = None) -> bool:
    """Whether compiled code can go over a question, and is there or worth waiting for.

    Where no clock plays a part, what is kept from former runs plays none either: the same question
    has the same answer everywhere.

    Args:
        search: with an order; large, and fit for the tables.
        seconds: that are left; None if the clock plays no part.
        tries: that are left then; None for no end of them.
    """
    count = len(search.indexed.ids)
    if count < LEAST_MOVED or not fits_tables(search):
        return False
    if may_compile(count, seconds, tries):
        return True
    return seconds is not None and seconds >= LEAST_SECONDS_KEPT and _are_compiled()


def fits_tables(search: Search) -> bool:
    """Whether there is an order, and the tables hold all of the question."""
    indexed, best = search.indexed, search.best
    return best is not None and is_flat(indexed, horizon_of(indexed, best.board.finishes))


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


def rivals_of(count: int, seconds: float | None, tries: int | None = None) -> int:
    """How many walks are begun from one order, of which the lightest goes on.

    Args:
        count: of activities.
        seconds: that are left; None if the clock plays no part.
        tries: that are left then; None for no end of them.
    """
    heats = RIVALS * HEAT / RACE_SHARE
    if seconds is not None:
        return RIVALS if seconds * PUT_BACK_A_SECOND >= heats * count else 1
    return RIVALS if tries is None or tries * PUT_BACK_A_PLACING >= heats else 1


def can_swing(search: Search, seconds: float | None) -> bool:
    """Whether boards that can be moved are pushed back and forth as well.

    Args:
        search: not one that holds to the starts of an issued order: pushing leads far from it.
        seconds: that are left; None if the clock plays no part.
    """
    if search.not_before is not None or len(search.indexed.ids) <= LEAST_SWUNG:
        return False
    return seconds is None or seconds >= LEAST_SECONDS_TO_SWING or _can_swing_at_once()


def _can_swing_at_once() -> bool:
    from planner.schedule.pushing import can_swing_at_once

    return can_swing_at_once()


def sheet_of(search: Search) -> Sheet:
    """The tables of a search's question, laid where those laid before do not hold its best."""
    from planner.schedule.sheet import Sheet

    best, sheet = search.best, search.sheet
    if best is None:
        raise RuntimeError("there is no order to lay the tables for")
    if sheet is None or not sheet.holds(best.board):
        sheet = search.sheet = Sheet(search.indexed, best.board, search.staying)
    return sheet


def sheet_at_once(search: Search, seconds: float | None) -> Sheet | None:
    """The tables to place whole orders on before a walk that pushes; None without one at once.

    Args:
        search: with an order.
        seconds: that are left; None if the clock plays no part: what was compiled then neither.
    """
    if seconds is None or not (can_be_moved(search, seconds) and can_swing(search, seconds)):
        return None
    return sheet_of(search) if _are_compiled() and _can_swing_at_once() else None


class Moving:
    """The walk, begun anew wherever something else has found a lighter order.

    `slice` is how much of it is worth a turn, in placings of everything: what it finds is placed in
    Python only once in some seconds, and if another way found something lighter it would have to
    begin afresh.
    """

    slice = 240

    def __init__(self, search: Search, seed: int, rivals: int = 1, *, swings: bool = False) -> None:
        """Begin nothing yet.

        Args:
            search: with an order.
            seed: of the pseudo-random choices.
            rivals: walks that are begun first; the lightest goes on after a heat.
            swings: whether boards are pushed back and forth too.
        """
        self.search = search
        self.seed = seed
        self.rivals = rivals
        self.swings = swings
        self._walks: list[Moves] = []
        self._swing: Swing | None = None
        self._sheet: Sheet | None = None

    def go(self, over: Callable[[], bool]) -> None:
        """Move activities until `over()`, then place the best so that the search has it."""
        search, best = self.search, self.search.best
        if best is None:
            return
        if not self._walks or self._lightest().lightest > best.total:
            self._walks = self._begun(best, over)
        if not self._walks:
            return
        placed, put_back = search.placed, 0
        try:
            while not over():
                put_back += self._step()
                search.count_to(placed + put_back // PUT_BACK_A_PLACING)
        finally:
            # However it ends: none of it is placed before.
            moves = self._lightest()
            if moves.lightest < best.total:
                search.consider_placed(*moves.best())

    def _lightest(self) -> Moves:
        return min(self._walks, key=lambda moves: moves.lightest)

    def _step(self) -> int:
        """Some tries of each walk; gives how many activities were put back."""
        before = sum(moves.placed for moves in self._walks)
        count = len(self.search.indexed.ids)
        for moves in self._walks:
            moves.go(STRIDE)
            if self._swing is not None and moves.placed - moves.swung_at >= SWUNG_EVERY * count:
                self._swing.go(moves)
        after = sum(moves.placed for moves in self._walks)
        heat = HEAT * count
        if len(self._walks) > 1 and after >= heat * len(self._walks):
            self._walks = [self._lightest()]
        return after - before

    def _begun(self, best: Found, over: Callable[[], bool]) -> list[Moves]:
        """Walks from an order; none if it is over before they are compiled."""
        from planner.schedule.compiled import made_aside

        walks = made_aside(partial(self._begin, best), over)
        if walks is None:
            return []
        self.seed += len(walks)
        self.rivals = 1
        return walks

    def _begin(self, best: Found, is_given_up: Callable[[], bool]) -> list[Moves]:
        from planner.schedule.moves import Moves, compile_moves
        from planner.schedule.swinging import Swing

        indexed, sheet = self.search.indexed, sheet_of(self.search)
        if sheet is not self._sheet:
            self._sheet, self._swing = sheet, None
        ground, weight = sheet.ground, quarter_weight(indexed)
        stand = stand_of(indexed, ground, best.board)
        if not compile_moves(ground, stand, is_given_up):
            return []
        stands = [stand, *(stand_of(indexed, ground, best.board) for _ in range(1, self.rivals))]
        walks = [
            Moves(ground, each, self.seed + n, best.wish.cost_price, weight)
            for n, each in enumerate(stands)
        ]
        if self.swings and self._swing is None:
            swing = Swing.of(sheet, best.parts.finish)
            # What the tables do not hold turned round is only rearranged.
            self._swing = swing if swing is not None and swing.compile(is_given_up) else None
        if self._swing is not None:
            for moves in walks:
                self._swing.go(moves)
        return walks
