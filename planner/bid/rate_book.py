"""Rates looked up by day, and what is wrong with them.

Takes the show's rates, gives a price for so many of a unit, or None and a `Problem` kept until the
end, one for each fault with everyone who met it. Knows nothing of lines or totals.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass, field
from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING, Protocol, TypeAlias

from planner.bid.lines import ONE, Figures, Reckoning, exact
from planner.model.names import noun
from planner.model.place import Problem, Severity
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date

    from planner.bid.escalation import Escalation
    from planner.kinds import Charge, Work
    from planner.model.facts import Money
    from planner.model.place import Place
    from planner.model.show import Rate, Show

# How many of a rate's unit one of the quantity's unit makes. A bare number may count frames or
# items, but never lengths, weights or times.
_MADE_FROM: Mapping[str, Mapping[str, Decimal]] = MappingProxyType(
    {
        "hour": {"h": Decimal(1), "s": 1 / Decimal(3600)},
        "day": {"day": Decimal(1), "days": Decimal(1)},
        "week": {"week": Decimal(1), "weeks": Decimal(1)},
        "month": {"month": Decimal(1), "months": Decimal(1)},
        "frame": {"1": Decimal(1), "frames": Decimal(1)},
        "item": {"1": Decimal(1), "items": Decimal(1)},
        "foot": {"ft": Decimal(1), "mm": 1 / Decimal("304.8"), "m": 1 / Decimal("0.3048")},
        "kilogram": {"kg": Decimal(1)},
        "square_metre": {"m2": Decimal(1), "mm2": Decimal("1e-6")},
    }
)
_WORDS = {"1": "item or frame", "ft": "foot", "h": "hour", "kg": "kilogram", "m2": "square_metre"}
_FIRST_NAMED = 3
_MISSING = "rate-missing"
NO_RATES = "rates-none"
"""Code of the finding that a show has no rates at all."""


class Wanting(Protocol):
    """What wants a rate: an element, a resource, a cost of the show."""

    @property
    def id(self) -> str:
        """Its name, told in the problem."""
        ...

    @property
    def place(self) -> Place:
        """Where it is written."""
        ...


@dataclass(frozen=True, slots=True)
class Price:
    """A rate as it stands on one day.

    Attributes:
        each: for one of the rate's unit, escalation included.
        per: the unit.
        account: the production's own account text.
        reason: the rate as a number with its place.
        stated: as rates.yaml has it.
        growth: factor of escalation on it.
        months: months of escalation.
        since: day from which it holds.
    """

    each: Decimal
    per: str
    account: str
    reason: Quantity
    stated: Decimal
    growth: Decimal
    months: int
    since: date

    def reckoning(self, *many: Decimal, unit: str = "", in_one: Decimal = ONE) -> Reckoning:
        """So many at this price.

        Args:
            many: low, likely and high, or one quantity that is certain.
            unit: of the quantity, where it is not the rate's own.
            in_one: how many of the quantity's unit the rate's unit holds.
        """
        low, likely, high = many * 3 if len(many) == 1 else many
        return Reckoning(
            low,
            likely,
            high,
            unit or self.per,
            self.stated,
            self.growth,
            self.months,
            in_one,
            self.since,
        )


Counted: TypeAlias = tuple[Reckoning, Figures]


@dataclass(slots=True)
class _Fault:
    severity: Severity
    place: Place
    message: str
    remedy: str
    met_by: list[str]


@dataclass(slots=True)
class RateBook:
    """Look-ups that remember what failed; local to one pricing of a show."""

    show: Show
    escalation: Escalation
    _prices: dict[tuple[str, date], Price | None] = field(default_factory=dict)
    _alike: dict[tuple[str, date, int], Price] = field(default_factory=dict)
    _counted: dict[tuple[object, ...], Counted] = field(default_factory=dict)
    _faults: dict[tuple[str, str], _Fault] = field(default_factory=dict)
    _met: defaultdict[tuple[str, str], set[str]] = field(default_factory=lambda: defaultdict(set))

    def price(self, name: str, day: date, wanted_by: Wanting, unit: str) -> Price | None:
        """The rate called `name` on `day`, or None with the fault remembered.

        Args:
            name: id of the rate.
            day: on which it must be in force.
            wanted_by: named in the problem.
            unit: of what is priced, suggested where the rate is missing.
        """
        rate = self.show.rates.get(name)
        if rate is None:
            self._fail(
                _MISSING,
                name,
                wanted_by,
                wanted_by.place,
                (f"no rate for {name}", f"add {name} to rates.yaml, per {_WORDS.get(unit, unit)}"),
            )
            return None
        price = self._prices.get((name, day))
        if price is None:
            price = self._priced(rate, day, wanted_by)
            self._prices[name, day] = price
        return price

    def hours_of(self, price: Price, name: str, work: Work, in_one: Decimal) -> Counted:
        """The hours of all heads of a stretch of work, at a price, and what they come to.

        A long show has the same stretch of work many times, so each is reckoned once.

        Args:
            price: from this book.
            name: id of the rate.
            work: hours a head, and heads.
            in_one: hours in the rate's unit.
        """
        hours, heads = work.hours, work.heads
        key = (name, price.since, price.months, heads, hours.low, hours.likely, hours.high)
        found = self._counted.get(key)
        if found is None:
            many = (exact(each) * heads for each in (hours.low, hours.likely, hours.high))
            counted = price.reckoning(*many, unit="h", in_one=in_one)
            found = self._counted[key] = (counted, counted.figures())
        return found

    def units_of(self, price: Price, name: str, quantity: float, factor: Decimal) -> Counted:
        """A quantity at a price, and what it comes to; each is reckoned once.

        Args:
            price: from this book.
            name: id of the rate.
            quantity: in its own unit.
            factor: how many of the rate's unit one of that makes.
        """
        key = (name, price.since, price.months, quantity, factor)
        found = self._counted.get(key)
        if found is None:
            counted = price.reckoning(exact(quantity) * factor)
            found = self._counted[key] = (counted, counted.figures())
        return found

    def factor(self, price: Price, charge: Charge, wanted_by: Wanting) -> Decimal | None:
        """How many of the rate's unit one of the charge's makes; None, remembered, for none."""
        quantity = charge.quantity
        made = _MADE_FROM.get(price.per, {}).get(quantity.unit)
        per = price.per.replace("_", " ")
        if made is None:
            used = "a bare count" if quantity.unit == "1" else quantity.unit
            self.unlike(
                charge.rate, wanted_by, f"the rate for {charge.rate} is per {per}, used for {used}"
            )
        elif not math.isfinite(quantity.value):
            says = f"{charge.name} of {wanted_by.id} comes to {quantity.value} {quantity.unit}"
            told = (says, "ask the author of its kind")
            self._fail("quantity-without-end", says, wanted_by, wanted_by.place, told)
            return None
        return made

    def unlike(self, name: str, wanted_by: Wanting, message: str) -> None:
        """Remember that a rate's unit does not fit what it is used for."""
        rate = self.show.rates[name]
        remedy = f"give {name} a rate in the unit it is used in"
        self._fail("rate-unit-unlike", name, wanted_by, rate.place, (message, remedy))

    def foreign(self, what: str, money: Money, wanted_by: Wanting) -> None:
        """Remember that a sum stated outright is not in the bid's currency."""
        says = f"{what} is stated as {money}, and the bid is in {self.show.currency}"
        remedy = f"write it in {self.show.currency}"
        self._fail("currency-unlike", what, wanted_by, wanted_by.place, (says, remedy))

    def problems(self) -> tuple[Problem, ...]:
        """Every fault once, with who met it; that there are no rates at all, instead of each."""
        told_once = _MISSING if not self.show.rates else ""
        found = tuple(
            Problem(
                fault.severity,
                fault.place,
                code,
                f"{fault.message}; wanted by {_named(fault.met_by)}, where the line stands at 0",
                fault.remedy,
                fault.met_by[0] if len(fault.met_by) == 1 else "",
            )
            for (code, _), fault in self._faults.items()
            if code != told_once
        )
        names = sorted(name for code, name in self._faults if code == told_once)
        return (self._no_rates(names), *found) if names else found

    def _no_rates(self, names: Iterable[str]) -> Problem:
        return Problem(
            Severity.ERROR,
            self.show.facts.place,
            NO_RATES,
            "the show has no rates, so every line that wants one stands at 0",
            f"write rates.yaml beside show.yaml, with a rate for each of {', '.join(names)};"
            " `platewright new FOLDER` writes one to begin from",
        )

    def _priced(self, rate: Rate, day: date, wanted_by: Wanting) -> Price | None:
        money = rate.on(day)
        if money is None:
            first = rate.amounts[0][0] if rate.amounts else None
            says = f"the rate for {rate.id} starts on {first}, and is wanted on {day}"
            remedy = f"give {rate.id} a sum from {day} or earlier"
            self._fail("rate-not-yet", rate.id, wanted_by, rate.place, (says, remedy))
            return None
        if money.currency != self.show.currency:
            says = f"the rate for {rate.id} is {money}, and the bid is in {self.show.currency}"
            remedy = f"write it in {self.show.currency}"
            self._fail("currency-unlike", rate.id, wanted_by, rate.place, (says, remedy))
            return None
        if money.amount < 0:
            says = f"the rate for {rate.id} is {money}, below nothing"
            self._fail(
                "rate-negative", rate.id, wanted_by, rate.place, (says, "write what it costs")
            )
            return None
        since = max(first for first, _ in rate.amounts if first <= day)
        months = self.escalation.months(since, day)
        alike = self._alike.get((rate.id, since, months))
        if alike is None:
            alike = self._alike[rate.id, since, months] = self._made(rate, money, since, months)
        return alike

    def _made(self, rate: Rate, money: Money, since: date, months: int) -> Price:
        unit = f"{money.currency}/{rate.per.replace('_', ' ')}"
        reason = Quantity(
            f"rate for {rate.id}",
            float(money.amount),
            unit,
            Standing.GIVEN,
            place=rate.place,
            reason=f"in force from {since}",
        )
        growth = self.escalation.growth(months)
        each = money.amount * growth
        if months:
            reason = self._grown(reason, growth, months)
        return Price(each, rate.per, rate.account, reason, money.amount, growth, months, since)

    def _grown(self, stated: Quantity, growth: Decimal, months: int) -> Quantity:
        share = f"{float(self.escalation.share) * 100:g}"
        factor = Quantity(
            "escalation",
            float(growth),
            "1",
            reason=f"{share} % a year over {months} {noun(months, 'month')}, to six places",
        )
        grown = stated.value * float(growth)
        return Quantity(
            f"{stated.name}, escalated",
            grown,
            stated.unit,
            reason="rate x escalation",
            inputs=(stated, factor),
        )

    def _fail(
        self,
        code: str,
        name: str,
        wanted_by: Wanting,
        place: Place,
        says: tuple[str, str],
    ) -> None:
        key = (code, name)
        if key not in self._faults:
            self._faults[key] = _Fault(Severity.ERROR, place, *says, [])
        if wanted_by.id not in self._met[key]:
            self._met[key].add(wanted_by.id)
            self._faults[key].met_by.append(wanted_by.id)


def _named(ids: list[str]) -> str:
    """The first few by name, the rest counted."""
    shown = ids[:_FIRST_NAMED]
    more = len(ids) - len(shown)
    if more:
        return f"{', '.join(shown)} and {more:,} more"
    return " and ".join([", ".join(shown[:-1]), shown[-1]] if len(shown) > 1 else shown)
