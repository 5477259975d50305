"""Lines for what the whole show pays: people, storage, cover, copies, freight.

Takes the desk, gives lines for each of show.yaml's ``costs``. Each is a rate over days (of the
show, of stage work, of location work, of flame), or for each shot, build or frame, or a sum. Knows
nothing of what elements need.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

from planner.bid.desk import ROUNDED, Cost, unpriced
from planner.bid.lines import ONE, SHOW_COST, BidLine, Reckoning, exact
from planner.kinds import Phase, Risk
from planner.kinds.estimate import FLOOR
from planner.model.names import counted
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from datetime import date

    from planner.bid.desk import Desk
    from planner.bid.rate_book import Price
    from planner.model.facts import Facts
    from planner.model.place import Place
    from planner.order.stage_order import Call

CRAFT = "show costs"
_DATED = frozenset({"hour", "day", "week", "month"})
_PHASES: Mapping[str, Phase] = {
    "stage": Phase.STAGE,
    "fire": Phase.STAGE,
    "location": Phase.LOCATION,
    "build": Phase.BUILD,
    "shot": Phase.FINISH,
    "frame": Phase.FINISH,
}


@dataclass(frozen=True, slots=True)
class ShowCost:
    """One of show.yaml's ``costs``.

    Attributes:
        id: its name.
        facts: what is stated of it.
        place: where it is written.
    """

    id: str
    facts: Facts
    place: Place

    @property
    def rate(self) -> str:
        """Id of its rate: its own name unless another is stated."""
        return self.facts.word("rate", self.id)

    @property
    def says(self) -> str:
        """What is paid for."""
        return self.facts.word("says", self.id.replace("_", " "))

    @property
    def many(self) -> tuple[Decimal, Decimal, Decimal]:
        """How many at once: low, likely, high; in order whatever was written."""
        likely = self.facts.amount("many", 1.0)
        low = min(self.facts.amount("low", likely), likely)
        high = max(self.facts.amount("high", likely), likely)
        return exact(low), exact(likely), exact(high)

    @property
    def phase(self) -> Phase | None:
        """As stated, else by what it goes with; None for what runs all through the show."""
        stated = self.facts.word("phase")
        if stated:
            return Phase(stated)
        return _PHASES.get(self.facts.word("over") or self.facts.word("each"))


@dataclass(frozen=True, slots=True)
class _Share:
    """What one line of a cost is for, and how much of it.

    Attributes:
        day: on which its rate is read.
        units: of the rate, before the count of how many at once.
        why: where they come from.
        element: id; empty for none.
        shot: id; empty for none.
    """

    day: date
    units: Decimal
    why: str
    element: str = ""
    shot: str = ""


def show_cost_lines(desk: Desk) -> Iterator[BidLine]:
    """Lines of every show cost, in the order written; by month where it runs over days."""
    for name, facts in desk.show.facts.named("costs").items():
        cost = ShowCost(name, facts, facts.place)
        for share in _shares(desk, cost):
            yield _line(desk, cost, share)


def _shares(desk: Desk, cost: ShowCost) -> Iterable[_Share]:
    over, each = cost.facts.word("over"), cost.facts.word("each")
    if over:
        return _by_month(desk, cost, _days(desk, cost, over))
    starts = cost.facts.day("from") or desk.show.calendar.starts
    if each == "build":
        return _by_build(desk, starts)
    if each in {"shot", "frame"}:
        return _by_shot(desk, starts, each)
    return (_Share(starts, ONE, "once"),)


def _days(desk: Desk, cost: ShowCost, over: str) -> list[date]:
    """Working days it is paid for, between its own first and last if it states any."""
    calendar, calls = desk.show.calendar, _calls(desk, over)
    first = cost.facts.day("from") or calendar.starts
    last = cost.facts.day("to") or max((call.ends.date() for call in calls), default=first)
    if over == "show":
        return list(calendar.working_days(first, last))
    spans = ((call.starts.date(), call.ends.date()) for call in calls)
    found = {day for span in spans for day in calendar.working_days(*span)}
    return sorted(day for day in found if first <= day <= last)


def _calls(desk: Desk, over: str) -> list[Call]:
    calls = [
        call
        for call in desk.order.calls
        if call.element in desk.show.elements
        and desk.show.is_live(desk.show.elements[call.element])
    ]
    if over == "fire":
        return [c for c in calls if c.work.risk is Risk.FIRE and c.work.phase in FLOOR]
    if over == "show":
        return calls
    return [call for call in calls if call.work.phase is Phase(over)]


def _by_month(desk: Desk, cost: ShowCost, days: list[date]) -> Iterator[_Share]:
    rate = desk.show.rates.get(cost.rate)
    more = exact(cost.facts.amount("more", 0.0))
    by_spell: defaultdict[tuple[str, date | None], list[date]] = defaultdict(list)
    for day in days:
        read = desk.rates_on or day
        since = (
            max((first for first, _ in rate.amounts if first <= read), default=None)
            if rate
            else None
        )
        by_spell[f"{day:%Y-%m}", since].append(day)
    for number, held in enumerate(by_spell.values()):
        extra = more if number == 0 else Decimal(0)
        units = _units(desk, rate.per if rate else "day", held) + extra
        why = f"{counted(len(held), 'working day')}, {held[0]} to {held[-1]}"
        yield _Share(held[0], units, f"{why}, and {extra:f} more" if extra else why)


def _units(desk: Desk, per: str, days: list[date]) -> Decimal:
    """Working days in a rate's unit; as they are where the unit is not time."""
    count, calendar = Decimal(len(days)), desk.show.calendar
    if per == "hour":
        return count * desk.hours_in["day"]
    if per == "week":
        return count / len(calendar.week)
    if per == "month":
        first = days[0].replace(day=1)
        month = (first + timedelta(day) for day in range(31))
        worked = sum(1 for day in month if day.month == first.month and _in_week(desk, day))
        return count / worked
    return count


