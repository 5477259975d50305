"""A thing lost: who is met by it, and what the show is without it."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from planner.kinds import Need
from planner.model.facts import DateRange
from planner.order import started_by_dates
from planner.order.lost import Loss, blow_of, find_lost, without
from tests.order.floor import floor_of, usual_work
from tests.order.test_arrange import work

if TYPE_CHECKING:
    from planner.kinds import Work
    from planner.order.lost import Blow
    from tests.conftest import ShowFolder

TUESDAY, FRIDAY = date(2027, 3, 2), date(2027, 3, 5)


def lost(show: ShowFolder, id_: str, first: date, last: date) -> Blow:
    issued = floor_of(show, {**usual_work(), "HL010.town": on_north()}).issued()
    losses = (Loss(id_, DateRange(first, last)),)
    return blow_of(losses, issued, first, started_by_dates(issued, first))


def on_north() -> tuple[Work, ...]:
    needs = (Need("stage", ("north",)), Need("build", ("hill_town",)))
    return (work("photograph", 10, needs=needs, set_up="town"),)


def test_things_are_found_by_id_and_by_title_whatever_the_capitals(show: ShowFolder) -> None:
    show.replace("resources.yaml", "height: 7 m}", "height: 7 m, title: The North Stage}")
    read = floor_of(show, {}).show
    assert find_lost(read, "north") == "north"
    assert find_lost(read, "the north stage") == "north"
    assert find_lost(read, "hill_town") == "hill_town"
    assert find_lost(read, "HL010.town") == ""
    assert find_lost(read, "west") == ""


def test_calls_on_the_days_lost_are_met_and_others_not(show: ShowFolder) -> None:
    # The town is photographed on north on Tuesday.
    assert [call.id for call in lost(show, "north", TUESDAY, FRIDAY).met] == [
        "HL010.town/photograph"
    ]
    assert lost(show, "north", date(2027, 3, 3), FRIDAY).met == ()


def test_a_struck_build_meets_those_who_photograph_it(show: ShowFolder) -> None:
    blow = lost(show, "hill_town", TUESDAY, FRIDAY)
    assert [call.id for call in blow.met] == ["HL010.town/photograph"]


def test_the_show_without_it_has_it_away_beside_what_was_away(show: ShowFolder) -> None:
    show.replace("resources.yaml", "height: 7 m}", "height: 7 m, away: [2027-04-01]}")
    read = floor_of(show, {}).show
    days = DateRange(TUESDAY, FRIDAY)
    now = without(read, (Loss("north", days), Loss("hill_town", days)))
    april = DateRange(date(2027, 4, 1), date(2027, 4, 1))
    assert now.resources["north"].away == (april, days)
    assert now.elements["hill_town"].facts.ranges("away") == (days,)
    assert read.elements["hill_town"].facts.ranges("away") == ()
