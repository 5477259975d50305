from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

import pytest

from planner.bid import by_use, price, rollup
from planner.bid.lines import total_of
from planner.kinds import Phase, Risk
from planner.model.facts import Facts, FrameRange, Money
from planner.model.place import Place
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from planner.bid import Bid

MONDAY = date(2026, 3, 2)
HERE = Place("show/show.yaml", 30, 3)


def number(value: float) -> Quantity:
    return Quantity("many", value)


def priced(board, costs: dict[str, dict[str, Any]], **facts: Any) -> Bid:
    named = {name: Facts(HERE, each) for name, each in costs.items()}
    board.facts = Facts(HERE, {"costs": Facts(HERE, named), **facts})
    return price(*board.given())


@pytest.fixture
def busy(board):
    """Stage work on the first Monday, and on Wednesday 1 April with flame."""
    board.shot("A_010")
    board.rate("effects", "hour", "0")
    board.element(
        "A_010.dam",
        board.work("light", "effects", 4),
        board.work("burn", "effects", 4, risk=Risk.FIRE),
    )
    board.call("A_010.dam", "light", MONDAY)
    board.call("A_010.dam", "burn", date(2026, 4, 1))
    return board


def test_people_by_the_week_are_paid_over_the_show_month_by_month(busy) -> None:
    busy.rate("supervisor", "week", "2000")
    bid = priced(busy, {"supervisor": {"over": "show"}})
    # 2 March to 1 April: 22 working days in March, 1 in April; 5 to a week
    # 22 / 5 x 2,000 = 8,800; 1 / 5 x 2,000 = 400
    assert {month: str(each.likely) for month, each in rollup(bid, "month").items()} == {
        "2026-03": "8800.00",
        "2026-04": "400.00",
    }
    assert rollup(bid, "kind")["show cost"].likely == Decimal("9200.00")
    assert rollup(bid, "phase")["throughout"].likely == Decimal("9200.00")


def test_a_month_is_paid_in_the_share_of_its_working_days(busy) -> None:
    busy.rate("storage", "month", "330")
    costs = {"storage": {"over": "show", "from": date(2026, 3, 18), "to": date(2026, 4, 30)}}
    bid = priced(busy, costs)
    # from Wednesday 18 March 10 of March's 22 working days: 330 x 10/22 = 150; April whole: 330
    assert [str(line.figures.likely) for line in bid.lines if line.what == "storage"] == [
        "150.00",
        "330.00",
    ]


def test_a_fire_officer_comes_on_days_of_flame_alone(busy) -> None:
    busy.rate("fire_officer", "day", "540")
    bid = priced(busy, {"fire_officer": {"over": "fire", "many": number(2), "risk": "fire"}})
    # one day of flame, two officers
    line = next(line for line in bid.lines if line.what == "fire officer")
    assert (str(line.figures.likely), line.month, line.risk) == ("1080.00", "2026-04", Risk.FIRE)
    assert line.phase is Phase.STAGE


def test_plate_supervision_takes_its_days_of_travel_once(busy) -> None:
    busy.element("A_010.sky", busy.work("photograph", "effects", 4, phase=Phase.LOCATION))
    busy.call("A_010.sky", "photograph", date(2026, 3, 30), days=3)
    busy.rate("plate_supervision", "day", "600")
    bid = priced(busy, {"plate_supervision": {"over": "location", "more": number(2)}})
    # 30 and 31 March and two days of travel: 4 x 600; 1 April: 600
    sums = [line.figures.likely for line in bid.lines if line.what == "plate supervision"]
    assert sums == [Decimal("2400.00"), Decimal("600.00")]


def test_stills_are_paid_by_live_shot_and_delivery_by_frame(busy) -> None:
    busy.shot("A_020", state="omitted")
    busy.shots["A_010"] = _cut(busy.shots["A_010"], 101, 148)
    busy.rate("stills", "item", "35")
    busy.rate("delivery", "frame", "0.25")
    bid = priced(busy, {"stills": {"each": "shot"}, "delivery": {"each": "frame"}})
    # one live shot: 35; 48 frames x 0.25 = 12
    assert by_use(bid)["A_010"].likely == Decimal("47.00")


def _cut(shot, first: int, last: int):
    return replace(shot, cut=FrameRange(first, last))


def test_freight_of_a_build_is_split_over_the_shots_that_use_it(busy) -> None:
    busy.shot("A_020")
    busy.element("town", kind="build")
    busy.element("A_010.town", uses=("town",))
    busy.element("A_020.town", uses=("town",))
    money = Money(Decimal("90.01"), "GBP")
    bid = priced(busy, {"freight": {"each": "build", "amount": money}})
    # 90.01 in two: the first of equals takes the odd cent
    assert by_use(bid)["A_010"].likely == Decimal("45.01")
    assert by_use(bid)["A_020"].likely == Decimal("45.00")


