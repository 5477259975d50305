"""Passes of one set: what waiting for the laboratory costs, and who may accept not to wait.

The small show works Monday to Friday, ten hours from 08:00, from Monday 1 March 2027; its stage
costs 2,400 GBP a day.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from planner.kinds import Hours, Need
from planner.model.place import Severity
from planner.order import ask, why_then
from tests.order.floor import Floor, floor_of, with_south
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


def lined_up(show: ShowFolder, hours: float, glow: Work, **more: Work) -> Floor:
    """The town set up in some hours and programmed in two more, then photographed; a glow; more."""
    set_up = work("set up", hours, needs=NORTH, set_up="town")
    program = work("program", 2, needs=NORTH, set_up="town", after=("set up",))
    taken = work("photograph", 1, needs=NORTH, set_up="town", after=("program",))
    works = {
        "HL010.town": (set_up, program, taken),
        "HL010.glow": (glow,),
        **{f"HL010.{name}": (each,) for name, each in more.items()},
    }
    return floor_of(show, works)


SOUTH = (Need("stage", ("south",)),)
SKY = work("photograph", 1, needs=NORTH, set_up="sky")
GLOW = work("photograph", 1, needs=NORTH, set_up="town")


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


def test_a_set_that_stands_is_not_lined_up_for_its_next_pass(show: ShowFolder) -> None:
    with_glow(show)
    order = lined_up(show, 4, GLOW).arranged()
    # Four hours, two and one from 08:00; the glow follows at once.
    assert call_of(order, "HL010.glow", "photograph").starts == datetime(2027, 3, 1, 15)
    assert order.answer is not None
    assert order.answer.parts.changeover == 0


def test_a_set_struck_for_a_locked_day_is_lined_up_anew(show: ShowFolder) -> None:
    with_glow(show, ", not_before: 2027-03-02")
    locked = "on: stage, locked: {date: 2027-03-02, at: 08:00}"
    show.replace("sequences/hill.yaml", "on: location", locked)
    order = lined_up(show, 4, GLOW, sky=SKY).arranged()
    # The sky on Tuesday from 08:00 to 09:00, an hour to strike it, and the four hours of setting up
    # and two of programming that the town took on Monday: 16:00.
    assert call_of(order, "HL010.glow", "photograph").starts == datetime(2027, 3, 2, 16)
    (problem,) = told(order)
    assert problem.code == "set-struck-between-passes"
    assert "for HL010.glow on 2027-03-02 and lined up anew in 6 h before it" in problem.message
    why = why_then(order, call_of(order, "HL010.glow", "photograph"))
    assert "north is cleared, and lined up anew in 6 h as for HL010.town, after" in why[0]


def test_another_pass_on_another_stage_is_lined_up_there(show: ShowFolder) -> None:
    with_south(show)
    with_glow(show)
    order = lined_up(show, 4, replace(GLOW, needs=SOUTH)).arranged()
    # The town is done by 15:00; the six hours may be worked on the other stage before that.
    assert call_of(order, "HL010.glow", "photograph").starts == datetime(2027, 3, 1, 15)
    # Nothing is struck there; 24 quarters bring it up.
    assert order.answer is not None
    assert order.answer.parts.changeover == 24


def test_a_set_is_not_struck_where_lining_it_up_anew_costs_more_than_its_days(
    show: ShowFolder,
) -> None:
    with_glow(show, ", not_before: 2027-03-05")
    show.replace("sequences/hill.yaml", "on: location", "on: stage")
    order = lined_up(show, 11, GLOW, sky=SKY).arranged()
    # 2,400 GBP a day, 200 an hour of changing over. The town is done on Tuesday at 12:00, the glow
    # may be on Friday. Kept standing: five days and an hour to strike, 12,200. Struck on Tuesday:
    # two hours to strike and 13 to line it up anew, 3,000, which take all of Thursday and some of
    # Friday: four days, 12,600. Were it set up anew for nothing: four days, 10,000.
    assert order.days_held["north"] == tuple(date(2027, 3, day) for day in (1, 2, 3, 4, 5))
    assert told(order) == []


def test_a_pass_of_a_pass_is_lined_up_as_the_first(show: ShowFolder) -> None:
    with_glow(show)
    again = "      lamps: {kind: light_pass, sort: practicals, pass_of: glow}\n"
    show.replace("sequences/hill.yaml", FINAL, again + FINAL)
    floor = lined_up(show, 4, GLOW, lamps=GLOW)
    question = ask(floor.show, floor.graph, floor.estimates)
    anew = {id_: (each.element, each.quarters) for id_, each in question.lined_up.items()}
    assert anew == {"HL010.glow": ("HL010.town", 24), "HL010.lamps": ("HL010.town", 24)}


def test_what_is_no_pass_is_asked_as_ever(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", "on: location", "on: stage")
    floor = lined_up(show, 4, GLOW, sky=GLOW)
    question = ask(floor.show, floor.graph, floor.estimates)
    changeovers = question.instance.changeovers
    # One state, for the sky too; an hour to strike it, nothing to bring it up.
    assert (changeovers.set_up, changeovers.strike) == ({"north: town": 0}, {"north: town": 4})
    assert changeovers.pairs == {}
    assert question.lined_up == {}


def with_check(show: ShowFolder) -> None:
    """The town is laid over the sky on a monitor, on its stage."""
    check = "      check: {kind: check_composite, of: town, against: sky, stage: north}\n"
    show.replace("sequences/hill.yaml", FINAL, check + FINAL)


CHECK = work("check it", 0.5, "camera", needs=NORTH)


def test_what_is_checked_on_its_stage_is_checked_while_it_stands(show: ShowFolder) -> None:
    with_check(show)
    show.replace("sequences/hill.yaml", "on: location", "on: stage")
    # The check waits for the sky and the town, whose film is back 20 h later; on a monitor both are
    # seen at once. Were the town first, the sky would come between it and the check.
    works = {
        "HL010.sky": (replace(TAKEN, hours=SKY.hours, set_up="sky"),),
        "HL010.town": (replace(TAKEN, hours=Hours(6, 6, 6)),),
        "HL010.check": (CHECK,),
    }
    order = floor_of(show, works).arranged()
    checked = call_of(order, "HL010.check", "check it")
    assert checked.starts == call_of(order, "HL010.town", "photograph").ends
    assert checked.work.set_up == "town"
    assert told(order) == []


def test_a_check_after_its_set_is_struck_is_a_warning(show: ShowFolder) -> None:
    with_check(show)
    locked = "on: stage, locked: {date: 2027-03-02, at: 12:00}"
    show.replace("sequences/hill.yaml", "on: location", locked)
    # The check waits for the sky, which is locked, as well; the town was photographed the day
    # before.
    works = {
        "HL010.town": (TAKEN,),
        "HL010.sky": (work("photograph", 2, needs=NORTH, set_up="sky"),),
        "HL010.check": (CHECK,),
    }
    (problem,) = told(floor_of(show, works).arranged())
    assert (problem.code, problem.about) == ("set-struck-between-passes", "HL010.check")
    assert "struck on 2027-03-02 for HL010.sky" in problem.message
    assert "which looks at it" in problem.message
    assert problem.remedy == "look at it while the set stands"


def test_a_check_off_the_stage_waits_for_film(show: ShowFolder) -> None:
    with_check(show)
    works = {"HL010.town": (TAKEN,), "HL010.check": (replace(CHECK, needs=()),)}
    order = floor_of(show, works).arranged()
    # Photographed on Monday until 18:00; 20 h of laboratory are Tuesday and Wednesday.
    assert call_of(order, "HL010.check", "check it").starts == datetime(2027, 3, 4, 8)
