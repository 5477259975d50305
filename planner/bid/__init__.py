"""Prices estimates and a stage order with dated rates: lines, loads, rollups."""

from planner.bid.lines import Bid, BidLine, Figures, LoadLine
from planner.bid.pricing import price
from planner.bid.rollup import SIDES, By, by_use, loaded, rollup, shared_out

__all__ = [
    "SIDES",
    "Bid",
    "BidLine",
    "By",
    "Figures",
    "LoadLine",
    "by_use",
    "loaded",
    "price",
    "rollup",
    "shared_out",
]
