"""Passes of one set: what waiting for the laboratory costs, and who may accept not to wait.

The small show works Monday to Friday, ten hours from 08:00, from Monday 1 March 2027; its stage
costs 2,400 GBP a day.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from planner.model.place import Severity
from tests.order.floor import floor_of
from tests.order.test_arrange import NORTH, call_of, work

if TYPE_CHECKING:
    from planner.kinds import Work
    from planner.model.place import Problem
    from planner.order import StageOrder
    from tests.conftest import ShowFolder

FINAL = "      final: {kind"
TAKEN = replace(work("photograph", 10, needs=NORTH, set_up="town"), wait_hours=20)


def with_glow(show: ShowFolder, facts: str = "") -> None:
    """A second pass of the town, by its own light."""
    glow = f"      glow: {{kind: light_pass, sort: glow, pass_of: town{facts}}}\n"
    show.replace("sequences/hill.yaml", FINAL, glow + FINAL)


def ordered(show: ShowFolder, **more: Work) -> StageOrder:
    works = {
        "HL010.town": (TAKEN,),
        "HL010.glow": (work("photograph", 2, needs=NORTH, set_up="town"),),
        **{f"HL010.{name}": (each,) for name, each in more.items()},
    }
    return floor_of(show, works).arranged()


def told(order: StageOrder) -> list[Problem]:
    codes = ("set-waits-for-laboratory", "set-struck-between-passes")
    return [each for each in order.problems if each.code in codes]


def test_a_set_that_waits_for_the_laboratory_is_told_with_its_days_and_cost(
    show: ShowFolder,
) -> None:
    with_glow(show)
    order = ordered(show)
    # Photographed on Monday until 18:00; 20 h of laboratory are Tuesday and Wednesday.
    assert call_of(order, "HL010.glow", "photograph").starts == datetime(2027, 3, 4, 8)
    (problem,) = told(order)
    assert (problem.code, problem.severity) == ("set-waits-for-laboratory", Severity.NOTE)
    assert problem.about == "HL010.glow"
    assert "stands 2 idle days on north (2027-03-02 to 2027-03-03)" in problem.message
    # Two days at 2,400.
    assert problem.message.endswith("is back: 4,800.00 GBP")
    assert "write who accepts that under `before_film_is_back` of HL010.glow" in problem.remedy


def test_a_pass_that_somebody_accepts_unseen_follows_at_once(show: ShowFolder) -> None:
    with_glow(show, ", before_film_is_back: the supervisor")
    order = ordered(show)
    assert call_of(order, "HL010.glow", "photograph").starts == datetime(2027, 3, 2, 8)
    assert told(order) == []


def test_what_else_it_waits_for_must_still_be_developed(show: ShowFolder) -> None:
    with_glow(show, ", before_film_is_back: the supervisor, waits_for: sky")
    show.replace("sequences/hill.yaml", "on: location", "on: stage")
    sky = replace(work("photograph", 10, needs=NORTH, set_up="town"), wait_hours=20)
    order = ordered(show, sky=sky)
    # Monday and Tuesday are the sky's and the town's, in either turn; then 20 h after the sky.
    sky_ends = call_of(order, "HL010.sky", "photograph").ends
    back = {1: datetime(2027, 3, 4, 8), 2: datetime(2027, 3, 5, 8)}[sky_ends.day]
    assert call_of(order, "HL010.glow", "photograph").starts == back


def test_the_film_of_both_is_waited_for_before_they_are_joined(show: ShowFolder) -> None:
    with_glow(show, ", before_film_is_back: the supervisor")
    order = ordered(show, final=work("join", 5, "compositing"))
    # The composite accepts nothing: back on Wednesday evening, as if there were no second pass.
    assert call_of(order, "HL010.final", "join").starts == datetime(2027, 3, 4, 8)


def test_days_after_the_film_is_back_are_not_the_laboratory_s(show: ShowFolder) -> None:
    with_glow(show, ", not_before: 2027-03-10")
    (problem,) = told(ordered(show))
    assert "2 idle days on north (2027-03-02 to 2027-03-03)" in problem.message


def test_a_set_struck_before_its_next_pass_is_a_warning(show: ShowFolder) -> None:
    with_glow(show)
    locked = "on: stage, locked: {date: 2027-03-02, at: 12:00}"
    show.replace("sequences/hill.yaml", "on: location", locked)
    order = ordered(show, sky=work("photograph", 2, needs=NORTH, set_up="sky"))
    (problem,) = told(order)
    assert (problem.code, problem.severity) == ("set-struck-between-passes", Severity.WARNING)
    assert problem.about == "HL010.glow"
    assert "the set of HL010.town is struck on 2027-03-02 for HL010.sky" in problem.message


def test_where_a_stage_has_no_rate_the_days_are_told_alone(show: ShowFolder) -> None:
    with_glow(show)
    rate = "  north: {per: day, amounts: [{from: 2027-01-01, is: 2400 GBP}]}\n"
    show.replace("rates.yaml", rate, "")
    (problem,) = told(ordered(show))
    assert problem.message.endswith("is back")
