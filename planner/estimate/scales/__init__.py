"""Compares scales of a build: limits, windows, what would give way, and what each one asks."""

from planner.estimate.scales.giving_way import Relaxation
from planner.estimate.scales.study import ScaleStudy, study_scale
from planner.estimate.scales.trying import Ground, Trial, Use, show_at, users_of
from planner.estimate.scales.windows import Cover, Opening

__all__ = [
    "Cover",
    "Ground",
    "Opening",
    "Relaxation",
    "ScaleStudy",
    "Trial",
    "Use",
    "show_at",
    "study_scale",
    "users_of",
]
