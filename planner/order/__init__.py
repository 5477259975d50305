"""Turns estimates into a scheduling instance, and its answer into a dated stage order."""

from planner.order.again import (
    Started,
    Terms,
    moves_cost,
    rearrange,
    started_by_dates,
    working_days_on,
)
from planner.order.arrange import arrange, usual_budget
from planner.order.changes import Changes, FinalMoved, Moved, compare
from planner.order.dates import why_then
from planner.order.issued import IssuedCall, IssuedOrder, Stamp, issue
from planner.order.question import Question, ask
from planner.order.stage_order import Call, StageOrder

__all__ = [
    "Call",
    "Changes",
    "FinalMoved",
    "IssuedCall",
    "IssuedOrder",
    "Moved",
    "Question",
    "StageOrder",
    "Stamp",
    "Started",
    "Terms",
    "arrange",
    "ask",
    "compare",
    "issue",
    "moves_cost",
    "rearrange",
    "started_by_dates",
    "usual_budget",
    "why_then",
    "working_days_on",
]
