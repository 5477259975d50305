"""A dated order of work.

Takes nothing, gives `StageOrder` and `Call`. Knows nothing of solvers or money.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date, datetime

    from planner.kinds import Work
    from planner.model.place import Problem
    from planner.order.question import Question
    from planner.schedule import Answer


@dataclass(frozen=True, slots=True)
class Call:
    """One stretch of work with its dates and the scarce things it holds.

    Attributes:
        element: id of the element it is for.
        work: what is done.
        starts: wall clock, naive local time of the show.
        ends: wall clock; nights and week-ends between are not worked.
        hours: working hours planned, rounded up to quarter hours.
        holds: ids of resources and builds held, a crew's included.
        stage: the stage among them; empty for work off stage.
        against: what is posted that stands against it, such as the loss of a person it holds; one
            clause each.
    """

    element: str
    work: Work
    starts: datetime
    ends: datetime
    hours: float
    holds: tuple[str, ...]
    stage: str
    against: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        """Its name in questions and issued orders."""
        return f"{self.element}/{self.work.name}"

    @property
    def set_up(self) -> str:
        """State of the stage that it wants; empty for work without one."""
        return self.work.set_up

    @property
    def during(self) -> str:
        """The id of the call whose time it shares; its own where it has its own time."""
        return f"{self.element}/{self.work.beside or self.work.name}"


@dataclass(frozen=True, slots=True)
class Worked:
    """What was worked of a call that is done once more: it stays paid.

    Attributes:
        id: of the call.
        starts: wall clock.
        ends: wall clock, no later than what is done again was planned; `starts` where it was done
            on another day than called, as nobody told at what hours.
        hours: working hours of it.
        share: of all that the call was to take; 1 for the whole of it.
        holds: ids of resources and builds held, a crew's included.
    """

    id: str
    starts: datetime
    ends: datetime
    hours: float
    share: float
    holds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StageOrder:
    """Every call, and what follows from their dates.

    Attributes:
        calls: by start, then element, then name of work.
        days_held: per stage, the days it is held, idle ones between the first and last of one
            set-up included.
        finals: per live shot, when its composite is done.
        late: per shot, working days past its earliest delivery; only those that are late.
        bound_days: working days that no order can do without, from the first day to the last.
        proven: whether no order is better.
        method: how it was found, one clause.
        problems: what stands in the way of calls, such as a need that nothing meets.
        question: what was asked of the solver; None for an order made by hand.
        answer: what it said; with `question`, enough to explain or to plan again.
        is_issued: whether every call stands as it was issued.
        planned_from: the first day that was planned again, of an issued order too; None where it
            was ordered from the first.
        is_around_lost: whether it is planned around what is posted as lost, and says what waits.
        spent: per stage, rig or other thing, days on which it was held by what had begun and is
            done again elsewhere: they are paid, whatever is called now.
        redone: what was worked of calls that had begun and are done once more, each as often; it
            is paid as well.
        joined: per call that goes on with other things than it was begun with, the first day on
            which it holds these; those it held before are spent.
    """

    calls: tuple[Call, ...]
    days_held: Mapping[str, tuple[date, ...]]
    finals: Mapping[str, datetime]
    late: Mapping[str, float]
    bound_days: float
    proven: bool
    method: str
    problems: tuple[Problem, ...]
    question: Question | None = None
    answer: Answer | None = None
    is_issued: bool = False
    planned_from: date | None = None
    is_around_lost: bool = False
    spent: Mapping[str, tuple[date, ...]] = field(default_factory=dict)
    joined: Mapping[str, date] = field(default_factory=dict)
    redone: tuple[Worked, ...] = ()

    @property
    def is_over(self) -> bool:
        """Whether it was planned again from a day after all its calls, so that none was left."""
        day = self.planned_from
        return day is not None and all(each.ends.date() < day for each in self.calls)
