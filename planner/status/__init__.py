"""Where every element stands by what happened, and what each composite waits for."""

from planner.status.blocking import Blocked, Blocking, Link, Root
from planner.status.outline import Outline, Piece
from planner.status.standing import Standing, standing
from planner.status.state import State, Step, Take, states_of

__all__ = [
    "Blocked",
    "Blocking",
    "Link",
    "Outline",
    "Piece",
    "Root",
    "Standing",
    "State",
    "Step",
    "Take",
    "standing",
    "states_of",
]
