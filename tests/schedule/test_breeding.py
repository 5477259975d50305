"""Breeding orders: precedences hold, the herd stays apart, and a known best is met."""

from __future__ import annotations

from random import Random

from planner.schedule import Activity, Instance, Mode, Precedence, Resource, Weights
from planner.schedule.breeding import MOST_KEPT, Brood
from planner.schedule.decode import Decoder, Wish
from planner.schedule.indexed import index
from planner.schedule.search import Search


def two_machines() -> Instance:
    """Five jobs, each on one machine and then another; only the finish counts."""
    activities: list[Activity] = []
    for n, (one, other) in enumerate(((4, 5), (1, 4), (5, 2), (2, 6), (3, 1))):
        first, second = f"first{n}", f"second{n}"
        activities.append(Activity(first, (Mode(one, {"cut": 1}),)))
        activities.append(Activity(second, (Mode(other, {"sew": 1}),), (Precedence(first),)))
    return Instance(
        tuple(activities),
        (Resource("cut"), Resource("sew")),
        weights=Weights(late=0, finish=1, cost=0, changeover=0),
    )


def test_a_herd_finds_the_best_two_machine_order() -> None:
    # Johnson's rule (1954): jobs 1, 3, 0 by rising first, then 2, 4 by falling second. Cut ends at
    # 1, 3, 7, 12, 15; sew 1-5, 5-11, 11-16, 16-18, 18-19: 19, which is 1 + all sewing, 18.
    indexed = index(two_machines())
    search = Search(Decoder(indexed), 0)
    search.consider(Wish(indexed.topological, (0,) * 10))
    brood = Brood(search, Random(3))  # noqa: S311 - repeatable, not secret
    for _ in range(MOST_KEPT + 60):
        brood.breed()
    assert search.best is not None
    assert search.best.total == 19
    starts = [tuple(found.board.starts) for found in brood.herd]
    assert len(set(starts)) == len(starts) <= MOST_KEPT
    for found in brood.herd:
        place = {i: at for at, i in enumerate(found.wish.order)}
        assert all(place[2 * n] < place[2 * n + 1] for n in range(5))
