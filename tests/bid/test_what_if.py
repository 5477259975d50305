"""What one order costs beside another: money with its loads, and lateness at the show's price."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from planner.bid import price
from planner.bid.what_if import Costed, difference, lightest
from planner.order.stage_order import Worked
from tests.order.floor import floor_of, usual_work, with_south

if TYPE_CHECKING:
    from planner.order import StageOrder
    from tests.conftest import ShowFolder


def worked_of(order: StageOrder, id_: str, share: float = 1.0) -> Worked:
    """So much of a call of an order as worked before."""
    (call,) = (each for each in order.calls if each.id == id_)
    return Worked(id_, call.starts, call.ends, call.hours * share, share, call.holds)


def test_an_order_costs_nothing_beside_itself(show: ShowFolder) -> None:
    with_south(show)
    floor = floor_of(show, usual_work())
    order = floor.arranged()
    bid = price(floor.show, floor.estimates, order)
    same = difference(Costed(order, bid), Costed(order, bid))
    assert (same.money.likely, same.lateness, same.weight) == (0, 0, 0)


def test_work_done_again_is_paid_again_with_its_loads(show: ShowFolder) -> None:
    with_south(show)
    floor = floor_of(show, usual_work())
    order = floor.arranged()
    bid = price(floor.show, floor.estimates, order)
    redone = replace(order, redone=(worked_of(order, "HL010.town/photograph"),))
    twice = price(floor.show, floor.estimates, redone)
    assert len(twice.lines) == len(bid.lines) + 1
    again = difference(Costed(order, bid), Costed(redone, twice))
    # 10 h at 40 GBP; 10 % contingency and 12 % overhead on cost: 400 + 40 + 48.
    assert again.money.likely == Decimal("488.00")


def test_half_worked_before_is_half_paid_with_its_own_overtime(show: ShowFolder) -> None:
    overtime = "overhead: 12 %\novertime:\n  bands: [{over: 8 h, times: 1.5}]"
    show.replace("show.yaml", "overhead: 12 %", overtime)
    with_south(show)
    floor = floor_of(show, usual_work())
    order = floor.arranged()
    whole = worked_of(order, "HL010.town/photograph")
    half = worked_of(order, "HL010.town/photograph", 0.5)
    # From 13:00 to 18:00 of a day of ten hours.
    late = replace(half, starts=whole.starts.replace(hour=13))

    def more(worked: Worked) -> Decimal:
        twice = price(floor.show, floor.estimates, replace(order, redone=(worked,)))
        return twice.cost.likely - price(floor.show, floor.estimates, order).cost.likely

    # 10 h at 40 GBP, two of them at time and a half: 400 + 40.
    assert more(whole) == Decimal("440.00")
    # 5 h at 40 GBP, two of them late.
    assert more(late) == Decimal("240.00")
    # In the morning none is.
    assert more(replace(half, ends=whole.starts.replace(hour=13))) == Decimal("200.00")


def test_lateness_is_weighed_at_the_shows_own_price(show: ShowFolder) -> None:
    show.replace("show.yaml", "date: 2027-12-01", "date: 2027-03-03")
    show.replace("show.yaml", "overhead: 12 %", "overhead: 12 %\nweights: {late: 1000 GBP}")
    floor = floor_of(show, usual_work())
    with_south(show)
    floor = floor_of(show, usual_work())
    base = floor.arranged()
    text = (show.path / "resources.yaml").read_text(encoding="utf-8")
    away = "height: 7 m, away: [2027-03-02..2027-03-03]}"
    show.write("resources.yaml", text.replace("height: 7 m}", away))
    later = floor_of(show, usual_work())
    order = later.again(floor.issued(), date(2027, 3, 2))
    told = difference(
        Costed(base, price(floor.show, floor.estimates, base)),
        Costed(order, price(later.show, later.estimates, order)),
    )
    # Joined by Wednesday 13:00 in time; two days lost make it Friday 13:00. Wednesday evening is
    # the end of the delivery's day: a day and a half late, 60 quarter hours at 25 GBP.
    assert told.lateness == 1500


def test_the_lightest_counts_money_lateness_and_what_nobody_is_paid(show: ShowFolder) -> None:
    with_south(show)
    floor = floor_of(show, usual_work())
    order = floor.arranged()
    bid = price(floor.show, floor.estimates, order)
    still = Costed(order, bid, unpaid=1000)
    # The labour done again is 488.00 with its loads, as above: 500 less to nobody is worth it, and
    # 480 less is not.
    again = ("HL010.town/photograph",)
    worked = worked_of(order, *again)
    twice = price(floor.show, floor.estimates, replace(order, redone=(worked,)))
    better, worse = Costed(order, twice, again, 500), Costed(order, twice, again, 520)
    assert lightest(still, worse, better) is better
    assert lightest(still, worse) is still
    # The first of equals, so that nobody is called for another day for nothing.
    assert lightest(still, Costed(order, bid, unpaid=1000)) is still
