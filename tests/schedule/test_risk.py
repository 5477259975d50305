"""Durations drawn through an answer: published merges, turns, hand-worked nights and spells."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.craft.pert import drawn
from planner.craft.planning import ThreePoint
from planner.schedule import (
    Activity,
    Answer,
    Budget,
    Calendar,
    Changeovers,
    Instance,
    Lock,
    Mode,
    Precedence,
    Resource,
    solve,
    verify,
    working_days,
)
from planner.schedule.indexed import index
from planner.schedule.risk import Drawing, Varied, ends_of
from planner.schedule.worktime import start_before
from tests.schedule.test_laws import SLOW, instances

# Operations-management textbook problem, quoted on a course slide (published): nine activities
# with what they follow and low, likely, high. A-C-E has mean 20.5 and deviation 1.118, D-F-G 21.5
# and 1.344 (critical), B-H-I 19.5 and .726.
NINE = {
    "A": ("", 5, 6, 7),
    "B": ("", 8, 8, 11),
    "C": ("A", 6, 8, 11),
    "D": ("", 9, 12, 15),
    "E": ("C", 5, 6, 9),
    "F": ("D", 5, 6, 7),
    "G": ("F", 2, 3, 7),
    "H": ("B", 4, 4, 5),
    "I": ("H", 5, 7, 8),
}
FREE = Budget(evaluations=0)


def nine() -> tuple[Instance, Answer]:
    instance = Instance(
        tuple(
            Activity(name, (Mode(m),), (Precedence(after),) if after else ())
            for name, (after, _a, m, _b) in NINE.items()
        )
    )
    return instance, solve(instance, FREE)


def normal(mean: float, deviation: float) -> Drawing:
    return lambda scores: mean + deviation * scores


def fixed(length: float) -> Drawing:
    return lambda scores: np.full_like(scores, length)


def pert(low: float, likely: float, high: float) -> Drawing:
    return lambda scores: drawn(ThreePoint(low, likely, high), scores)


def end_of(instance: Instance, **lengths: float) -> float:
    """When the last activity ends, the usual order's turns kept, with other durations."""
    varied = Varied({name: fixed(length) for name, length in lengths.items()}, draws=1)
    ids = [activity.id for activity in instance.activities]
    return float(ends_of(instance, solve(instance, FREE), {"end": ids}, varied)["end"].ends[0])


def test_merging_paths_keep_a_date_less_often_than_the_critical_path_alone() -> None:
    # The same problem: by its critical path alone 21.5 is kept in half of all cases, by all three
    # paths in .406; all are done after 21.83 on average (published means and deviations, normal
    # paths; 40,000 draws have a standard error of .0025).
    instance, answer = nine()
    points = {name: ThreePoint(a, m, b) for name, (_after, a, m, b) in NINE.items()}
    durations = {name: normal(point.mean, point.variance**0.5) for name, point in points.items()}
    varied = Varied(durations, draws=40_000)
    found = ends_of(instance, answer, {"critical": ["G"], "all": ["E", "G", "I"]}, varied)
    assert np.mean(found["critical"].ends <= 21.5) == pytest.approx(0.5, abs=0.01)
    assert np.mean(found["all"].ends <= 21.5) == pytest.approx(0.406, abs=0.01)
    assert found["all"].ends.mean() == pytest.approx(21.83, abs=0.02)


def test_the_merge_shows_with_pert_betas_too() -> None:
    # Betas spread a little wider than sixths of the range (D-F-G 1.48 against 1.344).
    instance, answer = nine()
    durations = {name: pert(a, m, b) for name, (_after, a, m, b) in NINE.items()}
    found = ends_of(
        instance, answer, {"all": ["E", "G", "I"]}, Varied(durations, draws=40_000), ["all"]
    )["all"]
    assert np.mean(found.ends <= 21.5) == pytest.approx(0.406, abs=0.03)
    assert found.drivers[0].id == "D"


def test_the_later_of_two_equal_normals_has_its_known_moments() -> None:
    # Moments of the greatest of normals, Operations Research 9(2), 1961: two of mean 10 and
    # deviation 2 give 11.128 and 1.651.
    instance = Instance((Activity("a", (Mode(10),)), Activity("b", (Mode(10),))))
    varied = Varied({"a": normal(10, 2), "b": normal(10, 2)}, draws=40_000)
    ends = ends_of(instance, solve(instance, FREE), {"both": ["a", "b"]}, varied)["both"].ends
    assert ends.mean() == pytest.approx(11.128, abs=0.03)
    assert ends.std() == pytest.approx(1.651, abs=0.03)


