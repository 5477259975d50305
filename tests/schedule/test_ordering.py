"""Whole orders placed by compiled code come out as in Python and keep every rule."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from itertools import count
from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from planner.schedule import (
    Activity,
    Calendar,
    Instance,
    Lock,
    Mode,
    Precedence,
    Resource,
    verify,
)
from planner.schedule.alternating import Alternating
from planner.schedule.compiled import called_from_python
from planner.schedule.decode import Decoder, Wish
from planner.schedule.indexed import Indexed, index
from planner.schedule.mirror import Mirror
from planner.schedule.ordering import are_compiled
from planner.schedule.orders import Orders
from planner.schedule.placing import place_all
from planner.schedule.pushing import push_back
from planner.schedule.search import Found, Search
from tests.schedule.test_laws import CALENDAR, SLOW, costly, staged
from tests.schedule.test_moves import answer, asked_of_show, in_a_piece, takes

if TYPE_CHECKING:
    from pathlib import Path

    import pytest

    from planner.schedule.flat import Whole
    from planner.schedule.placing import Table
    from planner.schedule.pushing import Back


def searched(indexed: Indexed, price: float = 2.0) -> tuple[Search, Found | None]:
    search = Search(Decoder(indexed), 0)
    return search, search.consider(Wish(indexed.topological, (-1,) * len(indexed.ids), price))


@SLOW
@given(costly() | staged(), st.integers(0, 5))
def test_every_order_keeps_the_rules_and_weighs_what_is_said(instance: Instance, seed: int) -> None:
    indexed = index(instance)
    _, found = searched(indexed)
    if found is None:
        return
    orders = Orders(indexed, found, seed)
    orders.begin(found)
    while orders.is_on and orders.placed < 40 * len(indexed.ids):
        orders.go(5)
        now = answer(indexed, tuple(map(tuple, orders._now.stand.at.T.tolist())))
        assert verify(instance, now) == ()
        assert orders._now.pad.tally[0] == now.parts.total
        best = answer(indexed, orders.best())
        assert verify(instance, best) == ()
        assert orders.lightest == best.parts.total <= now.parts.total


@called_from_python
def pushed(now: Table, back: Back, order: Whole, price: float) -> bool:
    """Write an order pushed back."""
    return push_back(now, back, order, price)


@SLOW
@given(costly() | staged())
def test_what_is_not_kept_whole_is_placed_and_pushed_back_as_python_does(
    instance: Instance,
) -> None:
    indexed = index(instance)
    search, found = searched(indexed, 0.0)
    if found is None or any(indexed.runs):
        return
    orders = Orders(indexed, found, 0)
    orders.begin(found)
    if place_all(orders._now, orders._line.now, 0.0) < 0:
        return  # something is locked too early for it
    at = orders._now.stand.at
    assert at.T.tolist() == [found.board.starts, found.board.finishes, found.board.modes]
    assert orders._back is not None
    order = orders._line.new.order
    assert pushed(orders._now, orders._back, order, 0.0)
    expected = Mirror(indexed, 2 * found.parts.finish).justified(found.board, 0.0)
    there = search.consider(replace(found.wish, order=tuple(order.tolist())))
    here = search.consider(replace(found.wish, order=expected or ()))
    # What weighs nothing may be late or not: only Python looks at when it is due.
    if all(a.weight > 0 or a.due is None for a in instance.activities):
        assert (there and there.board.starts) == (here and here.board.starts)


def test_a_whole_show_is_walked_with_all_that_it_keeps_unbroken(tmp_path: Path) -> None:
    asked = asked_of_show(tmp_path)
    indexed = index(asked)
    assert any(indexed.runs)
    _, found = searched(indexed)
    assert found is not None
    orders = Orders(indexed, found, 0)
    orders.begin(found)
    orders.go(60)
    best = answer(indexed, orders.best())
    assert verify(asked, best) == ()
    assert orders.lightest == best.parts.total < found.total


def test_takes_that_were_asked_for_in_turn_are_gathered() -> None:
    # In turn and gathered weigh what the test of moves says: 36 quarters changed over and 220.
    indexed = index(takes(4))
    _, found = searched(indexed, 0.0)
    assert found is not None
    one, other = Orders(indexed, found, 3), Orders(indexed, found, 3)
    for orders in (one, other):
        orders.begin(found)
    one.go(2000)
    for _ in range(2):
        other.go(1000)
    assert one.best() == other.best()
    assert one.lightest == 220


def test_what_is_begun_keeps_its_stage_until_it_goes_on() -> None:
    # As in the test of moves: locked at 3 to 7, it keeps the stage for the next of its run.
    asked = in_a_piece(takes(3))
    locked = replace(asked.activities[0], locked=Lock(3))
    asked = replace(asked, activities=(locked, *asked.activities[1:]))
    indexed = index(asked)
    _, found = searched(indexed, 0.0)
    assert found is not None
    orders = Orders(indexed, found, 1)
    orders.begin(found)
    orders.go(1000)
    best = answer(indexed, orders.best())
    assert verify(asked, best) == ()
    assert (best.starts["a0.0"], best.starts["a1.0"]) == (3, 7)
    assert orders.lightest < found.total


def test_an_order_that_holds_up_what_is_locked_is_not_gone_on_with() -> None:
    # "after" is locked at 4, when "before" has just ended; placed behind "other", it ends at 8.
    stage = {"stage": 1}
    asked = Instance(
        (
            Activity("before", (Mode(4, stage),)),
            Activity("after", (Mode(4, stage),), (Precedence("before"),), locked=Lock(4)),
            Activity("other", (Mode(4, stage),)),
        ),
        (Resource("stage"),),
        Calendar(CALENDAR.days, 40),
    )
    indexed = index(asked)
    search, found = searched(indexed)
    assert found is not None
    orders = Orders(indexed, found, 1)
    orders.begin(replace(found, wish=replace(found.wish, order=(2, 0, 1))))
    assert not orders.is_on
    orders.begin(found)
    assert orders.is_on
    assert orders.lightest == found.total
    assert search.best == found


def is_over(search: Search) -> bool:
    return search.tries > 200


def test_turns_leave_the_best_in_the_search_and_go_on_from_what_others_find(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("planner.schedule.alternating.ORDERED", 40)
    monkeypatch.setattr("planner.schedule.alternating.MOVED", 20)
    found = []
    for _ in range(2):
        indexed = index(takes(4))
        search, _ = searched(indexed, 0.0)
        turns = Alternating(search, 1)
        turns.go(partial(is_over, search))
        assert search.best is not None
        assert search.best.total == 220
        again = Search(Decoder(indexed), 0).consider(search.best.wish)
        assert again is not None
        assert again.board.starts == search.best.board.starts
        found.append(search.best.board.starts)
    assert found[0] == found[1]


def test_compiling_that_is_given_up_ends_before_its_next_part() -> None:
    indexed = index(takes(4))
    _, found = searched(indexed)
    assert found is not None
    orders, asked = Orders(indexed, found, 0), count()
    # As of moves: two parts are compiled, then it is given up.
    assert not orders.compile(lambda: next(asked) == 2)
    assert next(asked) == 3
    assert orders.compile(lambda: False)
    assert are_compiled()
