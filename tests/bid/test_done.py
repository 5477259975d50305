"""What is done is spent, what is ahead is priced, and a thing done and to be done again is both."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from planner.bid import price
from planner.bid.actuals import read_actuals
from planner.bid.done import Done, with_done
from planner.bid.frozen import from_text, to_text
from planner.bid.revision import Stamp, freeze
from planner.kinds import Need, Phase
from planner.model.show import Loads
from planner.pages.bid_text import bid_text

if TYPE_CHECKING:
    from planner.bid.lines import Bid
    from tests.bid.conftest import Board

MONDAY, TUESDAY, FRIDAY = date(2026, 3, 2), date(2026, 3, 3), date(2026, 3, 6)
EVENING = datetime(2026, 3, 2, 18, 0)
HEADER = "week,element,what,hours,cost,left,note\n"


@pytest.fixture
def hill(board: Board) -> Board:
    """A hill of 10 h at 40 on a stage of 1000 a day, with film for 200 and scans for 50."""
    board.loads = Loads(Decimal("0.1"), {}, False)
    board.rate("camera", "hour", "40")
    board.rate("north", "day", "1000")
    board.rate("negative", "foot", "2")
    board.rate("scan", "frame", "1")
    board.resource("stage", "north")
    board.shot("A_010")
    board.element(
        "A_010.hill",
        board.work("photograph", "camera", 10),
        board.charge("negative", "negative", 100, "ft", phase=Phase.STAGE),
        board.charge("scans", "scan", 50, "frames"),
    )
    board.days_held["north"] = (MONDAY,)
    board.call("A_010.hill", "photograph", MONDAY, holds=("north",))
    return board


def refused(board: Board, **more: object) -> Done:
    """Monday's takes, by the calls of the board as they are, no good."""
    calls = tuple(board.calls)
    works = frozenset({"photograph"})
    done = Done("A_010.hill", works, EVENING, "take 2 no good", is_again=True, calls=calls)
    return replace(done, **more)


def priced(board: Board, *done: Done, rows: str = "") -> Bid:
    show, estimates, order = board.given()
    postings, problems = read_actuals(HEADER + rows, "show/actuals.csv")
    assert problems == ()
    bid = price(show, estimates, order)
    return with_done(bid, (show, estimates, order), done, postings)


def called_on(board: Board, day: date) -> None:
    board.calls.clear()
    board.call("A_010.hill", "photograph", day, holds=("north",))
    board.days_held["north"] = (day,)


def test_a_refused_take_is_spent_and_the_next_is_ahead(hill: Board) -> None:
    done = refused(hill)
    called_on(hill, FRIDAY)
    bid = priced(hill, done)
    # Friday's making: 400 + 200 + 50 + 1000. Monday's: 400 + 200 + the day nobody holds now, 1000;
    # what is no good is not scanned.
    assert bid.cost.likely == Decimal("3250.00")
    assert bid.total.likely == Decimal("3575.00")  # a tenth of overhead on all of it
    (past,) = bid.past
    assert (past.element, past.cost, past.days) == (
        "A_010.hill",
        Decimal("1600.00"),
        (("north", MONDAY),),
    )
    text = " ".join(bid_text(bid).split())
    assert (
        "Spent, and made again: A_010.hill, 1,600.00, 1,000.00 of it days held (take 2 no good)."
        in text
    )
    assert "Held for them, and by no call any more: north 2026-03-02." in text


def test_a_day_that_the_order_still_holds_is_paid_once(hill: Board) -> None:
    done = refused(hill)
    called_on(hill, FRIDAY)
    hill.days_held["north"] = (MONDAY, FRIDAY)
    bid = priced(hill, done)
    # Two days, 400 + 200 twice, and the scans of what is to come.
    assert bid.cost.likely == Decimal("3250.00")
    assert bid.past[0].days == ()


def test_while_no_order_dates_the_next_making_it_holds_its_own_hours(hill: Board) -> None:
    need = hill.estimates["A_010.hill"].work[0]
    works = (replace(need, needs=(Need("stage", ("north",)),)),)
    hill.estimates["A_010.hill"] = replace(hill.estimates["A_010.hill"], work=works)
    hill.calls[0] = replace(hill.calls[0], work=works[0])
    bid = priced(hill, refused(hill))
    # Monday once, 400 + 200 twice, 50, and 10 h of a day of 8 h at 1000: 1250.
    assert bid.cost.likely == Decimal("3500.00")


def test_what_is_posted_on_a_making_stands_for_what_it_is_priced_at(hill: Board) -> None:
    done = refused(hill)
    called_on(hill, FRIDAY)
    bid = priced(hill, done, rows="2026-03-02,A_010.hill,photograph,12,,,\n")
    # 12 h x 40 = 480 for 400.
    assert bid.past[0].cost == Decimal("1680.00")
    # What is posted once it is over is of the next making.
    late = priced(hill, done, rows="2026-03-04,A_010.hill,photograph,12,,,\n")
    assert late.past[0].cost == Decimal("1600.00")


def test_what_was_scanned_is_scanned_again(hill: Board) -> None:
    done = refused(hill, is_scanned=True)
    called_on(hill, FRIDAY)
    assert priced(hill, done).past[0].cost == Decimal("1650.00")


def test_each_making_counts_and_a_day_held_twice_is_paid_once(hill: Board) -> None:
    first = refused(hill)
    called_on(hill, FRIDAY)
    bid = priced(hill, first, replace(first, why="lost"))
    assert [each.cost for each in bid.past] == [Decimal("1600.00"), Decimal("600.00")]


def test_a_making_on_a_day_that_nobody_called_is_priced_on_that_day(hill: Board) -> None:
    hill.rate("camera", "hour", (date(2026, 1, 1), "40"), (TUESDAY, "50"))
    when = datetime(2026, 3, 3, 18, 0)
    bid = priced(hill, refused(hill, calls=(), over=when))
    spent = [line for line in bid.lines if line.is_spent]
    # 10 h x 50 from Tuesday on.
    assert [(line.what, line.figures.likely) for line in spent] == [
        ("photograph", Decimal("500.00")),
        ("negative", Decimal("200.00")),
    ]


def test_what_was_made_and_omitted_stays_without_a_making_to_come(hill: Board) -> None:
    show, estimates, order = hill.given()
    done = refused(hill, is_again=False, why="omitted by Ann")
    empty = replace(order, calls=(), days_held={})
    shots = {"A_010": replace(show.shots["A_010"], state="omitted")}
    gone = replace(show, shots=shots)
    bid = with_done(price(gone, estimates, empty), (gone, estimates, empty), [done])
    # 400 + 200 and the day that was held.
    assert bid.cost.likely == Decimal("1600.00")
    text = " ".join(bid_text(bid).split())
    assert "A_010.hill, 1,600.00, 1,000.00 of it days held (omitted by Ann)." in text


def test_a_revision_keeps_what_is_spent(hill: Board) -> None:
    done = refused(hill)
    called_on(hill, FRIDAY)
    bid = priced(hill, done)
    show, estimates, order = hill.given()
    kept = from_text(to_text(freeze(show, estimates, order, bid, Stamp(1, MONDAY))))
    assert kept.bid.past == bid.past
    assert [line.is_spent for line in kept.bid.lines] == [line.is_spent for line in bid.lines]
