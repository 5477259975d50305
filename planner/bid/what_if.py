"""What another order would cost beside the one people work by.

Takes two orders with their bids, gives the difference in money, and in lateness at the show's own
price. Knows nothing of how either came about.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.bid.lines import Figures
from planner.bid.rollup import loaded

if TYPE_CHECKING:
    from collections.abc import Collection

    from planner.bid.lines import Bid
    from planner.order import StageOrder


@dataclass(frozen=True, slots=True)
class Difference:
    """What one order costs beside another.

    Attributes:
        money: its total less that of the other, loads included; below nought where it is cheaper.
        lateness: price of its lateness less that of the other, in whole units of the currency, as
            show.yaml holds days late to cost; nobody is paid it.
    """

    money: Figures
    lateness: int

    @property
    def weight(self) -> float:
        """Both together, to put ways in order."""
        return float(self.money.likely) + self.lateness


def difference(
    base: tuple[StageOrder, Bid], other: tuple[StageOrder, Bid], redone: Collection[str] = ()
) -> Difference:
    """What `other` costs beside `base`.

    Args:
        base: an order and its bid.
        other: another, of the same show or of one changed a little.
        redone: ids of calls that `other` does once more than its bid says; their labour is added.
    """
    was, now = base[1], other[1]
    again = [line for line in was.lines if f"{line.element}/{line.what}" in set(redone)]
    total = now.total + loaded(again, was.terms)
    money = Figures(
        total.low - was.total.low,
        total.likely - was.total.likely,
        total.high - was.total.high,
    )
    return Difference(money, _lateness(other[0]) - _lateness(base[0]))


def _lateness(order: StageOrder) -> int:
    """Weighed in money already by the question it answers."""
    if order.question is None or order.answer is None:
        return 0
    return order.question.instance.weights.late * order.answer.parts.lateness
