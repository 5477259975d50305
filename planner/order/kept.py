"""What could not be kept, or cannot be ordered at all, in people's words.

Takes a show, a question and its answer, gives a finding for each lock that had to give way, and for
a question without an answer the facts that cannot hold together. Knows nothing of how orders are
found.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.model.place import Problem, Severity
from planner.order.locks import absence_words, away_at, back_from
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
        against, fits = _against(show, question, (activity, lock), found)
        clock = question.calendar.to_datetime
        now = answer.starts[activity.id]
        days = _Days(clock(lock.start), clock(now), clock(now if fits is None else fits))
        tell = _begun_moved if begun else _lock_moved
        element, work = question.work[activity.id]
        yield tell(show.elements[element], work, days, against)


@dataclass(frozen=True, slots=True)
class _Days:
    """When it was to be, when it is called now, and from when on the lock would hold."""

    was: datetime
    now: datetime
    fits: datetime


def _lock_moved(element: Element, work: Work, days: _Days, against: str) -> Problem:
    was, now = days.was, days.now
    remedy = f"lock it at {now:%Y-%m-%d %H:%M}, where it is called now"
    if days.fits > now:
        remedy = f"lock it at {days.fits:%Y-%m-%d %H:%M} or later, or at {now:%Y-%m-%d %H:%M}"
    return Problem(
        Severity.WARNING,
        element.facts.place_of("locked"),
        "lock-not-kept",
        f"{work.name} cannot stand on {was:%Y-%m-%d %H:%M}: {against}; it is called"
        f" {now:%Y-%m-%d %H:%M}",
        f"{remedy}; or clear what stands against it",
        element.id,
    )


def _begun_moved(element: Element, work: Work, days: _Days, against: str) -> Problem:
    was, now = days.was, days.now
    return Problem(
        Severity.WARNING,
        element.place,
        "begun-cannot-stay",
        f"{work.name} is taken as begun on {was:%Y-%m-%d %H:%M} and cannot go on as it was:"
        f" {against}; it is called anew {now:%Y-%m-%d %H:%M}",
        "clear what stands against it, or strike it and begin again on that day",
        element.id,
    )


def _against(
    show: Show, question: Question, row: tuple[Activity, Lock], found: Sequence[Conflict]
) -> tuple[str, int | None]:
    """What stands against a lock, and the first quarter from its own on at which that is over."""
    activity, lock = row
    calendar = question.calendar
    mode = activity.modes[lock.mode]
    if away := away_at(show, calendar, mode, lock.start):
        when = calendar.to_datetime(lock.start)
        words = "; ".join(absence_words(show, each, when) for each in away)
        return words, back_from(show, calendar, mode, lock.start)
    if activity.release > lock.start:
        first = calendar.to_datetime(activity.release)
        return f"it may not begin before {first:%Y-%m-%d}", activity.release
    ready = question.ready(activity, question.soonest())
    if ready > lock.start:
        return _unready(question, activity, ready), ready
    for conflict in found:
        others = [each for each in conflict.facts if each in question.work and each != activity.id]
        if activity.id in conflict.facts and others:
            return f"{_listed(question, others)} cannot be beside it there", None
    return "what is called before it leaves no room", None


def _unready(question: Question, activity: Activity, ready: int) -> str:
    finish = question.soonest()
    late = max(activity.after, key=lambda each: question.over(finish[each.id], each))
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