def test_a_target_of_nothing_ends_at_once() -> None:
    # There is nothing to wait for, so it ends at quarter 0 in each draw, and nothing drives it.
    instance = Instance((Activity("a", (Mode(10),)),))
    varied = Varied({"a": normal(10, 2)}, draws=3)
    found = ends_of(instance, solve(instance, FREE), {"none": []}, varied, ["none"])["none"]
    assert (found.ends.tolist(), found.drivers) == ([0, 0, 0], ())


@SLOW
@given(instances(), st.data())
def test_any_durations_keep_every_rule_of_the_question(
    instance: Instance, data: st.DataObject
) -> None:
    try:
        answer = solve(instance, Budget(evaluations=2))
    except ValueError:
        return
    indexed = index(instance)
    lengths = {}
    for activity in instance.activities:
        usual = activity.modes[answer.modes[activity.id]].duration_quarters
        lengths[activity.id] = data.draw(st.integers(1, 12)) if usual else 0
    varied = Varied({name: fixed(length) for name, length in lengths.items()}, draws=1)
    found = ends_of(instance, answer, {each: [each] for each in lengths}, varied)
    finishes = {name: round(float(each.ends[0])) for name, each in found.items()}
    starts = {}
    for i, name in enumerate(indexed.ids):
        way = indexed.ways[i][answer.modes[name]]
        spells = way.spells if way.pauses else ()
        starts[name] = start_before(finishes[name], lengths[name], spells)
    slower = replace(
        instance,
        activities=tuple(
            replace(
                activity,
                modes=tuple(
                    replace(m, duration_quarters=lengths[activity.id]) for m in activity.modes
                ),
                locked=None,
                # What is locked may be begun however soon before a pause.
                least_quarters=0 if activity.locked else activity.least_quarters,
            )
            for activity in instance.activities
        ),
    )
    assert verify(slower, replace(answer, starts=starts, finishes=finishes)) == ()


@SLOW
@given(instances())
def test_usual_durations_end_nothing_later_than_the_answer(instance: Instance) -> None:
    try:
        answer = solve(instance, Budget(evaluations=2))
    except ValueError:
        return
    names = [activity.id for activity in instance.activities]
    found = ends_of(instance, answer, {each: [each] for each in names}, Varied({}, draws=1))
    assert all(found[name].ends[0] <= answer.finishes[name] for name in names)


def test_one_stage_is_handed_on_and_changed_over() -> None:
    # a 4 on the stage in state x, b 4 in state y after it, 3 to strike and set up between; y wants
    # a first set-up of 2 where nothing stands: 2 + 4 + 3 + 4 = 13; with a taking 7 it is 16.
    stage = Resource("stage")
    set_ups = Changeovers(set_up={"x": 2, "y": 2}, strike={"x": 1})
    instance = Instance(
        (
            Activity("a", (Mode(4, {"stage": 1}, set_ups={"stage": "x"}),)),
            Activity("b", (Mode(4, {"stage": 1}, set_ups={"stage": "y"}),), (Precedence("a"),)),
        ),
        (stage,),
        changeovers=set_ups,
    )
    assert end_of(instance) == 13
    assert end_of(instance, a=7) == 16


def test_of_two_hands_the_one_who_is_free_first_goes_on() -> None:
    # Two hands: a (2) and b (6) begin, c (4) takes over from a. With a taking 5, c ends at 9.
    crew = Resource("crew", capacity=2)
    one = {"crew": 1}
    instance = Instance(
        (
            Activity("a", (Mode(2, one),), locked=Lock(0)),
            Activity("b", (Mode(6, one),), locked=Lock(0)),
            Activity("c", (Mode(4, one),), locked=Lock(2)),
        ),
        (crew,),
    )
    assert end_of(instance) == 6
    assert end_of(instance, a=5) == 9


WEEK = Calendar(working_days(date(2027, 3, 1), date(2027, 3, 12)), quarters_per_day=40)


def test_work_that_must_not_be_cut_waits_for_the_morning() -> None:
    # 30 quarters, then 10 more: both fit in a day of 40. With a taking 31 b waits until 40.
    instance = Instance(
        (
            Activity("a", (Mode(30),)),
            Activity("b", (Mode(10),), (Precedence("a"),)),
        ),
        calendar=WEEK,
    )
    assert end_of(instance) == 40
    assert end_of(instance, a=31) == 50
    assert end_of(instance, b=45) == 75  # longer than any day: it runs on from where it begins


