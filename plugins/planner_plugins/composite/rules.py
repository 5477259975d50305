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
    FRAME,
    SPILL,
    VERSION,
    REVIEW,
    LINE_UP,
    STRIP,
    RUN,
)
