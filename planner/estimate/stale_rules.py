"""Rules of thumb by which what was made is held against facts that changed since.

Rules only: what a picture may be shifted, enlarged or slowed before it must be made again, and the
hours that go into saving one. `planner.status.judging` reads them; a show puts its own figures in
their place like those of any other rule.
"""

from __future__ import annotations

from planner.kinds import Rule

HIDDEN = Rule(
    "stale.shift_hidden", "shift of one piece against another that nobody sees", 1, 2, 4, "px"
)
WORKED = Rule(
    "stale.shift_worked", "shift that a warp or a blend still hides, with work", 4, 12, 24, "px"
)
ENLARGED = Rule("stale.enlarged", "enlargement that grain and sharpness still stand", 3, 8, 15, "%")
SCALES = Rule(
    "stale.scales", "difference of scale or speed that shows no grain or weight", 1, 2, 5, "%"
)
GRADED = Rule("stale.graded", "difference of light that a grade takes out", 0.3, 0.7, 1.2, "stops")
TURNED = Rule(
    "stale.key_turned", "turn of the key light that shadows do not give away", 5, 10, 20, "deg"
)
STRETCHED = Rule(
    "stale.frames_made", "frames at one end that can be made by slowing what there is", 1, 4, 8, "1"
)
REFRAME = Rule("stale.reframe", "to shift, turn or enlarge a whole piece", 0.5, 1, 3)
WARP = Rule(
    "stale.warp", "to warp a piece or blend its edge, for each pixel of shift", 0.1, 0.3, 0.8
)
GRADE = Rule("stale.grade", "to grade a piece to another light", 0.5, 1, 3)
HOLD = Rule("stale.hold", "to hold a frame in which nothing moves, with grain over it", 0.3, 0.5, 1)
STRETCH = Rule("stale.stretch", "to make one more frame by slowing or painting", 0.25, 0.5, 1.5)
DRAW = Rule(
    "stale.draw", "to draw or join one more frame, where nobody reckoned it", 0.05, 0.15, 0.5
)
LOOK = Rule("stale.look", "to hold a piece against what changed beside it", 0.25, 0.5, 1)
REJOIN = Rule(
    "stale.rejoin",
    "part of the work of joining that comes again with one new piece",
    0.2,
    0.4,
    1,
    "1",
)
REWORK = Rule(
    "stale.rework", "part of the work of making that another drawing asks for", 0.1, 0.25, 0.6, "1"
)
