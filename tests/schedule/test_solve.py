"""One tiny question for each rule, its best answer argued by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

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
    Progress,
    Resource,
    Weights,
    solve,
    verify,
    working_days,
)

# Four quarters a day keep the arithmetic small.
FOUR_A_DAY = Calendar(working_days(date(2027, 3, 1), date(2027, 3, 31)), quarters_per_day=4)
QUICK = Budget(evaluations=300, effort=0.5)


def on(resource: str, quarters: int, state: str | None = None) -> Mode:
    return Mode(quarters, {resource: 1}, set_ups={resource: state} if state else {})


def solved(instance: Instance, budget: Budget = QUICK) -> Answer:
    answer = solve(instance, budget)
    assert verify(instance, answer) == ()
    assert answer.lower_bound <= answer.parts.total
    return answer


def test_a_chain_with_a_lag_is_as_long_as_its_parts() -> None:
    # 3 + lag 2 + 4 = 9.
    answer = solved(
        Instance(
            (
                Activity("a", (Mode(3),)),
                Activity("b", (Mode(4),), after=(Precedence("a", lag_quarters=2),)),
            )
        )
    )
    assert answer.starts == {"a": 0, "b": 5}
    assert answer.parts.finish == 9
    assert answer.proven


def test_one_resource_does_one_thing_at_a_time() -> None:
    # 3 + 4 on one bench: 7 whichever goes first; b is due at 4, so b first.
    answer = solved(
        Instance(
            (Activity("a", (on("bench", 3),)), Activity("b", (on("bench", 4),), due=4)),
            (Resource("bench"),),
        )
    )
    assert answer.starts == {"a": 4, "b": 0}
    assert answer.proven


def test_hands_are_shared_up_to_their_number() -> None:
    # 2 + 1 of 3 hands go together for 4, then 2 more: 8. All three at once would need 5 hands.
    activities = tuple(
        Activity(name, (Mode(4, {"hands": units}),))
        for name, units in (("a", 2), ("b", 1), ("c", 2))
    )
    answer = solved(Instance(activities, (Resource("hands", capacity=3),)))
    assert answer.parts.finish == 8


def test_the_heavier_of_two_late_things_goes_first() -> None:
    # Both due at 2 on one bench, 2 each: one is 2 late; cheaper if that is the one that weighs 1.
    answer = solved(
        Instance(
            (
                Activity("light", (on("bench", 2),), due=2, weight=1),
                Activity("heavy", (on("bench", 2),), due=2, weight=5),
            ),
            (Resource("bench"),),
        )
    )
    assert answer.parts.lateness == 2
    assert answer.starts["heavy"] == 0


def test_the_other_way_is_taken_when_it_is_quicker() -> None:
    # Two benches, two things of 4: one each, 4. On one bench it would be 8.
    ways = (on("left", 4), on("right", 4))
    answer = solved(
        Instance((Activity("a", ways), Activity("b", ways)), (Resource("left"), Resource("right")))
    )
    assert answer.parts.finish == 4
    assert answer.modes["a"] != answer.modes["b"]


def test_a_dear_way_is_left_alone_when_time_is_cheap() -> None:
    # The second bench costs 100, waiting 4 quarters costs 4.
    ways = (on("left", 4), Mode(4, {"right": 1}, cost=100))
    answer = solved(
        Instance((Activity("a", ways), Activity("b", ways)), (Resource("left"), Resource("right")))
    )
    assert answer.parts.mode_cost == 0
    assert answer.parts.total == 8


def test_work_that_may_not_pause_waits_for_a_day_that_holds_it() -> None:
    # Days of 4: after 2 quarters there is no room for 3 more that day, so the next begins at 4.
    answer = solved(
        Instance(
            (
                Activity("a", (Mode(2),)),
                Activity("b", (Mode(3),), after=(Precedence("a"),)),
            ),
            calendar=FOUR_A_DAY,
        )
    )
    assert answer.starts["b"] == 4


def test_work_longer_than_a_day_goes_on_next_morning() -> None:
    # 6 quarters in days of 4 start at once, at 1, and end at 7.
    answer = solved(Instance((Activity("a", (Mode(6),), release=1),), calendar=FOUR_A_DAY))
    assert answer.finishes["a"] == 7


def test_work_that_may_pause_uses_both_sides_of_a_blocked_spell() -> None:
    # Blocked 2-5. Splittable 3: 0, 1, 5 -> ends 6. Not splittable: 5, 6, 7 -> ends 8.
    bench = Resource("bench", blocked=((2, 5),))
    soft = Instance((Activity("a", (on("bench", 3),), splittable=True),), (bench,))
    assert solved(soft).finishes["a"] == 6
    hard = Instance((Activity("a", (on("bench", 3),)),), (bench,))
    assert solved(hard).finishes["a"] == 8


def test_a_paused_activity_keeps_what_it_holds() -> None:
    # a holds bench and room from 0, pauses with the bench over 1-5; b wants the room: before a
    # (0-2, then a 5-7) ends at 7; after a (0-6) would end at 8.
    answer = solved(
        Instance(
            (
                Activity("a", (Mode(2, {"bench": 1, "room": 1}),), splittable=True),
                Activity("b", (on("room", 2),)),
            ),
            (Resource("bench", blocked=((1, 5),)), Resource("room")),
        )
    )
    assert answer.parts.finish == 7


def test_like_set_ups_are_gathered() -> None:
    # Set-ups of 3: red red blue needs 3 + 1 + 1 + 3 + 1 = 9; red blue red would need 3 more.
    answer = solved(
        Instance(
            (
                Activity("r1", (on("stage", 1, "red"),)),
                Activity("b1", (on("stage", 1, "blue"),)),
                Activity("r2", (on("stage", 1, "red"),)),
            ),
            (Resource("stage"),),
            changeovers=Changeovers(default_set_up=3),
        )
    )
    assert answer.parts.changeover == 6
    assert answer.parts.finish == 9


def test_a_pair_that_changes_quickly_is_put_side_by_side() -> None:
    # Standing in c; c->a 1, a->b 1, c->b 2, b->a 3. a first: 1 + 1 + 1 + 1 = 4; b first: 7.
    pairs = {("", "c", "a"): 1, ("", "a", "b"): 1, ("", "c", "b"): 2, ("", "b", "a"): 3}
    answer = solved(
        Instance(
            (Activity("b", (on("stage", 1, "b"),)), Activity("a", (on("stage", 1, "a"),))),
            (Resource("stage"),),
            changeovers=Changeovers(pairs=pairs, standing={"stage": "c"}),
        )
    )
    assert answer.parts.finish == 4


def test_changing_over_stops_while_the_resource_is_away() -> None:
    # Set-up of 3 from bare, away 2-4: set up 0, 1, 4, so the first work is at 5.
    answer = solved(
        Instance(
            (Activity("a", (on("stage", 1, "red"),)),),
            (Resource("stage", blocked=((2, 4),)),),
            changeovers=Changeovers(default_set_up=3),
        )
    )
    assert answer.starts["a"] == 5


def test_release_and_lock_are_kept() -> None:
    # b is locked at 3 for 2; a, of 4, no longer fits before it: 5.
    answer = solved(
        Instance(
            (
                Activity("a", (on("bench", 4),)),
                Activity("b", (on("bench", 2),), locked=Lock(3)),
                Activity("c", (Mode(1),), release=11),
            ),
            (Resource("bench"),),
        )
    )
    assert answer.starts == {"a": 5, "b": 3, "c": 11}


def test_a_lock_that_cannot_hold_thaws_and_is_named() -> None:
    # b is locked at 1, but a, which it waits for, takes 3.
    answer = solved(
        Instance(
            (
                Activity("a", (Mode(3),)),
                Activity("b", (Mode(1),), after=(Precedence("a"),), locked=Lock(1)),
            )
        )
    )
    assert answer.thawed == ("b",)
    assert answer.starts["b"] == 3


def test_of_two_locks_in_the_wrong_order_the_later_step_thaws() -> None:
    # b waits for a, yet b is locked at 0 and a at 5: a stays, b follows at 8.
    answer = solved(
        Instance(
            (
                Activity("a", (Mode(3),), locked=Lock(5)),
                Activity("b", (Mode(1),), after=(Precedence("a"),), locked=Lock(0)),
            )
        )
    )
    assert answer.thawed == ("b",)
    assert answer.starts == {"a": 5, "b": 8}


def test_clock_time_passes_over_night() -> None:
    # Days of 4 quarters, 08:00-09:00. Done at 09:00; 23 hours later is 08:00 next day: quarter 4.
    # 24 hours and a quarter later is 09:15 next day, after hours: quarter 8.
    def waiting(clock: int) -> int:
        after = (Precedence("a", lag_clock_quarters=clock),)
        instance = Instance(
            (Activity("a", (Mode(4),)), Activity("b", (Mode(1),), after=after)),
            calendar=FOUR_A_DAY,
        )
        return solved(instance).starts["b"]

    assert waiting(23 * 4) == 4
    assert waiting(24 * 4 + 1) == 8


def test_idle_days_of_a_standing_set_up_are_paid_for() -> None:
    # Days of 4. Work on day 0 and, released then, on day 2, same set-up: days 0, 1, 2 are held.
    answer = solved(
        Instance(
            (
                Activity("a", (on("stage", 4, "red"),), locked=Lock(0)),
                Activity("b", (on("stage", 4, "red"),), release=8),
            ),
            (Resource("stage", held_day_cost=7),),
            FOUR_A_DAY,
            Changeovers(),
        )
    )
    assert (answer.parts.held_days, answer.parts.held_cost) == (3, 21)


def test_no_activity_at_all_is_an_answer() -> None:
    assert solved(Instance(())).parts.total == 0


def test_the_same_seed_and_counts_give_the_same_answer() -> None:
    instance = Instance(
        tuple(Activity(f"a{n}", (on("bench", 1 + n % 5, f"s{n % 3}"),), due=9) for n in range(12)),
        (Resource("bench"),),
        changeovers=Changeovers(default_set_up=2),
        weights=Weights(),
    )
    budget = Budget(evaluations=200, effort=0.2, seed=7)
    assert solved(instance, budget) == solved(instance, budget)


def test_an_interrupt_keeps_the_best_so_far() -> None:
    # Ctrl-C arrives with the first news after the first order: the answer is whole all the same.
    instance = Instance(
        tuple(Activity(f"a{n}", (on("bench", 1 + n % 5),), due=9, weight=n) for n in range(12)),
        (Resource("bench"),),
    )
    heard: list[Progress] = []

    def interrupting(news: Progress) -> None:
        heard.append(news)
        if len(heard) > 1:
            raise KeyboardInterrupt

    answer = solve(instance, QUICK, interrupting)
    assert verify(instance, answer) == ()
    assert answer.parts.total <= heard[0].best


def test_no_tries_at_all_are_the_first_order_alone() -> None:
    # Three set-ups in turn, each change 2 quarters, with dues that ask for another at a time: first
    # orders differ, and the best of several is lighter than the first.
    activities = tuple(
        Activity(f"a{n}", (on("bench", 1 + n % 5, f"s{n % 3}"),), due=3 * n, weight=1 + n % 3)
        for n in range(12)
    )
    instance = Instance(
        activities,
        (Resource("bench"),),
        changeovers=Changeovers(default_set_up=2),
        weights=Weights(changeover=3),
    )
    heard: list[Progress] = []
    first = solve(instance, Budget(evaluations=0), heard.append)
    # Told when it is found, and once more when the bound is known.
    assert {news.best for news in heard} == {first.parts.total}
    assert heard[0].lower_bound == 0 < heard[-1].lower_bound == first.lower_bound
    assert solve(instance, Budget(evaluations=1)).parts.total < first.parts.total


def test_a_ring_of_precedences_is_refused() -> None:
    ring = (
        Activity("a", (Mode(1),), after=(Precedence("b"),)),
        Activity("b", (Mode(1),), after=(Precedence("a"),)),
    )
    with pytest.raises(ValueError, match="each waits for the next: a - b - a"):
        solve(Instance(ring))


def test_work_that_goes_together_keeps_one_mode() -> None:
    # Alone, the second would rather go to the quick bench; together both take the slow one
    # (2 + 3 = 5) or both the quick one, which is blocked until 6 (6 + 1 + 1 = 8).
    instance = Instance(
        (
            Activity("first", (on("slow", 2), on("quick", 1)), together="pair"),
            Activity(
                "second",
                (on("slow", 3), on("quick", 1)),
                after=(Precedence("first"),),
                together="pair",
            ),
        ),
        (Resource("slow"), Resource("quick", blocked=((0, 6),))),
    )
    answer = solved(instance)
    assert answer.modes == {"first": 0, "second": 0}
    assert answer.parts.finish == 5
    assert answer.proven


def test_an_answer_that_parts_what_goes_together_is_caught() -> None:
    pair = (
        Activity("first", (on("a", 1), on("b", 1)), together="pair"),
        Activity("second", (on("a", 1), on("b", 1)), together="pair"),
    )
    instance = Instance(pair, (Resource("a"), Resource("b")))
    answer = replace(solved(instance), modes={"first": 0, "second": 1})
    assert any("go together" in sentence for sentence in verify(instance, answer))
