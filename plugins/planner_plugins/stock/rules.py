"""Rules of thumb of library elements."""

from __future__ import annotations

from planner.kinds import Rule

FIND = Rule("stock.find", "hours to find, see and order it", 1, 3, 8)
FIT = Rule("stock.fit", "hours to size, slow and grade it", 0.5, 1.5, 4)
ENLARGE = Rule("stock.enlarge", "times it may be enlarged", 1, 1.15, 1.4, "1")
RATE = Rule("stock.rate", "share its rate may be off", 0.05, 0.1, 0.2, "1")
WAIT = Rule("stock.wait", "working hours until the library delivers", 8, 24, 80)
"""Three ten-hour days, less or more."""
