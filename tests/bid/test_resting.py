"""What rests on one thing, by hand: hours at 10 GBP an hour."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from planner.bid import price
from planner.bid.resting import sums_by_use, value_behind
from planner.model.facts import Facts
from planner.model.place import Severity

if TYPE_CHECKING:
    from planner.bid import Bid
    from planner.model.place import Problem
    from tests.bid.conftest import Board


def stated(board: Board, name: str, **facts: object) -> None:
    """Give an element facts of its own."""
    element = board.elements[name]
    board.elements[name] = replace(element, facts=Facts(element.place, dict(facts)))


def priced(board: Board) -> Bid:
    """A dam of 20 h used by A_010 (30 h), and A_020 (50 h) that uses nothing: 1,000 GBP in all."""
    board.rate("camera", "hour", "10")
    board.shot("A_010")
    board.shot("A_020")
    board.element("A_010.town", board.work("photograph", "camera", 30), uses=("dam",))
    board.element("A_020.town", board.work("photograph", "camera", 50))
    return price(*board.given())


def dam(board: Board, kind: str = "build", **facts: object) -> None:
    board.element("dam", board.work("make", "camera", 20), kind=kind)
    stated(board, "dam", **facts)


def about(bid: Bid, code: str) -> list[Problem]:
    return [each for each in bid.problems if each.code == code]


def test_the_value_behind_a_thing_is_that_of_its_shots_with_its_own(board: Board) -> None:
    # 20 h of the dam and 30 h of the shot: 500 GBP
    dam(board)
    bid = priced(board)
    value = value_behind(bid, "dam", sums_by_use(bid))
    assert value.value == pytest.approx(500)
    assert value.reason == "cost of A_010, summed"


def test_a_single_thing_that_carries_half_the_cost_needs_a_fallback(board: Board) -> None:
    dam(board, risk_owner="the effects supervisor")
    (told,) = about(priced(board), "single-item-without-fallback")
    assert told.severity is Severity.WARNING
    assert "500 GBP (50% of the cost) rest on it in 1 shot" in told.message
    assert "the effects supervisor" in told.remedy


@pytest.mark.parametrize("backing", [{"spare": True}, {"fallback": "draw the break"}])
def test_a_spare_or_a_fallback_will_do(board: Board, backing: dict[str, object]) -> None:
    dam(board, risk_owner="the effects supervisor", **backing)
    assert about(priced(board), "single-item-without-fallback") == []


def test_what_rests_on_a_test_not_passed_is_told_in_money(board: Board) -> None:
    dam(board, kind="test", result="not yet")
    (told,) = about(priced(board), "value-rests-on-test")
    assert told.severity is Severity.NOTE
    assert "500 GBP (50% of the cost) rest on it in 1 shot (A_010)" in told.message


def test_nothing_rests_on_a_test_that_has_passed(board: Board) -> None:
    dam(board, kind="test", result="passed")
    assert about(priced(board), "value-rests-on-test") == []
