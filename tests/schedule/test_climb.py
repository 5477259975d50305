"""Ways of improving an order have turns of like effort, and those that gain have more of them."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from planner.schedule import (
    Activity,
    Budget,
    Instance,
    Lock,
    Mode,
    Precedence,
    Resource,
    run,
    solve,
    verify,
)
from planner.schedule.beginning import placed_first
from planner.schedule.climb import MOVED, Climb
from planner.schedule.decode import Decoder, Wish
from planner.schedule.indexed import index
from planner.schedule.lifting import Staying, Surcharge
from planner.schedule.search import Search

if TYPE_CHECKING:
    from collections.abc import Callable

    import pytest


def jobs(count: int) -> Instance:
    """On one bench, all due at once, the last the heaviest."""
    ways = (Mode(2, {"bench": 1}),)
    every = tuple(Activity(f"j{n:03}", ways, due=0, weight=n) for n in range(count))
    return Instance(every, (Resource("bench"),))


def test_a_further_way_has_turns_as_long_as_the_others_and_few_where_it_gains_nothing() -> None:
    indexed, _, wish, _ = placed_first(index(jobs(12)))
    search = Search(Decoder(indexed), 0)
    # From the lightest first, which is the worst there is, so that the others always gain.
    search.consider(type(wish)(tuple(range(12)), (0,) * 12))
    climb = Climb(search, 0, lambda: None, 400)
    turns: list[int] = []

    def idle(over: Callable[[], bool]) -> None:
        before = search.placed
        while not over():
            search.placed += 1
            search.tries += search.placed % 12 == 0
        turns.append(search.placed - before)

    climb.take_also(idle)
    climb.go(lambda: search.tries >= 200)
    # A turn is 12 placings of everything, and of 20 activities where there are fewer; each of the
    # four ways has one at first, then this one only every sixth at most.
    assert turns
    assert set(turns[:-1]) <= {12 * 20}
    assert len(turns) <= 1 + climb.turns // 6


def test_parts_are_put_to_the_constraint_solver_in_turns_and_for_what_effort_is_left() -> None:
    # 160 are too many to be put to it whole. By Smith's rule the heaviest goes first: job n of 160
    # ends at 2 x (160 - n), so lateness is the sum of 2 n (160 - n) = 2 (160 S1 - S2) for n to 159,
    # S1 = 159 x 160 / 2 = 12720, S2 = 159 x 160 x 319 / 6 = 1352560.
    for budget in (Budget(effort=0.05), Budget(evaluations=40, effort=0.05)):
        answer = solve(jobs(160), budget)
        assert verify(jobs(160), answer) == ()
        assert answer.parts.lateness == 2 * (160 * 12720 - 1352560)
        assert solve(jobs(160), budget).starts == answer.starts


def test_rearranging_comes_first_where_there_is_much_and_goes_on_while_it_gains() -> None:
    # Placing everything of 800 anew for every change takes as long as a thousand small moves.
    for count, first in ((799, 0), (800, MOVED)):
        indexed, _, wish, board = placed_first(index(jobs(count)))
        search = Search(Decoder(indexed), 0)
        search.adopt(wish, board)
        assert Climb(search, 0, lambda: None, 400)._next() == first


def test_an_order_of_many_is_pushed_back_and_forth_between_climbs(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # Thirty chains over bench and table, all due at once; of these sixty, many are said to be 51.
    ways = {name: (Mode(2, {name: 1}),) for name in ("bench", "table")}
    works = [
        work
        for n in range(30)
        for work in (
            Activity(f"a{n}", (Mode(1 + n % 7, {"bench": 1}),)),
            Activity(f"b{n}", ways["table"], (Precedence(f"a{n}"),), due=0, weight=1 + n % 5),
        )
    ]
    instance = Instance(tuple(works), tuple(map(Resource, ways)))
    done: list[str] = []

    def noted(name: str, function: Callable[..., object]) -> Callable[..., object]:
        def called(*given: object) -> object:
            done.append(name)
            return function(*given)

        return called

    monkeypatch.setattr(run, "MOST_FOR_REPAIR", 50)
    monkeypatch.setattr(Climb, "go", noted("climb", Climb.go))
    monkeypatch.setattr(Search, "justify", noted("push", Search.justify))
    answer = solve(instance, Budget(evaluations=400))
    assert verify(instance, answer) == ()
    # The first order is pushed, then it climbs three times and pushes after each.
    assert [name for name, _ in groupby(done)][:7] == ["push"] + ["climb", "push"] * 3


def test_an_order_is_walked_from_that_keeps_its_lock_only_sooner_than_was_issued() -> None:
    # a was issued at 10, but b, which waits for it, is locked at 4 since: kept at 10 no order lets
    # b begin. The other four have nothing to do with it. Each takes two quarters, due at 0, of
    # weight 1 to 4: the lightest first are late by 1 x 2 + 2 x 4 + 3 x 6 + 4 x 8 = 60, the heaviest
    # first by 4 x 2 + 3 x 4 + 2 x 6 + 1 x 8 = 40. Late weighs 100 each, the end at 8
    # another 8.
    dark = (Mode(2, {"darkroom": 1}),)
    others = jobs(5).activities[1:]
    every = (
        Activity("a", dark),
        Activity("b", dark, (Precedence("a"),), locked=Lock(4)),
        *others,
    )
    indexed = index(Instance(every, (Resource("bench"), Resource("darkroom"))))
    staying = Staying(Surcharge(indexed.day), (10, 0, 0, 0, 0, 0))
    search = Search(Decoder(indexed), 0, staying)
    first = search.consider(Wish(tuple(range(6)), (0,) * 6))
    assert first is not None
    assert first.total == 6008
    search.walk(first, lambda: search.tries >= 500)
    assert search.best is not None
    assert search.best.total == 4008
