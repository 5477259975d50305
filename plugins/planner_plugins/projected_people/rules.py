"""Rules of thumb of people projected into models."""

from __future__ import annotations

from planner.kinds import Rule

SET_UP = Rule("projected_people.set_up", "hours to hang cards and line up the projector", 3, 5, 9)
WINDOW = Rule("projected_people.window", "hours to line up one opening", 0.25, 0.5, 1)
PRINT = Rule("projected_people.print", "hours to cut and thread the print", 0.5, 1, 2)
HANDS = Rule("projected_people.hands", "hands at projector and cards", 1, 2, 3, "1")
TAKES = Rule("projected_people.takes", "takes of a projection pass", 1, 2, 3, "1")
RESET = Rule("projected_people.reset", "time to rewind both to their mark", 300, 600, 1200, "s")
FIGURE = Rule("projected_people.figure", "height of a person, mm", 1600, 1750, 1900, "mm")
ANGLE = Rule("projected_people.angle", "degrees of looking up that pass unseen", 3, 5, 8, "deg")
DRIFT = Rule("projected_people.drift", "frames of drift that pass unseen", 0.5, 1, 2, "1")
CONTRAST = Rule("projected_people.contrast", "stops of picture over stray light", 4, 5, 6, "stops")
