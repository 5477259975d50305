"""Runs the kinds over the graph, and gathers scale windows per build."""

from planner.estimate.estimates import Estimates, ScaleWindow
from planner.estimate.run import estimate_show, scale_windows

__all__ = ["Estimates", "ScaleWindow", "estimate_show", "scale_windows"]
