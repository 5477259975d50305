"""Rules of thumb for models on a stage; a show may put its own figures in their place."""

from __future__ import annotations

from planner.kinds import Rule

SET_UP = Rule("miniature.set_up", "hours to set up and light a model", 3, 5, 8)
SET_UP_HANDS = Rule("miniature.set_up_hands", "stage hands who set it up", 2, 3, 5, "1")
HANG = Rule("miniature.hang", "hours to hang and line up a foreground model", 3, 5, 10)
PROGRAM = Rule("miniature.program", "hours to program a camera move", 2, 4, 6)
PASS_LINE_UP = Rule("miniature.pass_line_up", "hours to line up one more pass", 0.25, 0.5, 1)
WEDGE = Rule("miniature.wedge", "hours of wedges and tests before the takes", 0.5, 1, 2)
RIG_EFFECT = Rule("miniature.rig_effect", "hours to rig a falling or burning action", 2, 4, 8)
CAMERA_HANDS = Rule("miniature.camera_hands", "camera hands", 1, 2, 3, "1")
EFFECT_HANDS = Rule("miniature.effect_hands", "hands for smoke, flame or water", 1, 2, 4, "1")

TAKES_STILL = Rule("miniature.takes_still", "takes where nothing moves", 1, 2, 3, "1")
TAKES_DRIVEN = Rule("miniature.takes_driven", "takes where things are driven", 2, 3, 6, "1")
TAKES_GRAVITY = Rule("miniature.takes_gravity", "takes where things fall or break", 2, 3, 5, "1")

RESET_STILL = Rule(
    "miniature.reset_still", "time between takes of a still model", 120, 300, 600, "s"
)
RESET_DRIVEN = Rule("miniature.reset_driven", "time to reset driven parts", 300, 600, 1800, "s")
RESET_GRAVITY = Rule("miniature.reset_gravity", "time to dress it again", 1800, 3600, 14400, "s")
SMOKE_SETTLE = Rule("miniature.smoke_settle", "time smoke clears and settles", 300, 600, 1200, "s")

FINEST_MARK = Rule("miniature.finest_mark", "finest mark built, mm", 0.2, 0.3, 0.5, "mm")
MARK_PX = Rule("miniature.mark_px", "pixels such a mark may cover", 1, 2, 3, "px")
FLAME_SCALE = Rule(
    "miniature.flame_scale",
    "N beyond which flame or drops look small",
    4,
    8,
    8,
    "1:N",
    "handbook page on shooting speeds and model size (larger than usual, even half size)",
)

TAKES = {"still": TAKES_STILL, "driven": TAKES_DRIVEN, "gravity": TAKES_GRAVITY}
RESETS = {"still": RESET_STILL, "driven": RESET_DRIVEN, "gravity": RESET_GRAVITY}
