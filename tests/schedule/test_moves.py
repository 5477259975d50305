"""Moves by compiled code keep every rule, weigh what they say, and are the same twice."""

from __future__ import annotations

from dataclasses import replace
from itertools import count
from threading import Event
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.schedule import (
    Activity,
    Answer,
    Calendar,
    Changeovers,
    Instance,
    Mode,
    Precedence,
    Resource,
    Weights,
    verify,
    working_days,
)
from planner.schedule.appraise import appraise
from planner.schedule.climb import Climb
from planner.schedule.decode import Decoder, Wish
from planner.schedule.flat import ground_of, horizon_of, is_flat, stand_of
from planner.schedule.indexed import Indexed, index
from planner.schedule.moves import Moves, are_compiled, compile_moves
from planner.schedule.moving import Moving, can_be_moved, may_compile
from planner.schedule.search import Found, Search
from tests.schedule.test_laws import CALENDAR, SLOW, costly

if TYPE_CHECKING:
    from collections.abc import Callable


def placed(indexed: Indexed, price: float = 2.0) -> Found | None:
    wish = Wish(indexed.topological, (-1,) * len(indexed.ids), price)
    return Search(Decoder(indexed), 0).consider(wish)


def moves_over(indexed: Indexed, found: Found, seed: int) -> Moves:
    horizon = horizon_of(indexed, found.board.finishes)
    ground = ground_of(indexed, horizon)
    return Moves(ground, stand_of(indexed, ground, found.board), seed, found.wish.cost_price)


def answer(indexed: Indexed, places: tuple[tuple[int, ...], ...]) -> Answer:
    starts, finishes, modes = (dict(zip(indexed.ids, each, strict=True)) for each in places)
    return Answer(starts, finishes, modes, {}, appraise(indexed, *places))


@SLOW
@given(costly(), st.integers(0, 5))
def test_every_board_keeps_the_rules_and_weighs_what_is_said(instance: Instance, seed: int) -> None:
    indexed = index(instance)
    found = placed(indexed)
    if found is None:
        return
    moves = moves_over(indexed, found, seed)
    assert moves.total == found.total
    for _ in range(12):
        moves.go(5)
        now = answer(indexed, tuple(map(tuple, moves.stand.at.T.tolist())))
        assert verify(instance, now) == ()
        assert moves.total == now.parts.total
        best = answer(indexed, moves.best())
        assert verify(instance, best) == ()
        assert moves.lightest == best.parts.total


def takes(sets: int) -> Instance:
    """On one stage three takes of each set, asked for in turn; each set takes 3 to bring up."""
    activities = tuple(
        Activity(f"a{n}.{s}", (Mode(4, {"stage": 1}, set_ups={"stage": f"s{s}"}),), due=400)
        for n in range(3)
        for s in range(sets)
    )
    return Instance(
        activities,
        (Resource("stage", held_day_cost=50),),
        Calendar(CALENDAR.days, 40),
        Changeovers(default_set_up=3),
        Weights(late=1, finish=0, cost=1, changeover=10),
    )


def test_takes_that_were_asked_for_in_turn_are_gathered() -> None:
    # In turn: every one of 12 takes is set up for, 36 quarters. Gathered: 4 sets x 3 = 12, and
    # 48 of work: 60 quarters on 2 days of 40. 10 x 12 + 50 x 2 = 220.
    indexed = index(takes(4))
    found = placed(indexed, price=0.0)
    assert found is not None
    assert found.parts.changeover == 36
    moves = moves_over(indexed, found, 1)
    moves.go(4000)
    assert moves.lightest == 220


def test_the_same_seed_and_tries_give_the_same_board() -> None:
    indexed = index(takes(6))
    found = placed(indexed, price=0.0)
    assert found is not None
    one, other = moves_over(indexed, found, 3), moves_over(indexed, found, 3)
    one.go(60)
    other.go(20)
    other.go(40)
    assert one.stand.at.tolist() == other.stand.at.tolist()
    assert one.lightest < found.total


def test_the_best_is_given_to_the_search_as_an_order_that_leads_to_it() -> None:
    indexed = index(takes(4))
    search = Search(Decoder(indexed), 0)
    first = search.consider(Wish(indexed.topological, (-1,) * len(indexed.ids), 0.0))
    assert first is not None
    Moving(search, 1).go(lambda: search.tries > 400)
    assert search.best is not None
    assert search.best.total == 220
    again = Search(Decoder(indexed), 0).consider(search.best.wish)
    assert again is not None
    assert again.board.starts == search.best.board.starts


