"""The whole plan of a show, as one value that pages read.

Takes nothing, gives `Plan`. Works nothing out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.model.names import counted
from planner.pages.problems import severities_said
from planner.pages.wording import folded

if TYPE_CHECKING:
    from planner.bid import Bid
    from planner.estimate import Estimates
    from planner.graph import ElementGraph
    from planner.model.place import Problem
    from planner.model.show import Show
    from planner.order import StageOrder

SETTLED = ("build, test, permit, set or decision", "builds, tests, permits, sets and decisions")
"""What is no piece of a shot: one of them, and several."""


@dataclass(frozen=True, slots=True)
class Plan:
    """A show with everything worked out from it.

    Attributes:
        show: what the files state.
        graph: what waits for what.
        estimates: what every element needs.
        order: dated work.
        bid: what it costs.
        findings: everything found, of graph, elements, order and bid.
    """

    show: Show
    graph: ElementGraph
    estimates: Estimates
    order: StageOrder
    bid: Bid
    findings: tuple[Problem, ...]


def summary_text(plan: Plan) -> str:
    """A few lines: size, dates, cost, what is wrong and what is missing."""
    show, order, bid = plan.show, plan.order, plan.bid
    live = [shot for shot in show.shots.values() if shot.is_live]
    pieces = sum(1 for element in show.elements.values() if element.shot)
    rest = len(show.elements) - pieces
    shots = f"{counted(len(live), 'live shot')} of {len(show.shots)}"
    lines = [
        (
            f"{show.title}: {counted(len(show.sequences), 'sequence')}, {shots},"
            f" {counted(pieces, 'element')}, {counted(rest, *SETTLED)}."
        )
    ]
    if order.calls:
        first, last = order.calls[0].starts, max(call.ends for call in order.calls)
        held = sum(len(days) for days in order.days_held.values())
        lines.append(
            f"{counted(len(order.calls), 'call')}, {first:%Y-%m-%d} to {last:%Y-%m-%d};"
            f" {counted(held, 'stage day')} held; {counted(len(order.late), 'composite')} late."
        )
    total = bid.total
    lines.append(
        f"Cost with loads, {bid.currency}: {total.low:,.2f} low, {total.likely:,.2f} likely,"
        f" {total.high:,.2f} high."
    )
    if bid.unpriced:
        lines.append(f"In it {counted(len(bid.unpriced), 'line')} at 0 for want of a rate.")
    said = severities_said(plan.findings)
    lines.append(f"Findings: {said}. {counted(len(plan.estimates.missing), 'fact')} missing.")
    return "".join(f"{row}\n" for line in lines for row in folded(line, "", "  "))
