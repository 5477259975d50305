"""Reasons follow what holds an activity back to where nothing is behind."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given

from planner.schedule import (
    Activity,
    Answer,
    Budget,
    Calendar,
    Changeovers,
    Explainer,
    Instance,
    Lock,
    Mode,
    Precedence,
    Resource,
    solve,
    why_there,
    working_days,
)
from planner.schedule.worktime import finish_of, merged
from tests.schedule.test_laws import SLOW, instances


def answered(instance: Instance) -> Answer:
    return solve(instance, Budget(seconds=0))


def kinds(instance: Instance, name: str) -> list[tuple[str, str]]:
    return [(reason.id, reason.kind) for reason in why_there(instance, answered(instance), name)]


def test_the_chain_goes_back_over_bench_and_precedence_to_the_release() -> None:
    # a is released at 2 and takes 3 on the bench; b needs the bench, c needs b.
    instance = Instance(
        (
            Activity("a", (Mode(3, {"bench": 1}),), release=2, due=0),
            Activity("b", (Mode(4, {"bench": 1}),)),
            Activity("c", (Mode(1),), after=(Precedence("b"),)),
        ),
        (Resource("bench", blocked=((0, 2),)),),
    )
    assert kinds(instance, "c") == [("c", "after"), ("b", "resource"), ("a", "release")]
    reasons = why_there(instance, answered(instance), "c")
    assert reasons[1].resource == "bench"
    assert reasons[1].sentence == "b waits for a to give back bench at 5"


def test_a_changeover_is_named_as_such() -> None:
    # x from 0 to 2, changing over takes 3, so y from 5.
    instance = Instance(
        (
            Activity("x", (Mode(2, {"stage": 1}, set_ups={"stage": "red"}),), due=0),
            Activity("y", (Mode(2, {"stage": 1}, set_ups={"stage": "blue"}),)),
        ),
        (Resource("stage"),),
        changeovers=Changeovers(pairs={("", "red", "blue"): 3}),
    )
    assert kinds(instance, "y") == [("y", "changeover"), ("x", "calendar")]


def test_hands_that_were_short_are_named_by_who_gave_them_back() -> None:
    # 2 of 3 hands with a until 4, 1 with b until 6; c needs 2 and gets a's.
    instance = Instance(
        (
            Activity("a", (Mode(4, {"hands": 2}),), due=0),
            Activity("b", (Mode(6, {"hands": 1}),), due=0),
            Activity("c", (Mode(1, {"hands": 2}),)),
        ),
        (Resource("hands", capacity=3),),
    )
    assert kinds(instance, "c")[0] == ("c", "resource")
    assert why_there(instance, answered(instance), "c")[0].by == "a"


def test_a_night_is_part_of_the_reason() -> None:
    # Days of 4: b of 3 is ready at 2, but only the next day, from 4, holds it.
    calendar = Calendar(working_days(date(2027, 3, 1), date(2027, 3, 5)), quarters_per_day=4)
    instance = Instance(
        (Activity("a", (Mode(2),)), Activity("b", (Mode(3),), after=(Precedence("a"),))),
        calendar=calendar,
    )
    reason = why_there(instance, answered(instance), "b")[0]
    assert (reason.kind, reason.ready, reason.start) == ("after", 2, 4)
    assert "nights" in reason.sentence


def test_a_lock_ends_the_chain() -> None:
    instance = Instance((Activity("a", (Mode(2),), locked=Lock(7)),))
    assert kinds(instance, "a") == [("a", "lock")]


def test_an_activity_that_stands_later_than_it_must_is_told_so() -> None:
    instance = Instance((Activity("a", (Mode(2),)),))
    late = Answer({"a": 5}, {"a": 7}, {"a": 0}, {"a": 0}, answered(instance).parts)
    assert [reason.kind for reason in why_there(instance, late, "a")] == ["nothing"]


def test_an_unknown_activity_is_refused() -> None:
    instance = Instance((Activity("a", (Mode(2),)),))
    with pytest.raises(KeyError):
        why_there(instance, answered(instance), "b")


def given_back(instance: Instance, answer: Answer, one: Activity) -> list[int]:
    """When each that ends before `one` starts leaves it what they both want, tried in turn."""
    modes = {a.id: a.modes[answer.modes[a.id]] for a in instance.activities}
    mine, start, found = modes[one.id], answer.starts[one.id], []
    for resource in (r for r in instance.resources if r.id in mine.uses):
        for other in instance.activities:
            first, end = answer.starts[other.id], answer.finishes[other.id]
            theirs = modes[other.id]
            if resource.id not in theirs.uses or other is one or not first < end <= start:
                continue
            beside = sum(
                mode.uses.get(resource.id, 0)
                for name, mode in modes.items()
                if answer.starts[name] < end <= answer.finishes[name] and name != one.id
            )
            states = theirs.set_ups.get(resource.id), mine.set_ups.get(resource.id)
            gap = 0
            if states[0] is not None and states[1] is not None:
                gap = instance.changeovers.quarters(resource.id, states[0], states[1])
            if beside + mine.uses[resource.id] > resource.capacity:
                found.append(finish_of(end, gap, merged(resource.blocked)))
    return [ready for ready in found if ready <= start]


@SLOW
@given(instances())
def test_a_reason_is_whatever_was_over_last(instance: Instance) -> None:
    answer = solve(instance, Budget(evaluations=5))
    explainer = Explainer(instance, answer)
    for activity in instance.activities:
        reason = explainer.reason(activity.id)
        if reason.kind in {"lock", "nothing"} or not activity.modes[answer.modes[activity.id]].uses:
            continue
        if answer.finishes[activity.id] == answer.starts[activity.id]:
            continue
        back = given_back(instance, answer, activity)
        assert reason.ready >= max(back, default=0)
        if reason.kind in {"resource", "changeover"}:
            assert reason.ready in back
        assert explainer.chain(activity.id)[0] == reason


def test_what_stands_late_still_names_the_last_it_had_to_wait_for() -> None:
    # b follows a, over at 2, by a lag of 3, so that it may start at 5; it stands at 9.
    after = (Precedence("a", lag_quarters=3),)
    instance = Instance((Activity("a", (Mode(2),)), Activity("b", (Mode(2),), after=after)))
    starts, ends = {"a": 0, "b": 9}, {"a": 2, "b": 11}
    nought = {"a": 0, "b": 0}
    late, _root = why_there(
        instance, Answer(starts, ends, nought, nought, answered(instance).parts), "b"
    )
    assert (late.kind, late.by, late.ready) == ("nothing", "a", 5)
    # It stands late for no night: nights are not told as its reason.
    assert late.sentence == "b could start before 9; b waits for a, ready at 5"


def test_the_first_set_up_is_no_reason_once_another_was_set_up() -> None:
    # The stage stands in x, 9 from z; over y, 1 from x, z is set up at 0 + 1 + 2 + 0 = 3.
    pairs = {("", "x", "z"): 9, ("", "x", "y"): 1, ("", "y", "z"): 0}
    instance = Instance(
        tuple(
            Activity(state, (Mode(2, {"stage": 1}, set_ups={"stage": state}),)) for state in "yz"
        ),
        (Resource("stage"),),
        changeovers=Changeovers(pairs=pairs, standing={"stage": "x"}),
    )
    starts, ends = {"y": 1, "z": 3}, {"y": 3, "z": 5}
    nought = {"y": 0, "z": 0}
    answer = Answer(starts, ends, nought, nought, answered(instance).parts)
    told = why_there(instance, answer, "z")
    assert [(reason.id, reason.kind) for reason in told] == [("z", "resource"), ("y", "calendar")]


def test_only_the_last_that_was_set_up_is_changed_over_from() -> None:
    # x 0-2, y 2-4, then z: 0 from y, though 6 from x. It is let go on when y gives the stage back,
    # and not when x would have been changed over, at 8.
    instance = Instance(
        tuple(
            Activity(state, (Mode(2, {"stage": 1}, set_ups={"stage": state}),)) for state in "xyz"
        ),
        (Resource("stage"),),
        changeovers=Changeovers(pairs={("", "x", "z"): 6}),
    )
    starts, ends = {"x": 0, "y": 2, "z": 8}, {"x": 2, "y": 4, "z": 10}
    nought = dict.fromkeys("xyz", 0)
    late = Answer(starts, ends, nought, nought, answered(instance).parts)
    first, *_ = why_there(instance, late, "z")
    assert (first.kind, first.by, first.ready) == ("nothing", "y", 4)


def test_what_is_set_up_is_kept_for_what_a_night_puts_off() -> None:
    # Days of 4. Set up 0-2, the take of 3 would not fit 2-4, so it is 4-7; set up for it 2-4.
    calendar = Calendar(working_days(date(2027, 3, 1), date(2027, 3, 5)), quarters_per_day=4)

    def on_stage(quarters: int) -> tuple[Mode, ...]:
        return (Mode(quarters, {"stage": 1}, set_ups={"stage": "town"}),)

    instance = Instance(
        (
            Activity("set", on_stage(2), together="town", unbroken=True),
            Activity("take", on_stage(3), after=(Precedence("set"),), together="town"),
        ),
        (Resource("stage"),),
        calendar,
    )
    (reason,) = why_there(instance, answered(instance), "set")
    assert (reason.kind, reason.by, reason.start, reason.ready) == ("kept", None, 2, 0)
    assert reason.sentence == (
        "set is kept for take, which nights and spells let start at 4;"
        " set starts as soon as nights and spells let it"
    )
