"""Prices estimates and a stage order with dated rates: lines, loads, rollups."""

from planner.bid.alternatives import Choice, Method, price_methods
from planner.bid.lines import Bid, BidLine, Figures, LoadLine, Reckoning, total_of
from planner.bid.pricing import price
from planner.bid.rollup import SIDES, By, by_use, loaded, rollup, shared_out, side_of

__all__ = [
    "SIDES",
    "Bid",
    "BidLine",
    "By",
    "Choice",
    "Figures",
    "LoadLine",
    "Method",
    "Reckoning",
    "by_use",
    "loaded",
    "price",
    "price_methods",
    "rollup",
    "shared_out",
    "side_of",
    "total_of",
]
