"""The days on which each stage is held.

Takes a show and dated calls, gives days: those of each set-up from its first call to its last, and
those on which nobody is called and a stage is changed over from one set-up to the next. Knows
nothing of what a day costs.
"""

from __future__ import annotations

import math
from collections import defaultdict
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import date

    from planner.model.show import Show
    from planner.order.issued import IssuedCall
    from planner.order.question import Question
    from planner.order.stage_order import Call
    from planner.schedule import Answer, Resource

_Called = TypeVar("_Called", "Call", "IssuedCall")


def days_held(
    show: Show, calls: Sequence[Call], found: tuple[Question, Answer] | None = None
) -> dict[str, tuple[date, ...]]:
    """Per stage, the working days from the first to the last call of each run of one set-up.

    What is done without a set-up leaves nothing standing, and holds the days of its own call alone.
    A stage that is struck and brought up again outside the days of its calls is held for that too:
    on the last days before the next call.

    Args:
        show: says which days are worked.
        calls: by start.
        found: the question they answer and the answer, which know how long a stage takes to change;
            None where nobody does.
    """
    held: dict[str, set[date]] = defaultdict(set)
    for run in runs(calls):
        held[run[0].stage].update(days_of(show, run))
    if found is not None:
        ids = {call.id for call in calls}
        for stage in found[0].instance.resources:
            if stage.id in held:
                held[stage.id].update(_changing(*found, stage, ids))
    return {stage: tuple(sorted(days)) for stage, days in sorted(held.items())}


def _changing(
    question: Question, answer: Answer, stage: Resource, ids: Iterable[str]
) -> Iterator[date]:
    """Days without a call of either set-up on which a stage is changed over from one to the other.

    What fits into what is left of the last day of the one, and of the first of the other before
    anybody is called, holds no day more.
    """
    changes, calendar = question.instance.changeovers, question.calendar
    length, known = calendar.quarters_per_day, frozenset(ids)
    state, ended = changes.standing.get(stage.id), 0
    for start, finish, wanted in sorted(_set_ups(question, answer, stage, known)):
        first, last = start // length * length, math.ceil(ended / length) * length
        needed = changes.quarters(stage.id, state, wanted)
        if first > last:
            left = needed - _free(stage, ended, last) - _free(stage, first, start)
            morning = first - length
            while left > 0 and morning >= last:
                if free := _free(stage, morning, morning + length):
                    left -= free
                    yield calendar.day(morning // length)
                morning -= length
        state, ended = wanted, finish


def _set_ups(
    question: Question, answer: Answer, stage: Resource, known: frozenset[str]
) -> Iterator[tuple[int, int, str]]:
    """When something is set up on a stage, until when, and what."""
    for activity in question.instance.activities:
        mode = activity.modes[answer.modes[activity.id]]
        if stage.id in mode.set_ups and mode.duration_quarters and activity.id in known:
            id_ = activity.id
            yield answer.starts[id_], answer.finishes[id_], mode.set_ups[stage.id]


def _free(stage: Resource, first: int, end: int) -> int:
    """Quarters between two in which a stage is there."""
    return sum(not any(a <= each < b for a, b in stage.blocked) for each in range(first, end))


def runs(calls: Iterable[_Called]) -> Iterator[list[_Called]]:
    """Calls that stand on one stage in one set-up, one after another; each without one alone.

    Args:
        calls: by start.
    """
    by_stage: dict[str, list[_Called]] = {}
    for call in calls:
        run = by_stage.get(call.stage)
        if run is not None and call.set_up and run[-1].set_up == call.set_up:
            run.append(call)
            continue
        if run is not None:
            yield run
        if call.stage:
            by_stage[call.stage] = [call]
    yield from by_stage.values()


def days_of(show: Show, run: Sequence[Call | IssuedCall]) -> tuple[date, ...]:
    """The working days from the first to the last of some calls."""
    first = min(each.starts for each in run).date()
    return show.calendar.working_days(first, max(each.ends for each in run).date())
