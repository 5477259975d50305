"""Herds of plain questions: what is plain, best orders found, the same twice, kept on Ctrl-C."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.schedule import (
    Activity,
    Answer,
    Budget,
    Instance,
    Mode,
    Precedence,
    Progress,
    Resource,
    Weights,
    solve,
    verify,
)
from planner.schedule.herding import Herding
from planner.schedule.herds import NEVER, STALE, TELLING, Herd
from planner.schedule.indexed import index
from planner.schedule.plain import is_plain, nets

JOBS = tuple((2 + 7 * n % 9, 3 + 5 * n % 8) for n in range(20))


def two_machines(jobs: tuple[tuple[int, int], ...] = JOBS) -> Instance:
    """Jobs that are each cut and then sewn; only the finish counts."""
    activities: list[Activity] = []
    for n, (one, other) in enumerate(jobs):
        activities.append(Activity(f"cut{n}", (Mode(one, {"cut": 1}),)))
        sewing = Mode(other, {"sew": 1})
        activities.append(Activity(f"sew{n}", (sewing,), (Precedence(f"cut{n}"),)))
    return Instance(
        tuple(activities),
        (Resource("cut"), Resource("sew")),
        weights=Weights(late=0, finish=1, cost=0, changeover=0),
    )


def by_johnson() -> int:
    """The least finish: S. M. Johnson, Naval Research Logistics Quarterly 1 (1954), pp. 61-68."""
    rising = sorted(job for job in JOBS if job[0] < job[1])
    falling = sorted((job for job in JOBS if job[0] >= job[1]), key=lambda job: -job[1])
    cut = sewn = 0
    for one, other in rising + falling:
        cut += one
        sewn = max(sewn, cut) + other
    return sewn


def packed() -> Instance:
    """Forty pieces on two kinds of hands, some after others."""
    return Instance(
        tuple(
            Activity(
                f"a{n}",
                (Mode(1 + 3 * n % 7, {"hands": 1 + n % 4, "eyes": 1 + n % 3}),),
                (Precedence(f"a{n - 9}", lag_quarters=n % 2),) if n >= 9 else (),
            )
            for n in range(40)
        ),
        (Resource("hands", 6), Resource("eyes", 4)),
        weights=Weights(late=0, finish=1, cost=0, changeover=0),
    )


def test_a_herd_finds_the_best_two_machine_order() -> None:
    herd = Herd(*nets(index(two_machines())), 300, 3)
    herd.breed(40_000)
    assert herd.span == by_johnson()


def test_no_two_of_a_herd_start_all_telling_activities_alike() -> None:
    herd = Herd(*nets(index(packed())), 50, 1)
    herd.breed(2000)
    rows = {tuple(row) for row in herd.pen.starts[: herd.pen.tally[0], ::TELLING].tolist()}
    assert len(rows) == herd.pen.tally[0]


def test_of_two_that_are_alike_the_shorter_is_kept() -> None:
    # Only the last activity differs, which tells nothing: of 40 the telling ones are 0, 8, ..., 32.
    herd = Herd(*nets(index(packed())), 5, 1)
    for last, span in ((60, 70), (50, 60), (55, 65)):
        herd.invite([*range(39), last], span)
    assert herd.pen.tally[0] == 1
    assert herd.span == 60
    assert herd.pen.starts[0, -1] == 50


def test_a_herd_is_stale_when_nothing_shorter_has_come_for_long() -> None:
    herd, since, span = Herd(*nets(index(packed())), 30, 1), 0, NEVER
    while not herd.is_stale:
        assert herd.placings - since <= 30 * STALE
        herd.breed(1)
        if herd.span < span:
            span, since = herd.span, herd.placings
    assert len(set(herd.pen.spans.tolist())) > 1
    assert herd.placings - since > 30 * STALE


def test_a_herd_is_stale_when_all_take_the_same_time() -> None:
    # Three cuts of 2 on one machine take 6, however they are ordered.
    cuts = tuple(Activity(f"cut{n}", (Mode(2, {"cut": 1}),)) for n in range(3))
    herd = Herd(*nets(index(replace(two_machines(), activities=cuts))), 2, 1)
    assert not herd.is_stale
    herd.breed(60)
    assert herd.placings <= 2 * STALE
    assert herd.pen.spans.tolist() == [6, 6]
    assert herd.is_stale


@pytest.mark.parametrize("lengths", [(1, 33, 32), (70, 40, 1), (200, 64, 65, 63)])
def test_on_one_machine_everything_takes_as_long_as_all_together(lengths: tuple[int, ...]) -> None:
    # Some are longer than the 64 quarters that are looked at together, and some than their half.
    cuts = tuple(Activity(f"cut{n}", (Mode(each, {"cut": 1}),)) for n, each in enumerate(lengths))
    herd = Herd(*nets(index(replace(two_machines(), activities=cuts))), 5, 1)
    herd.breed(50)
    assert herd.span == sum(lengths)


@pytest.mark.parametrize(
    ("wait", "filler", "span"),
    [(32, 31, 39), (32, 32, 39), (32, 33, 40), (70, 69, 77), (70, 70, 77), (70, 71, 78)],
)
def test_a_gap_is_filled_by_what_just_fits(wait: int, filler: int, span: int) -> None:
    # 2 quarters, a wait and 5 quarters on one machine: what takes as long as the wait goes between;
    # what takes one longer does too, and puts the last off by that one.
    activities = (
        Activity("first", (Mode(2, {"cut": 1}),)),
        Activity("last", (Mode(5, {"cut": 1}),), (Precedence("first", lag_quarters=wait),)),
        Activity("filler", (Mode(filler, {"cut": 1}),)),
    )
    herd = Herd(*nets(index(replace(two_machines(), activities=activities))), 5, 1)
    herd.breed(100)
    assert herd.span == span


def test_what_takes_no_time_holds_nothing() -> None:
    # One lane for the machine: one unit of it is the word 1.
    activities = (Activity("cut", (Mode(3, {"cut": 1}),)), Activity("mark", (Mode(0, {"cut": 1}),)))
    net, _ = nets(index(replace(two_machines(), activities=activities)))
    assert net.need.tolist() == [1, 0]


def test_a_joined_herd_begins_with_the_shortest_of_each() -> None:
    net, back = nets(index(packed()))
    herds = [Herd(net, back, 30, seed) for seed in range(3)]
    for each in herds:
        each.breed(600)
    left = [each.heirs(3) for each in herds]
    # A third of thirty each, no longer than what is not left.
    for each, heirs in zip(herds, left, strict=True):
        assert heirs.spans.tolist() == sorted(each.pen.spans.tolist())[:10]
    joined = Herd(net, back, 30, 9)
    joined.join(left)
    assert joined.rank == 1
    assert joined.span == min(each.span for each in herds)
    assert joined.pen.tally[0] <= 30
    # Nothing is sampled: whatever is longest so far, the next are children of it.
    size = joined.pen.tally[0]
    joined.breed(1)
    assert size <= joined.pen.tally[0] <= size + 1


def test_herds_that_have_ended_are_joined_once_three_are_of_one_rank() -> None:
    herding, herd, ranks = Herding(index(packed()), 1), None, []
    for _ in range(14):
        herd = herding._next(0, herd)
        herd.breed(60)
        ranks.append(herd.rank)
    herding.close()
    # Three begun afresh make one of the first rank, three of those one of the second.
    assert ranks == [*[0, 0, 0, 1] * 3, 2, 0]


def test_what_every_resource_allows_is_kept_by_the_answer() -> None:
    instance = packed()
    answer = solve(instance, Budget(evaluations=3000, effort=0.3))
    assert verify(instance, answer) == ()
    assert answer.lower_bound <= answer.parts.finish


def test_the_same_seed_and_counts_give_the_same_order() -> None:
    def once() -> Answer:
        return solve(packed(), Budget(evaluations=9000, effort=0.2, seed=5))

    assert once() == once()


def test_ctrl_c_among_the_herds_keeps_the_best_and_says_so() -> None:
    heard: list[Progress] = []

    def interrupting(news: Progress) -> None:
        heard.append(news)
        if news.doing == "bred from one another":
            raise KeyboardInterrupt

    instance = packed()
    answer = solve(instance, Budget(evaluations=50_000), interrupting)
    assert verify(instance, answer) == ()
    assert answer.parts.total == heard[-1].best
    assert answer.method == "bred from one another, stopped early"


def test_progress_tells_the_gap() -> None:
    # 48 of 60 is sure: at most a fifth too much.
    assert Progress("", 60, 48, 0).gap == pytest.approx(0.2)


@pytest.mark.parametrize(
    "changed",
    [
        {"due": 9},
        {"release": 3},
        {"modes": (Mode(1), Mode(2))},
        {"modes": (Mode(1, {"cut": 1}, set_ups={"cut": "red"}),)},
    ],
)
def test_more_than_hands_and_finish_is_not_plain(changed: dict[str, object]) -> None:
    instance = two_machines()
    first, *others = instance.activities
    other = replace(instance, activities=(replace(first, **changed), *others))  # type: ignore[arg-type]
    assert is_plain(index(instance))
    assert not is_plain(index(other))


@pytest.mark.parametrize("seed", range(4))
def test_every_order_of_a_herd_is_whole_and_breaks_no_precedence(seed: int) -> None:
    # A child that lost or doubled an activity, or put one before what it waits for, would stand
    # in the herd as an order that is no sorting of its own starts.
    net, back = nets(index(packed()))
    herd = Herd(net, back, 60, seed)
    herd.breed(4000)
    for row, starts in zip(
        herd.pen.orders[: herd.pen.tally[0]], herd.pen.starts[: herd.pen.tally[0]], strict=True
    ):
        assert sorted(row) == list(range(len(net.duration)))
        for i in range(len(net.duration)):
            for e in range(net.before_at[i], net.before_at[i + 1]):
                j = net.before[e]
                assert starts[j] + net.duration[j] + net.before_lag[e] <= starts[i]