def test_how_many_may_be_a_range(busy) -> None:
    busy.rate("producer", "day", "500")
    given = {"many": number(2), "low": number(1), "high": number(3)}
    bid = priced(busy, {"producer": {"over": "stage", **given}})
    # two days of stage work: 1,000, 2,000, 3,000
    assert [str(each) for each in (bid.cost.low, bid.cost.likely, bid.cost.high)] == [
        "1000.00",
        "2000.00",
        "3000.00",
    ]


def test_a_cost_without_a_rate_stands_at_nothing_and_is_told(busy) -> None:
    busy.rate("effects", "hour", "20")
    bid = priced(busy, {"insurance": {"over": "show"}})
    assert [each.code for each in bid.problems] == ["rate-missing"]
    assert {line.what for line in bid.unpriced} == {"insurance"}


def test_days_cannot_be_paid_by_the_foot(busy) -> None:
    busy.rate("insurance", "foot", "3")
    bid = priced(busy, {"insurance": {"over": "show"}})
    assert [each.code for each in bid.problems] == ["rate-unit-unlike"]


def test_every_rollup_still_comes_to_the_total(busy) -> None:
    busy.rate("supervisor", "week", "1999.99")
    busy.rate("stills", "item", "35.33")
    bid = priced(busy, {"supervisor": {"over": "show"}, "stills": {"each": "shot"}})
    assert total_of(rollup(bid, "month").values()) == bid.cost
    assert total_of(by_use(bid).values()) == bid.cost


def overtime(*bands: tuple[float, float], **more: Any) -> Facts:
    groups = tuple(
        Facts(HERE, {"over": Quantity("over", over, "h"), "times": number(times)})
        for over, times in bands
    )
    return Facts(HERE, {"bands": groups, **more})


def test_late_hours_are_paid_by_their_bands(board) -> None:
    board.shot("A_010")
    board.rate("effects", "hour", "30")
    board.element("A_010.dam", board.work("light", "effects", (4, 8, 16), heads=2))
    board.call("A_010.dam", "light", MONDAY)
    bid = priced(board, {}, overtime=overtime((5, 1.5), (7, 2.0)))
    # 8 to 16 h: hours 5-7 half as much again, 7-8 twice: 2 x 0.5 + 1 x 1 = 2 h of 8, a quarter
    # plain 8 h x 2 x 30 = 480; a quarter is 120; low 4 h: 60; high 16 h: 240
    late = bid.lines[1]
    assert late.what == "overtime, light"
    assert [str(each) for each in (late.figures.low, late.figures.likely, late.figures.high)] == [
        "60.00",
        "120.00",
        "240.00",
    ]


def test_crafts_not_named_are_paid_no_overtime(board) -> None:
    board.shot("A_010")
    board.rate("effects", "hour", "30")
    board.element("A_010.dam", board.work("light", "effects", 8))
    board.call("A_010.dam", "light", MONDAY)
    bid = priced(board, {}, overtime=overtime((5, 1.5), crafts=("camera",)))
    assert len(bid.lines) == 1


def escalation(share: float, base: date) -> Facts:
    return Facts(HERE, {"share": number(share), "base": base})


def test_prices_grow_from_their_base_to_the_month_of_spending(board) -> None:
    board.shot("A_010")
    board.rate("effects", "hour", (date(2024, 9, 1), "100"))
    board.element("A_010.dam", board.work("light", "effects", 10))
    board.call("A_010.dam", "light", MONDAY)
    bid = priced(board, {}, escalation=escalation(0.04, date(2024, 9, 1)))
    # September 2024 to March 2026: 18 months at 4 %: 1.04^1.5 = 1.060596; x 100 x 10
    assert bid.cost.likely == Decimal("1060.60")


def test_a_rate_restated_later_grows_only_from_then(board) -> None:
    board.shot("A_010")
    board.rate("effects", "hour", (date(2024, 9, 1), "100"), (date(2026, 3, 1), "108"))
    board.element("A_010.dam", board.work("light", "effects", 10))
    board.call("A_010.dam", "light", MONDAY)
    bid = priced(board, {}, escalation=escalation(0.04, date(2024, 9, 1)))
    assert bid.cost.likely == Decimal("1080.00")


def test_a_sum_stated_outright_grows_too(board) -> None:
    money = Money(Decimal(1000), "GBP")
    board.element("dam", board.charge("castings", "", amount=money, phase=Phase.BUILD))
    bid = priced(board, {}, escalation=escalation(0.04, date(2024, 9, 1)))
    # undated, so priced on the show's first day, 18 months on
    assert bid.cost.likely == Decimal("1060.60")
