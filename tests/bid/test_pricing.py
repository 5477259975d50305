from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from planner.bid import by_use, price, rollup
from planner.kinds import Phase, Risk
from planner.model.facts import Facts, Money
from planner.model.place import Place, Severity
from planner.model.show import Loads

MONDAY, TUESDAY = date(2026, 3, 2), date(2026, 3, 3)
FULL_WEEK = tuple(date(2026, 3, day) for day in range(2, 7))


def gbp(amount: str) -> Money:
    return Money(Decimal(amount), "GBP")


def sums(figures) -> tuple[str, str, str]:
    return f"{figures.low}", f"{figures.likely}", f"{figures.high}"


def test_labour_is_hours_times_heads_times_rate_three_ways(board) -> None:
    board.shot("A_010")
    board.rate("camera", "hour", "45")
    board.element("A_010.dam", board.work("photograph", "camera", (4, 6, 9), heads=2))
    board.call("A_010.dam", "photograph", MONDAY)
    bid = price(*board.given())
    # 2 heads x 45 an hour = 90; x 4, 6, 9 h
    assert sums(bid.cost) == ("360.00", "540.00", "810.00")
    assert bid.problems == ()


def test_a_line_is_rounded_once_halves_up(board) -> None:
    board.shot("A_010")
    board.rate("camera", "hour", "0.10")
    board.element("A_010.dam", board.work("photograph", "camera", (0.05, 0.25, 0.35)))
    bid = price(*board.given())
    # 0.005 -> 0.01, 0.025 -> 0.03, 0.035 -> 0.04: halves never go to the even cent
    assert sums(bid.cost) == ("0.01", "0.03", "0.04")


def test_a_rate_is_read_on_the_day_of_the_call(board) -> None:
    board.shot("A_010")
    board.rate("camera", "hour", "45", (TUESDAY, "50"))
    board.element("A_010.dam", board.work("light", "camera", 2), board.work("shoot", "camera", 3))
    board.call("A_010.dam", "light", MONDAY)
    board.call("A_010.dam", "shoot", TUESDAY)
    # 2 h x 45 + 3 h x 50
    assert price(*board.given()).cost.likely == Decimal("240.00")


def test_all_rates_can_be_read_on_one_day(board) -> None:
    board.shot("A_010")
    board.rate("camera", "hour", "45", (TUESDAY, "50"))
    board.element("A_010.dam", board.work("light", "camera", 2))
    board.call("A_010.dam", "light", MONDAY)
    bid = price(*board.given(), rates_on=date(2026, 6, 1))
    assert bid.cost.likely == Decimal("100.00")
    assert bid.lines[0].month == "2026-03"


def test_a_day_rate_buys_the_calendars_working_hours(board) -> None:
    board.rate("model_making", "day", "240")
    board.rate("painting", "week", "1200")
    board.element(
        "dam",
        board.work("build", "model_making", 20, phase=Phase.BUILD),
        board.work("paint", "painting", 10, phase=Phase.BUILD),
    )
    # 20 h / 8 x 240 = 600; 10 h / 40 x 1,200 = 300
    assert [f"{line.figures.likely}" for line in price(*board.given()).lines] == [
        "600.00",
        "300.00",
    ]


def test_a_crew_with_a_rate_of_its_own_is_paid_that_where_it_is_called(board) -> None:
    board.shot("A_010")
    board.resource("crew", "hired")
    board.resources["hired"] = replace(board.resources["hired"], craft="camera")
    board.rate("camera", "hour", "45")
    board.rate("stage", "hour", "40")
    board.rate("hired", "day", "400")
    board.element(
        "A_010.dam",
        board.work("light", "camera", 2),
        board.work("shoot", "camera", 4, heads=2),
        board.work("strike", "stage", 1),
    )
    board.call("A_010.dam", "light", MONDAY)
    board.call("A_010.dam", "shoot", MONDAY, holds=("hired",))
    board.call("A_010.dam", "strike", MONDAY, holds=("hired",))
    bid = price(*board.given())
    # 2 h x 45 = 90 by the show's own hands; 4 h x 2 heads x 400 / 8 h in a day = 400 by the hired
    # ones; and what is no work of theirs is paid by its own craft, 1 h x 40.
    assert [f"{line.figures.likely}" for line in bid.lines] == ["90.00", "400.00", "40.00"]
    assert [line.rate for line in bid.lines] == ["camera", "hired", "stage"]


def test_a_purchase_is_quantity_times_rate(board) -> None:
    board.shot("A_010")
    board.rate("negative", "foot", "0.35", account="5100 stock")
    board.element("A_010.dam", board.charge("negative", "negative", 430.5, "ft"))
    line = price(*board.given()).lines[0]
    # 430.5 x 0.35 = 150.675
    assert sums(line.figures) == ("150.68", "150.68", "150.68")
    assert line.account == "5100 stock"


