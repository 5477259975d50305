"""Planning again, weighed by the bid against waiting; sums argued by hand.

The small show works Monday to Friday, ten hours from 08:00, from Monday 1 March 2027. As issued the
town is photographed on Tuesday and Wednesday on south, which has no rate; a day of north is 2928
GBP with its loads. South is lost on Monday and back on Thursday, as posted.
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

import pytest

from planner.bid.lines import Figures, exact
from planner.cli.opening import Effort, open_sound
from planner.cli.order_issuing import Again
from planner.cli.order_lost import _desk
from planner.cli.weighing import Ground, settled_beside
from planner.model.facts import DateRange
from planner.order import Terms
from planner.order.around import around
from planner.order.lost import Loss, lost_for_good
from tests.cli.test_commands import QUICK, run
from tests.order.floor import BUDGET
from tests.order.test_around import MONDAY, Case, case, missed
from tests.order.test_arrange import call_of

if TYPE_CHECKING:
    from planner.order import StageOrder
    from tests.conftest import ShowFolder

THURSDAY = date(2027, 3, 4)


def lost_south(show: ShowFolder) -> Case:
    return case(show, missed("south", THURSDAY), MONDAY, ("south", "north"))


def settled(it: Case) -> StageOrder:
    ways = around(it.floor.show, it.floor.estimates, it.blow, [it.missed])
    ground, waits = (Ground.of(way, it.floor.graph) for way in ways)
    return settled_beside(waits, ground, Terms(MONDAY, it.blow.started, None, BUDGET))


def photographed(order: StageOrder) -> tuple[datetime, str]:
    call = call_of(order, "HL010.town", "photograph")
    return call.starts, call.stage


def test_who_has_time_waits_for_the_cheaper_stage(show: ShowFolder) -> None:
    # Due in December: two days of north are 5856 GBP, and two days later cost nothing.
    order = settled(lost_south(show))
    assert photographed(order) == (datetime(2027, 3, 4, 8), "south")
    assert order.method.endswith(
        "only what must move moves, as nothing found costs less, all counted"
    )


def test_who_has_none_takes_the_other_and_is_told_what_it_costs(show: ShowFolder) -> None:
    # Due on Wednesday, a day late weighs 5000 GBP: waiting for south makes it Friday, two days.
    show.replace("show.yaml", "date: 2027-12-01", "date: 2027-03-03")
    show.replace("sequences/hill.yaml", "joins: [sky, town]", "joins: [sky, town], due: 2027-03-03")
    town = "      town:\n"
    show.replace("sequences/hill.yaml", town, f"{town}        due: 2027-03-03\n")
    order = settled(lost_south(show))
    assert photographed(order) == (datetime(2027, 3, 2, 8), "north")
    # Two days of north at 2400 GBP with 12 % and 10 %; 80 quarter hours at 125 GBP.
    said = "beside moving only what must move it comes to 5,856.00 GBP more by the bid"
    assert f"{said}, 10,000 GBP less for days late, " in order.method
    assert order.method.endswith("changes of set-up, as the show prices them")


@pytest.mark.parametrize(("is_for_good", "name"), [(False, "wait"), (True, "hire")])
def test_a_loss_earns_nothing_that_was_known_without_it(
    show: ShowFolder, *, is_for_good: bool, name: str
) -> None:
    run("order", show.path, "--issue", *QUICK)
    opened = open_sound(show.path)
    day = next(starts.date() for stage, starts in _stages(show) if stage == "north")
    again = Again(day, None, None, frozenset({"north"}))
    desk = _desk(opened, show.path, again, Effort(None, 0, 0))
    # As though the search had missed 100000 GBP, which it finds by chance once north is lost.
    bid = desk.costed.bid
    dear = replace(bid, total=bid.total + Figures.certain(exact(100_000)))
    desk = replace(desk, costed=replace(desk.costed, bid=dear))
    loss = lost_for_good("north", day) if is_for_good else Loss("north", DateRange(day, day))
    found, _base = desk.outcomes(desk.blow((loss,)), None, 3)
    (way,) = [each for each in found if each.way.name == name]
    # Whoever waits a day is due in December; another stage is hired at the rate of the lost one.
    assert way.differs.weight == 0


def _stages(show: ShowFolder) -> list[tuple[str, datetime]]:
    told = json.loads((show.path / "issued" / "order_001.json").read_text(encoding="utf-8"))
    return [(each["stage"], datetime.fromisoformat(each["starts"])) for each in told["calls"]]
