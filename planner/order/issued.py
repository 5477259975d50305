"""An order as it was given out, with all that is needed to plan on from it.

Takes a dated order and who issues it, gives an `IssuedOrder`; and of an issued order, the answer it
was to the question as it now is. Knows nothing of files.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from planner.schedule import Answer, Parts

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import date, datetime

    from planner.estimate import Estimates
    from planner.order.question import Question
    from planner.order.stage_order import Call, StageOrder, Worked
    from planner.schedule import Mode


@dataclass(frozen=True, slots=True)
class Stamp:
    """What stands at the head of an issued order.

    Attributes:
        number: from 1, one more for each order issued.
        on: day it was issued.
        by: who issued it; may be empty.
        note: what they said of it; may be empty.
        tool: version of the program.
        seed: of the search.
        files: fingerprint of the show's files.
        planned_from: the day it was planned again from; None where it was ordered from the first.
    """

    number: int
    on: date
    by: str
    note: str
    tool: str
    seed: int
    files: str
    planned_from: date | None = None


@dataclass(frozen=True, slots=True)
class IssuedCall:
    """One call of an issued order.

    Attributes:
        element: id of the element.
        work: what is done.
        craft: who does it.
        starts: wall clock.
        ends: wall clock.
        hours: working hours.
        stage: id; empty for work off stage.
        set_up: state of the stage.
        way: names of the options taken, in words.
        holds: ids of everything held, crews included.
        rank: its place in the order in which calls were placed; planning again goes by it.
    """

    element: str
    work: str
    craft: str
    starts: datetime
    ends: datetime
    hours: float
    stage: str
    set_up: str
    way: str
    holds: tuple[str, ...]
    rank: int

    @property
    def id(self) -> str:
        """Its name in questions and orders."""
        return f"{self.element}/{self.work}"


@dataclass(frozen=True, slots=True)
class IssuedOrder:
    """An order as it was given out.

    Attributes:
        stamp: by whom, when and from what.
        title: of the show.
        patience: how long calls were rather left waiting than cause a change of set-up.
        calls: by start.
        finals: per shot, when its composite was to be done.
        late: per shot, working days past its delivery.
        spent: per thing, days on which it was held for what was then done again elsewhere.
        redone: what was worked of calls that had begun and were done once more, each as often.
        joined: per call that went on with other things, the first day on which it held these.
    """

    stamp: Stamp
    title: str
    patience: float
    calls: tuple[IssuedCall, ...]
    finals: Mapping[str, datetime]
    late: Mapping[str, float]
    spent: Mapping[str, tuple[date, ...]] = field(default_factory=dict)
    joined: Mapping[str, date] = field(default_factory=dict)
    redone: tuple[Worked, ...] = ()


def issue(order: StageOrder, title: str, stamp: Stamp) -> IssuedOrder:
    """Freeze an order.

    Raises:
        ValueError: it was not found by the solver, so that nothing can be planned on from it.
    """
    if order.question is None or order.answer is None:
        raise ValueError("only an order that was worked out can be issued")
    answer = order.answer
    ways = {
        activity.id: activity.modes[answer.modes[activity.id]].label
        for activity in order.question.instance.activities
    }
    calls = tuple(
        _frozen(call, ways[call.during], answer.priorities[call.during]) for call in order.calls
    )
    return IssuedOrder(
        stamp,
        title,
        answer.changeover_patience,
        calls,
        dict(order.finals),
        dict(order.late),
        dict(order.spent),
        dict(order.joined),
        order.redone,
    )


def _frozen(call: Call, way: str, rank: int) -> IssuedCall:
    return IssuedCall(
        call.element,
        call.work.name,
        call.work.craft,
        call.starts,
        call.ends,
        call.hours,
        call.stage,
        call.work.set_up,
        way,
        call.holds,
        rank,
    )


def still_there(issued: IssuedOrder, estimates: Estimates) -> IssuedOrder:
    """An order's calls of elements that the show still has."""
    calls = tuple(each for each in issued.calls if each.element in estimates.by_element)
    return replace(issued, calls=calls)


def reopened(issued: IssuedOrder, question: Question) -> Answer:
    """The issued order as an answer to a question, which may have changed since.

    Calls of work that is gone are left out; work that is new has no place in it. Where a call can
    no longer be done with all it held, it takes the way that keeps its stage, then most of the
    rest; calls of one element that go together take one way. What was to be over before the
    question begins, and is left, has its turn and its way but no place: nobody is called for it on
    any day to come.
    """
    activities = {activity.id: activity for activity in question.instance.activities}
    known = [call for call in issued.calls if call.id in activities]
    modes: dict[str, int] = {}
    party: dict[str, int] = {}
    for call in sorted(known, key=lambda each: (each.starts, each.rank)):
        activity = activities[call.id]
        mode = _nearest(activity.modes, call)
        if activity.together:
            mode = party.setdefault(activity.together, mode)
        modes[call.id] = mode
    calendar = question.calendar
    begins = calendar.days[0]
    to_come = [call for call in known if call.ends.date() >= begins]
    return Answer(
        starts={call.id: calendar.quarter_at(call.starts) for call in to_come},
        finishes={call.id: calendar.quarter_at(call.ends) for call in to_come},
        modes=modes,
        priorities={call.id: call.rank for call in known},
        parts=Parts(0, 0, 0, 0, 0, 0, 0),
        changeover_patience=issued.patience,
        method=f"order {issued.stamp.number}, as issued",
    )


def _nearest(modes: Sequence[Mode], call: IssuedCall) -> int:
    held = frozenset(call.holds)
    return max(range(len(modes)), key=lambda n: (*_likeness(modes[n].uses, held, call.stage), -n))


def _likeness(uses: Collection[str], held: frozenset[str], stage: str) -> tuple[bool, int, int]:
    return (not stage or stage in uses, len(held & set(uses)), -len(set(uses) - held))
