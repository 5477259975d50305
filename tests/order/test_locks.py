"""Locked rows: kept where they can be, told where they cannot; dates argued by hand.

The small show works Monday to Friday, ten hours from 08:00, from Monday 1 March 2027.
"""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from planner.kinds import Need
from tests.order.test_arrange import call_of, order_of, work

if TYPE_CHECKING:
    from planner.order import StageOrder
    from tests.conftest import ShowFolder

EITHER = (Need("stage", ("north", "south")),)
PHOTOGRAPH = work("photograph", 5, needs=EITHER, set_up="town")


def locked(show: ShowFolder, row: str, north: str = "") -> StageOrder:
    show.replace("sequences/hill.yaml", "nearest: 40 m", f"nearest: 40 m\n        locked: {row}")
    show.replace(
        "resources.yaml",
        "  north: {width: 18 m, depth: 24 m, height: 7 m}\n",
        f"  north: {{width: 18 m, depth: 24 m, height: 7 m{north}}}\n"
        "  south: {width: 18 m, depth: 24 m, height: 7 m}\n",
    )
    build = work("build it", 10, "model_making")
    return order_of(show, {"hill_town": (build,), "HL010.town": (PHOTOGRAPH,)})


def test_a_locked_row_stands_on_its_day_its_hour_and_its_stage(show: ShowFolder) -> None:
    order = locked(show, '{date: 2027-03-04, at: "13:00", stage: south}')
    call = call_of(order, "HL010.town", "photograph")
    assert (call.starts, call.stage) == (datetime(2027, 3, 4, 13), "south")
    assert order.problems == ()


def test_a_stage_may_be_locked_alone(show: ShowFolder) -> None:
    order = locked(show, "{stage: south}")
    call = call_of(order, "HL010.town", "photograph")
    assert (call.starts, call.stage) == (datetime(2027, 3, 2, 8), "south")


def test_a_lock_while_the_stage_is_away_says_who_is_away_and_when(show: ShowFolder) -> None:
    order = locked(show, "{date: 2027-03-04, stage: north}", ", away: [2027-03-04..2027-03-05]")
    (problem,) = order.problems
    assert problem.code == "lock-not-kept"
    assert "north is away 2027-03-04 to 2027-03-05, back on 2027-03-06" in problem.message
    assert str(problem.place) == show.place("sequences/hill.yaml", "{date: 2027-03-04")
    # Back on Saturday, that is Monday 8 March; ready on Tuesday, before the absence.
    assert problem.remedy.startswith("lock it at 2027-03-08 08:00 or later, or at 2027-03-02 08:00")


def test_a_lock_before_what_it_waits_for_names_it_and_the_soonest_day(show: ShowFolder) -> None:
    order = locked(show, "{date: 2027-03-01}")
    (problem,) = order.problems
    assert problem.code == "lock-not-kept"
    # Ten hours of building fill Monday.
    assert "build it of hill_town comes first" in problem.message
    assert "2027-03-02 08:00 at the soonest" in problem.message


def test_a_lock_on_a_day_off_offers_the_next_working_hour(show: ShowFolder) -> None:
    order = locked(show, "{date: 2027-03-06}")
    (problem,) = order.problems
    assert problem.code == "lock-outside-hours"
    assert "2027-03-06, when nobody works" in problem.message
    assert "2027-03-08 08:00" in problem.remedy


def test_a_lock_on_a_stage_that_does_not_fit_names_those_that_do(show: ShowFolder) -> None:
    show.replace(
        "resources.yaml", "cameras:\n", "  hut: {width: 4 m, depth: 4 m, height: 3 m}\ncameras:\n"
    )
    order = locked(show, "{date: 2027-03-04, stage: hut}")
    (problem,) = order.problems
    assert problem.code == "lock-unfit"
    assert "its work fits north or south" in problem.message
    assert call_of(order, "HL010.town", "photograph").starts == datetime(2027, 3, 4, 8)


def test_two_locks_on_one_stage_at_one_hour_name_each_other(show: ShowFolder) -> None:
    row = "locked: {date: 2027-03-04, stage: north}"
    show.replace("sequences/hill.yaml", "nearest: 40 m", f"nearest: 40 m\n        {row}")
    show.replace("sequences/hill.yaml", "on: location", f"on: location, {row}")
    needs = (Need("stage", ("north",)),)
    works = {
        "HL010.sky": (work("photograph", 3, needs=needs),),
        "HL010.town": (work("photograph", 3, needs=needs),),
    }
    (problem,) = order_of(show, works).problems
    assert problem.code == "lock-not-kept"
    assert "cannot be beside it there" in problem.message
    assert {"HL010.sky" in problem.message, "HL010.town" in problem.message} == {True, False}
