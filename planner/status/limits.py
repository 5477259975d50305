"""Stated days and absences at which work now stands, so that each may be tried without.

Takes the dates of what is left, gives `Limit`s and what would be gained were one lifted. Knows
nothing of events.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.model.names import name_of, title_of
from planner.order.scarce import absences, spell

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator
    from datetime import date

    from planner.model.facts import DateRange
    from planner.model.place import Place
    from planner.model.show import Show
    from planner.schedule import Instance
    from planner.status.dates import Dates

DAYS = {
    "not_before": "may not begin before",
    "day": "happens on",
    "ready": "is ready on",
}
"""Facts that keep work from beginning, each in words; a permit is tried as granted instead."""


@dataclass(frozen=True, slots=True)
class Limit:
    """A day before which work may not begin, or days on which a thing is away.

    Attributes:
        id: its name among the roots.
        says: what it is, with where it is written.
        elements: whose work may not begin; empty of an absence.
        resource: what is away; empty of a day.
        spell: quarters of the absence, half-open.
        days: of the absence, both counted; None of a day.
    """

    id: str
    says: str
    elements: tuple[str, ...] = ()
    resource: str = ""
    spell: tuple[int, int] = (0, 0)
    days: DateRange | None = None


def within(show: Show, place: Place) -> str:
    """A place of a show's files, as written within its folder."""
    return str(place).removeprefix(f"{show.folder.rstrip('/')}/")


def limits_of(dates: Dates, ids: Collection[str]) -> tuple[Limit, ...]:
    """What work of `ids` begins right after; linear in activities and absences."""
    return (*_days(dates, ids), *_absences(dates, ids))


def gained_without(dates: Dates, limit: Limit) -> dict[str, float]:
    """Per piece, the working days it ends sooner were a limit lifted."""
    return dates.gained_by(_lifted(dates, limit))


def _days(dates: Dates, ids: Collection[str]) -> Iterator[Limit]:
    question, day_long = dates.question, dates.question.calendar.quarters_per_day
    named: defaultdict[tuple[str, str], dict[str, str]] = defaultdict(dict)
    for activity in question.instance.activities:
        id_, _work = question.work[activity.id]
        waited = dates.answer.starts[activity.id] - activity.release
        if id_ not in ids or not activity.release or waited > day_long:
            continue
        for name, day, place in _stated(dates.show, id_):
            if question.calendar.quarter_at(day) == activity.release:
                named[name, f"{day}"][id_] = place
    for (name, stated), places in named.items():
        who = " and ".join(name_of(each, dates.show) for each in places)
        where = ", ".join(dict.fromkeys(places.values()))
        if name in DAYS:
            says = f"{who} {DAYS[name]} {stated}, {where}"
            yield Limit(f"{name.replace('_', ' ')} {stated}", says, tuple(places))
        else:
            set_ = title_of(name, dates.show)
            says = f"{set_} stands from {stated}, {where}, and {who} can be done only then"
            yield Limit(f"{name} from {stated}", says, tuple(places))


def _stated(show: Show, id_: str) -> Iterator[tuple[str, date, str]]:
    """Days before which work may not begin, by the fact's name, or by that of the set it needs."""
    facts = show.elements[id_].facts
    for name in DAYS:
        day = facts.day(name)
        if day is not None:
            yield name, day, within(show, facts.place_of(name))
    for set_ in (id_, show.elements[id_].target("set")):
        known = show.elements.get(set_)
        span = known.facts.days("stands") if known else None
        if known is not None and span is not None:
            yield set_, span.first, within(show, known.facts.place_of("stands"))


def _absences(dates: Dates, ids: Collection[str]) -> Iterator[Limit]:
    question, calendar = dates.question, dates.question.calendar
    spans: defaultdict[str, list[tuple[int, int]]] = defaultdict(list)
    for activity in question.instance.activities:
        if question.work[activity.id][0] in ids:
            began, ended = dates.answer.starts[activity.id], dates.answer.finishes[activity.id]
            for used in activity.modes[dates.answer.modes[activity.id]].uses:
                spans[used].append((began, ended))
    for used, rows in spans.items():
        for span in absences(dates.show, used):
            away = spell(calendar, span)
            near = away[1] + calendar.quarters_per_day
            if any(began < away[0] < ended or away[0] <= began < near for began, ended in rows):
                says = f"{title_of(used, dates.show)} is away {span.first}..{span.last}"
                yield Limit(f"{used} away {span.first}", says, (), used, away, span)


def _lifted(dates: Dates, limit: Limit) -> Instance:
    instance, work = dates.question.instance, dates.question.work
    if limit.resource:
        return replace(
            instance,
            resources=tuple(
                replace(each, blocked=tuple(b for b in each.blocked if b != limit.spell))
                if each.id == limit.resource
                else each
                for each in instance.resources
            ),
        )
    return replace(
        instance,
        activities=tuple(
            replace(each, release=0) if work[each.id][0] in limit.elements else each
            for each in instance.activities
        ),
    )
