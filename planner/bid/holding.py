"""Lines for what is held by the day: stages, and rigs and cameras with a rate of their own.

Takes the desk, gives lines that share the cost of the days between those who were there. Knows
nothing of labour or purchases.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING

from planner.bid.desk import ROUNDED, Cost, Entry, month_of
from planner.bid.lines import NOTHING, BidLine, exact
from planner.bid.rollup import in_turn
from planner.kinds import Phase, Risk
from planner.model.quantity import Quantity
from planner.order.stood import span_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import date

    from planner.bid.desk import Desk
    from planner.bid.lines import Reckoning
    from planner.bid.rate_book import Price
    from planner.model.show import Resource, Show
    from planner.order.stage_order import Call, StageOrder

HELD = " by the day"
"""How the craft of a line ends that pays for a stage, rig or camera."""
DAYS_HELD = ", days held"
"""How such a line ends that is a share of somebody who was there."""
FOR_NO_CALL = ", held for no call"
"""How it ends where nobody was."""
HOURS_OF_ALL = "hours of all there"
"""What such a share is divided by."""


@dataclass(frozen=True, slots=True)
class _Spell:
    """Days of one month at one rate, of one resource."""

    resource: Resource
    month: str
    price: Price | None
    days: list[date]

    @property
    def account(self) -> str:
        return self.price.account if self.price else ""


def held_lines(desk: Desk) -> Iterator[BidLine]:
    """Lines for stages by the days they are held, and for other things by the days of their use.

    A month's cost is shared by hours between the elements whose calls began there in that month,
    or between all who came at any time where the month holds only idle days. A stage without a rate
    stands at 0 and is a problem; any other thing without one is owned and has no line.
    """
    calls = calls_by_resource(desk.show, desk.order.calls)
    for name, days in days_paid(desk.show, desk.order).items():
        yield from lines_of_days(desk, desk.show.resources[name], days, calls[name])


def days_paid(show: Show, order: StageOrder) -> dict[str, tuple[date, ...]]:
    """Days that an order pays for, by stage and by any other thing with a rate of its own."""
    calls = calls_by_resource(show, order.calls)
    found: dict[str, tuple[date, ...]] = {}
    for resource in show.resources.values():
        if resource.sort == "stage":
            found[resource.id] = tuple(sorted(set(order.days_held.get(resource.id, ()))))
        elif resource.sort != "crew" and resource.id in show.rates:
            mine = calls[resource.id]
            found[resource.id] = days_of(
                show, (span_of(order, call) for call in mine), order.spent.get(resource.id, ())
            )
    return found


def lines_of_days(
    desk: Desk, resource: Resource, days: Sequence[date], calls: Sequence[Call]
) -> Iterator[BidLine]:
    """Lines for some days of one thing, shared by the hours of calls that hold it."""
    by_month: defaultdict[str, list[Call]] = defaultdict(list)
    for call in calls:
        by_month[month_of(call)].append(call)
    for spell in _spells(desk, resource, days):
        yield from _holding(desk, spell, by_month.get(spell.month) or calls)


def calls_by_resource(show: Show, calls: Iterable[Call]) -> defaultdict[str, list[Call]]:
    """Calls of what is still wanted, by each thing they hold."""
    found: defaultdict[str, list[Call]] = defaultdict(list)
    for call in calls:
        element = show.elements.get(call.element)
        if element is not None and show.is_live(element):
            for each in {*call.holds, call.stage}:
                found[each].append(call)
    return found


def days_of(
    show: Show, spans: Iterable[tuple[date, date]], spent: Iterable[date] = ()
) -> tuple[date, ...]:
    """Working days that any span touches, from its first day to its last, and those spent."""
    days = {day for day in spent if show.calendar.is_working(day)}
    for first, last in spans:
        days.update(show.calendar.working_days(first, last))
    return tuple(sorted(days))


def _spells(desk: Desk, resource: Resource, days: Sequence[date]) -> Iterable[_Spell]:
    spells: dict[tuple[str, object], _Spell] = {}
    for day in days:
        found = desk.book.price(resource.id, desk.rates_on or day, resource, "day")
        if found and found.per not in {"day", "week"}:
            says = f"the rate for {resource.id} is per {found.per}, used for days"
            desk.book.unlike(resource.id, resource, says)
            found = None
        month = f"{day:%Y-%m}"
        key = (month, (found.stated, found.since) if found else None)
        spells.setdefault(key, _Spell(resource, month, found, [])).days.append(day)
    return spells.values()


def _holding(desk: Desk, spell: _Spell, there: Iterable[Call]) -> Iterator[BidLine]:
    """One spell's cost, shared by hours between those who were there."""
    hours: defaultdict[tuple[str, Phase, Risk], float] = defaultdict(float)
    for call in there:
        hours[call.element, call.work.phase, call.work.risk] += call.hours
    counted, whole = _whole(desk.show, spell)
    if not hours:
        yield _held_for_nobody(spell, counted, whole)
        return
    everybody = Quantity(HOURS_OF_ALL, sum(hours.values()), "h", reason="stage order")
    resource = spell.resource
    said = "cost of the days x its own hours / hours of all, to the cent, each in its turn"
    cuts = in_turn(tuple(exact(own) for own in hours.values()))
    for ((name, phase, risk), own), cut in zip(hours.items(), cuts, strict=True):
        its_own = Quantity("its own hours", own, "h", reason="stage order")
        inputs = (whole, its_own, everybody)
        part = replace(counted, cut=cut) if counted else None
        figures = part.figures() if part else NOTHING
        cost = Cost(figures, said, inputs, spell.account, part is not None, part)
        entry = Entry(
            f"{resource.called}{DAYS_HELD}",
            f"{resource.sort}{HELD}",
            resource.id,
            spell.month,
            phase,
            risk,
        )
        yield desk.line(desk.show.elements[name], entry, cost)


def _whole(show: Show, spell: _Spell) -> tuple[Reckoning | None, Quantity]:
    """What one spell costs, None where it has no rate; and its arithmetic."""
    first, last = spell.days[0], spell.days[-1]
    held = Quantity("days held", len(spell.days), "day", reason=f"stage order, {first} to {last}")
    name = f"{spell.resource.called}, {spell.month}"
    if spell.price is None:
        return None, Quantity(name, 0.0, show.currency, reason="no rate", inputs=(held,))
    in_week = len(show.calendar.week) if spell.price.per == "week" else 1
    days = Decimal(len(spell.days))
    counted = spell.price.reckoning(days, unit="day", in_one=Decimal(in_week))
    said = "days held x rate" if in_week == 1 else f"days held / {in_week} in a week x rate"
    inputs = (held, spell.price.reason)
    value = float(counted.figures().likely)
    return counted, Quantity(name, value, show.currency, reason=f"{said}, {ROUNDED}", inputs=inputs)


def _held_for_nobody(spell: _Spell, counted: Reckoning | None, whole: Quantity) -> BidLine:
    """A stage held for no call of a live element: nobody's, and still paid."""
    resource = spell.resource
    return BidLine(
        element="",
        shot="",
        sequence="",
        kind="",
        what=f"{resource.called}{FOR_NO_CALL}",
        craft=f"{resource.sort}{HELD}",
        phase=Phase.STAGE,
        month=spell.month,
        account=spell.account,
        risk=Risk.ORDINARY,
        rate=resource.id,
        figures=counted.figures() if counted else NOTHING,
        reason=whole,
        place=resource.place,
        is_priced=counted is not None,
        reckoning=counted,
    )
