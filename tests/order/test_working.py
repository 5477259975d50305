"""The order people work by; dates argued by hand.

The small show works Monday to Friday, ten hours from 08:00, from Monday 1 March 2027. As issued,
the town is built on Monday, photographed on Tuesday and joined on Wednesday morning.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

import pytest

from planner.order import Started, Terms, ask, started_by_dates
from planner.order.working import as_issued, first_day, planned_again
from tests.order.floor import BUDGET, Floor, floor_of, usual_work, with_south
from tests.order.test_arrange import call_of, work

if TYPE_CHECKING:
    from planner.order import IssuedOrder, StageOrder
    from tests.conftest import ShowFolder

FOR_A_THIRD = "calls from 2027-03-04 on moving for a third of the price"
MONDAY, TUESDAY, THURSDAY = date(2027, 3, 1), date(2027, 3, 2), date(2027, 3, 4)


def kept(floor: Floor, issued: IssuedOrder) -> StageOrder | None:
    question = ask(floor.show, floor.graph, floor.estimates)
    return as_issued(floor.show, floor.graph, question, issued)


def again(floor: Floor, issued: IssuedOrder, day: date, started: Started) -> StageOrder:
    question = ask(floor.show, floor.graph, floor.estimates)
    terms = Terms(day, started, None, BUDGET)
    return planned_again(floor.show, floor.graph, question, issued, terms)


def test_an_issued_order_that_can_be_kept_is_kept_to_the_minute(show: ShowFolder) -> None:
    floor = floor_of(show, usual_work())
    issued = floor.issued()
    order = kept(floor, issued)
    assert order is not None
    assert [(c.id, c.starts, c.ends, c.holds) for c in order.calls] == [
        (c.id, c.starts, c.ends, c.holds) for c in issued.calls
    ]
    assert order.is_issued
    assert order.method == "order 1 as issued on 2027-02-26"


def test_a_kept_order_weighs_what_it_weighed_and_claims_no_proof(show: ShowFolder) -> None:
    floor = floor_of(show, usual_work())
    found = floor.arranged()
    order = kept(floor, floor.issued())
    assert order is not None
    assert order.answer is not None
    assert found.answer is not None
    assert order.answer.parts == found.answer.parts
    assert not order.proven


def test_a_second_stage_that_came_since_moves_nothing(show: ShowFolder) -> None:
    works = {**usual_work(), "HL010.town": (work("photograph", 10, set_up="town"),)}
    issued = floor_of(show, works).issued()
    with_south(show)
    assert kept(floor_of(show, works), issued) is not None


def test_longer_work_new_work_and_a_stage_away_each_end_it(show: ShowFolder) -> None:
    with_south(show)
    floor = floor_of(show, usual_work())
    issued = floor.issued()
    longer = {**usual_work(), "hill_town": (work("build it", 11, "model_making"),)}
    assert kept(floor.needing(longer), issued) is None
    more = {**usual_work(), "HL010.sky": (work("photograph", 1),)}
    assert kept(floor.needing(more), issued) is None
    less = {each: works for each, works in usual_work().items() if each != "HL010.final"}
    assert kept(floor.needing(less), issued) is None
    stage = next(call.stage for call in issued.calls if call.stage)
    with_away = (show.path / "resources.yaml").read_text(encoding="utf-8")
    show.write(
        "resources.yaml",
        with_away.replace(f"  {stage}: {{", f"  {stage}: {{away: [2027-03-02], "),
    )
    assert kept(floor_of(show, usual_work()), issued) is None


def test_a_delivery_brought_forward_past_the_last_call_ends_it(show: ShowFolder) -> None:
    issued = floor_of(show, usual_work()).issued()
    # Joined on Wednesday 3 March: in time for that day, a day late for the 2nd.
    show.replace("show.yaml", "date: 2027-12-01", "date: 2027-03-03")
    assert kept(floor_of(show, usual_work()), issued) is not None
    show.replace("show.yaml", "date: 2027-03-03", "date: 2027-03-02")
    assert kept(floor_of(show, usual_work()), issued) is None


def test_planned_again_it_says_how_many_calls_moved_came_and_went(show: ShowFolder) -> None:
    floor = floor_of(show, usual_work())
    issued = floor.issued()
    # A day more of building moves photography to Wednesday and joining to Thursday.
    works = {**usual_work(), "hill_town": (work("build it", 20, "model_making"),)}
    order = again(floor.needing(works), issued, MONDAY, Started({}))
    assert order.method == "order 1, planned again: 2 calls moved"
    assert not order.is_issued
    works = {**usual_work(), "HL010.sky": (work("photograph", 1),)}
    order = again(floor.needing(works), issued, MONDAY, Started({}))
    assert order.method == "order 1, planned again: no call moved, 1 new"


def test_it_says_whether_it_went_by_what_is_posted_or_by_dates(show: ShowFolder) -> None:
    floor = floor_of(show, usual_work())
    issued = floor.issued()
    by_dates = again(floor, issued, TUESDAY, started_by_dates(issued, TUESDAY))
    assert "from 2027-03-02 by the dates in it, nothing being posted" in by_dates.method
    posted = Started({"hill_town/build it": datetime(2027, 3, 1, 8)}, is_posted=True)
    assert "from 2027-03-02 by what is posted" in again(floor, issued, TUESDAY, posted).method


@pytest.mark.parametrize(
    ("held_until", "says"),
    [
        (None, "order 1, planned again: no call moved"),
        (MONDAY, "order 1, planned again, any call free to move: no call moved"),
        (THURSDAY, f"order 1, planned again, {FOR_A_THIRD}: no call moved"),
    ],
)
def test_it_says_which_calls_moved_for_less(
    show: ShowFolder, held_until: date | None, says: str
) -> None:
    floor = floor_of(show, usual_work())
    issued = floor.issued()
    question = ask(floor.show, floor.graph, floor.estimates)
    terms = Terms(MONDAY, Started({}), held_until, BUDGET)
    assert planned_again(floor.show, floor.graph, question, issued, terms).method == says


def test_what_is_over_early_frees_what_follows(show: ShowFolder) -> None:
    works = {**usual_work(), "hill_town": (work("build it", 30, "model_making"),)}
    floor = floor_of(show, works)
    issued = floor.issued()
    # Three days of building to Wednesday evening; over on Monday, so that Tuesday is free for the
    # town, which was called for Thursday.
    built = datetime(2027, 3, 1, 8)
    over = Started({"hill_town/build it": built}, frozenset({"hill_town/build it"}), True)
    # A move is worth nothing here, so that it is made for a day sooner.
    show.replace("show.yaml", "overhead: 12 %", "overhead: 12 %\nweights: {move: 0 GBP}")
    order = again(floor_of(show, works), issued, TUESDAY, over)
    building = call_of(order, "hill_town", "build it")
    assert (building.starts, building.ends) == (built, datetime(2027, 3, 1, 18))
    assert call_of(order, "HL010.town", "photograph").starts == datetime(2027, 3, 2, 8)
    assert order.problems == ()


def test_what_is_over_before_it_was_called_takes_up_nothing_any_more(show: ShowFolder) -> None:
    floor = floor_of(show, usual_work())
    issued = floor.issued()
    # Photographed on Monday though called for Tuesday, with the building still to be done.
    over = Started(
        {"HL010.town/photograph": datetime(2027, 3, 1, 12)},
        frozenset({"HL010.town/photograph"}),
        True,
    )
    order = again(floor, issued, TUESDAY, over)
    photographed = call_of(order, "HL010.town", "photograph")
    assert photographed.ends == datetime(2027, 3, 1, 18)
    assert photographed.holds == ()
    # It was called for Monday, has not begun, and is planned anew from Tuesday.
    assert call_of(order, "hill_town", "build it").starts == datetime(2027, 3, 2, 8)
    assert order.problems == ()


def test_what_is_over_stays_though_its_stage_is_now_said_to_have_been_away(
    show: ShowFolder,
) -> None:
    with_south(show)
    issued = floor_of(show, usual_work()).issued()
    call = next(call for call in issued.calls if call.stage)
    text = (show.path / "resources.yaml").read_text(encoding="utf-8")
    show.write(
        "resources.yaml",
        text.replace(f"  {call.stage}: {{", f"  {call.stage}: {{away: [2027-03-02], "),
    )
    names = ("hill_town/build it", "HL010.town/photograph")
    over = Started(
        {each.id: each.starts for each in issued.calls if each.id in names}, frozenset(names), True
    )
    order = again(floor_of(show, usual_work()), issued, THURSDAY, over)
    assert call_of(order, "HL010.town", "photograph").starts == datetime(2027, 3, 2, 8)
    assert call_of(order, "HL010.final", "join").starts == datetime(2027, 3, 4, 8)


def test_planning_begins_where_the_past_ends(show: ShowFolder) -> None:
    floor = floor_of(show, usual_work())
    calendar, issued = floor.show.calendar, floor.issued()
    assert first_day(calendar, issued, None) == MONDAY
    assert first_day(calendar, issued, date(2027, 3, 3)) == date(2027, 3, 3)
    later = replace(issued, stamp=replace(issued.stamp, planned_from=THURSDAY))
    assert first_day(calendar, later, date(2027, 3, 3)) == THURSDAY
    assert first_day(calendar, issued, date(2027, 2, 1)) == MONDAY
