"""The bid as text."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from planner.bid import Bid, BidLine, Figures
from planner.bid.lines import total_of
from planner.bid.rollup import loads_on
from planner.kinds import Phase, Risk
from planner.model.place import Place
from planner.model.quantity import Quantity
from planner.model.show import Loads
from planner.pages.bid_text import bid_text
from planner.pages.wording import columns

HERE = Place("dam/sequences/a.yaml", 8, 12)


def figures(likely: str) -> Figures:
    return Figures(Decimal(likely) / 2, Decimal(likely), Decimal(likely) * 2)


def line(shot: str, likely: str, **more: object) -> BidLine:
    values: dict[str, object] = {
        "element": f"{shot}.dam" if shot else "dam",
        "shot": shot,
        "sequence": shot.partition("_")[0],
        "kind": "miniature",
        "what": "photograph",
        "craft": "model_making",
        "phase": Phase.STAGE,
        "month": "2026-03",
        "account": "",
        "risk": Risk.ORDINARY,
        "rate": "camera",
        "figures": figures(likely),
        "reason": Quantity("photograph", float(likely), "GBP"),
        "place": HERE,
    }
    return BidLine(**{**values, **more})


def bid(*lines: BidLine, **more: object) -> Bid:
    cost = total_of(each.figures for each in lines)
    terms = Loads(Decimal("0.125"), {}, False)
    loads = loads_on(lines, terms, "GBP")
    total = total_of([cost, *(each.figures for each in loads)])
    unpriced = tuple(each for each in lines if not each.is_priced)
    values: dict[str, object] = {"not_in_bid": (), "users": {}, "terms": terms, **more}
    return Bid("Nine Bells", "GBP", lines, loads, cost, total, (), unpriced, **values)


def test_the_bid_shows_three_figures_and_loads_apart() -> None:
    text = bid_text(bid(line("A_010", "1000"), line("", "200")), "shot")
    # overhead 12.5 % of 1,200 likely is 150; low is half and high twice the likely figure
    # 80 columns: 13 for each figure and 41 for the name
    assert text.splitlines()[:9] == [
        "Nine Bells: bid by shot, in GBP",
        "",
        f"{'':41}{'low':>13}{'likely':>13}{'high':>13}",
        "-" * 80,
        f"{'A_010':41}{'500.00':>13}{'1,000.00':>13}{'2,000.00':>13}",
        f"{'shared':41}{'100.00':>13}{'200.00':>13}{'400.00':>13}",
        "-" * 80,
        f"{'cost':41}{'600.00':>13}{'1,200.00':>13}{'2,400.00':>13}",
        f"{'overhead, 12.5 % of 1,200.00':41}{'75.00':>13}{'150.00':>13}{'300.00':>13}",
    ]
    assert "Contingency does not carry overhead." in text


def test_what_is_unpriced_dead_or_left_out_is_named_under_the_bid() -> None:
    text = bid_text(
        bid(
            line("A_010", "0", is_priced=False),
            line("", "70", element="barge", is_dead=True),
            not_in_bid=(line("B_020", "40"),),
        ),
        "kind",
    )
    assert "Dead cost: barge, 70.00; only omitted shots use it." in text
    assert "Not in the bid: B_020, 40.00 likely without stage days." in text
    assert "1 line at 0 for want of a rate:\n  A_010.dam: photograph" in text


@given(st.text(max_size=300), st.integers(0, 10**13))
def test_a_bid_line_of_any_name_and_sum_fits_the_width(name: str, cents: int) -> None:
    sum_of_money = f"{Decimal(cents) / 100:.2f}"
    text = bid_text(bid(line("A_010", sum_of_money, account=name)), "account")
    assert max(columns(each) for each in text.split("\n")) <= 80
