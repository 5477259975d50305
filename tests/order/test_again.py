"""Planning again: what stays, what moves and at what price; dates argued by hand.

The small show works Monday to Friday, ten hours from 08:00, from Monday 1 March 2027. As issued,
the town is built on Monday, photographed on Tuesday and joined on Wednesday morning.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

import pytest

from planner.kinds import Need
from planner.order import (
    Started,
    Terms,
    ask,
    compare,
    moves_cost,
    rearrange,
    working_days_on,
)
from planner.order.working import left_of
from tests.order.floor import BUDGET, EITHER, Floor, floor_of, usual_work, with_south
from tests.order.test_arrange import call_of, work

if TYPE_CHECKING:
    from planner.order import IssuedOrder, StageOrder
    from tests.conftest import ShowFolder

TUESDAY, WEDNESDAY, THURSDAY = date(2027, 3, 2), date(2027, 3, 3), date(2027, 3, 4)


def changed(show: ShowFolder, **away: str) -> Floor:
    """The same show with absences written in since."""
    text = (show.path / "resources.yaml").read_text(encoding="utf-8")
    for stage, days in away.items():
        text = text.replace(f"  {stage}: {{width", f"  {stage}: {{away: [{days}], width")
    show.write("resources.yaml", text)
    return floor_of(show, usual_work())


def test_nothing_moves_where_nothing_has_changed(show: ShowFolder) -> None:
    with_south(show)
    floor = floor_of(show, usual_work())
    issued = floor.issued()
    again = floor.again(issued, TUESDAY)
    assert [(c.id, c.starts, c.holds) for c in again.calls] == [
        (c.id, c.starts, c.holds) for c in issued.calls
    ]


def test_what_began_stays_though_it_could_now_be_done_otherwise(show: ShowFolder) -> None:
    floor = floor_of(show, usual_work())
    issued = floor.issued()
    # Building would now take two hours; it was begun on Monday and is not begun again.
    shorter = floor.needing({**usual_work(), "hill_town": (work("build it", 2, "model_making"),)})
    again = shorter.again(issued, TUESDAY)
    assert call_of(again, "hill_town", "build it").starts == datetime(2027, 3, 1, 8)
    assert call_of(again, "HL010.town", "photograph").starts == datetime(2027, 3, 2, 8)


def test_a_lost_stage_moves_photography_to_the_other_where_waiting_is_dearer(
    show: ShowFolder,
) -> None:
    # Eight days late at 5000 GBP each, against a day of the other stage at 2400 GBP at most.
    show.replace("show.yaml", "date: 2027-12-01", "date: 2027-03-03")
    with_south(show)
    issued = floor_of(show, usual_work()).issued()
    was = next(call for call in issued.calls if call.work == "photograph").stage
    again = changed(show, **{was: "2027-03-02..2027-03-12"}).again(issued, TUESDAY)
    call = call_of(again, "HL010.town", "photograph")
    assert call.stage == ({"north", "south"} - {was}).pop()
    assert call.starts == datetime(2027, 3, 2, 8)


def test_work_not_begun_never_falls_before_the_day_planned_from(show: ShowFolder) -> None:
    floor = floor_of(show, usual_work())
    issued = floor.issued()
    question = ask(floor.show, floor.graph, floor.estimates)
    # Wednesday, and nothing was ever begun: the record says so against the issued order.
    terms = Terms(WEDNESDAY, Started({}), None, BUDGET)
    again = rearrange(floor.show, floor.graph, question, issued, terms)
    assert call_of(again, "hill_town", "build it").starts == datetime(2027, 3, 3, 8)
    assert call_of(again, "HL010.town", "photograph").starts == datetime(2027, 3, 4, 8)


def test_what_began_and_cannot_go_on_is_told_and_called_anew(show: ShowFolder) -> None:
    floor = floor_of(show, usual_work())
    issued = floor.issued()
    # On Wednesday it turns out that the building takes 25 hours, to Wednesday 13:00: photography of
    # Tuesday cannot have been.
    longer = floor.needing({**usual_work(), "hill_town": (work("build it", 25, "model_making"),)})
    again = longer.again(issued, WEDNESDAY)
    assert call_of(again, "HL010.town", "photograph").starts == datetime(2027, 3, 3, 13)
    (problem,) = again.problems
    assert problem.code == "begun-cannot-stay"
    assert "begun on 2027-03-02 08:00" in problem.message
    assert "build it of hill_town comes first" in problem.message
    assert "called anew 2027-03-03 13:00" in problem.message


def test_what_stands_on_a_stage_is_kept_until_it_is_photographed(show: ShowFolder) -> None:
    with_south(show)
    town = (
        work("set up", 10, needs=EITHER, set_up="town"),
        work("photograph", 10, "model_making", after=("set up",), needs=EITHER, set_up="town"),
    )
    issued = floor_of(show, {"HL010.town": town}).issued()
    assert [call.starts.date() for call in issued.calls] == [date(2027, 3, 1), TUESDAY]
    where = issued.calls[0].stage
    # The town was set up on Monday; those who photograph it are away until Thursday, and the sky,
    # due on Tuesday, could be photographed on that stage in between. It waits until the town is
    # photographed on Friday, and comes on Monday after an hour of striking.
    show.replace("resources.yaml", "heads: 4}", "heads: 4, away: [2027-03-02..2027-03-04]}")
    show.replace("sequences/hill.yaml", "on: location", "on: location, due: 2027-03-02")
    sky = (work("photograph", 10, needs=(Need("stage", (where,)),), set_up="sky"),)
    again = floor_of(show, {"HL010.town": town, "HL010.sky": sky}).again(issued, TUESDAY)
    assert call_of(again, "HL010.town", "photograph").starts == datetime(2027, 3, 5, 8)
    assert call_of(again, "HL010.town", "photograph").stage == where
    assert call_of(again, "HL010.sky", "photograph").starts == datetime(2027, 3, 8, 9)


def posted(floor: Floor, issued: IssuedOrder, day: date, **over: datetime) -> StageOrder:
    """Planned again from a day on, with the town photographed or built as posted."""
    names = {"town": "HL010.town/photograph", "build": "hill_town/build it"}
    at = {names[each]: when for each, when in over.items()}
    question = ask(floor.show, floor.graph, floor.estimates)
    terms = Terms(day, Started(at, frozenset(at), is_posted=True), None, BUDGET)
    return rearrange(floor.show, floor.graph, question, issued, terms)


def test_what_was_held_today_stays_as_called_and_ends_when_posted(show: ShowFolder) -> None:
    floor = floor_of(show, usual_work())
    issued = floor.issued()
    was = next(call for call in issued.calls if call.work == "photograph")
    # Called for Tuesday from 08:00, ten hours; posted as held on Tuesday at noon.
    built, noon = datetime(2027, 3, 1, 8), datetime(2027, 3, 2, 12)
    again = posted(floor, issued, TUESDAY, build=built, town=noon)
    call = call_of(again, "HL010.town", "photograph")
    assert (call.starts, call.ends, call.holds) == (was.starts, noon, was.holds)
    # Posted at seven, before its hour: it keeps its hours of the day, 08:00 to 18:00.
    again = posted(floor, issued, TUESDAY, build=built, town=datetime(2027, 3, 2, 7))
    call = call_of(again, "HL010.town", "photograph")
    assert (call.starts, call.ends) == (was.starts, datetime(2027, 3, 2, 18))
    assert again.problems == ()


def test_what_was_held_today_is_never_called_on_a_day_before_today(show: ShowFolder) -> None:
    floor = floor_of(show, usual_work())
    issued = floor.issued()
    # On Monday at noon both are posted as done; the town was called for Tuesday and holds nothing
    # any more. Ten hours of it do not fit between 08:00 and noon, and no day was before Monday.
    noon = datetime(2027, 3, 1, 12)
    again = posted(floor, issued, date(2027, 3, 1), build=noon, town=noon)
    built = call_of(again, "hill_town", "build it")
    assert (built.starts, built.ends) == (datetime(2027, 3, 1, 8), noon)
    call = call_of(again, "HL010.town", "photograph")
    assert (call.starts, call.ends, call.holds) == (datetime(2027, 3, 1, 8), noon, ())
    # Posted on Tuesday at noon though called for Friday: on Tuesday, not on Monday.
    show.replace(
        "sequences/hill.yaml",
        "nearest: 40 m",
        "nearest: 40 m\n        locked: {date: 2027-03-05}",
    )
    floor = floor_of(show, usual_work())
    issued = floor.issued()
    again = posted(floor, issued, TUESDAY, build=built.starts, town=datetime(2027, 3, 2, 12))
    call = call_of(again, "HL010.town", "photograph")
    assert (call.starts, call.ends) == (datetime(2027, 3, 2, 8), datetime(2027, 3, 2, 12))
    assert again.problems == ()


def test_what_is_over_is_not_called_sooner_than_it_began(show: ShowFolder) -> None:
    works = {**usual_work(), "HL010.town": (work("photograph", 15, needs=EITHER, set_up="town"),)}
    floor = floor_of(show, works)
    issued = floor.issued()
    # Photography was called from Tuesday 08:00 to Wednesday 13:00 and is over on Wednesday, where
    # planning begins: it is not moved to Monday so that its fifteen hours end on Tuesday.
    starts = {call.work: call.starts for call in issued.calls}
    again = posted(floor, issued, WEDNESDAY, build=starts["build it"], town=starts["photograph"])
    call = call_of(again, "HL010.town", "photograph")
    assert (call.starts, call.ends) == (datetime(2027, 3, 2, 8), datetime(2027, 3, 2, 18))


def two_takes(show: ShowFolder) -> Floor:
    """Two set-ups of half a day; the town's composite is due on Monday and weighs a lot."""
    works = {
        "HL010.sky": (work("photograph", 10),),
        "HL010.town": (work("photograph", 10),),
    }
    return floor_of(show, works)


