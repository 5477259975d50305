"""Rules of thumb of mattes made from other elements."""

from __future__ import annotations

from planner.kinds import Rule

BEGIN = {
    "brightness": Rule("derived_matte.brightness", "hours to set a matte by brightness", 0.5, 1, 3),
    "colour": Rule("derived_matte.colour", "hours to set a matte by colour", 1, 2, 5),
    "difference": Rule("derived_matte.difference", "hours to set a matte by difference", 1, 3, 6),
    "depth": Rule("derived_matte.depth", "hours to set a matte by depth", 0.5, 1, 2),
}
FRAME = Rule("derived_matte.frame", "hours to look through and mend a frame", 0.01, 0.02, 0.06)
EDGE = Rule("derived_matte.edge", "pixels an edge may differ from what is due", 0.5, 1, 2, "px")
LINE = Rule("derived_matte.line", "hours to mend a frame of matte line", 0.05, 0.15, 0.4)
