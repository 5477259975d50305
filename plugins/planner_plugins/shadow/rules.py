"""Rules of thumb of shadows and reflections: hours by how they are made."""

from __future__ import annotations

from planner.craft.rod_removal import PUBLISHED_ROTO
from planner.kinds import Rule

_DRAWN = next(rate for rate in PUBLISHED_ROTO if rate.name.startswith("drawn"))
_HOURS = _DRAWN.minutes_per_frame / 60

DRAWN_BEGIN = Rule("shadow.drawn_begin", "hours to plot the shadow and try a few frames", 2, 4, 8)
DRAWN_FRAME = Rule(
    "shadow.drawn_frame",
    "hours to draw a frame of shadow",
    round(0.6 * _HOURS, 3),
    round(_HOURS, 3),
    round(2.2 * _HOURS, 3),
    source=f"{_DRAWN.source} ({_DRAWN.name}); range is common practice",
)
COMPUTER_BEGIN = Rule("shadow.computer_begin", "hours to rebuild caster and receiver", 4, 8, 20)
COMPUTER_FRAME = Rule("shadow.computer_frame", "hours to reckon and check a frame", 0.02, 0.05, 0.2)
SET_UP = Rule("shadow.set_up", "hours to hang the lamp and line up a shadow", 2, 3, 5)
WEDGE = Rule("shadow.wedge", "hours of wedges before the takes", 0.25, 0.5, 1)
STAGE_HANDS = Rule("shadow.stage_hands", "stage hands who hang the lamp", 1, 2, 3, "1")
CAMERA_HANDS = Rule("shadow.camera_hands", "camera hands", 1, 2, 3, "1")
TAKES = Rule("shadow.takes", "takes of a shadow", 2, 3, 5, "1")
RESET = Rule("shadow.reset", "time between takes of a shadow", 180, 300, 900, "s")

RULES = (
    DRAWN_BEGIN,
    DRAWN_FRAME,
    COMPUTER_BEGIN,
    COMPUTER_FRAME,
    SET_UP,
    WEDGE,
    STAGE_HANDS,
    CAMERA_HANDS,
    TAKES,
    RESET,
)
