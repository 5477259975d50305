"""Questions without an answer say why, with as few facts as will do."""

from __future__ import annotations

from datetime import date

import pytest

from planner.schedule import (
    Activity,
    Budget,
    Calendar,
    Changeovers,
    Instance,
    Lock,
    Mode,
    Precedence,
    Resource,
    conflicts,
    solve,
    verify,
    working_days,
)


def facts(instance: Instance) -> list[tuple[str, ...]]:
    return [conflict.facts for conflict in conflicts(instance)]


def chained(name: str, *waits: str) -> Activity:
    return Activity(name, (Mode(2),), after=tuple(map(Precedence, waits)))


def test_a_question_that_can_be_answered_has_none() -> None:
    assert conflicts(Instance((chained("a"), chained("b", "a")))) == ()


def test_the_shortest_ring_is_shown() -> None:
    # a-b-c-a is a ring of three, d-e-d one of two; f only hangs on.
    ring = (chained("a", "b"), chained("b", "c"), chained("c", "a"))
    pair = (chained("d", "e", "a"), chained("e", "d"), chained("f", "d"))
    assert facts(Instance(ring + pair)) == [("d", "e")]


def test_unknown_and_doubled_names_come_first() -> None:
    instance = Instance(
        (chained("a", "ghost"), Activity("b", (Mode(1, {"loft": 1}),)), chained("b"))
    )
    assert facts(instance) == [("b",), ("a", "ghost"), ("b", "loft")]


def test_more_hands_than_there_are() -> None:
    instance = Instance((Activity("a", (Mode(1, {"hands": 4}),)),), (Resource("hands", 3),))
    assert facts(instance) == [("a", "hands")]
    assert conflicts(instance)[0].sentence == "a needs 4 of hands, there are 3"


def test_a_lock_too_early_for_its_chain_names_the_chain() -> None:
    # a is released at 5 and takes 2, b takes 2: c cannot start before 9.
    instance = Instance(
        (
            Activity("a", (Mode(2),), release=5),
            chained("b", "a"),
            Activity("c", (Mode(1),), after=(Precedence("b"),), locked=Lock(8)),
            chained("other"),
        )
    )
    (conflict,) = conflicts(instance)
    assert conflict.facts == ("c", "b", "a")
    assert conflict.sentence == "c is locked at 8, but not ready before 9, after b, a"
    assert not conflict.is_fatal


def test_a_lock_before_its_release() -> None:
    instance = Instance((Activity("a", (Mode(2),), release=5, locked=Lock(3)),))
    assert facts(instance) == [("a",)]


def test_a_lock_before_the_beginning_leaves_no_answer() -> None:
    # Nothing begins before quarter 0, as nothing is released before it.
    instance = Instance(
        (Activity("a", (Mode(2, {"rig": 1}),), locked=Lock(-1)),), (Resource("rig"),)
    )
    (conflict,) = conflicts(instance)
    assert (conflict.sentence, conflict.is_fatal) == ("a is locked below 0", True)
    with pytest.raises(ValueError, match=r"^a is locked below 0$"):
        solve(instance)


def test_two_locks_on_one_thing() -> None:
    instance = Instance(
        tuple(
            Activity(name, (Mode(4, {"rig": 1}),), locked=Lock(start))
            for name, start in (("a", 0), ("b", 3), ("c", 9))
        ),
        (Resource("rig"),),
    )
    assert facts(instance) == [("b", "a", "rig")]


def test_a_lock_in_a_spell_or_over_night() -> None:
    calendar = Calendar(working_days(date(2027, 3, 1), date(2027, 3, 5)), quarters_per_day=4)
    night = Instance((Activity("a", (Mode(3),), locked=Lock(2)),), calendar=calendar)
    assert conflicts(night)[0].sentence == "a is locked at 2, too late in its day"
    away = Instance(
        (Activity("a", (Mode(3, {"rig": 1}),), locked=Lock(2)),), (Resource("rig", 1, ((4, 6),)),)
    )
    assert conflicts(away)[0].sentence == "a is locked at 2, where what it uses is away"


def test_partners_with_unlike_modes_are_a_conflict() -> None:
    one = Activity("one", (Mode(1),), together="pair")
    two = Activity("two", (Mode(1), Mode(2)), together="pair")
    (conflict,) = conflicts(Instance((one, two)))
    assert conflict.is_fatal
    assert "unlike modes" in conflict.sentence


def test_partners_locked_in_two_modes_are_a_conflict() -> None:
    modes = (Mode(1), Mode(2))
    one = Activity("one", modes, together="pair", locked=Lock(0, 0))
    two = Activity("two", modes, together="pair", locked=Lock(4, 1))
    (conflict,) = conflicts(Instance((one, two)))
    assert "locked in two modes" in conflict.sentence


@pytest.mark.parametrize(
    ("changeovers", "names", "sentence"),
    [
        (
            Changeovers(set_up={"red": -3}),
            ("red",),
            "bringing up red takes -3 quarters, which is below 0",
        ),
        (
            Changeovers(strike={"red": -1}),
            ("red",),
            "striking red takes -1 quarters, which is below 0",
        ),
        (
            Changeovers(default_set_up=-2),
            (),
            "bringing up a state that is not named takes -2 quarters, which is below 0",
        ),
        (
            Changeovers(pairs={("", "red", "blue"): -4}),
            ("red", "blue"),
            "changing over from red to blue takes -4 quarters, which is below 0",
        ),
        (
            Changeovers(pairs={("stage", "red", "blue"): -4}),
            ("stage", "red", "blue"),
            "changing over from red to blue on stage takes -4 quarters, which is below 0",
        ),
    ],
)
def test_changing_over_in_less_than_no_time_is_refused(
    changeovers: Changeovers, names: tuple[str, ...], sentence: str
) -> None:
    work = tuple(
        Activity(state, (Mode(2, {"stage": 1}, set_ups={"stage": state}),))
        for state in ("red", "blue")
    )
    instance = Instance(work, (Resource("stage"),), changeovers=changeovers)
    (conflict,) = conflicts(instance)
    assert (conflict.facts, conflict.sentence, conflict.is_fatal) == (names, sentence, True)
    with pytest.raises(ValueError, match=f"^{sentence}$"):
        solve(instance)


def test_an_absence_that_ends_before_it_begins_is_refused() -> None:
    away = Resource("rig", blocked=((2, 2), (9, 3)))
    instance = Instance((Activity("a", (Mode(2, {"rig": 1}),)),), (away,))
    (conflict,) = conflicts(instance)
    assert (conflict.facts, conflict.is_fatal) == (("rig",), True)
    assert conflict.sentence == "rig is away from 9 to 3: ends before it begins"


@pytest.mark.parametrize("pauses", [False, True])
def test_an_absence_from_before_the_beginning_ends_when_it_says(pauses: bool) -> None:
    away = Resource("rig", blocked=((-9, -6), (-5, 3)))
    work = Activity("a", (Mode(2, {"rig": 1}),), splittable=pauses)
    instance = Instance((work,), (away,))
    answer = solve(instance, Budget(evaluations=3))
    assert (answer.starts, verify(instance, answer)) == ({"a": 3}, ())
