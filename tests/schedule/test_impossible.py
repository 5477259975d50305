"""What cannot all be kept: the fewest facts, and how little would be enough, argued by hand."""

from __future__ import annotations

from dataclasses import replace

from planner.schedule import (
    Activity,
    Changeovers,
    Fact,
    Impossible,
    Instance,
    Lock,
    Mode,
    Precedence,
    Resource,
    Weights,
    why_impossible,
)
from planner.schedule.impossible import facts_of
from planner.schedule.indexed import index


def on(resource: str, quarters: int, state: str = "") -> tuple[Mode, ...]:
    return (Mode(quarters, {resource: 1}, set_ups={resource: state} if state else {}),)


def found(instance: Instance) -> Impossible:
    answer = why_impossible(instance)
    assert answer is not None
    assert answer.is_minimal
    return answer


def told(answer: Impossible) -> list[tuple[str, str, int]]:
    return [(r.fact.kind, r.fact.id, r.quarters) for r in answer.relaxations]


TWO_ON_A_BENCH = Instance(
    (
        Activity("a", on("bench", 4), due=5),
        Activity("b", on("bench", 3), due=5, weight=2),
        Activity("c", on("other", 3), due=4),
    ),
    (Resource("bench"), Resource("other"), Resource("third", blocked=((0, 9),))),
    weights=Weights(late=10),
)


def test_what_can_all_be_kept_is_not_explained() -> None:
    a, b, c = TWO_ON_A_BENCH.activities
    assert why_impossible(replace(TWO_ON_A_BENCH, activities=(a, replace(b, due=7), c))) is None


def test_two_dues_on_one_bench_contradict_each_other() -> None:
    # 4 + 3 = 7 on one bench by 5: whichever is second is 2 late. c and the third bench are free.
    answer = found(TWO_ON_A_BENCH)
    assert set(answer.facts) == {Fact("due", "a", 5, 5), Fact("due", "b", 5, 5)}
    assert answer.resources == ("bench",)
    assert told(answer) == [("due", "a", 2), ("due", "b", 2)]
    # 2 late: 10 x 1 x 2 and 10 x 2 x 2.
    assert [relaxation.cost for relaxation in answer.relaxations] == [20, 40]
    words = "a is due at 5; b is due at 5: cannot all hold with what there is of bench"
    assert answer.sentence == words


def test_an_absence_is_blamed_and_may_be_shorter() -> None:
    # 4 quarters by 6 on a bench away 1-4: 3 are left of 6. One quarter less away makes 4; or done
    # at 7, one late. The absence from 8 on is in nobody's way.
    instance = Instance(
        (Activity("a", on("bench", 4), due=6, splittable=True),),
        (Resource("bench", blocked=((1, 4), (8, 9))),),
    )
    answer = found(instance)
    assert set(answer.facts) == {Fact("due", "a", 6, 6), Fact("absence", "bench", 1, 4)}
    assert told(answer) == [("absence", "bench", 1), ("due", "a", 1)]


def test_work_that_may_not_pause_needs_the_whole_stretch() -> None:
    # 4 quarters in one piece by 6: away 1-4 must shrink by 2, to leave 2-6 free of it, or a is done
    # 4-8, 2 late.
    instance = Instance(
        (Activity("a", on("bench", 4), due=6),), (Resource("bench", blocked=((1, 4),)),)
    )
    assert told(found(instance)) == [("absence", "bench", 2), ("due", "a", 2)]


def test_a_lock_before_its_chain_moves_as_nothing_else_gives() -> None:
    # a takes 5, b waits for it and is locked at 3: only the lock can give way, by 2.
    instance = Instance(
        (
            Activity("a", (Mode(5),), due=9),
            Activity("b", (Mode(1),), (Precedence("a"),), due=9, locked=Lock(3)),
        )
    )
    answer = found(instance)
    assert answer.facts == (Fact("lock", "b", 3, 3),)
    assert answer.resources == ()
    assert told(answer) == [("lock", "b", 2)]


def test_changing_over_counts() -> None:
    # red 2, over to blue 3, blue 2: 7, due at 6 both. Without changing over 4 would do.
    instance = Instance(
        tuple(Activity(s, on("stage", 2, s), due=6) for s in ("red", "blue")),
        (Resource("stage"),),
        changeovers=Changeovers(
            pairs={("", "red", "blue"): 3, ("", "blue", "red"): 3}, default_set_up=0
        ),
    )
    assert told(found(instance)) == [("due", "blue", 1), ("due", "red", 1)]


def test_what_would_be_enough_counts_changing_over_even_where_it_is_impossible_without() -> None:
    # 2 of work by 1 cannot be; with 3 to bring red up it is done at 5, 4 late.
    instance = Instance(
        (Activity("a", on("stage", 2, "red"), due=1),),
        (Resource("stage"),),
        changeovers=Changeovers(set_up={"red": 3}),
    )
    assert told(found(instance)) == [("due", "a", 4)]


def test_work_that_may_pause_is_not_begun_while_what_it_uses_is_away() -> None:
    # Locked at 2, the bench away 1-4: it begins at 0 or 4, or the bench leaves at 3, is back at 2.
    instance = Instance(
        (Activity("a", on("bench", 4), splittable=True, locked=Lock(2)),),
        (Resource("bench", blocked=((1, 4),)), Resource("other", blocked=((0, 9),))),
    )
    assert told(found(instance)) == [("absence", "bench", 2), ("lock", "a", 2)]


def test_only_absences_of_what_is_used_are_looked_at() -> None:
    bench, other = Resource("bench", blocked=((1, 4),)), Resource("other", blocked=((0, 9),))
    indexed = index(Instance((Activity("a", on("bench", 4)),), (bench, other)))
    assert facts_of(indexed) == (Fact("absence", "bench", 1, 4),)


def test_one_due_too_early_for_its_chain_is_singled_out_among_many() -> None:
    # x 3 then y 4 cannot be done by 6, one late; thirty others are due late enough.
    chain = (
        Activity("x", (Mode(3),)),
        Activity("y", (Mode(4),), (Precedence("x"),), due=6),
    )
    others = tuple(Activity(f"o{n}", on("bench", 2), due=60) for n in range(30))
    answer = found(Instance((*others, *chain), (Resource("bench"),)))
    assert answer.facts == (Fact("due", "y", 6, 6),)
    assert told(answer) == [("due", "y", 1)]
    assert answer.sentence == "y is due at 6: cannot hold"


def test_the_same_question_is_explained_the_same() -> None:
    assert why_impossible(TWO_ON_A_BENCH) == why_impossible(TWO_ON_A_BENCH)
