"""Rules of thumb of what is drawn, moved by hand or made by computer."""

from __future__ import annotations

from planner.kinds import Rule
from planner_plugins.shadow.rules import DRAWN_FRAME as _DRAWN_FRAME

BEGIN = {
    "hand_drawn": Rule("drawn.begin_drawn", "hours to design it and try a few drawings", 4, 8, 16),
    "hand_animated": Rule(
        "drawn.begin_animated", "hours to make it and light its stand", 8, 16, 40
    ),
    "computer": Rule(
        "drawn.begin_computer", "hours to build and light it by computer", 40, 80, 200
    ),
}
FRAME = {
    "hand_drawn": Rule(
        "drawn.frame_drawn",
        "hours to draw a frame",
        _DRAWN_FRAME.low,
        _DRAWN_FRAME.likely,
        _DRAWN_FRAME.high,
        source=_DRAWN_FRAME.source,
    ),
    "hand_animated": Rule(
        "drawn.frame_animated", "hours to pose and expose a frame", 0.1, 0.2, 0.5
    ),
    "computer": Rule("drawn.frame_computer", "hours to set and check a frame", 0.1, 0.25, 0.6),
}
HARD = {
    "plain": Rule("drawn.plain", "times the hours, where it is plain", 0.4, 0.6, 0.8, "1"),
    "ordinary": Rule("drawn.ordinary", "times the hours, where it is ordinary", 1, 1, 1, "1"),
    "hard": Rule("drawn.hard", "times the hours, where it is hard", 1.5, 2, 3, "1"),
}
QUALITY = {
    "hand_drawn": Rule(
        "drawn.quality_drawn", "pixels a hand-drawn thing may be high", 150, 300, 600, "px"
    ),
    "hand_animated": Rule(
        "drawn.quality_animated", "pixels a thing moved by hand may be high", 300, 600, 1200, "px"
    ),
}
MOVES = Rule("drawn.moves", "pixels between poses before it strobes without blur", 2, 3, 6, "px")
MACHINE = Rule("drawn.machine", "computer's own hours for a frame", 0.1, 0.5, 2)
CRAFT = {"hand_drawn": "roto", "hand_animated": "puppeteering", "computer": "computer"}
