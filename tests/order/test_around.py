"""Planning on around a thing posted as lost; dates argued by hand.

The small show works Monday to Friday, ten hours from 08:00, from Monday 1 March 2027. As issued,
the model is built on Monday, and the town photographed for two days, Tuesday and Wednesday.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import TYPE_CHECKING

import pytest

from planner.kinds import Need
from planner.order import Terms, ask, issue, rearrange, started_by_dates
from planner.order.around import Missed, around, losses_of, waiting
from planner.order.lost import blow_of
from tests.order.floor import BUDGET, STAMP, Floor, floor_of, with_south
from tests.order.test_arrange import call_of, work

if TYPE_CHECKING:
    from planner.order import StageOrder
    from planner.order.lost import Blow
    from planner.order.ways_out import WayOut
    from tests.conftest import ShowFolder

MONDAY, TUESDAY = date(2027, 3, 1), date(2027, 3, 2)
FRIDAY = date(2027, 3, 5)
TOWN = "HL010.town"
CAM, ON_NORTH = Need("camera", ("cam",)), Need("stage", ("north",))


def missed(id_: str, back: date, *, is_stated: bool = True) -> Missed:
    return Missed(id_, MONDAY, back, is_stated, "until then")


@dataclass(frozen=True, slots=True)
class Case:
    """A show with a loss on some day of it."""

    floor: Floor
    blow: Blow
    missed: Missed

    def way(self) -> WayOut:
        return around(self.floor.show, self.floor.estimates, self.blow, [self.missed])[0]

    def order(self) -> StageOrder:
        way = self.way()
        question = ask(way.show, self.floor.graph, way.estimates)
        terms = Terms(self.blow.day, way.started, None, BUDGET)
        return rearrange(way.show, self.floor.graph, question, self.blow.issued, terms)

    def waits(self) -> list[str]:
        found = waiting(self.floor.show, self.order(), self.blow, self.missed)
        return [each.message for each in found]


def case(show: ShowFolder, lost: Missed, day: date, stages: tuple[str, ...]) -> Case:
    with_south(show)
    needs = (Need("stage", stages), CAM)
    town = work("photograph", 20, needs=needs, set_up="town")
    floor = floor_of(show, {"hill_town": (work("build it", 10, "model_making"),), TOWN: (town,)})
    issued = issue(floor.arranged(), floor.show.title, STAMP)
    blow = blow_of(losses_of([lost], day), issued, day, started_by_dates(issued, day))
    return Case(floor, blow, lost)


def photographed(it: Case) -> tuple[datetime, str]:
    call = call_of(it.order(), TOWN, "photograph")
    return call.starts, call.stage


def test_another_stage_is_taken_at_once(show: ShowFolder) -> None:
    it = case(show, missed("south", FRIDAY), MONDAY, ("south", "north"))
    # South has no rate, and is taken first as issued.
    assert it.blow.met[0].stage == "south"
    assert photographed(it) == (datetime(2027, 3, 2, 8), "north")
    assert it.waits() == []


def test_what_nothing_else_will_do_for_waits_until_the_day_it_is_back(show: ShowFolder) -> None:
    it = case(show, missed("cam", FRIDAY), MONDAY, ("south",))
    assert photographed(it) == (datetime(2027, 3, 5, 8), "south")
    (told,) = it.waits()
    assert told.startswith("cam is lost, until then, and what cannot be done without it waits")
    assert told.endswith(": HL010.town/photograph")


def test_work_that_is_new_since_the_order_and_cannot_do_without_it_is_named(
    show: ShowFolder,
) -> None:
    it = case(show, missed("cam", FRIDAY), MONDAY, ("south",))
    # The sky is asked for after the order was issued: a second call for the lost camera.
    sky = work("photograph", 5, needs=(ON_NORTH, CAM), set_up="sky")
    spare = work("look", 5, needs=(Need("camera", ("cam", "other")),), set_up="sky")
    works = {id_: each.work for id_, each in it.floor.estimates.by_element.items()}
    again = replace(it, floor=it.floor.needing({**works, "HL010.sky": (sky, spare)}))
    (told,) = again.waits()
    assert told.endswith(": HL010.town/photograph, HL010.sky/photograph (not in order 1)")


def test_a_loss_that_is_over_before_its_call_moves_nothing(show: ShowFolder) -> None:
    it = case(show, missed("south", TUESDAY), MONDAY, ("south", "north"))
    assert photographed(it) == (datetime(2027, 3, 2, 8), "south")
    assert it.waits() == []


def test_while_nobody_says_when_it_is_back_what_can_do_without_is_not_called_on_it(
    show: ShowFolder,
) -> None:
    it = case(show, missed("south", TUESDAY, is_stated=False), MONDAY, ("south", "north"))
    # That it is back on Tuesday is only assumed: the other stage is the safe one.
    assert photographed(it) == (datetime(2027, 3, 2, 8), "north")


def test_what_cannot_do_without_rests_on_the_day_assumed(show: ShowFolder) -> None:
    it = case(show, missed("cam", FRIDAY, is_stated=False), MONDAY, ("south",))
    assert photographed(it) == (datetime(2027, 3, 5, 8), "south")
    assert it.waits() != []


def test_what_is_under_way_and_has_nothing_else_is_not_begun_again(show: ShowFolder) -> None:
    # The sky is photographed on north alone, Monday and Tuesday; the model is built meanwhile, and
    # the town photographed on Wednesday, on north as that is the cheaper stage.
    with_south(show)
    text = (show.path / "rates.yaml").read_text(encoding="utf-8")
    dear = "  south: {per: day, amounts: [{from: 2027-01-01, is: 9000 GBP}]}\n"
    show.write("rates.yaml", text + dear)
    either = (Need("stage", ("north", "south")),)
    works = {
        "HL010.sky": (work("photograph", 20, needs=(ON_NORTH,), set_up="sky"),),
        "hill_town": (work("build it", 20, "model_making"),),
        TOWN: (work("photograph", 10, needs=either, set_up="town"),),
    }
    floor = floor_of(show, works)
    issued = issue(floor.arranged(), floor.show.title, STAMP)
    lost = missed("north", FRIDAY)
    blow = blow_of(losses_of([lost], TUESDAY), issued, TUESDAY, started_by_dates(issued, TUESDAY))
    it = Case(floor, blow, lost)
    assert [call.element for call in blow.met] == ["HL010.sky", TOWN]
    assert it.way().redone == ()
    assert photographed(it) == (datetime(2027, 3, 3, 8), "south")
    # Ten hours of the sky were done on Monday, and the other ten are done on Friday.
    call = call_of(it.order(), "HL010.sky", "photograph")
    assert (call.starts, call.ends) == (datetime(2027, 3, 1, 8), datetime(2027, 3, 5, 18))


@pytest.mark.parametrize(("is_stated", "names"), [(True, ["change", "wait"]), (False, ["change"])])
def test_waiting_is_weighed_only_where_people_say_when_it_is_back(
    show: ShowFolder, *, is_stated: bool, names: list[str]
) -> None:
    it = case(show, missed("south", FRIDAY, is_stated=is_stated), MONDAY, ("south", "north"))
    ways = around(it.floor.show, it.floor.estimates, it.blow, [it.missed])
    assert [each.name for each in ways] == names
