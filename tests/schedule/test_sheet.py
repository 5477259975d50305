"""Whole orders weighed by compiled code weigh what they do in Python."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from planner.schedule import Activity, Instance, Lock, Mode, Precedence, Resource
from planner.schedule.beginning import other_firsts
from planner.schedule.decode import Decoder, Wish
from planner.schedule.indexed import Indexed, index, topological_order
from planner.schedule.lifting import Staying, Surcharge
from planner.schedule.moving import sheet_at_once, sheet_of
from planner.schedule.search import Search
from planner.schedule.sheet import Sheet
from tests.schedule.test_laws import SLOW, costly, staged
from tests.schedule.test_moves import placed, takes

if TYPE_CHECKING:
    import pytest


def shuffled(indexed: Indexed, seed: int) -> Wish:
    """A random order, and random modes."""
    dice = Random(seed)  # noqa: S311 - repeatable, not secret
    rank = [dice.random() for _ in indexed.ids]
    order = topological_order(indexed.before, indexed.follow, rank)
    modes = tuple(dice.randrange(-1, len(ways)) for ways in indexed.ways)
    return Wish(order, modes, price=float(dice.randrange(4)), cost_price=dice.random())


@SLOW
@given(costly() | staged(), st.integers(0, 1000))
def test_orders_one_after_the_other_weigh_what_they_do_in_python(
    instance: Instance, seed: int
) -> None:
    indexed = index(instance)
    found = placed(indexed)
    # What is kept whole is placed by its last, and what weighs nothing as if it were not due.
    if (
        found is None
        or any(indexed.runs)
        or not all(a.weight or a.due is None for a in instance.activities)
    ):
        return
    sheet = Sheet(indexed, found.board)
    for each in range(6):
        wish = shuffled(indexed, seed + each)
        here = Search(Decoder(indexed), 0).consider(wish)
        there = sheet.weigh(wish)
        if here is not None and sheet.holds(here.board):
            assert there == here.total


def test_first_orders_of_a_stage_weigh_what_they_do_in_python_with_moves_counted() -> None:
    indexed = index(takes(6))
    found = placed(indexed)
    assert found is not None
    was = tuple((i % 3, 0, 50) for i in range(len(indexed.ids)))
    staying = Staying(Surcharge(indexed.day, was))
    sheet = Sheet(indexed, found.board, staying)
    totals = set()
    for wish in other_firsts(indexed):
        here = Search(Decoder(indexed), 0, staying).consider(wish)
        assert here is not None
        assert sheet.weigh(wish) == here.total
        totals.add(here.total)
    assert len(totals) > 1


def locked_between() -> Instance:
    """What is long does not fit before what is locked, which is to come after it."""
    return Instance(
        (
            Activity("long", (Mode(3, {"bench": 1}),)),
            Activity("short", (Mode(2, {"bench": 1}),)),
            Activity("locked", (Mode(1, {"bench": 1}),), (Precedence("short"),), locked=Lock(3)),
        ),
        (Resource("bench"),),
    )


def test_an_order_that_breaks_a_lock_has_no_weight_and_spoils_no_other() -> None:
    indexed = index(locked_between())
    good, bad = (
        tuple(map(indexed.ids.index, names))
        for names in (
            ("short", "long", "locked"),
            ("long", "short", "locked"),
        )
    )
    search = Search(Decoder(indexed), 0)
    found = search.consider(Wish(good, (-1,) * 3))
    assert found is not None
    assert search.consider(Wish(bad, (-1,) * 3)) is None
    sheet = Sheet(indexed, found.board)
    for _ in range(2):
        assert sheet.weigh(Wish(bad, (-1,) * 3)) is None
        assert sheet.weigh(Wish(good, (-1,) * 3)) == found.total


def test_only_what_is_lighter_is_placed_in_python(monkeypatch: pytest.MonkeyPatch) -> None:
    indexed, plain = index(takes(6)), Search(Decoder(index(takes(6))), 0)
    found = {wish: plain.consider(wish) for wish in other_firsts(indexed)}
    totals = {wish: each.total for wish, each in found.items() if each is not None}
    search = Search(Decoder(indexed), 0)
    search.consider(max(totals, key=lambda wish: totals[wish]))
    sheet_of(search)
    in_python: list[Wish] = []
    consider = search.consider
    monkeypatch.setattr(search, "consider", lambda wish: in_python.append(wish) or consider(wish))
    for wish in totals:
        before = search.best
        found = search.consider_weighed(wish)
        assert (found is None) == (before is search.best)
    assert 0 < len(in_python) < len(totals) / 2
    assert search.best is not None
    assert search.best.total == min(totals.values())


def test_tables_are_laid_where_they_are_swung_on_at_once_and_a_clock_runs(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    indexed = index(takes(4))
    search = Search(Decoder(indexed), 0)
    search.consider(Wish(indexed.topological, (-1,) * len(indexed.ids), 0.0))
    monkeypatch.setattr("planner.schedule.moving.LEAST_MOVED", 1)
    monkeypatch.setattr("planner.schedule.moving.LEAST_SWUNG", 1)
    for are_there in (False, True):
        for what in ("moves.are_compiled", "pushing.can_swing_at_once"):
            monkeypatch.setattr(f"planner.schedule.{what}", lambda there=are_there: there)
        assert sheet_at_once(search, None) is None
        assert (sheet_at_once(search, 500.0) is not None) is are_there
    laid = search.sheet
    assert laid is not None
    assert sheet_of(search) is laid
    assert search.best is not None
    search.best.board.finishes[0] += 10 * max(search.best.board.finishes) + 20 * indexed.day
    assert sheet_of(search) is not laid
