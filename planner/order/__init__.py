"""Turns estimates into a scheduling instance, and its answer into a dated stage order."""

from planner.order.arrange import arrange
from planner.order.stage_order import Call, StageOrder

__all__ = ["Call", "StageOrder", "arrange"]