def test_a_length_is_turned_into_the_rates_feet(board) -> None:
    board.shot("A_010")
    board.rate("timber", "foot", "2")
    board.element("A_010.dam", board.charge("timber", "timber", 3048, "mm"))
    # 3,048 mm = 10 ft
    assert price(*board.given()).cost.likely == Decimal("20.00")


def test_a_stated_sum_stands_as_it_is(board) -> None:
    board.element("dam", board.charge("castings", "", amount=gbp("1250.40"), phase=Phase.BUILD))
    assert price(*board.given()).cost.likely == Decimal("1250.40")


def test_a_line_opens_to_its_arithmetic(board) -> None:
    board.shot("A_010")
    board.rate("camera", "hour", "45")
    board.element("A_010.dam", board.work("photograph", "camera", 6, heads=2))
    board.call("A_010.dam", "photograph", MONDAY)
    reason = price(*board.given()).lines[0].reason
    assert reason.value == 540.0
    assert reason.unit == "GBP"
    hours, heads, rate = reason.inputs
    assert (hours.value, heads.value, rate.value) == (6, 2, 45.0)
    assert rate.place == Place("show/rates.yaml", 5, 1)


def test_a_missing_rate_is_told_once_with_who_needs_it_and_the_lines_stay(board) -> None:
    board.shot("A_010")
    board.rate("effects", "hour", "20")
    for name in ("A_010.dam", "A_010.tower"):
        board.element(name, board.work("photograph", "camera", 6))
    bid = price(*board.given())
    (problem,) = bid.problems
    assert (problem.code, problem.severity) == ("rate-missing", Severity.ERROR)
    assert problem.place == board.elements["A_010.dam"].place
    assert "A_010.dam and A_010.tower" in problem.message
    assert [line.element for line in bid.unpriced] == ["A_010.dam", "A_010.tower"]
    assert bid.unpriced == bid.lines
    assert bid.cost.high == 0


def test_a_rate_that_starts_later_is_a_problem_at_its_place(board) -> None:
    board.shot("A_010")
    board.rate("camera", "hour", (date(2026, 7, 1), "45"))
    board.element("A_010.dam", board.work("photograph", "camera", 6))
    board.call("A_010.dam", "photograph", MONDAY)
    bid = price(*board.given())
    assert [each.code for each in bid.problems] == ["rate-not-yet"]
    assert bid.problems[0].place.file == "show/rates.yaml"
    assert len(bid.unpriced) == 1


def test_a_unit_unlike_the_rates_is_a_problem(board) -> None:
    board.shot("A_010")
    board.rate("negative", "foot", "0.35")
    board.rate("camera", "foot", "45")
    board.rate("stage_a", "hour", "45")
    board.resource("stage", "stage_a")
    board.days_held["stage_a"] = FULL_WEEK
    board.element(
        "A_010.dam",
        board.charge("negative", "negative", 12, "1"),
        board.work("photograph", "camera", 6),
    )
    bid = price(*board.given())
    assert [each.code for each in bid.problems] == ["rate-unit-unlike"] * 3
    assert len(bid.unpriced) == 3


def test_money_in_another_currency_is_never_added(board) -> None:
    board.element("dam", board.charge("castings", "", amount=Money(Decimal(90), "EUR")))
    bid = price(*board.given())
    assert [each.code for each in bid.problems] == ["currency-unlike"]
    assert bid.cost.likely == 0
    assert len(bid.unpriced) == 1


def test_a_negative_rate_is_refused(board) -> None:
    board.shot("A_010")
    board.rate("camera", "hour", "-45")
    board.element("A_010.dam", board.work("photograph", "camera", 6))
    bid = price(*board.given())
    assert [each.code for each in bid.problems] == ["rate-negative"]
    assert bid.cost.likely == 0


def test_a_count_without_end_is_refused(board) -> None:
    board.shot("A_010")
    board.rate("scan", "frame", "0.9")
    board.element("A_010.dam", board.charge("scans", "scan", float("nan")))
    bid = price(*board.given())
    assert [each.code for each in bid.problems] == ["quantity-without-end"]
    assert len(bid.unpriced) == 1


