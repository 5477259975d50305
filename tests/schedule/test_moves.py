"""Moves by compiled code keep every rule, weigh what they say, and are the same twice."""

from __future__ import annotations

from dataclasses import replace
from itertools import count
from threading import Event
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.estimate import estimate_show
from planner.graph import build_graph
from planner.kinds import Registry
from planner.order.question import ask
from planner.schedule import (
    Activity,
    Answer,
    Calendar,
    Changeovers,
    Instance,
    Lock,
    Mode,
    Precedence,
    Resource,
    Weights,
    verify,
    working_days,
)
from planner.schedule.appraise import appraise, quarter_weight
from planner.schedule.climb import Climb
from planner.schedule.compiled import called_from_python
from planner.schedule.decode import Decoder, Wish
from planner.schedule.flat import ground_of, horizon_of, is_flat, stand_of
from planner.schedule.indexed import Indexed, index
from planner.schedule.lifting import Change, Floor, Staying, Surcharge
from planner.schedule.moves import Moves, are_compiled, compile_moves
from planner.schedule.moving import Moving, can_be_moved, may_compile, rivals_of
from planner.schedule.pad import IS_FREE, LIFTED, PATIENCE, THIS_MODE
from planner.schedule.putting import lift, put_back
from planner.schedule.search import Found, Search
from planner.text.show_folder import load_show
from tests.bench.generated_show import write_show
from tests.schedule.test_laws import CALENDAR, FEW, SLOW, costly, staged

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from planner.schedule.flat import Ground, Stand, Whole
    from planner.schedule.pad import Pad


def placed(indexed: Indexed, price: float = 2.0) -> Found | None:
    wish = Wish(indexed.topological, (-1,) * len(indexed.ids), price)
    return Search(Decoder(indexed), 0).consider(wish)


def moves_over(indexed: Indexed, found: Found, seed: int, staying: Staying | None = None) -> Moves:
    horizon = horizon_of(indexed, found.board.finishes)
    ground, weight = ground_of(indexed, horizon, staying), quarter_weight(indexed)
    stand = stand_of(indexed, ground, found.board)
    return Moves(ground, stand, seed, found.wish.cost_price, weight)


def answer(indexed: Indexed, places: tuple[tuple[int, ...], ...]) -> Answer:
    starts, finishes, modes = (dict(zip(indexed.ids, each, strict=True)) for each in places)
    return Answer(starts, finishes, modes, {}, appraise(indexed, *places))


@SLOW
@given(costly() | staged(), st.integers(0, 5))
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


@called_from_python
def put_back_alone(ground: Ground, stand: Stand, pad: Pad, run: Whole) -> bool:
    """Lift a run and put it back as `pad` says."""
    for i in run:
        lift(ground, stand, pad, i)
        pad.state[i] = LIFTED
    return put_back(ground, stand, pad, run[0])


