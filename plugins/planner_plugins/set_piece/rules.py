"""Rules of thumb of sets built for the camera."""

from __future__ import annotations

from planner.craft.paint import OPEN_TOLERANCE_PX
from planner.kinds import Rule

SET_UP = {
    "full_size": Rule("set_piece.set_up", "hours to set up and light a full-size piece", 2, 4, 8),
    "forced_perspective": Rule(
        "set_piece.taper", "hours to set up and light a forced perspective", 4, 7, 12
    ),
    "shapes_only": Rule("set_piece.shapes", "hours to place plain shapes", 1, 2, 4),
}
LINE_UP = Rule("set_piece.line_up", "hours to line up a taper through the lens", 1, 2, 4)
FIXTURE = Rule("set_piece.fixture", "hours to place and measure a fixture", 0.5, 1, 2)
HANDS = Rule("set_piece.hands", "hands who set it up", 2, 4, 6, "1")
TAKES = Rule("set_piece.takes", "takes before a set piece", 2, 3, 6, "1")
RESET = Rule("set_piece.reset", "time between takes", 180, 300, 900, "s")
SLIDE = Rule(
    "set_piece.slide",
    "pixels a taper may slide before it is seen to be one",
    1,
    OPEN_TOLERANCE_PX,
    4,
    "px",
)
FIGURE = Rule("set_piece.figure", "share a person may look too large by", 0.02, 0.03, 0.05, "1")
"""Common practice: what passes between two elements of one subject; see shots in parts."""
