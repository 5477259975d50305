"""Bids of random shows, every sort of line in them, and one bid worked by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.bid import SIDES, Bid, by_use, price, rollup, total_of
from planner.bid.compare import compare
from planner.bid.frozen import from_text, to_text
from planner.bid.revision import Stamp, freeze
from planner.kinds import Phase, Risk
from planner.model.facts import Facts, FrameRange, Money
from planner.model.place import Place
from planner.model.quantity import Quantity
from planner.model.show import Loads
from tests.bid.conftest import MONDAY, Board

HERE = Place("show/show.yaml", 1, 1)
SHARES = st.decimals(0, Decimal("0.4"), places=3)
PRICES = st.decimals(0, 3000, places=3)
HOURS = st.tuples(*[st.floats(0, 60).map(lambda hours: round(hours, 2))] * 3).map(sorted)
DAYS = st.integers(0, 90).map(lambda day: MONDAY + timedelta(day))


@st.composite
def boards(draw) -> Board:
    board = Board()
    shares = {risk.value: draw(SHARES) for risk in Risk}
    board.loads = Loads(draw(SHARES), shares, draw(st.booleans()))
    board.resource("stage", "north")
    for name, per in (("camera", "hour"), ("effects", "week"), ("north", "day"), ("scan", "frame")):
        if draw(st.integers(0, 5)):
            board.rate(name, per, str(draw(PRICES)), (date(2026, 4, 1), str(draw(PRICES))))
    board.rate("people", draw(st.sampled_from(("day", "week", "month"))), str(draw(PRICES)))
    board.element("town", board.work("make", "effects", tuple(draw(HOURS)), phase=Phase.BUILD))
    for number in range(draw(st.integers(1, 4))):
        shot = f"S{number % 2}_{number}"
        board.shot(shot, draw(st.sampled_from(("live", "live", "omitted", "on hold"))))
        work = board.work(
            "photograph", "camera", tuple(draw(HOURS)), heads=2, risk=draw(st.sampled_from(Risk))
        )
        scans = board.charge("scans", "scan", draw(st.integers(0, 400)))
        board.element(f"{shot}.dam", work, scans, uses=("town",))
        if draw(st.booleans()):
            board.call(f"{shot}.dam", "photograph", draw(DAYS), holds=("north",))
    starts = {call.starts.date() for call in board.calls}
    board.days_held["north"] = tuple(sorted(starts | {draw(DAYS)}))
    costs = {
        "people": Facts(HERE, {"over": draw(st.sampled_from(("show", "stage", "fire")))}),
        "fee": Facts(HERE, {"amount": Money(draw(PRICES), "GBP"), "each": "shot"}),
    }
    escalation = {
        "share": Quantity("share", 0.035),
        "base": date(2025, draw(st.integers(1, 12)), 1),
    }
    bands = (Facts(HERE, {"over": Quantity("over", 3.0, "h"), "times": Quantity("times", 1.5)}),)
    board.facts = Facts(
        HERE,
        {
            "costs": Facts(HERE, costs),
            "escalation": Facts(HERE, escalation),
            "overtime": Facts(HERE, {"bands": bands}),
        },
    )
    return board


def priced(board: Board) -> Bid:
    return price(*board.given())


@given(boards())
@settings(max_examples=60, deadline=None)
def test_every_way_of_summing_comes_to_the_same_cost_to_the_cent(board: Board) -> None:
    bid = priced(board)
    assert sum(line.figures.likely for line in bid.lines) == bid.cost.likely
    for by in SIDES:
        assert total_of(rollup(bid, by).values()) == bid.cost
    assert total_of(by_use(bid).values()) == bid.cost
    assert total_of([bid.cost, *(load.figures for load in bid.loads)]) == bid.total


@given(boards())
@settings(max_examples=60, deadline=None)
def test_every_line_comes_to_its_sum_by_quantity_and_price_alone(board: Board) -> None:
    for line in priced(board).lines:
        if line.reckoning is not None:
            assert line.reckoning.figures() == line.figures
        else:
            assert not line.is_priced
        assert line.figures.low <= line.figures.likely <= line.figures.high


@given(boards(), boards())
@settings(max_examples=40, deadline=None)
def test_causes_sum_to_the_difference_of_any_two_bids(first: Board, second: Board) -> None:
    issued = []
    for number, board in enumerate((first, second), 1):
        show, estimates, order = board.given()
        stamp = Stamp(number, MONDAY)
        frozen = freeze(show, estimates, order, price(show, estimates, order), stamp)
        issued.append(from_text(to_text(frozen)))
    found = compare(*issued)
    assert sum(change.difference for change in found.changes) == found.difference


def test_a_bid_worked_by_hand_line_by_line() -> None:
    """One sequence of two shots, as a person would price it on paper.

    The town, 120 h at 30.00                          3,600.00
      its timber, 12 m2 at 14.25                        171.00
    V_010 town, photograph 6 h, 3 heads at 38.50        693.00
      negative, 410 ft at 0.46                          188.60
      scans, 64 frames at 0.55                           35.20
    V_020 town, photograph 4 h, 3 heads at 38.50        462.00
      burn, 2 h, 2 heads at 31.00 (fire)                124.00
    The stage, 2 days at 1,450.00, is 2,900.00 by the 12 hours there:
      V_010, 6 h                                      1,450.00
      V_020, 4 h                                        966.67
      V_020 burn, 2 h (fire)                            483.33
    Supervisor, 2 of a week's 5 days at 2,400.00        960.00
    Fire officer, 1 day at 540.00 (fire)                540.00
    Stills, 35.00 a shot                                 70.00
    Cost                                              9,743.80
    Contingency: 20 % of 124 + 483.33 + 540 = 1,147.33  229.47
      8 % of the rest, 8,596.47                         687.72
    Overhead, 12 % of 9,743.80                        1,169.26
    Total                                            11,830.25
    """
    board = Board()
    board.loads = Loads(
        Decimal("0.12"), {"ordinary": Decimal("0.08"), "fire": Decimal("0.2")}, False
    )
    board.resource("stage", "north")
    for name, per, amount in (
        ("model_making", "hour", "30.00"),
        ("timber", "square_metre", "14.25"),
        ("camera", "hour", "38.50"),
        ("effects", "hour", "31.00"),
        ("negative", "foot", "0.46"),
        ("scan", "frame", "0.55"),
        ("north", "day", "1450.00"),
        ("supervisor", "week", "2400.00"),
        ("fire_officer", "day", "540.00"),
        ("stills", "item", "35.00"),
    ):
        board.rate(name, per, amount)
    board.element(
        "town",
        board.work("make", "model_making", 120, phase=Phase.BUILD),
        board.charge("timber", "timber", 12, "m2"),
        kind="build",
    )
    for shot in ("V_010", "V_020"):
        board.shot(shot)
        board.shots[shot] = replace(board.shots[shot], cut=FrameRange(1, 48))
    board.element(
        "V_010.town",
        board.work("photograph", "camera", 6, heads=3),
        board.charge("negative", "negative", 410, "ft"),
        board.charge("scans", "scan", 64),
        uses=("town",),
    )
    board.element(
        "V_020.town",
        board.work("photograph", "camera", 4, heads=3),
        board.work("burn", "effects", 2, heads=2, risk=Risk.FIRE),
        uses=("town",),
    )
    tuesday = MONDAY + timedelta(1)
    board.call("V_010.town", "photograph", MONDAY, holds=("north",))
    board.call("V_020.town", "photograph", tuesday, holds=("north",))
    board.call("V_020.town", "burn", tuesday, holds=("north",))
    board.days_held["north"] = (MONDAY, tuesday)
    costs = {
        "supervisor": Facts(HERE, {"over": "show"}),
        "fire_officer": Facts(HERE, {"over": "fire", "risk": "fire"}),
        "stills": Facts(HERE, {"each": "shot"}),
    }
    board.facts = Facts(HERE, {"costs": Facts(HERE, costs)})
    bid = priced(board)
    sums = {(line.element or line.shot, line.what): str(line.figures.likely) for line in bid.lines}
    stage = [str(line.figures.likely) for line in bid.lines if line.rate == "north"]
    ours = {key: each for key, each in sums.items() if "days held" not in key[1]}
    assert ours == {
        ("town", "make"): "3600.00",
        ("town", "timber"): "171.00",
        ("V_010.town", "photograph"): "693.00",
        ("V_010.town", "negative"): "188.60",
        ("V_010.town", "scans"): "35.20",
        ("V_020.town", "photograph"): "462.00",
        ("V_020.town", "burn"): "124.00",
        ("", "supervisor"): "960.00",
        ("", "fire officer"): "540.00",
        ("V_010", "stills"): "35.00",
        ("V_020", "stills"): "35.00",
    }
    assert stage == ["1450.00", "966.67", "483.33"]
    assert {load.name: str(load.figures.likely) for load in bid.loads} == {
        "contingency, ordinary": "687.72",
        "contingency, fire": "229.47",
        "overhead": "1169.26",
    }
    assert bid.cost.likely == Decimal("9743.80")
    assert bid.total.likely == Decimal("11830.25")
