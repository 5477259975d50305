"""Rules of thumb for paintings; a show may put its own figures in their place."""

from __future__ import annotations

from planner.craft import paint
from planner.kinds import Rule

PREPARE = Rule("painting.prepare", "hours to prepare a board and draw", 3, 6, 12)
PER_AREA = {
    "plain": Rule("painting.plain", "hours a square metre, little drawn", 5, 8, 14),
    "medium": Rule("painting.medium", "hours a square metre, much drawn", 12, 20, 35),
    "fine": Rule("painting.fine", "hours a square metre, all drawn", 25, 45, 80),
}
ADJUST = Rule("painting.adjust", "hours of repainting after the first test", 4, 8, 24)
DRYING = Rule("painting.drying", "hours a board dries", 12, 24, 72)
SET_UP = Rule("painting.set_up", "hours to set up, square and light a board", 1.5, 3, 5)
SET_UP_HANDS = Rule("painting.set_up_hands", "stage hands who set it up", 1, 2, 2, "1")
PROGRAM = Rule("painting.program", "hours to program a camera move", 2, 3, 6)
LAYER_LINE_UP = Rule("painting.layer_line_up", "hours to line up one more layer", 0.5, 1, 2)
TEST = Rule("painting.test", "hours of tests against the plate", 0.5, 1, 2)
CAMERA_HANDS = Rule("painting.camera_hands", "camera hands", 1, 1, 2, "1")
TAKES = Rule("painting.takes", "takes of a painting", 1, 2, 4, "1")
RESET = Rule("painting.reset", "time between takes", 60, 120, 300, "s")
FINEST_MARK = Rule("painting.finest_mark", "finest mark of a brush, mm", 0.2, 0.3, 0.5, "mm")
SLIDE = Rule(
    "painting.slide",
    "slide of layers that passes unseen, px",
    paint.JOIN_TOLERANCE_PX,
    1,
    paint.OPEN_TOLERANCE_PX,
    "px",
)
