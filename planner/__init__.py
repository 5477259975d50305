"""Platewright: a planner for visual-effects shots made of separately photographed elements."""

__version__ = "0.1.0"
