from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.bid import SIDES, Bid, BidLine, Figures, by_use, rollup, shared_out
from planner.bid.lines import total_of
from planner.bid.rollup import loads_on
from planner.kinds import Phase, Risk
from planner.model.place import Place
from planner.model.quantity import Quantity
from planner.model.show import Loads

CENTS = st.integers(0, 10**9).map(lambda cents: Decimal(cents) / 100)
SHOTS = ("A_010", "A_020", "B_010")


@st.composite
def lines(draw) -> BidLine:
    shot = draw(st.sampled_from(("", *SHOTS)))
    element = draw(st.sampled_from(("dam", "heron", "barge"))) if not shot else f"{shot}.dam"
    figures = Figures(*sorted(draw(st.tuples(CENTS, CENTS, CENTS))))
    return BidLine(
        element=element,
        shot=shot,
        sequence=shot.partition("_")[0],
        kind=draw(st.sampled_from(("miniature", "build"))),
        what="work",
        craft=draw(st.sampled_from(("camera", "roto", "purchases"))),
        phase=draw(st.sampled_from(Phase)),
        month=draw(st.sampled_from(("", "2026-03", "2026-04"))),
        account=draw(st.sampled_from(("", "5100"))),
        risk=draw(st.sampled_from(Risk)),
        rate="",
        figures=figures,
        reason=Quantity("work", 0.0),
        place=Place("a.yaml"),
        is_dead=element == "barge",
    )


def bid_of(held: list[BidLine]) -> Bid:
    users = {"dam": SHOTS, "heron": SHOTS[:1]}
    cost = total_of(each.figures for each in held)
    terms = Loads(Decimal(0), {}, False)
    return Bid("", "GBP", tuple(held), (), cost, cost, (), (), (), users, terms)


@given(st.lists(lines(), max_size=40))
@settings(suppress_health_check=[HealthCheck.too_slow])
def test_every_rollup_comes_to_the_same_total_to_the_cent(held: list[BidLine]) -> None:
    bid = bid_of(held)
    for by in SIDES:
        assert total_of(rollup(bid, by).values()) == bid.cost
    assert total_of(by_use(bid).values()) == bid.cost


@given(st.lists(lines(), max_size=40))
@settings(suppress_health_check=[HealthCheck.too_slow])
def test_low_never_passes_likely_nor_likely_high(held: list[BidLine]) -> None:
    bid = bid_of(held)
    every = [figures for by in SIDES for figures in rollup(bid, by).values()]
    for each in (*every, *by_use(bid).values()):
        assert each.low <= each.likely <= each.high


@given(
    st.integers(-(10**12), 10**12).map(lambda cents: Decimal(cents) / 100),
    st.lists(st.floats(0, 1e6), min_size=1, max_size=30),
)
def test_shares_sum_to_the_whole_and_miss_their_due_by_less_than_a_cent(total, weights) -> None:
    parts = shared_out(total, weights)
    assert sum(parts) == total
    whole = sum(weights) or len(weights)
    for part, weight in zip(parts, weights if sum(weights) else [1] * len(weights), strict=True):
        due = float(total) * (weight / whole)
        assert abs(float(part) - due) < 0.01 + 1e-9 * abs(float(total))


def test_the_largest_remainder_takes_the_odd_cent() -> None:
    # 1.00 by 5 : 3 : 3 is 45.45.., 27.27.., 27.27.. cents; one cent left, and .4545 is the largest
    assert shared_out(Decimal("1.00"), (5, 3, 3)) == (
        Decimal("0.46"),
        Decimal("0.27"),
        Decimal("0.27"),
    )
    # 1.00 by 1 : 1 : 1: all lose a third of a cent, the first of equals gets it
    assert shared_out(Decimal("1.00"), (1, 1, 1))[0] == Decimal("0.34")


def test_no_weight_at_all_means_even_shares() -> None:
    assert shared_out(Decimal("0.03"), (0, 0, 0)) == (Decimal("0.01"),) * 3


def test_shares_without_anybody_are_a_mistake() -> None:
    with pytest.raises(ValueError, match="weights"):
        shared_out(Decimal(1), ())


def test_no_load_is_taken_where_none_is_stated() -> None:
    assert loads_on((), Loads(Decimal(0), {}, True), "GBP") == ()