def test_calls_near_at_hand_keep_their_day_at_a_price_and_move_without_one(
    show: ShowFolder,
) -> None:
    # One pair of hands; the sky is issued for Monday and the town for Tuesday.
    show.replace("resources.yaml", "heads: 6", "heads: 1")
    show.replace(
        "show.yaml", "overhead: 12 %", "overhead: 12 %\nweights: {late: 40 GBP, move: 1000 GBP}"
    )
    show.replace("sequences/hill.yaml", "on: location", "on: location, due: 2027-03-01")
    issued = two_takes(show).issued()
    assert [call.element for call in issued.calls] == ["HL010.sky", "HL010.town"]
    # Since then the town is wanted on Monday, the sky no more: ten hours late cost 40 GBP.
    show.replace("sequences/hill.yaml", "on: location, due: 2027-03-01", "on: location")
    show.replace("sequences/hill.yaml", "nearest: 40 m", "nearest: 40 m\n        due: 2027-03-01")
    floor = two_takes(show)
    held = floor.again(issued, date(2027, 3, 1), held_until=WEDNESDAY)
    assert [call.element for call in held.calls] == ["HL010.sky", "HL010.town"]
    free = floor.again(issued, date(2027, 3, 1), held_until=date(2027, 3, 1))
    assert [call.element for call in free.calls] == ["HL010.town", "HL010.sky"]


