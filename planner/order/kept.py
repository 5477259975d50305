"""What could not be kept, or cannot be ordered at all, in people's words.

Takes a show, a question and its answer, gives a finding for each lock that had to give way, and for
a question without an answer the facts that cannot hold together. Knows nothing of how orders are
found.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.place import Problem, Severity
from planner.order.locks import absence_words, away_at
from planner.schedule import conflicts

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Sequence
    from datetime import datetime

    from planner.kinds import Work
    from planner.model.show import Element, Show
    from planner.order.question import Question
    from planner.schedule import Activity, Answer, Conflict, Lock


def not_kept(
    show: Show, question: Question, answer: Answer, begun: Collection[str] = ()
) -> Iterator[Problem]:
    """A warning for each lock that gave way: what stands against it, and where it would hold.

    Args:
        show: the show.
        question: with its locks.
        answer: where everything is called now.
        begun: activities to tell of, which were locked for having begun; without any, what the
            answer itself names.
    """
    thawed = frozenset(begun or answer.thawed)
    if not thawed:
        return
    found = conflicts(question.instance)
    for activity in question.instance.activities:
        lock = activity.locked
        if lock is None or activity.id not in thawed:
            continue
        against = _against(show, question, (activity, lock), found)
        now = question.calendar.to_datetime(answer.starts[activity.id])
        was = question.calendar.to_datetime(lock.start)
        tell = _begun_moved if begun else _lock_moved
        element, work = question.work[activity.id]
        yield tell(show.elements[element], work, (was, now), against)


def _lock_moved(
    element: Element, work: Work, moved: tuple[datetime, datetime], against: str
) -> Problem:
    was, now = moved
    return Problem(
        Severity.WARNING,
        element.facts.place_of("locked"),
        "lock-not-kept",
        f"{work.name} cannot stand on {was:%Y-%m-%d %H:%M}: {against}; it is called"
        f" {now:%Y-%m-%d %H:%M}",
        f"lock it at {now:%Y-%m-%d %H:%M}, or clear what stands against it",
        element.id,
    )


def _begun_moved(
    element: Element, work: Work, moved: tuple[datetime, datetime], against: str
) -> Problem:
    was, now = moved
    return Problem(
        Severity.WARNING,
        element.place,
        "begun-cannot-stay",
        f"{work.name} was begun on {was:%Y-%m-%d %H:%M} and cannot go on as it was: {against};"
        f" it is called anew {now:%Y-%m-%d %H:%M}",
        "clear what stands against it, or strike it and begin again on that day",
        element.id,
    )


def _against(
    show: Show, question: Question, row: tuple[Activity, Lock], found: Sequence[Conflict]
) -> str:
    activity, lock = row
    calendar = question.calendar
    if away := away_at(show, calendar, activity.modes[lock.mode], lock.start):
        when = calendar.to_datetime(lock.start)
        return "; ".join(absence_words(show, each, when) for each in away)
    if activity.release > lock.start:
        return f"it may not begin before {calendar.to_datetime(activity.release):%Y-%m-%d}"
    ready = question.ready(activity, question.soonest())
    if ready > lock.start:
        return _unready(question, activity, ready)
    for conflict in found:
        others = [each for each in conflict.facts if each in question.work and each != activity.id]
        if activity.id in conflict.facts and others:
            return f"{_listed(question, others)} cannot be beside it there"
    return "what is called before it leaves no room"


def _unready(question: Question, activity: Activity, ready: int) -> str:
    finish = question.soonest()
    late = max(activity.after, key=lambda each: finish[each.id] + each.lag_quarters)
    soonest = question.calendar.to_datetime(ready)
    return (
        f"{_listed(question, [late.id])} comes first, which lets it begin on"
        f" {soonest:%Y-%m-%d %H:%M} at the soonest"
    )


def impossible(show: Show, question: Question) -> Iterator[Problem]:
    """Errors for what leaves no order at all, each with as few facts as will do."""
    for conflict in conflicts(question.instance):
        elements = [question.work[each][0] for each in conflict.facts if each in question.work]
        about = elements[0] if elements else ""
        place = show.elements[about].place if about else show.facts.place
        yield Problem(
            Severity.ERROR,
            place,
            "no-order",
            f"these cannot hold together: {conflict.sentence}",
            f"let go of one of them: {_listed(question, conflict.facts)}",
            about,
        )


def _listed(question: Question, ids: Iterable[str]) -> str:
    """Activities by element and work, anything else by its id."""
    return ", ".join(
        f"{question.work[each][1].name} of {question.work[each][0]}"
        if each in question.work
        else each
        for each in dict.fromkeys(ids)
    )
