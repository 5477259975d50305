"""Rows that people have locked: a day, a time, a stage.

Takes an element's `locked` and one of its activities, gives the lock in plain scheduling words; and
of locks that could not be kept, what stands against them. Knows nothing of solvers.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from planner.model.names import title_of
from planner.model.place import Problem, Severity
from planner.order.scarce import absences, blocked
from planner.schedule import Lock

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.model.facts import Facts
    from planner.model.show import Element, Show
    from planner.schedule import Activity, Calendar, Mode


def lock_of(
    show: Show, calendar: Calendar, element: Element, activity: Activity
) -> tuple[Lock | None, tuple[Problem, ...]]:
    """Where the element's `locked` fixes an activity; None where it fixes no day, or cannot.

    Of several ways, the first is taken of which nothing is away at that hour.
    """
    row = element.facts.group("locked")
    faults = tuple(_stage_fault(show, element, row, activity))
    day = row.day("date")
    if day is None:
        return None, faults
    at = row.clock("at")
    start = calendar.quarter_at(datetime.combine(day, at) if at else day)
    if calendar.to_datetime(start).date() != day:
        return None, (*faults, _no_such_hour(calendar, element, row, start))
    modes = activity.modes
    free = [n for n, mode in enumerate(modes) if not away_at(show, calendar, mode, start)]
    return Lock(start, free[0] if free else 0), faults


def away_at(show: Show, calendar: Calendar, mode: Mode, start: int) -> tuple[str, ...]:
    """Ids of what a way of working holds and is not there at a quarter."""
    return tuple(
        each
        for each in mode.uses
        if any(first <= start < end for first, end in blocked(show, calendar, each))
    )


def back_from(show: Show, calendar: Calendar, mode: Mode, start: int) -> int:
    """First quarter from `start` on at which nothing that a way of working holds is away."""
    spells = [spell for each in mode.uses for spell in blocked(show, calendar, each)]
    for first, end in sorted(spells):
        if first <= start < end:
            start = end
    return start


def _stage_fault(show: Show, element: Element, row: Facts, activity: Activity) -> Iterator[Problem]:
    stage = row.word("stage")
    if not stage or any(stage in mode.uses for mode in activity.modes):
        return
    fits = dict.fromkeys(
        each
        for mode in activity.modes
        for each in mode.uses
        if each in show.resources and show.resources[each].sort == "stage"
    )
    others = " or ".join(fits) or "no stage at all"
    yield Problem(
        Severity.WARNING,
        row.place_of("stage"),
        "lock-unfit",
        f"it is locked on {stage}, and its work fits {others}",
        "lock it on one that fits; the order goes on without the stage",
        element.id,
    )


def _no_such_hour(calendar: Calendar, element: Element, row: Facts, start: int) -> Problem:
    at = row.clock("at")
    when = f"{row.day('date')}{f' {at:%H:%M}' if at else ''}"
    return Problem(
        Severity.WARNING,
        row.place_of("date"),
        "lock-outside-hours",
        f"it is locked on {when}, when nobody works",
        f"lock it at {calendar.to_datetime(start):%Y-%m-%d %H:%M}, the next working hour",
        element.id,
    )


def absence_words(show: Show, id_: str, day: datetime) -> str:
    """Who is away over a day, and for how long: ``the stage is away 2027-05-10 to 2027-05-21``."""
    name = title_of(id_, show)
    spans = [span for span in absences(show, id_) if span.first <= day.date() <= span.last]
    if not spans:
        return f"{name} cannot be had"
    span = spans[0]
    days = str(span.first) if span.first == span.last else f"{span.first} to {span.last}"
    return f"{name} is away {days}, back on {span.last + timedelta(days=1)}"
