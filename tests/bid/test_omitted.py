"""What is spent on what is omitted stays in the bid, and no day of a stage is paid for twice."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from planner.bid import price
from planner.bid.actuals import read_actuals
from planner.bid.omitted import Dropped, omitting, with_spent

if TYPE_CHECKING:
    from planner.bid.lines import Bid
    from tests.bid.conftest import Board

MONDAY = date(2026, 3, 2)
GONE = Dropped("A_010", "by the director", ("A_010.barge",))


def without_barge(board: Board, rows: str) -> Bid:
    """The bid of a board whose order calls the barge no more, with what was posted on it."""
    show, estimates, order = board.given()
    less = omitting(show, estimates, [GONE])
    postings, problems = read_actuals(f"week,element,what,hours,cost\n{rows}", "show/actuals.csv")
    assert problems == ()
    whole = price(show, estimates, order)
    return with_spent(price(*less, order), whole, [GONE], postings)


def sharing(board: Board) -> Board:
    """A barge and a hill of 10 h at 40 on a stage of 1000 a day; the hill is still called."""
    board.rate("camera", "hour", "40")
    board.rate("north", "day", "1000")
    board.resource("stage", "north")
    for shot, name in (("A_010", "barge"), ("A_020", "hill")):
        board.shot(shot)
        board.element(f"{shot}.{name}", board.work("photograph", "camera", 10))
    board.days_held["north"] = (MONDAY,)
    board.call("A_020.hill", "photograph", MONDAY, holds=("north",))
    return board


def test_labour_spent_on_what_is_omitted_stays(board: Board) -> None:
    # The hill's 400 and its stage's 1000; 4 h x 40 = 160 of the barge's 400 are spent.
    bid = without_barge(sharing(board), "2026-03-02,A_010.barge,photograph,4,\n")
    assert bid.cost.likely == Decimal("1560.00")


def test_a_share_of_a_day_that_another_pays_now_is_not_counted_twice(board: Board) -> None:
    # Half of Monday was posted on the barge. The hill, alone there now, pays the whole 1000 of it:
    # 500 more would make 1500 of a day that costs 1000.
    bid = without_barge(sharing(board), '2026-03-02,A_010.barge,"north, days held",,500\n')
    assert bid.cost.likely == Decimal("1400.00")
    (told,) = [each for each in bid.problems if each.code == "spent-share-not-its-own"]
    assert "500.00 GBP is posted on north, days held" in told.message
