"""Hands of another craft during stage work: called and held with it, in its time.

The small show works Monday to Friday, ten hours from 08:00, from Monday 1 March 2027.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING

from planner.order import ask
from planner.order.loads import craft_weeks
from planner.order.working import as_issued
from planner.pages.calendar import calendars
from planner.pages.prints.dated import worked_out
from tests.order.floor import EITHER, floor_of, with_south
from tests.order.test_arrange import NORTH, call_of, order_of, work

if TYPE_CHECKING:
    from planner.kinds import Work
    from tests.conftest import ShowFolder

HANDS = "  hands: {craft: puppeteering, heads: 4, away: [2027-03-01..2027-03-02]}\n"


def puppet(*more: Work) -> tuple[Work, ...]:
    return (
        work("set up", 4, needs=NORTH, set_up="bird"),
        work("photograph", 2, needs=NORTH, set_up="bird", after=("set up",)),
        work("work it", 2, "puppeteering", heads=3, after=("set up",), beside="photograph"),
        *more,
    )


def with_hands(show: ShowFolder) -> None:
    show.replace("resources.yaml", "crews:\n", f"crews:\n{HANDS}")


def test_the_camera_waits_for_the_hands_that_work_beside_it(show: ShowFolder) -> None:
    with_hands(show)
    order = order_of(show, {"HL010.town": puppet()})
    # The stage is set up on Monday; who works the figure is away until Wednesday.
    taken, hands = (call_of(order, "HL010.town", name) for name in ("photograph", "work it"))
    assert call_of(order, "HL010.town", "set up").starts.date() <= date(2027, 3, 3)
    assert taken.starts.date() == date(2027, 3, 3)
    assert (hands.starts, hands.ends, hands.hours) == (taken.starts, taken.ends, taken.hours)
    assert (taken.stage, hands.stage) == ("north", "")
    assert set(taken.holds) == {"north", "stage_crew", "hands"}
    assert hands.holds == ("hands",)


def test_hands_beside_one_camera_are_not_beside_another(show: ShowFolder) -> None:
    with_south(show)
    with_hands(show)
    works = tuple(
        work("work it", 2, "puppeteering", heads=3, beside="photograph")
        if name == "work it"
        else work(name, 2, needs=EITHER, set_up="bird")
        for name in ("photograph", "work it")
    )
    order = order_of(show, {"HL010.town": works, "HL010.sky": works})
    # Two stages are free from Wednesday on, but three of four hands are needed for each.
    one, other = (call_of(order, f"HL010.{name}", "photograph") for name in ("town", "sky"))
    assert one.ends <= other.starts or other.ends <= one.starts


def test_their_hours_are_loads_of_their_own_craft(show: ShowFolder) -> None:
    with_hands(show)
    floor = floor_of(show, {"HL010.town": puppet()})
    weeks = craft_weeks(floor.show, floor.arranged().calls)
    # Two hours of three hands.
    assert [each.hours.value for each in weeks if each.craft == "puppeteering"] == [6]


def test_an_issued_order_with_them_is_kept_as_issued(show: ShowFolder) -> None:
    with_hands(show)
    floor = floor_of(show, {"HL010.town": puppet()})
    issued = floor.issued()
    assert [call.work for call in issued.calls] == ["set up", "photograph", "work it"]
    question = ask(floor.show, floor.graph, floor.estimates)
    assert as_issued(floor.show, floor.graph, question, issued) is not None
    # Without them it is not the same work.
    alone = floor.needing({"HL010.town": puppet()[:2]})
    question = ask(alone.show, alone.graph, alone.estimates)
    assert as_issued(alone.show, alone.graph, question, issued) is None


def test_what_went_on_beside_work_that_is_gone_has_a_time_of_its_own(show: ShowFolder) -> None:
    # Monday at eight: nothing is left that they would go on beside.
    left = (work("work it", 2, "puppeteering", heads=3, beside="photograph"),)
    order = order_of(show, {"HL010.town": left})
    assert call_of(order, "HL010.town", "work it").starts == datetime(2027, 3, 1, 8)
    assert call_of(order, "HL010.town", "work it").during == "HL010.town/work it"


def test_a_set_up_is_not_struck_for_another_before_it_is_photographed(show: ShowFolder) -> None:
    with_hands(show)
    other = (
        work("set up", 2, needs=NORTH, set_up="sky"),
        work("photograph", 1, needs=NORTH, set_up="sky", after=("set up",)),
    )
    order = order_of(show, {"HL010.town": puppet(), "HL010.sky": other})
    # The hands are away until Wednesday: the bird is set up for them when they are back or just
    # before, and nothing stands there between.
    first, last = (call_of(order, "HL010.town", name) for name in ("set up", "photograph"))
    for name in ("set up", "photograph"):
        call = call_of(order, "HL010.sky", name)
        assert call.ends <= first.starts or call.starts >= last.ends
    assert last.starts == datetime(2027, 3, 3, 8)
    assert first.starts >= datetime(2027, 3, 2, 8)


def test_a_crew_finds_its_own_part_in_its_calendar_and_the_stage_where_it_is(
    show: ShowFolder,
) -> None:
    with_hands(show)
    order = order_of(show, {"HL010.town": puppet()})
    floor = floor_of(show, {})
    files = calendars(floor.show, worked_out(order))
    _title, (mine,) = files["crew_hands.ics"]
    assert (mine.summary, mine.place) == ("HL010.town: work it", "north")
    _title, stage = files["stage_north.ics"]
    assert [each.summary for each in stage] == ["HL010.town: set up", "HL010.town: photograph"]