def test_stage_days_are_shared_by_hours_idle_days_included(board) -> None:
    board.shot("A_010")
    board.shot("A_020")
    board.rate("crew", "hour", "0")
    board.rate("stage_a", "day", "1000")
    board.resource("stage", "stage_a")
    board.element("A_010.dam", board.work("shoot", "crew", 8))
    board.element("A_020.dam", board.work("shoot", "crew", 4))
    board.call("A_010.dam", "shoot", MONDAY, holds=("stage_a",))
    board.call("A_020.dam", "shoot", FULL_WEEK[4], holds=("stage_a",))
    board.days_held["stage_a"] = FULL_WEEK
    # 5 days held = 5,000 though only two are worked; 8 : 4 = 3,333.33 and 1,666.67
    sums_by_shot = rollup(price(*board.given()), "shot")
    assert f"{sums_by_shot['A_010'].likely}" == "3333.33"
    assert f"{sums_by_shot['A_020'].likely}" == "1666.67"


def test_each_month_of_a_stage_is_paid_by_those_who_were_there(board) -> None:
    board.shot("A_010")
    board.rate("crew", "hour", "0")
    board.rate("stage_a", "day", "1000", (date(2026, 4, 1), "1100"))
    board.resource("stage", "stage_a")
    for name, day in (("A_010.dam", date(2026, 3, 31)), ("A_010.tower", date(2026, 4, 1))):
        board.element(name, board.work("shoot", "crew", 8))
        board.call(name, "shoot", day, holds=("stage_a",))
    board.days_held["stage_a"] = (date(2026, 3, 31), date(2026, 4, 1), date(2026, 4, 2))
    bid = price(*board.given())
    # one day at 1,000 in March; two at 1,100 in April
    assert {month: f"{each.likely}" for month, each in rollup(bid, "month").items()} == {
        "2026-03": "1000.00",
        "2026-04": "2200.00",
    }
    held = {line.element: line.figures.likely for line in bid.lines if line.rate == "stage_a"}
    assert held == {"A_010.dam": 1000, "A_010.tower": 2200}


def test_a_stage_held_for_nobody_is_still_paid(board) -> None:
    board.rate("stage_a", "day", "1000")
    board.resource("stage", "stage_a")
    board.days_held["stage_a"] = FULL_WEEK
    bid = price(*board.given())
    assert bid.cost.likely == 5000
    assert rollup(bid, "shot") == {"shared": bid.cost}


def test_a_rig_is_paid_by_the_days_it_is_used_if_it_has_a_rate(board) -> None:
    board.shot("A_010")
    board.rate("crew", "hour", "0")
    board.rate("crane", "day", "300")
    board.resource("rig", "crane")
    board.resource("rig", "our_track")
    board.element("A_010.dam", board.work("shoot", "crew", 24))
    friday = FULL_WEEK[4]
    board.call("A_010.dam", "shoot", friday, holds=("crane", "our_track"), days=5)
    bid = price(*board.given())
    # Friday to Tuesday: Friday, Monday, Tuesday; nobody pays for the week-end
    assert bid.cost.likely == 900
    assert bid.problems == ()


def test_a_show_without_any_rates_says_so_once_and_which_are_wanted(board) -> None:
    board.shot("A_010")
    for name, craft in (("A_010.dam", "camera"), ("A_010.tower", "effects")):
        board.element(name, board.work("photograph", craft, 6))
    bid = price(*board.given())
    (problem,) = bid.problems
    assert (problem.code, problem.severity) == ("rates-none", Severity.ERROR)
    assert problem.remedy.startswith(
        "write rates.yaml beside show.yaml, with a rate for each of camera, effects;"
    )
    assert len(bid.unpriced) == 2


def test_a_stage_without_a_rate_is_a_problem(board) -> None:
    board.rate("effects", "hour", "20")
    board.resource("stage", "stage_a")
    board.days_held["stage_a"] = FULL_WEEK
    bid = price(*board.given())
    assert [each.code for each in bid.problems] == ["rate-missing"]
    assert "stage_a" in bid.problems[0].message


def omitted_and_shared(board) -> None:
    """A dam for two live shots, a barge for an omitted one, a shot on hold and an idea."""
    board.rate("camera", "hour", "10")
    board.element("dam", board.charge("dam", "", amount=gbp("100.01"), phase=Phase.BUILD))
    board.element("barge", board.charge("barge", "", amount=gbp("70"), phase=Phase.BUILD))
    for shot, state, build in (
        ("A_010", "live", "dam"),
        ("A_020", "live", "dam"),
        ("B_010", "omitted", "barge"),
        ("B_020", "unplaced", "dam"),
        ("B_030", "on hold", "dam"),
    ):
        board.shot(shot, state)
        board.element(f"{shot}.model", board.work("shoot", "camera", 1), uses=(build,))


def test_only_live_shots_and_builds_are_in_the_bid(board) -> None:
    omitted_and_shared(board)
    bid = price(*board.given())
    # 100.01 + 70 + two live shots at 10
    assert f"{bid.cost.likely}" == "190.01"
    assert {line.shot for line in bid.lines} == {"", "A_010", "A_020"}
    assert [line.shot for line in bid.not_in_bid] == ["B_020", "B_030"]


