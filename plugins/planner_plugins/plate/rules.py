"""Rules of thumb of plates: takes, and hours on location and on stage."""

from __future__ import annotations

from planner.kinds import Rule

TAKES = Rule("plate.takes", "takes of a plate", 3, 4, 8, "1")
CLEAN_TAKES = Rule("plate.clean_takes", "takes of a clean plate", 1, 2, 3, "1")
RESET = Rule("plate.reset", "time between takes", 180, 420, 900, "s")

LOCATION_SET_UP = Rule("plate.location_set_up", "hours to set up on location", 1.0, 2.0, 4.0)
REHEARSE = Rule("plate.rehearse", "hours to rehearse, meter and check the gate", 0.25, 0.5, 1.0)
PERFORMER = Rule("plate.performer", "hours to place and rehearse a performer", 0.1, 0.25, 0.5)
REPORT = Rule("plate.report", "hours to measure and fill in the plate report", 0.75, 1.5, 3.0)
STAGE_SET_UP = {
    "live": Rule("plate.stage_set_up", "hours to light a set on stage", 2.0, 4.0, 7.0),
    "blue_screen": Rule(
        "plate.blue_screen_set_up", "hours to light screen and subject apart", 3.0, 5.0, 8.0
    ),
    "black_drape": Rule(
        "plate.black_drape_set_up", "hours to light a subject before black", 2.0, 3.0, 6.0
    ),
    "clean": Rule("plate.clean_set_up", "hours to clear the frame of what was in it", 0.25, 0.5, 1),
}
LOCATION_HANDS = Rule("plate.location_hands", "hands on location", 4, 5, 9, "1")
REPORT_HANDS = Rule("plate.report_hands", "hands who measure", 1, 2, 3, "1")
STAGE_HANDS = Rule("plate.stage_hands", "stage hands who light a plate", 2, 3, 6, "1")
CAMERA_HANDS = Rule("plate.camera_hands", "camera hands", 1, 2, 3, "1")

RULES = (
    TAKES,
    CLEAN_TAKES,
    RESET,
    LOCATION_SET_UP,
    REHEARSE,
    PERFORMER,
    REPORT,
    LOCATION_HANDS,
    REPORT_HANDS,
    STAGE_HANDS,
    CAMERA_HANDS,
    *STAGE_SET_UP.values(),
)