def _in_week(desk: Desk, day: date) -> bool:
    """Whether a month's pay covers the day; it does before the show starts and on holidays too."""
    return day.weekday() in desk.show.calendar.week


def _by_build(desk: Desk, starts: date) -> Iterator[_Share]:
    for element in desk.show.elements.values():
        if element.kind == "build" and desk.show.is_live(element):
            call = desk.by_element.get(element.id)
            day = call.starts.date() if call else starts
            yield _Share(day, ONE, "one build", element=element.id)


def _by_shot(desk: Desk, starts: date, each: str) -> Iterator[_Share]:
    for shot in desk.show.shots.values():
        if not shot.is_live:
            continue
        final = desk.order.finals.get(shot.id)
        day = final.date() if final else starts
        if each == "shot":
            yield _Share(day, ONE, "one shot", shot=shot.id)
        elif shot.cut is not None:
            yield _Share(day, Decimal(shot.cut.count), f"frames {shot.cut}", shot=shot.id)


def _line(desk: Desk, cost: ShowCost, share: _Share) -> BidLine:
    priced = _priced(desk, cost, share)
    shot = desk.show.shots.get(share.shot)
    return BidLine(
        element=share.element,
        shot=share.shot,
        sequence=shot.sequence if shot else "",
        kind=SHOW_COST,
        what=cost.says,
        craft=CRAFT,
        phase=cost.phase,
        month=f"{share.day:%Y-%m}",
        account=cost.facts.word("account") or priced.account,
        risk=Risk(cost.facts.word("risk", Risk.ORDINARY.value)),
        rate="" if cost.facts.has("amount") else cost.rate,
        figures=priced.figures,
        reason=Quantity(
            cost.says,
            float(priced.figures.likely),
            desk.show.currency,
            reason=priced.reason,
            inputs=priced.inputs,
        ),
        place=cost.place,
        is_priced=priced.is_priced,
        is_dead=share.element in desk.dead,
        reckoning=priced.reckoning,
    )


def _priced(desk: Desk, cost: ShowCost, share: _Share) -> Cost:
    many = Quantity(
        "how many", float(cost.many[1]), "1", Standing.GIVEN, reason=f"costs: {cost.id}"
    )
    units = Quantity("units", float(share.units), "1", reason=share.why)
    amount = cost.facts.money("amount")
    if amount is not None:
        if amount.currency != desk.show.currency:
            desk.book.foreign(cost.says, amount, cost)
            return unpriced(units)
        escalation = desk.book.escalation
        months = escalation.months(None, desk.rates_on or share.day)
        low, likely, high = (each * share.units for each in cost.many)
        growth = escalation.growth(months)
        counted = Reckoning(low, likely, high, "item", amount.amount, growth, months)
        said = f"sum stated x how many x units, {ROUNDED}"
        return Cost(counted.figures(), said, (many, units), reckoning=counted)
    found = desk.book.price(cost.rate, desk.rates_on or share.day, cost, _unit(cost))
    if found is None or not _fits(desk, cost, found):
        return unpriced(many, units)
    counted = found.reckoning(*(each * share.units for each in cost.many))
    said = f"how many x {found.per.replace('_', ' ')}s x rate, {ROUNDED}"
    return Cost(
        counted.figures(), said, (many, units, found.reason), found.account, reckoning=counted
    )


def _unit(cost: ShowCost) -> str:
    return "day" if cost.facts.word("over") else "1"


def _fits(desk: Desk, cost: ShowCost, found: Price) -> bool:
    """Whether the rate's unit is of the sort the cost counts; else it is remembered as a fault."""
    each = cost.facts.word("each")
    wanted = _DATED if cost.facts.word("over") else frozenset({each, "item"} - {""})
    if found.per in wanted or not (each or cost.facts.word("over")):
        return True
    used = "days" if cost.facts.word("over") else f"each {each}"
    desk.book.unlike(
        cost.rate, cost, f"the rate for {cost.rate} is per {found.per}, used for {used}"
    )
    return False
