"""Work that keeps what it has set up for what comes after it, argued by hand."""

from __future__ import annotations

from dataclasses import replace

from planner.schedule import (
    Activity,
    Budget,
    Changeovers,
    Instance,
    Lock,
    Mode,
    Precedence,
    Resource,
    Weights,
    solve,
    verify,
    why_there,
)

STAGE = Resource("stage")
FEW = Budget(evaluations=60)


def on_stage(name: str, quarters: int, after: str = "", **more: object) -> Activity:
    """Of the piece that its name begins with; that sets up what it is called by."""
    uses = {"stage": 1, "camera": 1} if name.endswith("take") else {"stage": 1}
    mode = Mode(quarters, uses, set_ups={"stage": name[0]})
    waits = (Precedence(after),) if after else ()
    return Activity(name, (mode,), waits, together=name[0], unbroken=True, **more)  # type: ignore[arg-type]


def question(*activities: Activity) -> Instance:
    """The camera is away from quarter 4 to 10; only lateness weighs."""
    camera = Resource("camera", blocked=((4, 10),))
    weights = Weights(late=10, finish=1, changeover=1)
    return Instance(activities, (STAGE, camera), None, Changeovers(), weights)


def test_a_short_piece_does_not_break_into_one_that_waits_for_its_camera() -> None:
    asked = question(
        on_stage("a set", 4),
        on_stage("a take", 3, "a set"),
        on_stage("b set", 2, due=6),
        on_stage("b take", 1, "b set", due=12),
    )
    answer = solve(asked, FEW)
    assert verify(asked, answer) == ()
    # Either piece keeps the stage until the camera is back at 10, unless b is done before it goes:
    # b in 0-3, then a is set up so as to be taken from 10 on, and not from 3, which would help
    # nobody.
    assert answer.starts["b set"] == 0
    assert answer.finishes["b take"] == 3
    assert (answer.starts["a set"], answer.starts["a take"]) == (6, 10)


def test_without_the_rule_it_would() -> None:
    loose = [
        replace(each, unbroken=False)
        for each in (
            on_stage("a set", 4),
            on_stage("a take", 3, "a set"),
            on_stage("b set", 5, due=9),
        )
    ]
    answer = solve(question(*loose), FEW)
    # b is in time at 9 where it is set up between a's setting and its taking, or before them.
    assert answer.finishes["b set"] <= 9
    kept = question(*(replace(each, unbroken=True) for each in loose))
    broken = replace(
        answer,
        starts={"a set": 0, "b set": 4, "a take": 10},
        finishes={"a set": 4, "b set": 9, "a take": 13},
    )
    assert verify(question(*loose), broken) == ()
    assert verify(kept, broken) == ("b set is done on stage between a set and a take",)


def test_what_is_locked_stays_where_it_is_locked() -> None:
    asked = question(
        on_stage("a set", 2, locked=Lock(0)),
        on_stage("a take", 3, "a set"),
        on_stage("b set", 2, due=5),
    )
    answer = solve(asked, FEW)
    assert verify(asked, answer) == ()
    # The lock says that a was set up at 0, whatever follows it.
    assert answer.starts["a set"] == 0


def test_why_it_is_set_up_late_is_what_its_taking_waits_for() -> None:
    asked = question(
        on_stage("a set", 4),
        Activity("other", (Mode(3, {"camera": 1}),), release=10, due=13),
        on_stage("a take", 3, "a set"),
    )
    answer = solve(asked, FEW)
    assert verify(asked, answer) == ()
    # The other has the camera at 10 to 13, the taking after it, the setting just before.
    assert (answer.starts["a set"], answer.starts["a take"]) == (9, 13)
    reason = why_there(asked, answer, "a set")[0]
    assert (reason.kind, reason.by, reason.start) == ("kept", "other", 9)
