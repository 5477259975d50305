"""The bid line by line.

Takes a bid, gives text of 80 columns. Works nothing out.
"""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from planner.pages.terminal import figure, folded

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.bid import Bid, BidLine


def bid_lines_text(bid: Bid) -> str:
    """Every line under its element: what, quantity x rate, likely sum, and its range."""
    lines = [f"{bid.title}: every line, in {bid.currency}"]
    for element, group in groupby(bid.lines, key=lambda line: line.element):
        lines += ["", element or "held for no one thing"]
        lines += (row for line in group for row in _rows(line))
    lines += ["", f"{'cost':<52}{bid.cost.likely:>28,.2f}"]
    lines += (f"{load.name:<52}{load.figures.likely:>28,.2f}" for load in bid.loads)
    lines.append(f"{'total':<52}{bid.total.likely:>28,.2f}")
    return "".join(f"{row}\n" for row in lines)


def _rows(line: BidLine) -> Iterator[str]:
    sums = f"{line.figures.likely:>14,.2f}"
    says = line.what if line.is_priced else f"{line.what} (no rate)"
    head, *rest = folded(says, "  ", "    ", width=64)
    yield f"{head:<66}{sums}"
    yield from rest
    parts = " x ".join(figure(part.value, part.unit) for part in line.reason.inputs)
    span = f"{line.figures.low:,.2f} to {line.figures.high:,.2f}"
    yield from folded(f"{parts}; {span}" if parts else span, "      ", "      ")
