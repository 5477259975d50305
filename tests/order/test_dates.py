"""Why a call stands on the day it does, told back to what began the chain."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from planner.kinds import Need, Phase
from planner.order import Started, Terms, ask, why_then
from planner.order.working import planned_again
from tests.order.floor import BUDGET, floor_of
from tests.order.test_arrange import call_of, order_of, work

if TYPE_CHECKING:
    from tests.conftest import ShowFolder


def test_a_chain_is_told_back_to_its_beginning(show: ShowFolder) -> None:
    works = {
        "hill_town": (work("build it", 10, "model_making"),),
        "HL010.town": (work("photograph", 5, needs=(Need("stage", ("north",)),)),),
    }
    order = order_of(show, works)
    last, first = why_then(order, call_of(order, "HL010.town", "photograph"))
    assert last == (
        "HL010.town, photograph starts Tue 2 Mar 2027 08:00: it waits for hill_town, build it"
    )
    assert "these are the first working hours" in first


def test_days_lost_to_an_absence_are_told(show: ShowFolder) -> None:
    room = "height: 7 m}"
    show.replace("resources.yaml", room, "height: 7 m, away: [2027-03-02..2027-03-03]}")
    works = {
        "hill_town": (work("build it", 10, "model_making"),),
        "HL010.town": (work("photograph", 5, needs=(Need("stage", ("north",)),)),),
    }
    order = order_of(show, works)
    last, *_rest = why_then(order, call_of(order, "HL010.town", "photograph"))
    assert "starts Thu 4 Mar 2027" in last
    assert last.endswith("until it starts, north is away")


def test_work_that_would_begin_shortly_before_wrap_says_so(show: ShowFolder) -> None:
    # A day is 10 h: after 9 h 15 min there are 45 min left, and after 9 h an hour, which is enough.
    def told_after(hours: float) -> str:
        building = work("build it", hours, "model_making")
        works = {"hill_town": (building, work("paint it", 5, "model_making", after=("build it",)))}
        order = order_of(show, works)
        return why_then(order, call_of(order, "hill_town", "paint it"))[0]

    late, soon = told_after(9.25), told_after(9)
    assert late == (
        "hill_town, paint it starts Tue 2 Mar 2027 08:00: it waits for hill_town, build it, over"
        " by Mon 1 Mar 17:15; sooner it would begin less than 1 h before wrap"
    )
    assert soon == (
        "hill_town, paint it starts Mon 1 Mar 2027 17:00: it waits for hill_town, build it"
    )
    # They go home at 13:00: after 4 h 15 min of building, at 12:15, they begin no more.
    show.replace(
        "resources.yaml",
        "craft: model_making, heads: 4",
        "craft: model_making, heads: 4, called_between: {from: 08:00, to: 13:00}",
    )
    gone = told_after(4.25)
    assert "starts Tue 2 Mar 2027 08:00" in gone
    assert gone.endswith("; sooner it would begin less than 1 h before something it needs is away")


def test_film_at_the_laboratory_is_what_a_call_waits_for(show: ShowFolder) -> None:
    shot = replace(
        work("photograph", 5, needs=(Need("stage", ("north",)),)), phase=Phase.STAGE, wait_hours=8
    )
    works = {"HL010.town": (shot,), "HL010.final": (work("join", 3, "compositing"),)}
    order = order_of(show, works)
    said = why_then(order, call_of(order, "HL010.final", "join"))[0]
    # 5 h from 08:00 on, and 8 working hours more.
    assert "it waits for HL010.town, photograph, then 8 h until its film is back" in said
    # Stood a day later than it must, it names the film all the same.
    join = call_of(order, "HL010.final", "join")
    assert order.answer is not None
    day = 40
    late = replace(
        order.answer,
        starts={**order.answer.starts, join.id: order.answer.starts[join.id] + day},
        finishes={**order.answer.finishes, join.id: order.answer.finishes[join.id] + day},
    )
    told = why_then(replace(order, answer=late), join)[0]
    assert "the last it had to wait for, HL010.town, photograph, then 8 h until its film" in told
    assert told.endswith("it could start sooner")


def test_a_day_before_which_it_may_not_begin_is_told_with_what_states_it(show: ShowFolder) -> None:
    # The sky is photographed for five hours from the day it states, a Wednesday.
    show.replace("sequences/hill.yaml", "on: location", "on: location, not_before: 2027-03-03")
    floor = floor_of(show, {"HL010.sky": (work("photograph", 5),)})
    order = floor.arranged()
    (said,) = why_then(order, call_of(order, "HL010.sky", "photograph"))
    assert said == (
        "HL010.sky, photograph starts Wed 3 Mar 2027 08:00: by a day stated of it, it may not"
        " begin before Wed 3 Mar 2027"
    )
    # Nothing was ever begun, and it is planned again from Friday on.
    question = ask(floor.show, floor.graph, floor.estimates)
    terms = Terms(date(2027, 3, 5), Started({}), None, BUDGET)
    again = planned_again(floor.show, floor.graph, question, floor.issued(), terms)
    (said,) = why_then(again, call_of(again, "HL010.sky", "photograph"))
    assert said == (
        "HL010.sky, photograph starts Fri 5 Mar 2027 08:00: nothing is called before"
        " Fri 5 Mar 2027, from which on it is planned again"
    )
