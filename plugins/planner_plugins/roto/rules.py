"""Rules of thumb of drawing outlines, splitting frames and painting rods out.

Hours of outlines come from published frames a day of eight hours; those are of characters, and no
published rate of rod removal was found.
"""

from __future__ import annotations

from planner.craft.rod_removal import DEFAULT_RATES, PUBLISHED_ROTO
from planner.kinds import Rule

DAY_HOURS = 8.0
LOW, HIGH = 0.6, 2.2
"""Low and high over likely; common practice."""

SHOTS = {"isolated": 38, "several": 94, "all": 158}
FRAMES_A_SHOT = 67
DAYS = 734
SOURCE = PUBLISHED_ROTO[0].source


def _tangled_a_day() -> float:
    """Frames a day the data set leaves for its hardest shots, all shots taken as equally long."""
    spent = sum(
        SHOTS[level] * FRAMES_A_SHOT / rate.frames_per_day
        for level, rate in zip(("isolated", "several"), PUBLISHED_ROTO, strict=False)
    )
    left = SHOTS["all"] - SHOTS["isolated"] - SHOTS["several"]
    return left * FRAMES_A_SHOT / (DAYS - spent)


FRAMES_A_DAY = {
    "isolated": PUBLISHED_ROTO[0].frames_per_day,
    "several": PUBLISHED_ROTO[1].frames_per_day,
    "tangled": round(_tangled_a_day()),
}


def _outline(level: str, says: str, mark: str) -> Rule:
    hours = DAY_HOURS / FRAMES_A_DAY[level]
    return Rule(
        f"roto.{level}",
        f"hours to outline a frame of {says}, {FRAMES_A_DAY[level]:g} a day",
        LOW * hours,
        hours,
        HIGH * hours,
        source=f"{SOURCE} ({mark}); range is common practice",
    )


OUTLINE = {
    "isolated": _outline("isolated", "one clear figure", "published"),
    "several": _outline("several", "several figures, little blur", "published"),
    "tangled": _outline("tangled", "hair, blur and crossings", "derived"),
}
BEGIN = Rule("roto.begin", "hours to open, line up and hand over a shot", 0.5, 1.0, 2.0)
GARBAGE_FRAME = Rule("roto.garbage_frame", "hours of garbage matte a frame", 0.005, 0.01, 0.03)
SPLIT = Rule("roto.split", "hours to lay a still split", 1.0, 2.0, 4.0)
SPLIT_FRAME = Rule("roto.split_frame", "hours to move a split by a frame", 0.05, 0.1, 0.25)

RODS = Rule("roto.rods", "rods of a puppet that lists none", 2, 3, 5, "1")
OVER_GROUND = Rule("roto.rod_over_ground", "pixels of a rod over the ground", 150, 300, 600, "px")
OVER_FIGURE = Rule("roto.rod_over_figure", "pixels of a rod over the figure", 40, 80, 200, "px")
ROD_WIDTH = Rule("roto.rod_width", "pixels across a rod", 5, 8, 14, "px")
ROD_BLUR = Rule("roto.rod_blur", "pixels of smear across a rod", 0, 4, 12, "px")
ROD_CROSSING = Rule(
    "roto.rod_crossing", "share of frames a rod crosses the figure", 0.1, 0.3, 1, "1"
)


def _removal(name: str, says: str, minutes: float) -> Rule:
    low, high = round(LOW * minutes, 4), round(HIGH * minutes, 4)
    return Rule(f"roto.removal_{name}", f"minutes {says}", low, minutes, high, "min")


REMOVAL = (
    _removal("start", "to open and close a shot with rods", DEFAULT_RATES.start_minutes),
    _removal("key", "for a key of a rod's outline", DEFAULT_RATES.key_minutes),
    _removal(
        "background",
        "a frame for 100 px of rod over the ground",
        DEFAULT_RATES.background_minutes,
    ),
    _removal("figure", "a frame for 100 px of rod over the figure", DEFAULT_RATES.figure_minutes),
    _removal(
        "outline",
        "a frame to mend the figure's outline at a crossing",
        DEFAULT_RATES.crossing_minutes,
    ),
)
"""In the order of `RemovalRates`; `platewright calibrate` fits them to finished shots."""

RULES = (
    *OUTLINE.values(),
    BEGIN,
    GARBAGE_FRAME,
    SPLIT,
    SPLIT_FRAME,
    RODS,
    OVER_GROUND,
    OVER_FIGURE,
    ROD_WIDTH,
    ROD_BLUR,
    ROD_CROSSING,
    *REMOVAL,
)
