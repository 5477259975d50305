"""How long work goes on before its first pause: nights, spells, locks, and what is said of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from planner.schedule import (
    Activity,
    Budget,
    Calendar,
    Instance,
    Lock,
    Mode,
    Precedence,
    Resource,
    bounds_of,
    conflicts,
    solve,
    verify,
    why_there,
    working_days,
)
from planner.schedule.conflicts import fatal_conflicts
from planner.schedule.impossible import why_impossible
from tests.schedule.test_risk import end_of

if TYPE_CHECKING:
    from planner.schedule.worktime import Spell

DAY = 10
WEEK = Calendar(working_days(date(2027, 3, 1), date(2027, 3, 31)), quarters_per_day=DAY)
EVERY = pytest.mark.parametrize(
    "budget", [Budget(evaluations=0), Budget(evaluations=20), Budget(evaluations=20, effort=0.2)]
)


def after_first(first: int, length: int, least: int, blocked: tuple[int, int] = (0, 0)) -> Instance:
    """Work that may pause, on a bench that is away for a while, after some that takes so long."""
    later = Activity(
        "b",
        (Mode(length, {"bench": 1}),),
        (Precedence("a"),),
        splittable=True,
        least_quarters=least,
    )
    return Instance(
        (Activity("a", (Mode(first),)), later), (Resource("bench", blocked=(blocked,)),), WEEK
    )


def start_of(instance: Instance, budget: Budget) -> int:
    answer = solve(instance, budget)
    assert verify(instance, answer) == ()
    return answer.starts["b"]


@EVERY
def test_work_is_not_begun_shortly_before_the_night(budget: Budget) -> None:
    # a ends at 7 of a day of 10: three quarters are left. b of 6 wants four at once: 10. Wanting
    # three, or nothing, it begins at 7.
    assert start_of(after_first(7, 6, least=4), budget) == 10
    assert start_of(after_first(7, 6, least=3), budget) == 7
    assert start_of(after_first(7, 6, least=0), budget) == 7


@EVERY
def test_work_is_not_begun_shortly_before_what_it_uses_is_away(budget: Budget) -> None:
    # The bench is away from 5 to 8. Ready at 2, b has three quarters before that: four at once are
    # next found at 10, as from 8 the night is two quarters off.
    assert start_of(after_first(2, 6, least=4, blocked=(5, 8)), budget) == 10
    assert start_of(after_first(2, 6, least=3, blocked=(5, 8)), budget) == 2


@EVERY
def test_what_takes_less_is_done_in_one(budget: Budget) -> None:
    # Three quarters are left, and three is all it takes; a fourth would go over the night.
    assert start_of(after_first(7, 3, least=4), budget) == 7
    assert start_of(after_first(8, 3, least=4), budget) == 10


def test_no_more_is_wanted_than_a_day_has() -> None:
    # 99 at once are found in no day: all of a day is what it can be.
    assert start_of(after_first(1, 25, least=99), Budget(evaluations=0)) == 10


def test_what_is_never_there_so_long_is_used_when_it_is_there() -> None:
    # The bench is there for three quarters of every listed day, from 2 to 5: four at once are found
    # on no day, and b begins when a ends, at 3. Where it goes away no more from 22 on, or is there
    # from 22 to 29 at least, b begins at 22, as from 12 to 15 is too short.
    often = tuple((n * DAY + 5, n * DAY + DAY + 2) for n in range(-1, len(WEEK.days)))
    question = after_first(3, 6, least=4)
    for blocked, start in (
        (often, 3),
        (often[:3], 22),
        ((*often[:3], (29, 32), *often[4:]), 22),
    ):
        bench = Resource("bench", blocked=blocked)
        assert start_of(replace(question, resources=(bench,)), Budget(evaluations=0)) == start


def test_without_a_calendar_there_are_no_nights_to_keep_clear_of() -> None:
    question = replace(after_first(7, 6, least=4), calendar=None)
    assert start_of(question, Budget(evaluations=0)) == 7


def locked_at(start: int) -> Instance:
    question = after_first(7, 6, least=4)
    a, b = question.activities
    return replace(question, activities=(a, replace(b, locked=Lock(start))))


def test_what_is_locked_stays_where_it_is_locked() -> None:
    question = locked_at(8)
    answer = solve(question, Budget(evaluations=20))
    assert (answer.starts["b"], answer.thawed) == (8, ())
    assert (verify(question, answer), conflicts(question)) == ((), ())
    # Not where it gives way to the end of a, at 7.
    thawed = solve(locked_at(6), Budget(evaluations=20))
    assert (thawed.starts["b"], thawed.thawed) == (10, ("b",))


def test_a_lock_shortly_before_the_night_is_no_contradiction() -> None:
    # Locked at 8, of 6 quarters, it ends at 14, when it is due.
    question = locked_at(8)
    a, b = question.activities
    assert why_impossible(replace(question, activities=(a, replace(b, due=14)))) is None


def test_the_check_finds_work_that_pauses_too_soon() -> None:
    question = after_first(7, 6, least=4)
    good = solve(question, Budget(evaluations=0))
    early = replace(good, starts={**good.starts, "b": 7}, finishes={**good.finishes, "b": 13})
    assert verify(question, early) == ("b starts at 7 and pauses too soon, at 10",)
    away = after_first(2, 6, least=4, blocked=(5, 8))
    early = replace(good, starts={"a": 0, "b": 2}, finishes={"a": 2, "b": 11})
    assert verify(away, early) == ("b starts at 2 and pauses too soon, at 5",)


def test_why_says_that_it_would_pause_too_soon() -> None:
    question = after_first(7, 6, least=4)
    reason = why_there(question, solve(question, Budget(evaluations=0)), "b")[0]
    assert (reason.kind, reason.by, reason.ready, reason.sooner) == ("after", "a", 7, 7)
    assert reason.sentence == (
        "b waits for a, ready at 7; nights, spells and first set-ups then put it at 10,"
        " as begun at 7 it would pause too soon"
    )
    soon = after_first(7, 6, least=3)
    assert why_there(soon, solve(soon, Budget(evaluations=0)), "b")[0].sooner is None


def test_durations_that_vary_begin_no_sooner_before_a_night() -> None:
    # a taking 7, b begins at 10 and ends at 16; taking 6, four are left, and b ends at 12. Where b
    # takes three only, it is done at 10.
    question = after_first(7, 6, least=4)
    assert end_of(question) == 16
    assert end_of(question, a=6) == 12
    assert end_of(question, b=3) == 10


def test_less_than_no_time_is_refused() -> None:
    (conflict,) = fatal_conflicts(after_first(7, 6, least=-1))
    assert conflict.sentence == "b is to begin with less than no time"


@pytest.mark.parametrize("blocked", [(), ((60, 61),)])
def test_the_constraint_solver_knows_that_no_order_is_shorter(blocked: tuple[Spell, ...]) -> None:
    # Seven on a bench leave three of a day of ten, and four at once are wanted: 7, 17, 27. As work
    # alone it is 21.
    works = tuple(
        Activity(name, (Mode(7, {"bench": 1}),), splittable=True, least_quarters=4)
        for name in "abc"
    )
    question = Instance(works, (Resource("bench", blocked=blocked),), WEEK)
    answer = solve(question, Budget(evaluations=20, effort=1.0))
    assert (answer.parts.finish, answer.proven) == (27, True)
    assert bounds_of(question).finish == 21
