"""Rules of thumb of camera moves: hours, and how well a camera can be reconstructed."""

from __future__ import annotations

from planner.kinds import Rule

CONVERT = Rule("camera_move.convert", "hours to read, convert and check a recording", 0.5, 1.0, 3.0)
DESIGN = Rule("camera_move.design", "hours to draw a path and see it played", 1.0, 3.0, 8.0)
BEGIN = Rule("camera_move.begin", "hours to gather measures and pictures", 1.0, 2.0, 4.0)
BY_POINTS = Rule(
    "camera_move.frame_by_points", "hours a frame, from surveyed points", 0.01, 0.02, 0.05
)
BY_SIZE = Rule("camera_move.frame_by_size", "hours a frame, from one known size", 0.04, 0.08, 0.2)

READING = Rule(
    "camera_move.reading", "mm on the frame that a size is read to", 0.012, 0.025, 0.05, "mm"
)
LENS_MARK = Rule(
    "camera_move.lens_mark", "share that an engraved focal length is off", 0, 0.01, 0.02, "1"
)
POINT_SPREAD = Rule(
    "camera_move.point_spread",
    "share of the distance that surveyed points leave open",
    0.001,
    0.002,
    0.005,
    "1",
    "worked resection of six points at 9 m, one pixel a click (derived)",
)
CLICK = Rule("camera_move.click", "pixels to which a point is clicked", 0.5, 1, 2, "px")
SWEEP = Rule("camera_move.sweep", "degrees a pan sweeps where nothing says", 15, 30, 60, "deg")
SLIDE = Rule("camera_move.slide", "pixels of slide that pass unseen", 1, 2, 3, "px")
CROSS = Rule(
    "camera_move.cross",
    "time a thing takes to cross the frame before a pan is seen to strobe",
    3,
    5,
    7,
    "s",
    "common practice; 7 s in the American Cinematographer Manual (from memory)",
)

TURNS = ("camera pan", "camera tilt", "camera roll")
POSE = ("camera to the right", "camera height", "camera forward", *TURNS)
"""Numbers of a camera's place, in the order of `planner.craft.survey.Pose`."""
POINTS_NEEDED = 6
"""Points off one plane that start a solution (OpenCV calib3d documentation, solvePnP)."""

RULES = (
    CONVERT,
    DESIGN,
    BEGIN,
    BY_POINTS,
    BY_SIZE,
    READING,
    LENS_MARK,
    POINT_SPREAD,
    CLICK,
    SWEEP,
    SLIDE,
    CROSS,
)
