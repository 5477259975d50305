"""Ways out of a loss: what each allows, what is done again; dates argued by hand.

The small show works Monday to Friday, ten hours from 08:00, from Monday 1 March 2027. As issued,
the town is set up on Tuesday and photographed on Wednesday and Thursday, with the first camera.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from planner.graph import build_graph
from planner.kinds import Need
from planner.model.facts import DateRange, Money
from planner.order import Terms, ask, issue, started_by_dates
from planner.order.goes_on import with_work
from planner.order.hired import HIRED, Offer, hire, with_hired
from planner.order.lost import Loss, blow_of, lost_for_good
from planner.order.ways_out import change, opened_up, rebuild, wait
from planner.order.working import planned_again
from tests.order.floor import BUDGET, STAMP, Floor, floor_of
from tests.order.test_arrange import call_of, work

if TYPE_CHECKING:
    from planner.estimate import Estimates
    from planner.kinds import Work
    from planner.order import StageOrder
    from planner.order.lost import Blow
    from planner.order.ways_out import WayOut
    from tests.conftest import ShowFolder

FRIDAY = date(2027, 3, 5)
INSTEAD = ", in place of the rate of their craft"


def town(stages: tuple[str, ...], cameras: tuple[str, ...]) -> dict[str, tuple[Work, ...]]:
    needs = (Need("stage", stages), Need("camera", cameras))
    return {
        "hill_town": (work("build it", 10, "model_making"),),
        "HL010.town": (
            work("set up", 10, needs=needs, set_up="town"),
            work("photograph", 20, needs=needs, set_up="town", after=("set up",)),
        ),
    }


@dataclass(frozen=True, slots=True)
class Case:
    """A loss on a floor."""

    floor: Floor
    blow: Blow

    def ordered(self, way: WayOut | None) -> StageOrder:
        assert way is not None
        question = ask(way.show, self.floor.graph, way.estimates)
        terms = Terms(self.blow.day, way.started, None, BUDGET)
        return planned_again(way.show, self.floor.graph, question, way.issued, terms)

    def waits(self) -> StageOrder:
        return self.ordered(wait(self.floor.show, self.floor.estimates, self.blow))

    def hires(self, price: Money | None = None, heads: int | None = None) -> WayOut | None:
        offer = Offer(price, heads) if price else None
        hired = with_hired(self.floor.show, self.blow, offer)
        return hire(hired, self.naming_hired(), self.blow, self.floor.show) if hired else None

    def naming_hired(self) -> Estimates:
        """The town wants what is hired in place of a thing that is lost; hands are not named."""
        things = {loss.id for loss in self.blow.losses} & {"north", "south", "cam", "cam_two"}
        met = {call.element for call in self.blow.met}

        def now(need: Need) -> Need:
            is_lost = things & {*need.options}
            return replace(need, options=(f"{HIRED}{min(is_lost)}",)) if is_lost else need

        return with_work(
            self.floor.estimates,
            {
                id_: tuple(
                    replace(each, needs=tuple(map(now, each.needs)))
                    for each in self.floor.estimates.by_element[id_].work
                )
                for id_ in met
            },
        )

    def changes(self) -> WayOut | None:
        floor = self.floor
        return change(floor.show, floor.estimates, floor.estimates, self.blow)


def case(show: ShowFolder, id_: str, first: date, works: dict[str, tuple[Work, ...]]) -> Case:
    show.replace(
        "resources.yaml",
        "  north: {width: 18 m, depth: 24 m, height: 7 m}\ncameras:\n  cam: {top_rate: 120 fps}\n",
        "  north: {width: 18 m, depth: 24 m, height: 7 m}\n"
        "  south: {width: 18 m, depth: 24 m, height: 7 m, title: South stage}\n"
        "cameras:\n  cam: {top_rate: 120 fps, title: First camera}\n"
        "  cam_two: {top_rate: 120 fps, title: Second camera}\n",
    )
    floor = floor_of(show, works)
    issued = issue(floor.arranged(), floor.show.title, STAMP)
    losses = (Loss(id_, DateRange(first, FRIDAY)),)
    return Case(floor, blow_of(losses, issued, first, started_by_dates(issued, first)))


def photographed(order: StageOrder) -> tuple[datetime, str, tuple[str, ...]]:
    call = call_of(order, "HL010.town", "photograph")
    return call.starts, call.stage, tuple(sorted(each for each in call.holds if "cam" in each))


def test_waiting_keeps_the_stage_though_the_other_is_free(show: ShowFolder) -> None:
    it = case(show, "south", date(2027, 3, 2), town(("south", "north"), ("cam",)))
    # South has no rate, and is taken first; lost from Tuesday to Friday.
    assert photographed(it.waits()) == (datetime(2027, 3, 9, 8), "south", ("cam",))


def test_changing_takes_the_other_stage_at_once(show: ShowFolder) -> None:
    it = case(show, "south", date(2027, 3, 2), town(("south", "north"), ("cam",)))
    way = it.changes()
    assert way is not None
    assert way.says == "go on with what else fits: north"
    assert way.redone == ()
    assert photographed(it.ordered(way)) == (datetime(2027, 3, 3, 8), "north", ("cam",))


def test_a_set_up_on_a_lost_stage_is_done_again_on_the_other(show: ShowFolder) -> None:
    it = case(show, "south", date(2027, 3, 3), town(("south", "north"), ("cam",)))
    way = it.changes()
    assert way is not None
    # Set up on south on Tuesday; again on north on Wednesday, photographed from Thursday.
    assert way.redone == ("HL010.town/set up",)
    assert photographed(it.ordered(way)) == (datetime(2027, 3, 4, 8), "north", ("cam",))


def test_a_hired_camera_goes_on_where_the_set_up_stands(show: ShowFolder) -> None:
    it = case(show, "cam", date(2027, 3, 3), town(("south",), ("cam",)))
    way = it.hires(Money(Decimal(90), "GBP"))
    assert way is not None
    assert way.says == "hire another like First camera at 90.00 GBP a day"
    assert way.redone == ()
    assert photographed(it.ordered(way)) == (datetime(2027, 3, 3, 8), "south", ("hired_cam",))


def test_another_camera_of_the_show_goes_on_where_the_set_up_stands(show: ShowFolder) -> None:
    it = case(show, "cam", date(2027, 3, 3), town(("south", "north"), ("cam", "cam_two")))
    order = it.ordered(it.changes())
    starts, stage, cameras = photographed(order)
    assert (starts, cameras) == (datetime(2027, 3, 3, 8), ("cam_two",))
    assert stage == call_of(order, "HL010.town", "set up").stage


@pytest.mark.parametrize(("lost", "redone"), [("table", ("HL010.town/set up",)), ("cam", ())])
def test_a_set_up_on_a_lost_rig_is_done_again_on_another(
    show: ShowFolder, lost: str, redone: tuple[str, ...]
) -> None:
    rigs = "rigs:\n  table: {title: Table rig}\n  track: {title: Track}\n"
    show.replace("resources.yaml", "lenses:\n", f"{rigs}lenses:\n")
    works = town(("north",), ("cam", "cam_two"))
    rig = Need("rig", ("table", "track"))
    staged = tuple(replace(each, needs=(*each.needs, rig)) for each in works["HL010.town"])
    it = case(show, lost, date(2027, 3, 3), {**works, "HL010.town": staged})
    way = it.changes()
    assert way is not None
    # Set up on Tuesday. A rig stands on the stage and holds the move; a camera is exchanged.
    assert way.redone == redone
    # All of Wednesday to set it up again, and photographed from Thursday; else from Wednesday.
    day = 4 if redone else 3
    assert photographed(it.ordered(way))[0] == datetime(2027, 3, day, 8)


def test_what_is_under_way_with_another_camera_is_begun_again(show: ShowFolder) -> None:
    # Lost on Thursday, in the middle of twenty hours begun on Wednesday.
    it = case(show, "cam", date(2027, 3, 4), town(("south",), ("cam", "cam_two")))
    way = it.changes()
    assert way is not None
    assert way.redone == ("HL010.town/photograph",)
    assert photographed(it.ordered(way)) == (datetime(2027, 3, 4, 8), "south", ("cam_two",))


def test_what_is_under_way_goes_on_with_one_hired(show: ShowFolder) -> None:
    it = case(show, "cam", date(2027, 3, 4), town(("south",), ("cam",)))
    order = it.ordered(it.hires(Money(Decimal(90), "GBP")))
    # Begun on Wednesday and ended on Thursday as it was to be.
    call = call_of(order, "HL010.town", "photograph")
    assert (call.starts, call.ends) == (datetime(2027, 3, 3, 8), datetime(2027, 3, 4, 18))


def planned(it: Case, way: WayOut | None) -> StageOrder:
    assert way is not None
    question = ask(way.show, it.floor.graph, way.estimates)
    terms = Terms(it.blow.day, way.started, None, BUDGET)
    return planned_again(way.show, it.floor.graph, question, way.issued, terms)


def test_a_stage_set_up_before_it_was_lost_is_paid_for_those_days(show: ShowFolder) -> None:
    it = case(show, "south", date(2027, 3, 3), town(("south", "north"), ("cam",)))
    order = planned(it, it.changes())
    # Set up on south on Tuesday, and again on north from Wednesday; the camera was there as well.
    tuesday = (date(2027, 3, 2),)
    assert order.days_held["south"] == tuesday
    assert {id_: order.spent[id_] for id_ in ("south", "cam")} == dict.fromkeys(
        ("south", "cam"), tuesday
    )
    # Issued so, it stays paid: as issued, and planned again two days later.
    second = issue(order, it.floor.show.title, replace(STAMP, number=2))
    assert second.spent == order.spent
    # Ten hours on Tuesday, all of it; the camera was there.
    (worked,) = second.redone
    assert (worked.id, worked.hours, worked.share) == ("HL010.town/set up", 10, 1)
    assert (worked.starts, worked.ends) == (datetime(2027, 3, 2, 8), datetime(2027, 3, 2, 18))
    assert "cam" in worked.holds
    later = replace(it.blow, issued=second, started=started_by_dates(second, FRIDAY), day=FRIDAY)
    again = planned(replace(it, blow=later), wait(it.floor.show, it.floor.estimates, later))
    assert again.days_held["south"] == tuesday
    assert again.redone == second.redone


def test_of_what_is_begun_again_only_the_hours_worked_are_paid_twice(show: ShowFolder) -> None:
    # Lost on Thursday, ten hours into the twenty begun on Wednesday.
    it = case(show, "cam", date(2027, 3, 4), town(("south",), ("cam", "cam_two")))
    (worked,) = planned(it, it.changes()).redone
    assert (worked.id, worked.hours, worked.share) == ("HL010.town/photograph", 10, 0.5)
    assert worked.ends == datetime(2027, 3, 4)


def test_who_worked_beside_what_is_done_again_works_beside_it_again(show: ShowFolder) -> None:
    works = town(("south", "north"), ("cam",))
    set_up, photograph = works["HL010.town"]
    lights = work("light it", 10, "electrics", beside="set up", set_up="town")
    it = case(
        show, "south", date(2027, 3, 3), {**works, "HL010.town": (set_up, lights, photograph)}
    )
    way = it.changes()
    assert way is not None
    assert set(way.redone) == {"HL010.town/set up", "HL010.town/light it"}
    assert {each.id for each in planned(it, way).redone} == set(way.redone)


def test_a_hired_camera_is_not_held_before_it_is_hired(show: ShowFolder) -> None:
    # Lost on Thursday, in the middle of twenty hours begun on Wednesday.
    it = case(show, "cam", date(2027, 3, 4), town(("south",), ("cam",)))
    order = planned(it, it.hires(Money(Decimal(90), "GBP")))
    assert order.joined == {"HL010.town/photograph": date(2027, 3, 4)}
    # Of its own days, Tuesday is told by the set-up that it was called for; Wednesday is spent.
    assert order.spent["cam"] == (date(2027, 3, 3),)


def test_nothing_is_spent_where_all_that_began_stays(show: ShowFolder) -> None:
    it = case(show, "cam", date(2027, 3, 4), town(("south",), ("cam",)))
    order = planned(it, wait(it.floor.show, it.floor.estimates, it.blow))
    assert (order.spent, order.joined) == ({}, {})


def test_nothing_else_that_fits_is_no_way_out(show: ShowFolder) -> None:
    assert case(show, "cam", date(2027, 3, 3), town(("south",), ("cam",))).changes() is None


@pytest.mark.parametrize("is_for_good", [True, False])
def test_what_one_has_nothing_else_for_is_no_way_out_if_it_never_comes_back(
    show: ShowFolder, *, is_for_good: bool
) -> None:
    # The town may go to north; the sky insists on south, and waits till Saturday or for good.
    insists = (Need("stage", ("south",)),)
    sky = {"HL010.sky": (work("photograph", 10, needs=insists, set_up="sky"),)}
    day = date(2027, 3, 1)
    it = case(show, "south", day, town(("south", "north"), ("cam",)) | sky)
    losses = (lost_for_good("south", day),) if is_for_good else it.blow.losses
    blow = blow_of(losses, it.blow.issued, day, it.blow.started)
    assert {call.element for call in blow.met} >= {"HL010.sky"}
    way = replace(it, blow=blow).changes()
    assert (way is None) is is_for_good
    if way is not None:
        waits = "HL010.sky waits, as nothing else fits"
        assert way.says == f"go on with what else fits: north; {waits}"


def test_a_hire_at_its_own_rate_unless_a_price_is_stated(show: ShowFolder) -> None:
    it = case(show, "north", date(2027, 3, 2), town(("north",), ("cam",)))
    way = it.hires()
    assert way is not None
    # The day lost of the one is paid to the other at the same rate: nothing more, and it says why.
    said = "hire another like north at 2,400.00 GBP a day"
    assert way.says == f"{said}, in place of the same for the lost one"


def test_a_hire_at_another_price_says_whose_rate_is_saved_for_it(show: ShowFolder) -> None:
    it = case(show, "north", date(2027, 3, 2), town(("north",), ("cam",)))
    way = it.hires(Money(Decimal(100), "GBP"))
    assert way is not None
    instead = "in place of 2,400.00 GBP a day for the lost one"
    assert way.says == f"hire another like north at 100.00 GBP a day, {instead}"


def test_a_hire_of_what_has_no_rate_says_that_its_price_is_not_known(show: ShowFolder) -> None:
    way = case(show, "cam", date(2027, 3, 3), town(("south",), ("cam",))).hires()
    assert way is not None
    assert way.says.endswith("price not known: state it with --hire")


@pytest.mark.parametrize(
    ("price", "heads", "says"),
    [
        (None, None, ", 4 heads at the rate of their craft"),
        (Money(Decimal(320), "GBP"), None, f", 4 heads at 320.00 GBP a day each{INSTEAD}"),
        (Money(Decimal(320), "GBP"), 3, f", 3 heads at 320.00 GBP a day each{INSTEAD}"),
        (Money(Decimal(320), "GBP"), 1, f", 1 head at 320.00 GBP a day each{INSTEAD}"),
    ],
)
def test_a_hired_crew_says_how_many_heads_and_what_each_is_paid(
    show: ShowFolder, price: Money | None, heads: int | None, says: str
) -> None:
    it = case(show, "modellers", date(2027, 3, 1), town(("north",), ("cam",)))
    way = it.hires(price, heads)
    assert way is not None
    assert way.says == f"hire another like modellers{says}"
    # The town is built on Monday 1 March all the same, by those who were hired.
    call = call_of(it.ordered(way), "hill_town", "build it")
    assert (call.starts, call.holds) == (datetime(2027, 3, 1, 8), ("hired_modellers",))


def test_too_few_hired_heads_leave_the_work_to_the_crew_that_was_lost(show: ShowFolder) -> None:
    works = town(("north",), ("cam",))
    works["hill_town"] = (replace(works["hill_town"][0], heads=2),)
    it = case(show, "modellers", date(2027, 3, 1), works)
    order = it.ordered(it.hires(Money(Decimal(320), "GBP"), 1))
    # Two are wanted and one is hired; the modellers are back on Monday 8 March.
    call = call_of(order, "hill_town", "build it")
    assert (call.starts, call.holds) == (datetime(2027, 3, 8, 8), ("modellers",))


@pytest.mark.parametrize(("stand_in", "is_found"), [("", False), ("Second operator", True)])
def test_somebody_stands_in_only_where_one_is_named(
    show: ShowFolder, stand_in: str, is_found: bool
) -> None:
    text = (show.path / "resources.yaml").read_text(encoding="utf-8")
    people = f'people:\n  operator: {{craft: camera, stand_in: "{stand_in}"}}\n'
    show.write("resources.yaml", text + people)
    works = town(("south",), ("cam",))
    needs = (*works["HL010.town"][0].needs, Need("person", ("operator",)))
    works["HL010.town"] = (work("photograph", 20, needs=needs, set_up="town"),)
    way = case(show, "operator", date(2027, 3, 2), works).hires()
    assert (way is not None) is is_found
    if way is not None:
        assert way.says.startswith("hire Second operator in place of operator")


def test_a_struck_build_can_only_be_waited_for(show: ShowFolder) -> None:
    needs = (Need("stage", ("south",)), Need("build", ("hill_town",)))
    works = {"HL010.town": (work("photograph", 20, needs=needs, set_up="town"),)}
    it = case(show, "hill_town", date(2027, 3, 1), works)
    assert it.hires() is None
    assert it.changes() is None
    # Lost to Friday 5 March; Monday is the first day it is there.
    assert call_of(it.waits(), "HL010.town", "photograph").starts == datetime(2027, 3, 8, 8)


def test_an_element_that_insists_on_what_is_lost_insists_no_more(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", "nearest: 40 m", "nearest: 40 m\n        camera: cam")
    it = case(show, "cam", date(2027, 3, 3), town(("south",), ("cam",)))
    assert it.floor.show.elements["HL010.town"].facts.has("camera")
    opened = opened_up(it.floor.show, it.floor.estimates, it.blow)
    assert not opened.elements["HL010.town"].facts.has("camera")
    assert opened.elements["HL010.town"].facts.has("nearest")


def lost_build(show: ShowFolder, loss: Loss, *more: Work) -> Case:
    """The town is built on Monday, and photographed on Tuesday."""
    needs = (Need("stage", ("north",)), Need("build", ("hill_town",)))
    works = {
        "hill_town": (work("build it", 10, "model_making"),),
        "HL010.town": (*more, work("photograph", 10, needs=needs, set_up="town")),
    }
    floor = floor_of(show, works)
    issued = issue(floor.arranged(), floor.show.title, STAMP)
    day = loss.days.first
    return Case(floor, blow_of((loss,), issued, day, started_by_dates(issued, day)))


def test_a_lost_build_is_made_again_and_photographed_then(show: ShowFolder) -> None:
    it = lost_build(show, lost_for_good("hill_town", date(2027, 3, 2)))
    way = rebuild(it.floor.show, it.floor.estimates, it.blow)
    assert way is not None
    assert way.says == "make hill town again"
    graph, problems = build_graph(way.show)
    assert problems == ()
    order = replace(it, floor=replace(it.floor, graph=graph)).ordered(way)
    assert call_of(order, "hill_town", "build it").starts == datetime(2027, 3, 1, 8)
    # Made again on Tuesday, the day it was lost, and photographed on Wednesday.
    assert call_of(order, "again_hill_town", "build it").starts == datetime(2027, 3, 2, 8)
    call = call_of(order, "HL010.town", "photograph")
    assert call.starts == datetime(2027, 3, 3, 8)
    assert "again_hill_town" in call.holds
    assert "hill_town" not in call.holds
    assert order.problems == ()


def test_photography_under_way_with_a_lost_build_begins_again_with_the_new_one(
    show: ShowFolder,
) -> None:
    # Photographed from Tuesday on as issued; lost on Wednesday, with half of it done.
    needs = (Need("stage", ("north",)), Need("build", ("hill_town",)))
    first = work("photograph the first half", 10, needs=needs, set_up="town")
    it = lost_build(show, lost_for_good("hill_town", date(2027, 3, 3)), first)
    way = rebuild(it.floor.show, it.floor.estimates, it.blow)
    assert way is not None
    begun = [id_ for id_ in it.blow.started.at if id_.startswith("HL010.town/")]
    assert list(way.redone) == begun
    assert begun != []


def test_what_never_comes_back_is_not_waited_for(show: ShowFolder) -> None:
    it = lost_build(show, lost_for_good("hill_town", date(2027, 3, 2)))
    assert wait(it.floor.show, it.floor.estimates, it.blow) is None


def test_a_stage_is_not_made_again(show: ShowFolder) -> None:
    it = case(show, "south", date(2027, 3, 2), town(("south",), ("cam",)))
    assert rebuild(it.floor.show, it.floor.estimates, it.blow) is None


def test_what_is_posted_as_over_and_must_be_done_again_is_called_again(show: ShowFolder) -> None:
    it = case(show, "south", date(2027, 3, 3), town(("south",), ("cam",)))
    # Set up on south on Tuesday, as posted; the hired stage is another floor, so set up anew.
    posted = replace(it.blow.started, done=frozenset({"HL010.town/set up"}), is_posted=True)
    way = replace(it, blow=replace(it.blow, started=posted)).hires()
    assert way is not None
    assert way.redone == ("HL010.town/set up",)
    order = it.ordered(way)
    # All of Wednesday, and photography from Thursday.
    again = call_of(order, "HL010.town", "set up")
    assert (again.starts, again.hours) == (datetime(2027, 3, 3, 8), 10)
    assert call_of(order, "HL010.town", "photograph").starts == datetime(2027, 3, 4, 8)
