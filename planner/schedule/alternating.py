"""Whole orders walked and boards rearranged in turns by compiled code, for questions of some size.

Takes a `Search` with an order, leaves the best in it. Knows nothing of budgets. The same seed and
number of tries give the same answer.

Rearranging soon finds all that is near an order, then hardly anything; placing whole orders anew
goes far from it and back for little, and what it finds can be rearranged again. In turns, 100
generated pieces come within a minute to less than nine tenths of what either makes of them.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from planner.schedule.moving import (
    PUT_BACK_A_PLACING,
    Moving,
    can_be_moved,
    fits_tables,
    may_compile,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.schedule.orders import Orders
    from planner.schedule.search import Found, Search

ORDERED, MOVED = 1400, 700
"""Of a turn of each, how often it puts every activity."""
STRIDE = 10
"""Whole orders tried between two looks."""
LEAST_COMPILED, MOST_ALTERNATED = 400, 1500
"""Activities from which it is worth compiling, once, and up to which it is done."""
LEAST_SECONDS = 120.0
"""Seconds left from which that is begun: with the moves it takes more than a minute."""


def can_alternate(search: Search, seconds: float | None, tries: int | None = None) -> bool:
    """Whether compiled code can take turns over a question, and is there or worth waiting for.

    Args:
        search: with an order; of some size, as placing large ones anew takes too long.
        seconds: that are left; None if the clock plays no part.
        tries: that are left then; None for no end of them.
    """
    count = len(search.indexed.ids)
    if count > MOST_ALTERNATED or search.staying is not None or not fits_tables(search):
        return False
    if seconds is None:
        return may_compile(count, seconds, tries)
    if count >= LEAST_COMPILED and seconds >= LEAST_SECONDS:
        return True
    return can_be_moved(search, seconds) and _are_compiled()


def _are_compiled() -> bool:
    from planner.schedule import moves, ordering

    return moves.are_compiled() and ordering.are_compiled()


class Alternating:
    """The turns, begun anew wherever something else has found a lighter order.

    `slice` is what a turn of each comes to, in placings of everything.
    """

    slice = (ORDERED + MOVED) // PUT_BACK_A_PLACING

    def __init__(self, search: Search, seed: int) -> None:
        """Begin nothing yet.

        Args:
            search: with an order.
            seed: of the pseudo-random choices.
        """
        self.search = search
        self.seed = seed
        self._moving = Moving(search, seed)
        self._orders: Orders | None = None
        self._is_laid = False
        self._left: Found | None = None

    def go(self, over: Callable[[], bool]) -> None:
        """Take turns until `over()`."""
        while not over():
            self._walk(self._until(over, ORDERED))
            self._moving.go(self._until(over, MOVED))

    def _until(self, over: Callable[[], bool], times: int) -> Callable[[], bool]:
        search = self.search
        last = search.placed + times * len(search.indexed.ids) // PUT_BACK_A_PLACING
        return lambda: search.placed >= last or over()

    def _walk(self, over: Callable[[], bool]) -> None:
        """Walk whole orders until `over()`, and give the search what is lighter."""
        orders, search = self._begun(over), self.search
        placed, before = search.placed, orders.placed if orders else 0
        try:
            while orders is not None and orders.is_on and not over():
                orders.go(STRIDE)
                search.count_to(placed + (orders.placed - before) // PUT_BACK_A_PLACING)
        finally:
            best = search.best
            if orders is not None and best is not None and 0 < orders.lightest < best.total:
                self._left = search.consider_placed(*orders.best())

    def _begun(self, over: Callable[[], bool]) -> Orders | None:
        """The walk, gone on with, or from an order that something else has found."""
        from planner.schedule.compiled import made_aside

        best = self.search.best
        if best is None:
            return None
        if not self._is_laid:
            self._is_laid = True
            self._orders = made_aside(partial(self._laid, best), over)
        if self._orders is not None and best is not self._left:
            self._orders.begin(best)
            self._left = best
        return self._orders

    def _laid(self, best: Found, is_given_up: Callable[[], bool]) -> Orders | None:
        from planner.schedule.orders import Orders

        orders = Orders(self.search.indexed, best, self.seed)
        return orders if orders.compile(is_given_up) else None
