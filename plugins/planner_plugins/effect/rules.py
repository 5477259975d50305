"""Rules of thumb of flame, smoke, water, debris and dust photographed alone."""

from __future__ import annotations

from planner.kinds import Rule
from planner_plugins.miniature.rules import FLAME_SCALE

SET_UP = Rule("effect.set_up", "hours to hang black and light an effect", 2, 4, 8)
RIG = {
    "flame": Rule("effect.rig_flame", "hours to rig flame and prove it cold", 3, 5, 10),
    "smoke": Rule("effect.rig_smoke", "hours to rig smoke and seal the stage", 1, 2, 4),
    "water": Rule("effect.rig_water", "hours to rig tanks and drains", 3, 6, 12),
    "debris": Rule("effect.rig_debris", "hours to make and load debris", 2, 4, 8),
    "dust": Rule("effect.rig_dust", "hours to rig dust and catch it", 1, 2, 4),
}
HANDS = Rule("effect.hands", "hands for the effect", 2, 3, 5, "1")
TAKES = Rule("effect.takes", "takes of an effect nobody can steer", 3, 5, 9, "1")
RESET = Rule("effect.reset", "time to clear, load and make safe", 600, 1200, 3600, "s")
WEDGE_RATES = Rule("effect.wedge_rates", "rates tried where none are listed", 2, 3, 4, "1")
RUN_UP = Rule("effect.run_up", "run-up where none is planned", 1, 2, 3, "s")
RUN_OUT = Rule("effect.run_out", "time the camera runs on after the action", 0.5, 1, 2, "s")
WEDGE_STEP = Rule("effect.wedge_step", "rate of a wedge over the next lower", 1.2, 1.414, 2, "1")

__all__ = [
    "FLAME_SCALE",
    "HANDS",
    "RESET",
    "RIG",
    "RUN_OUT",
    "RUN_UP",
    "SET_UP",
    "TAKES",
    "WEDGE_RATES",
    "WEDGE_STEP",
]
