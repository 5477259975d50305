"""Why a call stands on the day it does, told back to what began the chain."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner.kinds import Need, Phase
from planner.order import why_then
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
        "HL010.town, photograph starts Tue 02 Mar 2027 08:00: it waits for hill_town, build it"
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
    assert "starts Thu 04 Mar 2027" in last
    assert last.endswith("until it starts, north is away")


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