def test_a_build_that_only_omitted_shots_use_is_a_dead_cost(board) -> None:
    omitted_and_shared(board)
    bid = price(*board.given())
    assert [line.element for line in bid.lines if line.is_dead] == ["barge"]
    assert by_use(bid)["dead cost"].likely == 70


def test_a_shared_build_is_charged_once_and_split_by_use(board) -> None:
    omitted_and_shared(board)
    bid = price(*board.given())
    assert rollup(bid, "shot")["shared"].likely == Decimal("170.01")
    split = by_use(bid)
    # 100.01 over two: 50.01 to the first, 50.00 to the second, and 10 of their own
    assert {shot: f"{each.likely}" for shot, each in split.items()} == {
        "A_010": "60.01",
        "A_020": "60.00",
        "dead cost": "70.00",
    }


def test_a_build_reached_through_another_counts_as_used(board) -> None:
    board.shot("A_010")
    board.element("rods", board.charge("rods", "", amount=gbp("30")))
    board.element("heron", uses=("rods",))
    board.element("A_010.heron", uses=("heron",))
    assert by_use(price(*board.given()))["A_010"].likely == 30


def loaded_show(board, carries: bool) -> None:
    shares = {"ordinary": Decimal("0.05"), "fire": Decimal("0.20")}
    board.loads = Loads(Decimal("0.12"), shares, carries)
    board.element(
        "barge",
        board.charge("timber", "", amount=gbp("1000")),
        board.charge("burning", "", amount=gbp("500"), risk=Risk.FIRE),
        board.charge("trial", "", amount=gbp("100"), risk=Risk.UNTRIED),
    )


def test_loads_stand_apart_by_class_of_risk(board) -> None:
    loaded_show(board, carries=False)
    bid = price(*board.given())
    # 5 % of 1,000; nothing is stated for the untried; 20 % of 500; 12 % of 1,600
    assert {load.name: f"{load.figures.likely}" for load in bid.loads} == {
        "contingency, ordinary": "50.00",
        "contingency, fire": "100.00",
        "overhead": "192.00",
    }
    assert f"{bid.total.likely}" == "1942.00"


def test_contingency_carries_overhead_where_the_show_says_so(board) -> None:
    loaded_show(board, carries=True)
    bid = price(*board.given())
    # 12 % of 150
    assert f"{bid.loads[-1].figures.likely}" == "18.00"
    assert f"{bid.total.likely}" == "1960.00"


def capped(board, cap: Money) -> None:
    added = Facts(Place("show/b.yaml", 7, 5), {"cap": cap, "by": "the director"})
    board.loads = Loads(Decimal("0.10"), {}, False)
    board.shot("A_010")
    board.shot("A_015", facts={"added": added})
    board.element("dam", board.charge("dam", "", amount=gbp("9000")))
    board.element("boat", board.charge("boat", "", amount=gbp("300")))
    board.element("A_010.dam", uses=("dam",))
    board.element("A_015.dam", board.charge("gel", "", amount=gbp("100")), uses=("dam", "boat"))


def test_an_addition_over_its_cap_is_told_with_both_sums(board) -> None:
    capped(board, gbp("400"))
    (problem,) = price(*board.given()).problems
    # its own 100 and the boat built for it alone, 300, and 10 % overhead; the dam was there
    assert (problem.code, problem.severity) == ("addition-over-cap", Severity.WARNING)
    assert "400.00 GBP" in problem.message
    assert "440.00 GBP" in problem.message
    assert problem.remedy == "save 40.00 GBP, or have the director agree to more in writing"
    assert problem.place == Place("show/b.yaml", 7, 5)


def test_an_addition_at_its_cap_is_no_problem(board) -> None:
    capped(board, gbp("440"))
    assert price(*board.given()).problems == ()


def test_a_cap_in_another_currency_cannot_be_compared(board) -> None:
    capped(board, Money(Decimal(400), "EUR"))
    (problem,) = price(*board.given()).problems
    assert problem.code == "currency-unlike"


def test_a_sum_stated_outright_has_the_account_of_its_element_else_that_of_its_kind(
    board,
) -> None:
    here = Place("show/show.yaml", 1, 1)
    board.facts = Facts(here, {"accounts": Facts(here, {"build": "Models"})})
    for name in ("barge", "town"):
        board.element(name, board.charge("materials", "", amount=gbp("90")), kind="build")
    own = Facts(here, {"account": "Boats"})
    board.elements["barge"] = replace(board.elements["barge"], facts=own)
    found = {line.element: line.account for line in price(*board.given()).lines}
    assert found == {"barge": "Boats", "town": "Models"}
