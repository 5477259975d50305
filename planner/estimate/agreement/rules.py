"""What passes unseen between the pieces of a shot.

A show may put its own figures in place of these rules of thumb; all are common practice.
"""

from __future__ import annotations

from planner.kinds import Rule

FIELD = Rule("agreement.field", "difference of field that passes, per cent", 0.5, 1, 2, "%")
HORIZON = Rule("agreement.horizon", "shift of the horizon that passes", 4, 8, 16, "px")
DISTANCE = Rule("agreement.distance", "error of distance at scale that passes", 1, 2, 5, "%")
SLIDE = Rule("agreement.slide", "slide against a moving camera that passes", 1, 2, 4, "px")
RATE = Rule("agreement.rate", "difference of time scale that passes", 5, 10, 20, "%")
BLUR = Rule("agreement.blur", "difference of motion blur that passes", 2, 3, 4, "px")
SHUTTER = Rule(
    "agreement.shutter", "difference of shutter where no speed is known", 22.5, 45, 90, "deg"
)
SOFTNESS = Rule("agreement.softness", "difference of softness that passes", 2, 3, 5, "px")
GIVEN_BLUR = Rule(
    "agreement.given_blur", "times the blur of the pictured lens that passes", 1.5, 2, 3, "1"
)
KEY_LIGHT = Rule(
    "agreement.key_light", "difference of light direction that passes", 10, 15, 25, "deg"
)
CONTRAST = Rule("agreement.contrast", "difference of contrast that passes", 0.3, 0.5, 1, "stops")
WIND = Rule("agreement.wind", "difference of wind that passes", 20, 30, 45, "deg")

SIZE = Rule("hand_over.size", "difference of size on screen that passes", 2, 3, 5, "%")
SPEED = Rule("hand_over.speed", "difference of speed that passes", 5, 10, 20, "%")
ATTITUDE = Rule("hand_over.attitude", "turn of the subject that passes", 5, 10, 20, "deg")

RULES = (
    FIELD,
    HORIZON,
    DISTANCE,
    SLIDE,
    RATE,
    BLUR,
    SHUTTER,
    SOFTNESS,
    GIVEN_BLUR,
    KEY_LIGHT,
    CONTRAST,
    WIND,
    SIZE,
    SPEED,
    ATTITUDE,
)
