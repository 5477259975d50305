"""What every line of a bid is priced with, and the making of a line.

Takes the show, its order and its rates, gives look-ups by call and `BidLine`s. Knows nothing of
what is worth a line.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from planner.bid.escalation import escalation_of
from planner.bid.lines import NOTHING, ONE, BidLine, Figures, exact
from planner.bid.overtime import overtime_of
from planner.bid.rate_book import RateBook
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date
    from decimal import Decimal

    from planner.bid.lines import Reckoning
    from planner.bid.overtime import Overtime
    from planner.kinds import Phase, Risk
    from planner.model.show import Element, Show
    from planner.order.stage_order import Call, StageOrder

ROUNDED = "to the cent, halves up"


class Cost(NamedTuple):
    """What one thing comes to, with its arithmetic.

    Attributes:
        figures: nothing where it could not be priced.
        reason: the formula in words.
        inputs: what it was reckoned from.
        account: the production's own account text.
        is_priced: False where no rate could be had.
        reckoning: quantity and price; None where it could not be priced.
    """

    figures: Figures
    reason: str
    inputs: tuple[Quantity, ...]
    account: str = ""
    is_priced: bool = True
    reckoning: Reckoning | None = None


def unpriced(*inputs: Quantity) -> Cost:
    """The cost of what no rate could be had for."""
    return Cost(NOTHING, "no rate to price it with", inputs, is_priced=False)


class Entry(NamedTuple):
    """What is paid for, and how it is filed; the fields of a `BidLine` that are not the cost."""

    what: str
    craft: str
    rate: str
    month: str
    phase: Phase | None
    risk: Risk


@dataclass(frozen=True, slots=True)
class Desk:
    """The show, its rates and the first calls of its work.

    Attributes:
        show: everything the files state.
        order: dates of the work, and days held.
        book: rates, remembering what failed.
        rates_on: day on which every rate is read; None for the day of the call.
        dead: things outside shots that only omitted shots use.
        by_work: first call by element and name of work.
        by_phase: first call by element and phase.
        by_element: first call by element.
        hours_in: working hours in a rate's unit, for units that are time.
        overtime: what late hours are paid; None for nothing beside their rate.
        own_rates: crews that rates.yaml gives a rate of their own, beside that of their craft.
    """

    show: Show
    order: StageOrder
    book: RateBook
    rates_on: date | None
    dead: frozenset[str]
    by_work: Mapping[tuple[str, str], Call]
    by_phase: Mapping[tuple[str, Phase], Call]
    by_element: Mapping[str, Call]
    hours_in: Mapping[str, Decimal]
    overtime: Overtime | None = None
    own_rates: frozenset[str] = frozenset()

    @classmethod
    def opened(
        cls, show: Show, order: StageOrder, rates_on: date | None, dead: frozenset[str]
    ) -> Desk:
        """A desk with an empty book."""
        by_work: dict[tuple[str, str], Call] = {}
        by_phase: dict[tuple[str, Phase], Call] = {}
        by_element: dict[str, Call] = {}
        for call in sorted(order.calls, key=lambda each: each.starts):
            by_work.setdefault((call.element, call.work.name), call)
            by_phase.setdefault((call.element, call.work.phase), call)
            by_element.setdefault(call.element, call)
        day = exact(show.calendar.day_hours)
        hours = {"hour": ONE, "day": day, "week": day * len(show.calendar.week)}
        book = RateBook(show, escalation_of(show.facts, show.calendar.starts))
        return cls(
            show,
            order,
            book,
            rates_on,
            dead,
            by_work,
            by_phase,
            by_element,
            hours,
            overtime_of(show.facts),
            frozenset(crew.id for crew in show.resources_of("crew") if crew.id in show.rates),
        )

    def with_empty_book(self) -> Desk:
        """The same desk, whose book remembers no fault."""
        return replace(self, book=RateBook(self.show, self.book.escalation))

    def call_of(self, element: str, phase: Phase) -> Call | None:
        """First call of the element in that phase, else its first call at all."""
        return self.by_phase.get((element, phase)) or self.by_element.get(element)

    def rate_day(self, call: Call | None) -> date:
        """Day on which a rate is read; the show's first day where no call dates the line."""
        if self.rates_on is not None:
            return self.rates_on
        return call.starts.date() if call else self.show.calendar.starts

    def rate_of_hands(self, craft: str, call: Call | None) -> str:
        """Id of the rate that hands are paid: of the crew called, where it has one of its own."""
        if call is None or not self.own_rates:
            return craft
        crews = (self.show.resources[each] for each in call.holds if each in self.own_rates)
        return next((crew.id for crew in crews if crew.craft == craft), craft)

    def line(self, element: Element, entry: Entry, cost: Cost) -> BidLine:
        """A line for an element."""
        shot = self.show.shots.get(element.shot)
        reason = Quantity(
            entry.what,
            float(cost.figures.likely),
            self.show.currency,
            reason=cost.reason,
            inputs=cost.inputs,
        )
        # In the order of the fields: a long bid has hundreds of thousands of lines.
        return BidLine(
            element.id,
            element.shot,
            shot.sequence if shot else "",
            element.kind,
            entry.what,
            entry.craft,
            entry.phase,
            entry.month,
            cost.account,
            entry.risk,
            entry.rate,
            cost.figures,
            reason,
            element.place,
            cost.is_priced,
            element.id in self.dead,
            cost.reckoning,
        )


def month_of(call: Call | None) -> str:
    """``2026-03``; empty without a call."""
    return _month(call.starts.year, call.starts.month) if call else ""


@lru_cache(maxsize=1024)
def _month(year: int, month: int) -> str:
    return f"{year:04}-{month:02}"
