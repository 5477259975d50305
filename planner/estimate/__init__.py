"""Runs the kinds over the graph, gathers scale windows, and holds the pieces of a shot together."""

from planner.estimate.estimates import Estimates, ScaleWindow, Waived
from planner.estimate.run import estimate_show, scale_windows
from planner.estimate.stale_rules import RULES as STALE_RULES
from planner.estimate.waivers import Judged, apply_waivers, mark_of

__all__ = [
    "STALE_RULES",
    "Estimates",
    "Judged",
    "ScaleWindow",
    "Waived",
    "apply_waivers",
    "estimate_show",
    "mark_of",
    "scale_windows",
]