def test_small_questions_are_never_moved_by_compiled_code(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    indexed = index(takes(4))
    search = Search(Decoder(indexed), 0)
    search.consider(Wish(indexed.topological, (-1,) * len(indexed.ids)))
    assert not can_be_moved(search, None)
    monkeypatch.setattr("planner.schedule.moving.LEAST_MOVED", 12)
    assert can_be_moved(search, None)


@pytest.mark.parametrize(
    ("seconds", "is_enough"), [(None, True), (5.0, False), (49.9, False), (50.0, True)]
)
def test_compiling_is_begun_with_most_of_a_minute_left_or_where_no_clock_plays_a_part(
    seconds: float | None, is_enough: bool
) -> None:
    assert may_compile(seconds) is is_enough


def test_what_is_compiled_already_is_used_however_little_time_is_left(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    indexed = index(takes(4))
    search = Search(Decoder(indexed), 0)
    search.consider(Wish(indexed.topological, (-1,) * len(indexed.ids)))
    monkeypatch.setattr("planner.schedule.moving.LEAST_MOVED", 12)
    for are_there in (False, True):
        monkeypatch.setattr("planner.schedule.moves.are_compiled", lambda there=are_there: there)
        assert can_be_moved(search, 1.0) is are_there


def test_a_short_budget_leaves_a_large_question_to_python(monkeypatch: pytest.MonkeyPatch) -> None:
    # 12 takes stand for a large question; with 2 seconds left nothing may begin to be compiled.
    indexed = index(takes(4))
    search = Search(Decoder(indexed), 0)
    search.consider(Wish(indexed.topological, (-1,) * len(indexed.ids), 0.0))
    monkeypatch.setattr("planner.schedule.moving.LEAST_MOVED", 12)
    monkeypatch.setattr("planner.schedule.moves.are_compiled", lambda: False)
    monkeypatch.setattr("planner.schedule.moves.compile_moves", None)
    climb = Climb(search, 0, lambda: 2.0)
    climb.go(lambda: climb.turns >= 3)
    assert climb._moving is None
    assert climb._windows is not None


def test_compiling_that_is_given_up_ends_before_its_next_part() -> None:
    indexed = index(takes(4))
    found = placed(indexed)
    assert found is not None
    ground = ground_of(indexed, horizon_of(indexed, found.board.finishes))
    stand = stand_of(indexed, ground, found.board)
    asked = count()
    # Two parts are compiled, then it is given up: asked a third time, it does not ask again.
    assert not compile_moves(ground, stand, lambda: next(asked) == 2)
    assert next(asked) == 3
    assert compile_moves(ground, stand, lambda: False)
    assert are_compiled()


def test_who_stops_waiting_gives_the_compiling_up(monkeypatch: pytest.MonkeyPatch) -> None:
    indexed = index(takes(4))
    search = Search(Decoder(indexed), 0)
    first = search.consider(Wish(indexed.topological, (-1,) * len(indexed.ids), 0.0))
    given_up, is_done = [], Event()

    def compiling(_ground: object, _stand: object, is_given_up: Callable[[], bool]) -> bool:
        # The event behind it is waited for, ten seconds at most: never set, it would say False.
        given_up.append(is_given_up.__self__.wait(10))  # type: ignore[attr-defined]
        is_done.set()
        return False

    monkeypatch.setattr("planner.schedule.moves.compile_moves", compiling)
    Moving(search, 1).go(lambda: True)
    assert is_done.wait(10)
    assert given_up == [True]
    assert search.best == first


def test_stretches_kept_unbroken_are_not_moved_by_compiled_code() -> None:
    plain = takes(1)
    first, second, third = plain.activities
    in_turn = (first, replace(second, after=(Precedence(first.id),)), third)
    kept = tuple(replace(each, together="piece", unbroken=True) for each in in_turn)
    unbroken = replace(plain, activities=kept)
    assert any(index(unbroken).runs)
    assert is_flat(index(plain), 1000)
    assert not is_flat(index(unbroken), 1000)


def test_clock_lags_of_very_many_lengths_do_not_fit_the_tables() -> None:
    # 700 lengths of lag, each a row of 30,000 quarters: 21 million, more than 20.
    works = [Activity("a0", (Mode(1),))]
    works += [Activity(f"a{n}", (Mode(1),), (Precedence("a0", 0, n),)) for n in range(1, 701)]
    indexed = index(
        Instance(tuple(works), (), Calendar(working_days(CALENDAR.days[0], CALENDAR.days[1]), 40))
    )
    assert not is_flat(indexed, 30_000)
    assert is_flat(indexed, 20_000)
