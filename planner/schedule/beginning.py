"""Orders to begin from: gathered by set-up, family by family, by latest start.

Takes an `Indexed`, gives wishes, and the first of them placed. Knows nothing of search.
"""

from __future__ import annotations

from statistics import fmean
from typing import TYPE_CHECKING, NamedTuple

from planner.schedule.decode import Decoder, Wish
from planner.schedule.ranking import (
    by_family,
    by_latest_start,
    gathered,
    latest_starts,
    weighed_starts,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.schedule.decode import Board
    from planner.schedule.indexed import Indexed

HASTE, HASTES = 2.0, (0.0, 5.0, 20.0, 60.0)
"""Of the first order and of others that are tried: from 0 to 5 is best on generated shows."""
FAMILY_HASTES, FAMILY_PRICE = (0.0, 1.0, 2.0), 1.5
"""Of first orders family by family: of 2,000 generated pieces, nearly all of them in time, they are
lighter than what five minutes of local search make of the others."""


class First(NamedTuple):
    """An order to begin with, and the question.

    Attributes:
        indexed: the question without the locks that no longer fit.
        thawed: those locks.
        wish: what leads to the order.
        board: the order.
    """

    indexed: Indexed
    thawed: tuple[int, ...]
    wish: Wish
    board: Board


def placed_first(indexed: Indexed, issued: Wish | None = None) -> First:
    """A first order, as issued or else by what is most urgent; locks that do not fit give way."""
    thawed: list[int] = []
    while True:
        wish = issued or _most_urgent(indexed)
        board = Decoder(indexed).decode(wish)
        if not board.broken:
            return First(indexed, tuple(thawed), wish, board)
        thawed.extend(sorted(set(board.broken)))
        indexed = indexed.without_locks(thawed)


def _most_urgent(indexed: Indexed) -> Wish:
    order = gathered(indexed, latest=weighed_starts(indexed, latest_starts(indexed), HASTE))
    return Wish(order, (-1,) * len(indexed.ids), cost_price=cost_price(indexed))


def cost_price(indexed: Indexed) -> float:
    """Quarters of waiting that one unit of mode cost is worth."""
    weights = indexed.instance.weights
    due = [activity.weight for activity in indexed.activities if activity.due is not None]
    quarter = weights.late * (fmean(due) if due else 0) + weights.finish
    return weights.cost / quarter if quarter else 0.0


def other_firsts(indexed: Indexed) -> Iterator[Wish]:
    """Other orders to begin from, to be tried in turn."""
    free, price_of_cost = (-1,) * len(indexed.ids), cost_price(indexed)
    latest = latest_starts(indexed)
    for haste in FAMILY_HASTES:
        keys = weighed_starts(indexed, latest, haste)
        yield Wish(by_family(indexed, keys), free, FAMILY_PRICE, price_of_cost)
    for haste in HASTES:
        keys = weighed_starts(indexed, latest, haste)
        yield Wish(gathered(indexed, min, keys), free, 2.0, price_of_cost)
        yield Wish(by_latest_start(indexed, keys), free, 2.0, price_of_cost)
    mean = gathered(indexed, fmean, latest)
    for order, price in ((mean, 2.0), (by_latest_start(indexed, latest), 8.0), (mean, 0.5)):
        yield Wish(order, free, price, price_of_cost)