def test_paint_dries_by_night() -> None:
    # 40 quarters of work end on Monday at six; 56 quarters (14 h) of drying end on Tuesday at
    # eight, quarter 40. Done two hours sooner, at four, it is still Tuesday at eight.
    instance = Instance(
        (
            Activity("paint", (Mode(40),), splittable=True),
            Activity("on", (Mode(4),), (Precedence("paint", lag_clock_quarters=56),)),
        ),
        calendar=WEEK,
    )
    assert end_of(instance) == 44
    assert end_of(instance, paint=32) == 44
    # Four quarters later than that, Tuesday 9:00 + 14 h = 23:00, goes on on Wednesday, quarter 80.
    assert end_of(instance, paint=44) == 84


def test_work_pauses_while_what_it_uses_is_away() -> None:
    rig = Resource("rig", blocked=((6, 10),))
    instance = Instance((Activity("a", (Mode(8, {"rig": 1}),), splittable=True),), (rig,))
    assert end_of(instance) == 12  # 6 before and 2 after the spell of 4
    assert end_of(instance, a=6) == 6


def test_the_same_seed_draws_the_same_whatever_else_there_is() -> None:
    one = Instance((Activity("a", (Mode(10),)),))
    two = Instance((*one.activities, Activity("b", (Mode(10),))))
    durations = {"a": pert(8, 10, 20), "b": pert(5, 10, 11)}
    first, again, other = (
        ends_of(each, solve(each, FREE), {"a": ["a"]}, Varied(durations, draws=500, seed=seed))
        for each, seed in ((one, 3), (two, 3), (one, 4))
    )
    assert first["a"].ends.tobytes() == again["a"].ends.tobytes()
    assert first["a"].ends.tobytes() != other["a"].ends.tobytes()


def test_chunks_change_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    instance, answer = nine()
    durations = {name: pert(a, m, b) for name, (_after, a, m, b) in NINE.items()}
    asked = (instance, answer, {"all": ["E", "G", "I"]}, Varied(durations, draws=1_000), ["all"])
    whole = ends_of(*asked)["all"]
    monkeypatch.setattr("planner.schedule.risk._CELLS", 9 * 64)
    parts = ends_of(*asked)["all"]
    assert whole.ends.tobytes() == parts.ends.tobytes()
    assert [each.id for each in whole.drivers] == [each.id for each in parts.drivers]
    assert [each.critical for each in whole.drivers] == [each.critical for each in parts.drivers]


def test_those_who_err_together_spread_a_chain_wider() -> None:
    # Two in a row of deviation 3: apart sqrt(2) x 3 = 4.24, wholly together 6, at a half
    # sqrt(9 + 9 + 2 x .5 x 9) = 5.20.
    instance = Instance(
        (Activity("a", (Mode(20),)), Activity("b", (Mode(20),), (Precedence("a"),)))
    )
    answer = solve(instance, FREE)

    def spread(correlation: float) -> float:
        varied = Varied(
            {"a": normal(20, 3), "b": normal(20, 3)},
            {"a": "paint", "b": "paint"},
            correlation,
            draws=40_000,
        )
        return float(ends_of(instance, answer, {"b": ["b"]}, varied)["b"].ends.std())

    assert spread(0.0) == pytest.approx(4.24, rel=0.02)
    assert spread(0.5) == pytest.approx(5.20, rel=0.02)
    assert spread(1.0) == pytest.approx(6.0, rel=0.02)


def test_drivers_tell_how_often_and_how_much() -> None:
    # a takes 10 or more, b always 4 beside it: a is always on the chain, b never; what a adds is
    # its mean over what it usually takes, (10 + 40 + 22) / 6 - 10 = 2.
    instance = Instance((Activity("a", (Mode(10),)), Activity("b", (Mode(4),))))
    varied = Varied({"a": pert(10, 10, 22)}, draws=20_000)
    found = ends_of(instance, solve(instance, FREE), {"end": ["a", "b"]}, varied, ["end"])["end"]
    (driver,) = found.drivers
    assert (driver.id, driver.critical) == ("a", 1.0)
    assert driver.correlation == pytest.approx(1.0)
    assert driver.weighs == pytest.approx(1.0)
    assert driver.adds == pytest.approx(2.0, abs=0.05)
