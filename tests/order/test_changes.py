"""What is different between two orders, counted in working days by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from planner.kinds import Need
from planner.order import compare
from planner.order.changes import working_days_between
from tests.order.floor import floor_of, usual_work, with_south
from tests.order.test_arrange import work

if TYPE_CHECKING:
    from tests.conftest import ShowFolder


def test_an_order_beside_itself_has_no_changes(show: ShowFolder) -> None:
    floor = floor_of(show, usual_work())
    changes = compare(floor.show.calendar, floor.issued(), floor.arranged())
    assert changes.is_nothing
    assert changes.standing == 3


def test_moves_are_counted_in_working_days_with_their_reason(show: ShowFolder) -> None:
    issued = floor_of(show, usual_work()).issued()
    show.replace("resources.yaml", "height: 7 m}", "height: 7 m, away: [2027-03-02..2027-03-07]}")
    works = usual_work()
    photograph = replace(works["HL010.town"][0], needs=(Need("stage", ("north",)),))
    floor = floor_of(show, {**works, "HL010.town": (photograph,)})
    changes = compare(floor.show.calendar, issued, floor.again(issued, date(2027, 3, 2)))
    town, final = changes.moved
    # Tuesday 2 March to Monday 8 March is four working days; all that follows goes with it.
    assert (town.call.element, town.days) == ("HL010.town", 4)
    assert "something it needs is away" in town.because or "2027" in town.because
    assert (final.call.element, final.days) == ("HL010.final", 4)
    assert "it waits for HL010.town, photograph" in final.because
    assert [(each.shot, each.days) for each in changes.finals] == [("HL010", 4)]
    assert changes.standing == 1


def test_a_change_of_stage_on_the_same_day_is_a_move_of_no_days(show: ShowFolder) -> None:
    with_south(show)
    floor = floor_of(show, usual_work())
    issued = floor.issued()
    order = floor.arranged()
    stage = next(call.stage for call in order.calls if call.stage)
    other = ({"north", "south"} - {stage}).pop()
    calls = tuple(
        replace(call, stage=other, holds=tuple(other if h == stage else h for h in call.holds))
        if call.stage
        else call
        for call in order.calls
    )
    (moved,) = compare(floor.show.calendar, issued, replace(order, calls=calls)).moved
    assert moved.days == 0
    assert moved.is_elsewhere


def test_what_is_new_gone_gained_and_lost_is_told_apart(show: ShowFolder) -> None:
    floor = floor_of(show, usual_work())
    issued = floor.issued()
    later = floor.needing({"hill_town": (work("paint it", 10, "model_making"),)})
    changes = compare(floor.show.calendar, issued, later.arranged())
    assert [call.id for call in changes.new] == ["hill_town/paint it"]
    assert {call.id for call in changes.gone} == {
        "hill_town/build it",
        "HL010.town/photograph",
        "HL010.final/join",
    }
    assert (changes.gained, changes.lost) == ((), ("HL010",))


def test_days_between_are_working_days_both_ways(show: ShowFolder) -> None:
    calendar = floor_of(show, {}).show.calendar
    friday, tuesday = datetime(2027, 3, 5, 8), datetime(2027, 3, 9, 17)
    assert working_days_between(calendar, friday, tuesday) == 2
    assert working_days_between(calendar, tuesday, friday) == -2
    assert working_days_between(calendar, friday, friday) == 0
