"""Rules of thumb for making things; a show may put its own figures in their place."""

from __future__ import annotations

from planner.kinds import Rule

BASE = {
    "miniature": Rule("build.base_miniature", "hours any model takes", 12, 24, 48),
    "foreground": Rule("build.base_foreground", "hours any foreground model takes", 12, 24, 48),
    "puppet": Rule("build.base_puppet", "hours any worked figure takes", 120, 240, 480),
    "insert": Rule("build.base_insert", "hours any full-size part takes", 30, 60, 120),
    "painting": Rule("build.base_painting", "hours to prepare a board and draw", 3, 6, 12),
    "set": Rule("build.base_set", "hours any set takes", 16, 40, 80),
    "fixture": Rule("build.base_fixture", "hours any fixture takes", 2, 6, 12),
    "rig": Rule("build.base_rig", "hours any rig takes", 30, 80, 200),
}
MODEL_AREA = {
    "plain": Rule("build.model_plain", "hours a square metre, plain", 6, 10, 18),
    "medium": Rule("build.model_medium", "hours a square metre, medium", 15, 25, 45),
    "fine": Rule("build.model_fine", "hours a square metre, fine", 35, 60, 110),
}
PAINTING_AREA = {
    "plain": Rule("build.painting_plain", "hours a square metre, little drawn", 5, 8, 14),
    "medium": Rule("build.painting_medium", "hours a square metre, much drawn", 12, 20, 35),
    "fine": Rule("build.painting_fine", "hours a square metre, all drawn", 25, 45, 80),
}
SET_AREA = {
    "plain": Rule("build.set_plain", "hours a square metre of set, plain", 1, 2, 4),
    "medium": Rule("build.set_medium", "hours a square metre of set, medium", 2, 4, 8),
    "fine": Rule("build.set_fine", "hours a square metre of set, fine", 4, 8, 16),
}
SURFACE = Rule("build.surface", "square metres of a thing nobody has measured", 0.5, 2, 6, "m2")
FINISH = Rule("build.finish", "painting of it, as a share of making it", 0.15, 0.25, 0.4, "1")
DRAW = Rule("build.draw", "hours to draw it", 8, 16, 40)
REPEAT = Rule("build.repeat", "a further copy, as a share of the first", 0.4, 0.6, 0.8, "1")
SPREAD = Rule("build.spread", "hours taken over hours stated", 0.85, 1, 1.4, "1")
TEAM = Rule("build.team", "hands at one thing", 2, 3, 5, "1")
SHARE = Rule("build.share", "labour that makes one more pair of hands worth while", 16, 24, 40)
MANY = Rule("build.many", "live elements that may rest on one thing", 4, 6, 8, "1")
RECEIVE = Rule("build.receive", "hours to unpack and check what is bought", 1, 2, 4)

FINE_MARK = Rule("build.fine_mark", "finest mark of fine work, mm", 0.1, 0.2, 0.3, "mm")
FINE_PX = Rule("build.fine_px", "pixels from which fine marks are seen", 0.2, 0.25, 0.5, "px")
QUICK_MARK = Rule("build.quick_mark", "finest mark of quick work, mm", 1, 3, 5, "mm")
QUICK_PX = Rule("build.quick_px", "pixels coarse marks may cover", 1, 2, 3, "px")
FAMILY = Rule(
    "build.family", "difference between sizes of one thing that passes", 0.005, 0.01, 0.03, "1"
)
PART = Rule("build.part", "difference from which it is a part of the other", 0.1, 0.2, 0.5, "1")

MAKER = {
    "miniature": "model_making",
    "foreground": "model_making",
    "puppet": "puppet_making",
    "insert": "puppet_making",
    "painting": "painting",
    "set": "art_department",
    "fixture": "model_making",
    "rig": "model_making",
}
FINISHED_BY_PAINTERS = frozenset({"miniature", "foreground", "puppet", "insert", "set"})


def per_area(makes: str, detail: str) -> Rule:
    """Hours a square metre for a sort of thing and its detail."""
    tables = {"painting": PAINTING_AREA, "set": SET_AREA}
    return tables.get(makes, MODEL_AREA)[detail]
