"""Resource-constrained ordering: a question, an answer, and what finds and checks it.

Takes an `Instance`, gives an `Answer`. Knows nothing of any trade, of files or of printing, and may
be used alone.
"""

from planner.schedule.answer import Answer, Budget, Parts, Progress
from planner.schedule.appraise import weighed
from planner.schedule.bounds import Bounds, bounds_of
from planner.schedule.checker import verify
from planner.schedule.conflicts import Conflict, conflicts
from planner.schedule.explain import Explainer, Reason, why_there
from planner.schedule.impossible import Fact, Impossible, Relaxation, why_impossible
from planner.schedule.instance import (
    Activity,
    Band,
    Changeovers,
    Instance,
    Lock,
    Mode,
    Precedence,
    Preference,
    Resource,
    Weights,
)
from planner.schedule.psplib import read_psplib
from planner.schedule.replanning import MovePrice, Replanned, replan
from planner.schedule.replay import Replay, placed_again
from planner.schedule.run import solve
from planner.schedule.worktime import Calendar, working_days

__all__ = [
    "Activity",
    "Answer",
    "Band",
    "Bounds",
    "Budget",
    "Calendar",
    "Changeovers",
    "Conflict",
    "Explainer",
    "Fact",
    "Impossible",
    "Instance",
    "Lock",
    "Mode",
    "MovePrice",
    "Parts",
    "Precedence",
    "Preference",
    "Progress",
    "Reason",
    "Relaxation",
    "Replanned",
    "Replay",
    "Resource",
    "Weights",
    "bounds_of",
    "conflicts",
    "placed_again",
    "read_psplib",
    "replan",
    "solve",
    "verify",
    "weighed",
    "why_impossible",
    "why_there",
    "working_days",
]