def test_what_is_past_and_not_done_pushes_nobody_who_is_called(show: ShowFolder) -> None:
    # One pair of hands; the sky is issued for Monday, when it is due, and the town for Tuesday.
    show.replace("resources.yaml", "heads: 6", "heads: 1")
    show.replace(
        "show.yaml", "overhead: 12 %", "overhead: 12 %\nweights: {late: 40 GBP, move: 1000 GBP}"
    )
    show.replace("sequences/hill.yaml", "on: location", "on: location, due: 2027-03-01")
    floor = two_takes(show)
    issued = floor.issued()
    assert [call.element for call in issued.calls] == ["HL010.sky", "HL010.town"]
    # Nothing was done on Monday. Nobody is called for the sky on Tuesday: the town keeps its day,
    # as another day late of the sky costs 40 GBP and moving the town 1000 GBP.
    question = ask(floor.show, floor.graph, floor.estimates)
    again = rearrange(
        floor.show, floor.graph, question, issued, Terms(TUESDAY, Started({}), None, BUDGET)
    )
    starts = {call.element: call.starts.date() for call in again.calls}
    assert starts == {"HL010.town": TUESDAY, "HL010.sky": WEDNESDAY}
    # What is left from Tuesday on stands on the same days where nothing is searched.
    calendar = replace(floor.show.calendar, starts=TUESDAY)
    left = ask(replace(floor.show, calendar=calendar), floor.graph, floor.estimates)
    stood = left_of(left, issued).standing()
    days = {id_.partition("/")[0]: left.calendar.day(at // 40) for id_, at in stood.starts.items()}
    assert days == starts


def test_a_price_worth_paying_is_paid(show: ShowFolder) -> None:
    show.replace("resources.yaml", "heads: 6", "heads: 1")
    show.replace(
        "show.yaml", "overhead: 12 %", "overhead: 12 %\nweights: {late: 5000 GBP, move: 1000 GBP}"
    )
    show.replace("sequences/hill.yaml", "on: location", "on: location, due: 2027-03-01")
    issued = two_takes(show).issued()
    show.replace("sequences/hill.yaml", "on: location, due: 2027-03-01", "on: location")
    show.replace("sequences/hill.yaml", "nearest: 40 m", "nearest: 40 m\n        due: 2027-03-01")
    # Two calls moved cost 2000 GBP, and a day late of the town 5000 GBP.
    again = two_takes(show).again(issued, date(2027, 3, 1), held_until=WEDNESDAY)
    assert [call.element for call in again.calls] == ["HL010.town", "HL010.sky"]


@pytest.mark.parametrize(("late", "first"), [(1200, "HL010.sky"), (1500, "HL010.town")])
def test_a_call_after_the_days_held_moves_for_a_third_of_the_price(
    show: ShowFolder, late: int, first: str
) -> None:
    show.replace("resources.yaml", "heads: 6", "heads: 1")
    show.replace(
        "show.yaml",
        "overhead: 12 %",
        f"overhead: 12 %\nweights: {{late: {late} GBP, move: 1000 GBP}}",
    )
    show.replace("sequences/hill.yaml", "on: location", "on: location, due: 2027-03-01")
    issued = two_takes(show).issued()
    show.replace("sequences/hill.yaml", "on: location, due: 2027-03-01", "on: location")
    show.replace("sequences/hill.yaml", "nearest: 40 m", "nearest: 40 m\n        due: 2027-03-01")
    # Only Monday is held. The town can have Monday, and be in time, where the sky leaves it for
    # 1000 GBP and the town its Tuesday for 333: worth a day late at 1500 GBP, not at 1200.
    again = two_takes(show).again(issued, date(2027, 3, 1), held_until=TUESDAY)
    assert again.calls[0].element == first


def test_a_locked_row_holds_when_planned_again(show: ShowFolder) -> None:
    issued = floor_of(show, usual_work()).issued()
    show.replace(
        "sequences/hill.yaml",
        "nearest: 40 m",
        "nearest: 40 m\n        locked: {date: 2027-03-05}",
    )
    again = floor_of(show, usual_work()).again(issued, TUESDAY)
    assert call_of(again, "HL010.town", "photograph").starts == datetime(2027, 3, 5, 8)


def test_days_on_count_working_days_and_the_first_is_one_of_them(show: ShowFolder) -> None:
    calendar = floor_of(show, {}).show.calendar
    assert working_days_on(calendar, date(2027, 3, 4), 0) == date(2027, 3, 4)
    # Thursday and Friday are two; the third is Monday.
    assert working_days_on(calendar, date(2027, 3, 4), 2) == date(2027, 3, 6)
    assert working_days_on(calendar, date(2027, 3, 4), 3) == date(2027, 3, 9)


def test_the_same_show_planned_again_gives_the_same_order(show: ShowFolder) -> None:
    with_south(show)
    issued = floor_of(show, usual_work()).issued()
    floor = changed(show, north="2027-03-02..2027-03-03")
    assert replace(floor.again(issued, TUESDAY), question=None) == replace(
        floor.again(issued, TUESDAY), question=None
    )


def test_moves_cost_their_price_and_as_much_again_for_every_twenty_days(show: ShowFolder) -> None:
    with_south(show)
    floor = floor_of(show, usual_work())
    issued = floor.issued()
    # Photography from Tuesday 2 to Monday 8 March and joining after it: four days each, so that
    # each is 500 GBP and a fifth of it more.
    away = "2027-03-02..2027-03-05"
    later = changed(show, north=away, south=away)
    moved = compare(later.show.calendar, issued, later.again(issued, TUESDAY)).moved
    assert [each.days for each in moved] == [4, 4]
    terms = Terms(TUESDAY, Started({}), None, BUDGET)
    assert moves_cost(later.show, terms, moved) == 1200
    # Joining was called for Wednesday: after the day held it counts a third, 166 and 33.
    held = replace(terms, held_until=WEDNESDAY)
    assert moves_cost(later.show, held, moved) == 600 + 199
