"""Turns estimates into a scheduling instance, and its answer into a dated stage order."""

from planner.order.arrange import arrange, usual_budget
from planner.order.dates import why_then
from planner.order.stage_order import Call, StageOrder

__all__ = ["Call", "StageOrder", "arrange", "usual_budget", "why_then"]
