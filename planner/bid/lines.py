"""The bid as frozen values: lines, loads and totals in three figures.

Takes nothing, gives `Bid` and its parts. Knows nothing of how a line is priced. Sums are exact
decimals in the show's one currency; every line is rounded once, to the cent, halves away from zero,
and every total is a sum of rounded lines.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from planner.kinds import Phase, Risk
    from planner.model.place import Place, Problem
    from planner.model.quantity import Quantity
    from planner.model.show import Loads

CENT = Decimal("0.01")


def to_the_cent(amount: Decimal) -> Decimal:
    """`amount` rounded to the cent, halves away from zero."""
    return amount.quantize(CENT, rounding=ROUND_HALF_UP)


@dataclass(frozen=True, slots=True)
class Figures:
    """One sum of money three ways, in the bid's currency: low <= likely <= high."""

    low: Decimal
    likely: Decimal
    high: Decimal

    @classmethod
    def certain(cls, amount: Decimal) -> Figures:
        """The same sum three times, rounded to the cent."""
        cents = to_the_cent(amount)
        return cls(cents, cents, cents)

    def __add__(self, other: Figures) -> Figures:
        return Figures(self.low + other.low, self.likely + other.likely, self.high + other.high)

    def times(self, factor: Decimal) -> Figures:
        """Each figure times `factor`, rounded to the cent."""
        return Figures(
            to_the_cent(self.low * factor),
            to_the_cent(self.likely * factor),
            to_the_cent(self.high * factor),
        )


NOTHING = Figures(Decimal("0.00"), Decimal("0.00"), Decimal("0.00"))


def total_of(figures: Iterable[Figures]) -> Figures:
    """Sum of any number of figures."""
    low = likely = high = NOTHING.low
    for each in figures:
        low += each.low
        likely += each.likely
        high += each.high
    return Figures(low, likely, high)


@dataclass(frozen=True, slots=True)
class BidLine:
    """One thing paid for.

    Attributes:
        element: id of the element it is for; empty for a stage held for no call.
        shot: id; empty for what is shared between shots.
        sequence: id; empty for what is shared.
        kind: of the element.
        what: what is paid for, in words.
        craft: who is paid: the craft for labour; the sort of resource (``stage``, ``rig`` …) for
            what is held; ``charges`` for anything bought.
        phase: when in the show's life it falls.
        month: ``2026-03``; empty where no call dates it.
        account: the production's own account text; may be empty.
        risk: class of contingency it carries.
        rate: id of its rate; empty for a stated sum.
        figures: what it costs; nothing while it is unpriced.
        reason: the likely figure with its arithmetic.
        place: where the element is written.
        is_priced: False where no rate could be had, and the line stands at 0.
        is_dead: whether it is for a build that only omitted shots use.
    """

    element: str
    shot: str
    sequence: str
    kind: str
    what: str
    craft: str
    phase: Phase
    month: str
    account: str
    risk: Risk
    rate: str
    figures: Figures
    reason: Quantity
    place: Place
    is_priced: bool = True
    is_dead: bool = False


@dataclass(frozen=True, slots=True)
class LoadLine:
    """Overhead or contingency on the lines.

    Attributes:
        name: ``overhead``, ``contingency, fire`` …
        share: of `base`; 0.12 is twelve per cent.
        base: what it is taken on.
        figures: what it comes to.
        reason: the likely figure with its arithmetic.
    """

    name: str
    share: Decimal
    base: Figures
    figures: Figures
    reason: Quantity


@dataclass(frozen=True, slots=True)
class Bid:
    """What the show costs, line by line.

    Attributes:
        title: of the show.
        currency: ISO 4217 code of every sum.
        lines: what is paid for, in story order, then what is held.
        loads: overhead and contingency, apart from the lines.
        cost: sum of the lines.
        total: sum of the lines and the loads.
        problems: rates that are missing or do not fit, and caps passed.
        unpriced: lines that stand at 0 for want of a rate.
        not_in_bid: lines of shots on hold and of unplaced ones, priced but left out of every sum.
        users: per thing outside shots, the live shots that use it, in story order.
        terms: the shares behind `loads`, and whether contingency carries overhead.
    """

    title: str
    currency: str
    lines: tuple[BidLine, ...]
    loads: tuple[LoadLine, ...]
    cost: Figures
    total: Figures
    problems: tuple[Problem, ...]
    unpriced: tuple[BidLine, ...]
    not_in_bid: tuple[BidLine, ...]
    users: Mapping[str, tuple[str, ...]]
    terms: Loads
