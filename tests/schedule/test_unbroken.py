"""Work that keeps what it has set up for what comes after it, argued by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

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
    replan,
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


def begun() -> Instance:
    """a was set up at 0 to 4 and waits for its camera; b could be in time only in between."""
    return question(
        on_stage("a set", 4, locked=Lock(0)),
        on_stage("a take", 3, "a set"),
        on_stage("b set", 2, due=6),
        on_stage("b take", 1, "b set", due=12),
    )


@pytest.mark.parametrize("budget", [FEW, Budget(evaluations=5, effort=0.2)])
def test_what_is_begun_keeps_its_stage_until_its_camera_is_there(budget: Budget) -> None:
    answer = solve(begun(), budget)
    assert verify(begun(), answer) == ()
    # The camera is back at 10 for a, until 13; b is set up from 13, whatever it is due, and taken
    # from 15: 15 - 6 and 16 - 12 quarters late, at 10 each, and the end at 16.
    assert answer.starts == {"a set": 0, "a take": 10, "b set": 13, "b take": 15}
    assert answer.parts.total == 10 * (9 + 4) + 16
    assert answer.lower_bound <= answer.parts.total


def test_what_is_put_between_a_set_up_that_is_done_and_its_camera_is_found() -> None:
    answer = replace(
        solve(begun(), FEW),
        starts={"a set": 0, "b set": 4, "a take": 10, "b take": 13},
        finishes={"a set": 4, "b set": 6, "a take": 13, "b take": 14},
    )
    assert verify(begun(), answer) == (
        "b set is done on stage between a set and a take",
        # b keeps the stage for its own camera as well.
        "a take is done on stage between b set and b take",
    )


def test_what_was_locked_in_between_is_not_put_elsewhere() -> None:
    # c stood on the stage at 5 to 7: the set of a is gone, and nothing is kept for it from then on.
    asked = begun()
    taken = replace(asked, activities=(*asked.activities, on_stage("c", 2, locked=Lock(5), due=7)))
    answer = solve(taken, FEW)
    assert verify(taken, answer) == ()
    assert answer.starts["c"] == 5


def test_of_two_that_are_begun_the_last_goes_on_first() -> None:
    # a was set up at 0 to 4, and c after it at 4 to 5, though a was not taken. c stands there now;
    # the camera is back at 10: c is taken from 10 to 12, a from 12 to 15.
    asked = question(
        on_stage("a set", 4, locked=Lock(0)),
        on_stage("a take", 3, "a set", due=0),
        on_stage("c set", 1, locked=Lock(4)),
        on_stage("c take", 2, "c set"),
    )
    answer = solve(asked, FEW)
    assert verify(asked, answer) == ()
    assert (answer.starts["c take"], answer.starts["a take"]) == (10, 12)


def test_planning_again_keeps_the_stage_of_what_is_begun() -> None:
    # As issued a is set up at 0 and taken at 4, before the camera goes. It goes at 4 now, seen at
    # 2, and b is new: it waits until a is taken at 10 to 13.
    a = (on_stage("a set", 4), on_stage("a take", 3, "a set"))
    here = replace(question(*a), resources=(STAGE, Resource("camera")))
    issued = solve(here, FEW)
    assert issued.starts == {"a set": 0, "a take": 4}
    now = question(*a, on_stage("b set", 2, due=6))
    for budget in (Budget(seconds=0), FEW):
        again = replan(now, issued, 2, 1000, budget)
        assert verify(again.instance, again.answer) == ()
        assert again.answer.starts == {"a set": 0, "a take": 10, "b set": 13}


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
