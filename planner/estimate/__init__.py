"""Runs the kinds over the graph, gathers scale windows, and holds the pieces of a shot together."""

from planner.estimate import stale_rules
from planner.estimate.estimates import Estimates, ScaleWindow, Waived
from planner.estimate.run import estimate_show
from planner.estimate.waivers import AfterWaivers, apply_waivers, mark_of

# `stale_rules` are read by `planner.status`; they stand here so that `rules` lists them.
__all__ = [
    "AfterWaivers",
    "Estimates",
    "ScaleWindow",
    "Waived",
    "apply_waivers",
    "estimate_show",
    "mark_of",
    "stale_rules",
]
