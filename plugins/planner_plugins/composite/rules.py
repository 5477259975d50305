"""Rules of thumb of composites: hours by layer, run and version."""

from __future__ import annotations

from planner.kinds import Rule

VERSIONS = Rule("composite.versions", "versions until one is approved", 2, 3, 6, "1")
GENERATIONS = Rule("composite.generations", "generations before edges and grain tell", 2, 3, 4, "1")

BEGIN = Rule("composite.begin", "hours to read the line-up sheet and gather pieces", 1, 2, 4)
LAYER = {
    "plain": Rule("composite.plain_layer", "hours to join a plain layer", 1, 2, 4),
    "ordinary": Rule("composite.layer", "hours to join a layer", 2, 4, 8),
    "hard": Rule("composite.hard_layer", "hours to join a hard layer", 4, 10, 24),
}
FEATURE = {
    "hair": Rule("composite.hair", "hours more for hair, fur or spray", 3, 8, 20),
    "transparent": Rule("composite.transparent", "hours more for glass, veils or smoke", 2, 6, 16),
    "spill": Rule("composite.spill_on_edge", "hours more for spill on an edge", 1, 3, 8),
    "motion_blur": Rule("composite.motion_blur", "hours more for edges that streak", 2, 5, 12),
    "shadow": Rule("composite.shadow", "hours more for a shadow to be sat in", 1, 4, 10),
    "interactive_light": Rule(
        "composite.interactive", "hours more for light that answers", 2, 5, 12
    ),
    "reflection": Rule("composite.reflection", "hours more for a reflection", 2, 6, 16),
    "shake": Rule("composite.shake", "hours more for a camera that shakes", 2, 4, 10),
    "moving_split": Rule("composite.moving_split", "hours more for a split that moves", 2, 6, 16),
    "grain": Rule("composite.grain", "hours more to match grain of unlike stocks", 0.5, 1.5, 4),
}
FRAME = Rule("composite.frame", "hours to look through a frame and mend it", 0.005, 0.01, 0.03)
SPILL = Rule("composite.spill", "hours to take blue spill off", 2, 4, 10)
VERSION = Rule("composite.version", "hours to answer the notes on one version", 2, 4, 10)
REVIEW = Rule("composite.review", "hours to see a version and write notes", 0.25, 0.5, 1)

LINE_UP = Rule("composite.line_up", "hours to line up one exposure", 1.5, 3, 6)
STRIP = Rule("composite.strip", "hours to print and check one strip", 0.5, 1, 2)
RUN = Rule("composite.run", "hours of one printer run", 0.5, 1, 3)

RULES = (
    VERSIONS,
    GENERATIONS,
    BEGIN,
    *LAYER.values(),
    *FEATURE.values(),
    FRAME,
    SPILL,
    VERSION,
    REVIEW,
    LINE_UP,
    STRIP,
    RUN,
)
