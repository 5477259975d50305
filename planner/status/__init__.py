"""Where every element stands by what happened, and what each composite waits for.

What posting needs is here, and quick to import; who asks what blocks a show imports
`planner.status.blocking` and `planner.status.dates`, which need the stage order.
"""

from planner.status.outline import Outline, Piece
from planner.status.standing import Standing
from planner.status.state import State, Step, Take, states_of

__all__ = ["Outline", "Piece", "Standing", "State", "Step", "Take", "states_of"]
