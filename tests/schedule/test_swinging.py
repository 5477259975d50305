"""A board pushed back and forth in the middle of moves keeps every rule, and is soon lighter."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from planner.schedule import Activity, Instance, Mode, Precedence, Resource, verify
from planner.schedule.decode import Decoder, Wish
from planner.schedule.indexed import Indexed, index
from planner.schedule.lifting import Staying, Surcharge
from planner.schedule.moving import Moving, can_swing
from planner.schedule.pad import GUIDE
from planner.schedule.search import Found, Search
from planner.schedule.sheet import Sheet
from planner.schedule.swinging import Swing
from tests.schedule.test_laws import SLOW, costly, staged
from tests.schedule.test_moves import answer, asked_of_show, moves_over, placed, takes

if TYPE_CHECKING:
    from pathlib import Path

    import pytest


def swing_of(indexed: Indexed, found: Found) -> Swing:
    swing = Swing.of(Sheet(indexed, found.board), found.parts.finish)
    assert swing is not None
    return swing


@SLOW
@given(costly() | staged(), st.integers(0, 5))
def test_every_board_keeps_the_rules_and_weighs_what_is_said(instance: Instance, seed: int) -> None:
    indexed = index(instance)
    found = placed(indexed)
    if found is None:
        return
    moves = moves_over(indexed, found, seed)
    swing = swing_of(indexed, found)
    lightest = moves.lightest
    for _ in range(4):
        moves.go(10)
        most = int(max(moves.pad.kept))
        swing.go(moves)
        now = answer(indexed, tuple(map(tuple, moves.stand.at.T.tolist())))
        assert verify(instance, now) == ()
        assert moves.total == now.parts.total
        # It goes on from nothing heavier than what it might have kept.
        assert moves.total + moves.pad.tally[GUIDE] <= most
        best = answer(indexed, moves.best())
        assert verify(instance, best) == ()
        lightest = min(lightest, moves.total)
        assert moves.lightest == best.parts.total <= lightest


def test_what_is_too_heavy_is_not_gone_on_from() -> None:
    indexed = index(takes(4))
    found = placed(indexed, price=0.0)
    assert found is not None
    moves = moves_over(indexed, found, 1)
    swing, was = swing_of(indexed, found), moves.stand.at.tolist()
    moves.pad.kept[:] = 0
    swing.go(moves)
    assert moves.stand.at.tolist() == was
    assert moves.total == found.total
    # Placed all the same, both ways: who counts that must come to an end.
    assert moves.placed >= 2 * len(indexed.ids)
    assert moves.swung_at == moves.placed


def chain_behind() -> Instance:
    """As where pushing back is tested in Python: s before c, though after c comes a long tail."""
    return Instance(
        (
            Activity("s", (Mode(3, {"bench": 1}),)),
            Activity("c", (Mode(2, {"bench": 1}),)),
            Activity("tail", (Mode(9),), after=(Precedence("c"),)),
        ),
        (Resource("bench"),),
    )


def test_what_a_long_tail_waits_for_goes_first() -> None:
    # s 0-3, c 3-5, tail 5-14. Pushed back from 14: tail 5-14, c 3-5, s 11-14; so c, tail, s.
    indexed = index(chain_behind())
    found = placed(indexed)
    assert found is not None
    moves = moves_over(indexed, found, 1)
    moves.pad.kept[:] += 7
    swing_of(indexed, found).go(moves)
    assert moves.stand.at[:, :2].tolist() == [[2, 5], [0, 2], [2, 11]]
    assert (found.parts.finish, moves.total, moves.lightest) == (14, 11, 11)
    # It stays as free to become heavier as it was.
    assert set(moves.pad.kept.tolist()) == {18}


def test_a_whole_show_is_pushed_with_all_that_it_keeps_unbroken(tmp_path: Path) -> None:
    asked = asked_of_show(tmp_path)
    indexed = index(asked)
    assert any(indexed.runs)
    found = placed(indexed)
    assert found is not None
    moves = moves_over(indexed, found, 0)
    swing = swing_of(indexed, found)
    for _ in range(5):
        moves.go(100)
        swing.go(moves)
        now = answer(indexed, tuple(map(tuple, moves.stand.at.T.tolist())))
        assert verify(asked, now) == ()
        assert moves.total == now.parts.total
    assert moves.lightest < found.total


def test_walks_push_now_and_then_and_give_the_search_the_best(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("planner.schedule.moving.SWUNG_EVERY", 10)
    indexed, found = index(takes(4)), []
    for _ in range(2):
        search = Search(Decoder(indexed), 0)
        search.consider(Wish(indexed.topological, (-1,) * len(indexed.ids), 0.0))
        moving = Moving(search, 1, 3, swings=True)
        moving.go(lambda search=search: search.tries > 400)
        assert search.best is not None
        assert search.best.total == 220
        assert all(moves.swung_at for moves in moving._walks)
        found.append(search.best.board.starts)
    assert found[0] == found[1]


def test_boards_are_pushed_where_there_are_many_that_go_anywhere_and_it_is_compiled_or_worth_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    indexed = index(takes(4))
    search = Search(Decoder(indexed), 0)
    assert not can_swing(search, None)
    monkeypatch.setattr("planner.schedule.moving.LEAST_SWUNG", 11)
    assert can_swing(search, None)
    for are_there in (False, True):
        monkeypatch.setattr(
            "planner.schedule.pushing.can_swing_at_once", lambda there=are_there: there
        )
        assert can_swing(search, 120.0)
        assert can_swing(search, 119.0) is are_there
    # What may go no sooner than it was issued would be pushed far from it; a price is weighed.
    for not_before, may_be in (((), True), ((0,) * len(indexed.ids), False)):
        near = Search(Decoder(indexed), 0, Staying(Surcharge(indexed.day), not_before))
        assert can_swing(near, None) is may_be
