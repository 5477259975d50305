"""Rules of thumb for figures; a show may put its own figures in their place."""

from __future__ import annotations

from planner.kinds import Rule

SET_UP = Rule("puppet.set_up", "hours to set up and light for a figure", 1, 2, 3)
SET_UP_HANDS = Rule("puppet.set_up_hands", "stage hands who set it up", 2, 2, 4, "1")
RIG_IN_HANDS = Rule(
    "puppet.rig_in_hands", "puppeteers who rig the figure in while it is set up", 1, 1, 3, "1"
)
PROGRAM = Rule("puppet.program", "hours to program a camera move", 2, 4, 6)
REHEARSE = Rule("puppet.rehearse", "hours to rehearse", 0.5, 1, 3)
PASS_LINE_UP = Rule("puppet.pass_line_up", "hours to line up one more pass", 0.25, 0.5, 1)
CAMERA_HANDS = Rule("puppet.camera_hands", "camera hands", 1, 2, 3, "1")

TAKES = {
    "easy": Rule("puppet.takes_easy", "takes of an easy performance", 2, 3, 5, "1"),
    "ordinary": Rule("puppet.takes_ordinary", "takes of a performance", 3, 6, 10, "1"),
    "hard": Rule("puppet.takes_hard", "takes of a hard performance", 6, 10, 20, "1"),
}
OPERATORS = {
    "rod": Rule("puppet.operators_rod", "hands on a rod puppet", 2, 3, 5, "1"),
    "hand": Rule("puppet.operators_hand", "hands on a hand puppet", 1, 2, 3, "1"),
    "motor": Rule("puppet.operators_motor", "hands on a motor figure", 1, 1, 2, "1"),
    "insert": Rule("puppet.operators_insert", "hands on an insert", 1, 2, 3, "1"),
    "suit": Rule("puppet.operators_suit", "performers in a suit", 1, 1, 2, "1"),
}
RODS = Rule("puppet.rods", "rods of a rod puppet", 2, 3, 6, "1")
PACE = Rule("puppet.pace", "time between takes to set it again", 120, 300, 600, "s")
LONGEST_TAKE = Rule("puppet.longest_take", "time arms hold a figure steady", 15, 30, 60, "s")
HANDLING = Rule("puppet.handling", "minutes of handling a day arms bear", 30, 60, 90, "min")
REST = Rule("puppet.rest", "rest in an hour of handling", 300, 600, 900, "s")
HELD_MASS = Rule("puppet.held_mass", "mass one pair of arms holds steady, kg", 2, 3, 5, "kg")
BLUR_DUE = Rule("puppet.blur_due", "blur that is missed when it is not there, px", 2, 3, 4, "px")
FOOT_SLIDE = Rule("puppet.foot_slide", "slide of a bearing foot that passes unseen", 1, 2, 3, "px")
