"""What another order would cost beside the one people work by.

Takes orders with their bids, gives the difference in money, and in lateness and what else
nobody is paid at the show's own prices. Knows nothing of how they came about.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.bid.lines import Figures

if TYPE_CHECKING:
    from planner.bid.lines import Bid
    from planner.order import StageOrder


@dataclass(frozen=True, slots=True)
class Costed:
    """An order with what it takes to weigh it.

    Attributes:
        order: dated.
        bid: its price.
        redone: ids of calls that had begun and that it does once more; its bid pays for both.
        unpaid: what nobody is paid and the show holds to cost beside lateness, whole units: calls
            moved, and stage days and changes of set-up beside their rates.
        moved: how many calls it moves.
    """

    order: StageOrder
    bid: Bid
    redone: tuple[str, ...] = ()
    unpaid: int = 0
    moved: int = 0


@dataclass(frozen=True, slots=True)
class Difference:
    """What one order costs beside another.

    Attributes:
        money: its total less that of the other, loads included; below nought where it is cheaper.
        lateness: price of its lateness less that of the other, in whole units of the currency, as
            show.yaml holds days late to cost; nobody is paid it.
        unpaid: the same of what else the show holds to cost and nobody is paid.
    """

    money: Figures
    lateness: int
    unpaid: int = 0

    @property
    def weight(self) -> float:
        """Money and lateness together, to put ways in order."""
        return float(self.money.likely) + self.lateness


def difference(base: Costed, other: Costed) -> Difference:
    """What `other` costs beside `base`, an order of the same show or of one changed a little."""
    was, now = base.bid.total, other.bid.total
    money = Figures(now.low - was.low, now.likely - was.likely, now.high - was.high)
    lateness = _lateness(other.order) - _lateness(base.order)
    return Difference(money, lateness, other.unpaid - base.unpaid)


def lightest(base: Costed, *others: Costed) -> Costed:
    """Of several orders of one day, that which costs least, what nobody is paid included.

    The sum is what a search made small, with the bid itself in place of what single calls tell of
    it. The first of equals.
    """

    def weighs(each: Costed) -> float:
        beside = difference(base, each)
        return beside.weight + beside.unpaid

    return min((base, *others), key=weighs)


def _lateness(order: StageOrder) -> int:
    """Weighed in money already by the question it answers."""
    if order.question is None or order.answer is None:
        return 0
    return order.question.instance.weights.late * order.answer.parts.lateness
