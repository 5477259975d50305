"""Rules of thumb of light exposed by itself."""

from __future__ import annotations

from planner.kinds import Rule

SET_UP = {
    "glow": Rule("light_pass.glow", "hours to set a glow and black out the rest", 0.5, 1, 2),
    "practicals": Rule("light_pass.practicals", "hours to balance lamps built in", 1, 2, 4),
    "interactive": Rule(
        "light_pass.interactive", "hours to rig and cue light from something else", 1, 2, 5
    ),
    "fluorescent": Rule(
        "light_pass.fluorescent", "hours to hang ultraviolet and black out the stage", 1.5, 3, 6
    ),
}
GROUP = Rule("light_pass.group", "hours to balance one more group of lamps", 0.25, 0.5, 1)
WEDGE = Rule("light_pass.wedge", "hours for one exposure of a wedge", 0.1, 0.2, 0.4)
TAKES = Rule("light_pass.takes", "takes of a light pass", 1, 2, 3, "1")
RESET = Rule("light_pass.reset", "time between passes", 120, 300, 600, "s")
EXPOSURE = {
    "glow": Rule("light_pass.exposure_glow", "time a frame of glow wants", 0.5, 2, 8, "s"),
    "practicals": Rule(
        "light_pass.exposure_practicals", "time a frame of built-in lamps wants", 0.5, 2, 8, "s"
    ),
    "interactive": Rule(
        "light_pass.exposure_interactive",
        "time a frame of thrown light takes",
        0.25,
        0.5,
        2,
        "s",
    ),
    "fluorescent": Rule(
        "light_pass.exposure_fluorescent", "time a frame of fluorescence wants", 1, 4, 10, "s"
    ),
}
CUE = Rule("light_pass.cue", "frames a light may come early or late", 1, 2, 3, "1")