@SLOW
@given(costly() | staged(), st.sampled_from((0.0, 1.0, 4.0)), st.booleans())
def test_what_is_lifted_goes_back_where_python_puts_it(
    instance: Instance, patience: float, are_free: bool
) -> None:
    indexed = index(instance)
    found = placed(indexed)
    if found is None:
        return
    dear = tuple(
        (start // indexed.day, 0, 5 * (i % 3)) for i, start in enumerate(found.board.starts)
    )
    staying = Staying(Surcharge(indexed.day, dear, 3), tuple(found.board.starts))
    for i in range(len(indexed.ids)):
        run = indexed.runs[i] or (i,)
        # What has no followers is held up by none; what has keeps its limit in both.
        if i != run[0] or i in indexed.standing_still():
            continue
        change = Change(Floor(Decoder(indexed), found, staying))
        for j in run:
            change.lift(j)
        is_put = (
            change.put_run(run, patience, are_free=are_free)
            if indexed.runs[i]
            else change.put(i, patience, are_free=are_free)
        )
        moves = moves_over(indexed, found, 0, staying)
        moves.pad.how[PATIENCE], moves.pad.how[IS_FREE] = patience, are_free
        moves.pad.how[THIS_MODE] = -1
        assert put_back_alone(moves.ground, moves.stand, moves.pad, np.array(run)) == is_put
        if is_put:
            floor = change.of
            expected = [(floor.starts[j], floor.finishes[j], floor.modes[j]) for j in run]
            assert moves.stand.at[list(run)].tolist() == list(map(list, expected))


@FEW
@given(staged(), st.integers(0, 5))
def test_what_was_issued_weighs_what_leaving_it_costs(instance: Instance, seed: int) -> None:
    indexed = index(instance)
    was = tuple((3 * i, 0, 100) for i in range(len(indexed.ids)))
    staying = Staying(Surcharge(indexed.day, was, 4))
    found = Search(Decoder(indexed), 0, staying).consider(
        Wish(indexed.topological, (-1,) * len(indexed.ids))
    )
    if found is None:
        return
    moves = moves_over(indexed, found, seed, staying)
    assert moves.total == found.total
    moves.go(60)
    places = tuple(map(tuple, moves.stand.at.T.tolist()))
    now = answer(indexed, places)
    assert verify(instance, now) == ()
    # 100 for each that is not in mode 0 on the day that it was issued for, and 25 more a day.
    left = sum(
        100 + 25 * abs(start // indexed.day - 3 * i)
        for i, (start, mode) in enumerate(zip(places[0], places[2], strict=True))
        if (start // indexed.day, mode) != (3 * i, 0)
    )
    assert moves.total == now.parts.total + left


def in_a_piece(instance: Instance) -> Instance:
    """The first take of each set and the second are done unbroken."""
    after = {f"a1.{n}": (Precedence(f"a0.{n}"),) for n in range(len(instance.activities) // 3)}
    return replace(
        instance,
        activities=tuple(
            replace(
                each,
                after=after.get(each.id, ()),
                together="" if each.id.startswith("a2") else f"piece {each.id[3:]}",
                unbroken=not each.id.startswith("a2"),
            )
            for each in instance.activities
        ),
    )


def test_what_is_begun_keeps_its_stage_until_it_goes_on() -> None:
    # Locked at 3 to 7, a0.0 keeps the stage for a1.0, at 7; a1.0 is not lifted without it.
    asked = in_a_piece(takes(3))
    locked = replace(asked.activities[0], locked=Lock(3))
    asked = replace(asked, activities=(locked, *asked.activities[1:]))
    indexed = index(asked)
    found = placed(indexed, price=0.0)
    assert found is not None
    moves = moves_over(indexed, found, 1)
    moves.go(2000)
    best = answer(indexed, moves.best())
    assert verify(asked, best) == ()
    assert (best.starts["a0.0"], best.starts["a1.0"]) == (3, 7)
    assert moves.lightest < found.total


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


def test_of_rival_walks_the_lightest_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("planner.schedule.moving.HEAT", 10)
    indexed, found = index(takes(4)), []
    for _ in range(2):
        search = Search(Decoder(indexed), 0)
        search.consider(Wish(indexed.topological, (-1,) * len(indexed.ids), 0.0))
        moving = Moving(search, 1, 3)
        moving.go(lambda search=search: search.tries > 400)
        assert search.best is not None
        # As one walk alone gets to: see above.
        assert search.best.total == 220
        assert len(moving._walks) == 1
        found.append(search.best.board.starts)
    assert found[0] == found[1]


def test_walks_have_rivals_only_where_a_heat_is_a_small_part_of_the_budget() -> None:
    # Three walks that put each of 1,000 back 2,000 times put six million back, which may be 40 % of
    # 15 million: a minute's at a quarter of a million a second, or 5,000 tries of three each.
    assert rivals_of(1000, 60.0) == 3
    assert rivals_of(1000, 59.0) == 1
    assert rivals_of(1000, None, 5000) == 3
    assert rivals_of(1000, None, 4999) == 1
    assert rivals_of(1000, None) == 3


def test_small_questions_are_never_moved_by_compiled_code(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    indexed = index(takes(4))
    search = Search(Decoder(indexed), 0)
    search.consider(Wish(indexed.topological, (-1,) * len(indexed.ids)))
    assert not can_be_moved(search, None)
    monkeypatch.setattr("planner.schedule.moving.LEAST_MOVED", 12)
    monkeypatch.setattr("planner.schedule.moving.LEAST_COMPILED", 12)
    assert can_be_moved(search, None)


@pytest.mark.parametrize(
    ("count", "seconds", "tries", "is_worth_it"),
    [
        (5000, 49.9, None, False),
        (5000, 50.0, None, True),
        (799, 60.0, None, False),
        # By tries: 4.5 million activities placed are 900 orders of 5,000, or 5,625 of 800.
        (5000, None, 899, False),
        (5000, None, 900, True),
        (800, None, 5624, False),
        (800, None, 5625, True),
    ],
)
def test_compiling_is_begun_for_large_questions_with_most_of_a_minute_left(
    count: int, seconds: float | None, tries: int | None, is_worth_it: bool
) -> None:
    assert may_compile(count, seconds, tries) is is_worth_it


def test_where_no_clock_plays_a_part_it_does_not_matter_what_is_kept(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    indexed = index(takes(4))
    search = Search(Decoder(indexed), 0)
    search.consider(Wish(indexed.topological, (-1,) * len(indexed.ids)))
    monkeypatch.setattr("planner.schedule.moving.LEAST_MOVED", 12)
    monkeypatch.setattr("planner.schedule.moves.are_compiled", lambda: True)
    assert can_be_moved(search, 5.0)
    assert not can_be_moved(search, None, 1000)


def test_what_is_compiled_already_is_used_if_there_is_time_to_read_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    indexed = index(takes(4))
    search = Search(Decoder(indexed), 0)
    search.consider(Wish(indexed.topological, (-1,) * len(indexed.ids)))
    monkeypatch.setattr("planner.schedule.moving.LEAST_MOVED", 12)
    for are_there in (False, True):
        monkeypatch.setattr("planner.schedule.moves.are_compiled", lambda there=are_there: there)
        assert can_be_moved(search, 5.0) is are_there
        assert not can_be_moved(search, 1.0)


def test_a_short_budget_leaves_a_large_question_to_python(monkeypatch: pytest.MonkeyPatch) -> None:
    # 12 takes stand for a large question; with 9 seconds left nothing may begin to be compiled.
    indexed = index(takes(4))
    search = Search(Decoder(indexed), 0)
    search.consider(Wish(indexed.topological, (-1,) * len(indexed.ids), 0.0))
    monkeypatch.setattr("planner.schedule.moving.LEAST_MOVED", 12)
    monkeypatch.setattr("planner.schedule.moves.are_compiled", lambda: False)
    monkeypatch.setattr("planner.schedule.moves.compile_moves", None)
    climb = Climb(search, 0, lambda: 9.0)
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


def asked_of_show(folder: Path) -> Instance:
    """The question of a generated show, with work that is kept unbroken."""
    write_show(folder, 12)
    kinds = Registry()
    show, _ = load_show(folder, kinds)
    assert show is not None
    graph, _ = build_graph(show)
    return ask(show, graph, estimate_show(show, graph, kinds)).instance


def test_a_whole_show_is_moved_with_all_that_it_keeps_unbroken(tmp_path: Path) -> None:
    asked = asked_of_show(tmp_path)
    indexed = index(asked)
    assert any(indexed.runs)
    found = placed(indexed)
    assert found is not None
    assert is_flat(indexed, horizon_of(indexed, found.board.finishes))
    moves = moves_over(indexed, found, 0)
    moves.go(600)
    best = answer(indexed, moves.best())
    assert verify(asked, best) == ()
    assert moves.lightest == best.parts.total < found.total


def test_only_what_has_many_units_is_kept_by_quarter() -> None:
    # 189 stages over 200,000 quarters would be 38 million numbers, more than 20; one crew is few.
    stages = tuple(Resource(f"stage{n}") for n in range(189))
    works = (Activity("a", (Mode(1, {"stage0": 1, "crew": 1}),)),)
    assert is_flat(index(Instance(works, (*stages, Resource("crew", 8)))), 200_000)


def test_clock_lags_of_very_many_lengths_do_not_fit_the_tables() -> None:
    # 700 lengths of lag, each a row of 30,000 quarters: 21 million, more than 20.
    works = [Activity("a0", (Mode(1),))]
    works += [Activity(f"a{n}", (Mode(1),), (Precedence("a0", 0, n),)) for n in range(1, 701)]
    indexed = index(
        Instance(tuple(works), (), Calendar(working_days(CALENDAR.days[0], CALENDAR.days[1]), 40))
    )
    assert not is_flat(indexed, 30_000)
    assert is_flat(indexed, 20_000)
