"""What was done on another day than called stood somewhere, and its days are no saving.

The small show works Monday to Friday, ten hours from 08:00, from Monday 1 March 2027.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

import pytest

from planner.order import Started, Terms, ask, issue
from planner.order.working import as_issued, planned_again
from tests.order.floor import BUDGET, STAMP, floor_of
from tests.order.test_arrange import NORTH, work

if TYPE_CHECKING:
    from planner.order import IssuedOrder, StageOrder
    from tests.conftest import ShowFolder
    from tests.order.floor import Floor

THURSDAY, FRIDAY = date(2027, 3, 4), date(2027, 3, 5)
TOWN = ("HL010.town/set up", "HL010.town/photograph")
POSTED = datetime(2027, 3, 3, 18)


def town_called_for_thursday(show: ShowFolder) -> Floor:
    """Set up for ten hours on Thursday, photographed for ten on Friday."""
    show.replace(
        "sequences/hill.yaml", "action: still", "action: still\n        not_before: 2027-03-04"
    )
    works = (
        work("set up", 10, needs=NORTH, set_up="town"),
        work("photograph", 10, after=("set up",), needs=NORTH, set_up="town"),
    )
    return floor_of(show, {"HL010.town": works})


def again(floor: Floor, issued: IssuedOrder, at: dict[str, datetime], day: date) -> StageOrder:
    question = ask(floor.show, floor.graph, floor.estimates)
    terms = Terms(day, Started(at, frozenset(at), is_posted=True), None, BUDGET)
    return planned_again(floor.show, floor.graph, question, issued, terms)


def test_what_was_photographed_sooner_held_its_stage_as_long_until_then(show: ShowFolder) -> None:
    floor = town_called_for_thursday(show)
    issued = floor.issued()
    assert [call.starts.date() for call in issued.calls] == [THURSDAY, FRIDAY]
    # It is posted as in the can on Wednesday evening: twenty hours before that begin on Tuesday.
    order = again(floor, issued, dict.fromkeys(TOWN, POSTED), THURSDAY)
    assert [(call.starts, call.ends, call.stage) for call in order.calls] == [
        (datetime(2027, 3, 2, 8), datetime(2027, 3, 2, 18), "north"),
        (datetime(2027, 3, 3, 8), datetime(2027, 3, 3, 18), "north"),
    ]
    assert order.days_held["north"] == (date(2027, 3, 2), date(2027, 3, 3))
    # Who came is not known: only the stage is held.
    assert {call.holds for call in order.calls} == {("north",)}
    # Issued so and planned again, it stays where it stood.
    second = issue(order, floor.show.title, replace(STAMP, number=2, planned_from=THURSDAY))
    began = {call.id: call.starts for call in order.calls}
    later = again(floor, second, began, FRIDAY)
    assert later.days_held["north"] == order.days_held["north"]


@pytest.mark.parametrize("posted", [POSTED, datetime(2027, 3, 8, 18)])
def test_an_order_is_kept_as_issued_though_work_was_done_on_another_day(
    show: ShowFolder, posted: datetime
) -> None:
    """Two days sooner, and a working day later, than the Friday that it was called for."""
    floor = town_called_for_thursday(show)
    order = again(floor, floor.issued(), dict.fromkeys(TOWN, posted), date(2027, 3, 9))
    second = issue(order, floor.show.title, replace(STAMP, number=2, planned_from=date(2027, 3, 9)))
    question = ask(floor.show, floor.graph, floor.estimates)
    kept = as_issued(floor.show, floor.graph, question, second)
    assert kept is not None
    assert kept.is_issued
    assert kept.calls == order.calls
    assert kept.days_held == order.days_held
    # Planned from the first, the same calls are none that anybody could be called for.
    first = replace(second, stamp=replace(second.stamp, planned_from=None))
    assert as_issued(floor.show, floor.graph, question, first) is None


def test_what_was_done_as_called_and_what_is_to_come_stay_as_they_are(show: ShowFolder) -> None:
    floor = town_called_for_thursday(show)
    issued = floor.issued()
    # Set up on its Thursday; the photography is still to come on Friday.
    order = again(floor, issued, {TOWN[0]: issued.calls[0].starts}, FRIDAY)
    assert [(call.starts.date(), call.holds) for call in order.calls] == [
        (each.starts.date(), each.holds) for each in issued.calls
    ]
    assert order.days_held["north"] == (THURSDAY, FRIDAY)


def test_nothing_stood_there_before_the_show_began(show: ShowFolder) -> None:
    floor = town_called_for_thursday(show)
    monday = datetime(2027, 3, 1, 13)
    # Of twenty hours five lie between Monday 08:00, the first of all, and 13:00.
    order = again(floor, floor.issued(), dict.fromkeys(TOWN, monday), date(2027, 3, 2))
    assert min(call.starts for call in order.calls) == datetime(2027, 3, 1, 8)
    assert order.days_held["north"] == (date(2027, 3, 1),)
