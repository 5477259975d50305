from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Any

import pytest

from planner.estimate.estimates import Estimates
from planner.kinds import Charge, Estimate, Hours, Phase, Work
from planner.model.facts import Facts, Money
from planner.model.place import Place
from planner.model.quantity import Quantity
from planner.model.show import (
    Element,
    Loads,
    Rate,
    Reference,
    Resource,
    Sequence,
    Shot,
    Show,
    WorkCalendar,
)
from planner.order.stage_order import Call, StageOrder

if TYPE_CHECKING:
    from collections.abc import Mapping

HERE = Place("show/a.yaml", 1, 1)
MONDAY = date(2026, 3, 2)


def gbp(amount: str) -> Money:
    return Money(Decimal(amount), "GBP")


@dataclass
class Board:
    """A show under construction; 8 hours a day, Monday to Friday, from Monday 2 March 2026."""

    shots: dict[str, Shot] = field(default_factory=dict)
    elements: dict[str, Element] = field(default_factory=dict)
    resources: dict[str, Resource] = field(default_factory=dict)
    rates: dict[str, Rate] = field(default_factory=dict)
    estimates: dict[str, Estimate] = field(default_factory=dict)
    calls: list[Call] = field(default_factory=list)
    days_held: dict[str, tuple[date, ...]] = field(default_factory=dict)
    loads: Loads = field(default_factory=lambda: Loads(Decimal(0), {}, False))
    facts: Facts = field(default_factory=lambda: Facts(HERE))
    aside: frozenset[str] = frozenset()

    def shot(self, name: str, state: str = "live", facts: Mapping[str, object] | None = None):
        values = Facts(HERE, dict(facts or {}))
        sequence = name.partition("_")[0]
        self.shots[name] = Shot(name, sequence, "a dam", None, state, values, (), HERE)

    def element(
        self,
        name: str,
        *parts: Work | Charge,
        uses: tuple[str, ...] = (),
        kind: str = "miniature",
    ):
        shot = name.rpartition(".")[0]
        references = tuple(Reference("build", each, HERE, True) for each in uses)
        place = Place("show/a.yaml", 10 + len(self.elements), 3)
        self.elements[name] = Element(name, kind, shot, Facts(HERE), references, place)
        self.estimates[name] = Estimate(
            name,
            work=tuple(each for each in parts if isinstance(each, Work)),
            charges=tuple(each for each in parts if isinstance(each, Charge)),
        )

    def rate(self, name: str, per: str, *amounts: str | tuple[date, str], account: str = ""):
        dated = tuple(
            (date(2026, 1, 1), gbp(each)) if isinstance(each, str) else (each[0], gbp(each[1]))
            for each in amounts
        )
        self.rates[name] = Rate(name, per, dated, account, Place("show/rates.yaml", 5, 1))

    def resource(self, sort: str, name: str):
        self.resources[name] = Resource(name, sort, "", 1, "", (), Facts(HERE), HERE)

    def call(
        self, element: str, work: str, day: date, *, holds: tuple[str, ...] = (), days: int = 1
    ):
        done = next(each for each in self.estimates[element].work if each.name == work)
        starts = datetime.combine(day, time(8))
        ends = datetime.combine(day + timedelta(days - 1), time(16))
        stage = next((each for each in holds if self.resources[each].sort == "stage"), "")
        self.calls.append(Call(element, done, starts, ends, done.hours.likely, holds, stage))

    @staticmethod
    def work(name: str, craft: str, hours: tuple[float, float, float] | float, **more: Any) -> Work:
        low, likely, high = hours if isinstance(hours, tuple) else (hours,) * 3
        reason = Quantity(f"hours to {name}", likely, "h")
        phase = more.pop("phase", Phase.STAGE)
        return Work(name, craft, phase, Hours(low, likely, high), reason, **more)

    @staticmethod
    def charge(name: str, rate: str, many: float = 1, unit: str = "1", **more: Any) -> Charge:
        return Charge(name, rate, Quantity(name, many, unit), more.pop("phase", Phase.LAB), **more)

    def show(self) -> Show:
        calendar = WorkCalendar(MONDAY, frozenset(range(5)), (), time(8), 8.0)
        names = dict.fromkeys(each.sequence for each in self.shots.values())
        sequences = {each: Sequence(each, each, (), Facts(HERE), HERE) for each in names}
        return Show(
            folder="show",
            title="Dam",
            currency="GBP",
            calendar=calendar,
            sequences=sequences,
            shots=self.shots,
            elements=self.elements,
            resources=self.resources,
            rates=self.rates,
            moves={},
            deliveries=(),
            loads=self.loads,
            facts=self.facts,
            aside=self.aside,
        )

    def given(self) -> tuple[Show, Estimates, StageOrder]:
        """What `price` takes."""
        order = StageOrder(tuple(self.calls), self.days_held, {}, {}, 0.0, False, "by hand", ())
        return self.show(), Estimates(self.estimates, {}, (), ()), order


@pytest.fixture
def board() -> Board:
    return Board()
