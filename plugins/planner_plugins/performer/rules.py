"""Rules of thumb of performers in suits and stand-ins."""

from __future__ import annotations

from planner.craft.rod_removal import PUBLISHED_ROTO
from planner.kinds import Rule

_OUTLINE = PUBLISHED_ROTO[0]
_HOURS = round(_OUTLINE.minutes_per_frame / 60, 3)

FIT = Rule("performer.fit", "hours to fit a suit and prove it can be seen out of", 3, 6, 12)
PLACE = {
    "suit": Rule("performer.place_suit", "hours to dress and rehearse a suit", 1, 2, 4),
    "stand_in": Rule("performer.place_stand_in", "hours to place a stand-in", 0.25, 0.5, 1),
    "eyeline": Rule("performer.place_eyeline", "hours to set a mark to look at", 0.1, 0.2, 0.5),
}
PLATE = Rule("performer.plate", "hours to line up a clean plate behind it", 1, 2, 5)
PAINTED = Rule(
    "performer.painted",
    "hours to outline a frame of it and lay the clean plate in",
    round(0.6 * _HOURS, 3),
    _HOURS,
    round(2.2 * _HOURS, 3),
    source=f"{_OUTLINE.source} ({_OUTLINE.name}, published); range is common practice",
)
REBUILT = Rule(
    "performer.rebuilt", "times as long where what it hides must be painted anew", 2, 3, 6, "1"
)
WORN = Rule("performer.worn", "time a suit is worn without a break", 600, 1200, 1800, "s")
COVERS = Rule("performer.covers", "size of what covers it over its own", 1.02, 1.05, 1.1, "1")
HEIGHT = Rule("performer.height", "height of a performer, mm", 1600, 1750, 2100, "mm")
