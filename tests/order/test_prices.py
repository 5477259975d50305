"""What an order makes small is what the bid charges; sums argued by hand.

The small show works Monday to Friday, ten hours from 08:00, from Monday 1 March 2027. Its bid adds
12 % of overhead and 10 % of contingency.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner.bid import price
from planner.kinds import Phase
from planner.order import prices
from planner.schedule import Band
from tests.order.floor import floor_of, usual_work
from tests.order.test_arrange import work

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

OVERHEAD = "overhead: 12 %\n"
COSTS = """\
overhead: 12 %
costs:
  supervisor: {over: show}
  runner: {over: show, many: 2}
  caterer: {over: stage}
  cover: {over: show, to: 2027-06-01}
"""
RATES = """\
  supervisor: {per: week, amounts: [{from: 2027-01-01, is: 2000 GBP}]}
  runner: {per: hour, amounts: [{from: 2027-01-01, is: 12 GBP}]}
  caterer: {per: day, amounts: [{from: 2027-01-01, is: 900 GBP}]}
  cover: {per: day, amounts: [{from: 2027-01-01, is: 700 GBP}]}
"""


def with_costs(show: ShowFolder) -> None:
    show.replace("show.yaml", OVERHEAD, COSTS)
    show.write("rates.yaml", (show.path / "rates.yaml").read_text(encoding="utf-8") + RATES)


def test_a_stage_let_by_the_week_costs_a_part_of_it_each_day(show: ShowFolder) -> None:
    show.replace("rates.yaml", "north: {per: day", "north: {per: week")
    # 2400 GBP over five days is 480; with its loads 585.60.
    assert prices.held_day(floor_of(show, usual_work()).show, "north") == 586


def test_what_is_paid_until_the_last_call_is_the_price_of_the_finish(show: ShowFolder) -> None:
    with_costs(show)
    floor = floor_of(show, usual_work())
    # 2000 a week is 400 a day, and two at 12 an hour are 240 a day of ten hours. What goes by days
    # of stage work, and what ends on a day of its own, no later call makes dearer.
    assert prices.running_on(floor.show) == 640
    order = floor.arranged()
    assert order.question is not None
    # 640 x 1.22 over 40 quarter hours: 19.52.
    assert order.question.instance.weights.finish == 20


def test_a_last_call_a_day_later_weighs_what_the_bid_charges_for_it(show: ShowFolder) -> None:
    with_costs(show)
    totals, finishes = [], []
    for hours in (10, 20):
        cutting = replace(work("cut out", hours, "roto"), phase=Phase.FINISH)
        works = {"HL010.sky": (cutting,)}
        floor = floor_of(show, works)
        order = floor.arranged()
        assert order.question is not None
        assert order.answer is not None
        # Roto has no rate, so that its hours cost nothing.
        totals.append(price(floor.show, floor.estimates, order).total.likely)
        finishes.append(order.question.instance.weights.finish * order.answer.parts.finish)
    # 640 GBP of the day, 64 and 76.80 on it. A whole number a quarter is out by half at most.
    assert float(totals[1] - totals[0]) == 780.8
    assert abs(finishes[1] - finishes[0] - 780.8) <= 0.5 * 40


def test_late_hours_cost_what_each_band_adds_to_the_one_before(show: ShowFolder) -> None:
    bands = "overtime:\n  bands: [{over: 8 h, times: 1.5}, {over: 9 h, times: 2}]\n"
    show.replace("show.yaml", OVERHEAD, f"{OVERHEAD}{bands}  crafts: [stage]\n")
    floor = floor_of(show, usual_work())
    # 40 GBP an hour is 10 a quarter, 12.20 with its loads: half of it from the ninth hour, and as
    # much again from the tenth.
    assert prices.late_hours(floor.show, "stage_crew") == (Band(32, 6), Band(36, 6))
    assert prices.late_hours(floor.show, "modellers") == ()
    assert prices.late_hours(floor.show, "north") == ()
