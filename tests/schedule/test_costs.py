"""Prices in the objective, each with a best answer argued by hand."""

from __future__ import annotations

from datetime import date

from planner.schedule import (
    Activity,
    Answer,
    Band,
    Budget,
    Calendar,
    Changeovers,
    Instance,
    Lock,
    Mode,
    Preference,
    Resource,
    Weights,
    solve,
    verify,
    working_days,
)

FOUR_A_DAY = Calendar(working_days(date(2027, 3, 1), date(2027, 3, 31)), quarters_per_day=4)
MONEY = Weights(late=0, finish=1, cost=1, changeover=1)


def on(resource: str, quarters: int) -> tuple[Mode, ...]:
    return (Mode(quarters, {resource: 1}),)


def solved(instance: Instance) -> Answer:
    answer = solve(instance, Budget(evaluations=200, effort=0.2))
    assert verify(instance, answer) == ()
    assert answer.lower_bound <= answer.parts.total
    return answer


def late_in_the_day(price: int) -> Answer:
    bench = Resource("bench", overtime=(Band(2, price),))
    return solved(
        Instance((Activity("a", on("bench", 2), release=1),), (bench,), FOUR_A_DAY, weights=MONEY)
    )


def test_dear_overtime_is_left_for_the_next_morning() -> None:
    # From 1: ends at 3, quarter 2 in overtime, 3 + 10 = 13. Next morning from 4: ends at 6, 6.
    answer = late_in_the_day(price=10)
    assert answer.starts == {"a": 4}
    assert answer.parts.total == 6


def test_cheap_overtime_is_worked() -> None:
    # From 1: 3 + 2 = 5, less than 6.
    answer = late_in_the_day(price=2)
    assert answer.starts == {"a": 1}
    assert (answer.parts.overtime_cost, answer.parts.total) == (2, 5)


def test_overtime_counts_quarters_at_work_of_every_band_and_unit() -> None:
    # Day of 4, bands after 2 at 1 and after 3 at 5; 2 hands, away for quarter 2. Locked at 1, 4
    # quarters of work: 1, 3, 4, 5. Only 3 is late: 1 + 5, for two hands 12.
    hands = Resource("hands", 2, ((2, 3),), overtime=(Band(2, 1), Band(3, 5)))
    answer = solved(
        Instance(
            (Activity("a", (Mode(4, {"hands": 2}),), splittable=True, locked=Lock(1)),),
            (hands,),
            FOUR_A_DAY,
            weights=MONEY,
        )
    )
    assert answer.finishes == {"a": 6}
    assert answer.parts.overtime_cost == 12


def test_a_crew_is_called_later_rather_than_left_waiting() -> None:
    # b may not begin before 6. a from 0 would leave the crew idle 2-6, 4 x 3; from 4 it need not.
    crew = Resource("crew", waiting_cost=3)
    answer = solved(
        Instance(
            (
                Activity("a", on("crew", 2), group="scene"),
                Activity("b", on("crew", 2), group="scene", release=6),
            ),
            (crew,),
            weights=MONEY,
        )
    )
    assert answer.starts == {"a": 4, "b": 6}
    assert answer.parts.waiting_cost == 0


def test_waiting_is_paid_only_inside_a_group_and_while_the_crew_is_there() -> None:
    # All locked: a 0-2, b 6-8 of one group, the crew away 3-5: idle 2 and 5, 2 x 3. c is another.
    crew = Resource("crew", blocked=((3, 5),), waiting_cost=3)
    answer = solved(
        Instance(
            tuple(
                Activity(name, on("crew", 2), group=group, locked=Lock(start))
                for name, group, start in (("a", "one", 0), ("b", "one", 6), ("c", "two", 9))
            ),
            (crew,),
            weights=MONEY,
        )
    )
    assert answer.parts.waiting_cost == 6


def wishing(price: int) -> Answer:
    wish = Preference(5, 7, price)
    return solved(Instance((Activity("a", (Mode(2),), preference=wish),), weights=MONEY))


def test_a_preferred_time_is_kept_when_leaving_it_costs_more() -> None:
    # From 0: 2 + 5 x 2 = 12; from 5: ends at 7, 7.
    assert wishing(price=2).starts == {"a": 5}


def test_a_preferred_time_is_left_when_that_is_cheaper() -> None:
    # At price 0 there is nothing to wait for: 2. At 7, the latest preferred, it would be 9.
    assert wishing(price=0).starts == {"a": 0}
    # One too late costs once: locked at 9 with 7 the last, 2 x 4.
    late = Activity("a", (Mode(1),), preference=Preference(5, 7, 4), locked=Lock(9))
    assert solved(Instance((late,), weights=MONEY)).parts.preference_cost == 8


def test_what_goes_on_for_nothing_is_held_while_it_stands() -> None:
    # Without a calendar each quarter is a day, and a day costs 10. x is worked on in 0 and again
    # in 5: six days held. The pair from x to z takes nothing, so x stands until then: six as well.
    # From x to y takes nothing either, but by no pair: x may be gone in between, two days.
    def held(again: str) -> int:
        on = [Mode(1, {"stage": 1}, set_ups={"stage": state}) for state in ("x", again)]
        work = tuple(
            Activity(f"a{start}", (mode,), locked=Lock(start))
            for start, mode in zip((0, 5), on, strict=True)
        )
        changes = Changeovers(pairs={("stage", "x", "z"): 0})
        instance = Instance(work, (Resource("stage", held_day_cost=10),), changeovers=changes)
        return solve(instance, Budget(evaluations=1)).parts.held_days

    assert (held("x"), held("z"), held("y")) == (6, 6, 2)
