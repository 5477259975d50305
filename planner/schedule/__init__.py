"""Resource-constrained ordering: a question, an answer, and what finds and checks it.

Takes an `Instance`, gives an `Answer`. Knows nothing of any trade, of files or of printing, and may
be used alone.
"""

from planner.schedule.answer import Answer, Budget, Parts, Progress
from planner.schedule.checker import verify
from planner.schedule.instance import (
    Activity,
    Changeovers,
    Instance,
    Lock,
    Mode,
    Precedence,
    Resource,
    Weights,
)
from planner.schedule.run import solve
from planner.schedule.worktime import Calendar, working_days

__all__ = [
    "Activity",
    "Answer",
    "Budget",
    "Calendar",
    "Changeovers",
    "Instance",
    "Lock",
    "Mode",
    "Parts",
    "Precedence",
    "Progress",
    "Resource",
    "Weights",
    "solve",
    "verify",
    "working_days",
]
