"""Where work stood that was done on another day than it was called for, or is done again.

Takes an order planned again, which gives such work no place, as nobody else may be moved by it, and
the order that called it; gives the order with that work where it must have stood: on the stage it
was called to, as long as it was called for, until it was over. What it cost there is spent, and is
no saving; nor are the days that something held before it was lost. Knows nothing of what is posted.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import datetime, time
from typing import TYPE_CHECKING

from planner.order.held import days_held, days_of, runs
from planner.order.stage_order import Worked
from planner.schedule import Lock

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
    from datetime import date

    from planner.model.show import Show
    from planner.order.again import Terms
    from planner.order.issued import IssuedCall, IssuedOrder
    from planner.order.question import Question
    from planner.order.stage_order import Call, StageOrder
    from planner.schedule import Activity, Answer, Calendar


def where_it_stood(
    show: Show, order: StageOrder, issued: IssuedOrder, over: Collection[str]
) -> StageOrder:
    """An order whose done work is on its stage again, and holds its days.

    Hands are not held: who came on which day nobody told.

    Args:
        show: says which days are worked, and which things are hands.
        order: planned again, with its question.
        issued: the order people worked by.
        over: ids of calls that are over.
    """
    if order.question is None:
        return order
    was = {each.id: each for each in issued.calls}
    placeless: dict[str, list[Call]] = defaultdict(list)
    for call in order.calls:
        if call.id in over and not call.holds and call.id in was:
            placeless[call.element].append(call)
    calendar = order.question.calendar
    stood = {
        call.id: call
        for mine in placeless.values()
        if any(was[each.id].stage for each in mine)
        for call in _stood(show, calendar, mine, was)
    }
    if not stood:
        return order
    return _with_calls(show, order, stood)


def _with_calls(show: Show, order: StageOrder, stood: Mapping[str, Call]) -> StageOrder:
    """An order with some calls in place of those of the same work, and the days they held."""
    calls = sorted(
        (stood.get(each.id, each) for each in order.calls),
        key=lambda call: (call.starts, call.element, call.work.name),
    )
    theirs = days_held(show, sorted(stood.values(), key=lambda call: call.starts))
    held = {
        stage: tuple(sorted({*order.days_held.get(stage, ()), *theirs.get(stage, ())}))
        for stage in sorted(order.days_held.keys() | theirs.keys())
    }
    return replace(order, calls=tuple(calls), days_held=held)


@dataclass(frozen=True, slots=True)
class Past:
    """What an issued order tells of work that was over before it was planned.

    Attributes:
        question: with that work where it was, waiting for nothing.
        stood: ids of such work that was done on another day than called: it has its place, and
            holds nothing that others would want.
    """

    question: Question
    stood: frozenset[str]


def as_past(question: Question, issued: IssuedOrder, was: Answer) -> Past:
    """The question with what was over before an issued order was planned again left as it was.

    Args:
        question: as the show now asks it.
        issued: an order; where it was ordered from the first, nothing was over.
        was: the same as an answer.
    """
    day = issued.stamp.planned_from
    calls = {call.id: call for call in issued.calls}
    if day is None:
        return Past(question, frozenset())
    stood = set()

    def now(activity: Activity) -> Activity:
        call = calls.get(activity.id)
        if call is None or call.ends.date() >= day or activity.id not in was.starts:
            return activity
        start, number = was.starts[activity.id], was.modes[activity.id]
        took = was.finishes[activity.id] - start
        # It may have been over sooner than it was called for.
        modes = tuple(
            replace(mode, duration_quarters=min(mode.duration_quarters, took))
            for mode in activity.modes
        )
        past = replace(activity, after=(), release=0, locked=Lock(start, number), modes=modes)
        if set(call.holds) >= activity.modes[number].uses.keys():
            return past
        stood.add(activity.id)
        modes = tuple(
            replace(mode, duration_quarters=took, uses={}, set_ups={}) for mode in activity.modes
        )
        return replace(past, modes=modes, splittable=True, together="", unbroken=False)

    activities = tuple(map(now, question.instance.activities))
    instance = replace(question.instance, activities=activities)
    return Past(replace(question, instance=instance), frozenset(stood))


def standing_again(
    show: Show, order: StageOrder, issued: IssuedOrder, stood: Collection[str]
) -> StageOrder:
    """An order with work that stood somewhere on another day where it was issued as having been."""
    was = {call.id: call for call in issued.calls}
    calls = {
        call.id: replace(
            call,
            starts=was[call.id].starts,
            ends=was[call.id].ends,
            holds=was[call.id].holds,
            stage=was[call.id].stage,
        )
        for call in order.calls
        if call.during in stood
    }
    return _with_calls(show, order, calls) if calls else order


def there_when_joined(
    question: Question, issued: IssuedOrder, terms: Terms | None = None
) -> Question:
    """The question in which what work goes on with is not away before it goes on with it.

    A call is one stretch, and holds on paper from its beginning what it goes on with. What is hired
    on Monday was not there on Friday, when the work began with another.

    Args:
        question: as the show now asks it.
        issued: the order people work by.
        terms: what had begun and the first day that is planned again; None where nothing is.
    """
    since = dict(issued.joined)
    calls = {call.id: call for call in issued.calls}
    if terms is not None:
        since |= {
            id_: terms.day
            for id_ in terms.started.at.keys() - terms.started.over
            if id_ in calls and calls[id_].starts.date() < terms.day
        }
    if not since:
        return question
    until: dict[str, int] = {}
    for each in question.instance.activities:
        if each.id in since:
            quarter = question.calendar.quarter_at(since[each.id])
            theirs = {id_ for mode in each.modes for id_ in mode.uses}
            held = () if each.id in issued.joined else calls[each.id].holds
            for id_ in theirs - {*held}:
                until[id_] = max(quarter, until.get(id_, 0))
    resources = tuple(
        replace(each, blocked=tuple(_after(each.blocked, until[each.id])))
        if each.id in until
        else each
        for each in question.instance.resources
    )
    return replace(question, instance=replace(question.instance, resources=resources))


def _after(spells: Iterable[tuple[int, int]], quarter: int) -> Iterator[tuple[int, int]]:
    for first, end in spells:
        if end > quarter:
            yield max(first, quarter), end


def as_paid(show: Show, order: StageOrder, issued: IssuedOrder, terms: Terms) -> StageOrder:
    """An order in which what was held before it was planned again stays paid.

    What is begun and done again elsewhere held its stage, its rig and its camera until then; what
    goes on with another thing than it was begun with held the first one. Hands are paid by their
    hours: for what was worked of what is done again, and for that once more.

    Args:
        show: says which days are worked, and which things are hands.
        order: planned again, where all that is begun has its place.
        issued: the order people worked by.
        terms: what had begun, and the first day that was planned again.
    """
    started, now = terms.started, {call.id: call for call in order.calls}
    begun = {**started.at, **started.again}
    held = [
        call
        for call in sorted(issued.calls, key=lambda each: each.starts)
        if call.id in begun
        and call.id not in started.over
        and begun[call.id].date() == call.starts.date() < terms.day
    ]
    ids = {call.id for call in held}
    spent = {id_: set(days) for id_, days in issued.spent.items()}
    for run in runs(call for call in issued.calls if call.stage):
        if any(each.id in ids for each in run):
            spent.setdefault(run[0].stage, set()).update(_before(show, run, terms.day))
    joined = {id_: day for id_, day in issued.joined.items() if id_ in now}
    for call in held:
        for id_ in (each for each in call.holds if not _is_hands(show, each)):
            spent.setdefault(id_, set()).update(_before(show, [call], terms.day))
        goes_on = now.get(call.id) if call.id in started.at else None
        if goes_on is not None and set(goes_on.holds) - set(call.holds):
            joined[call.id] = terms.day
    days = {id_: tuple(sorted(days)) for id_, days in spent.items() if days}
    redone = (*issued.redone, *(x for x in _worked(show, issued, terms) if x.id in now))
    return with_spent(show, replace(order, joined=joined, redone=redone), days)


def _worked(show: Show, issued: IssuedOrder, terms: Terms) -> Iterator[Worked]:
    """What was worked of calls that are done again, as they were called until planning began."""
    started, morning = terms.started, datetime.combine(terms.day, time())
    for call in issued.calls:
        began = started.again.get(call.id)
        if began is None:
            continue
        if began.date() != call.starts.date():
            yield Worked(call.id, began, began, call.hours, 1.0, call.holds)
            continue
        whole = show.calendar.worked_between(call.starts, call.ends)
        ends = min(call.ends, morning)
        past = show.calendar.worked_between(call.starts, ends)
        is_whole = call.id in started.done or whole <= past
        share = 1.0 if is_whole else past / whole
        if share > 0:
            ends = max(ends, call.starts)
            yield Worked(call.id, call.starts, ends, call.hours * share, share, call.holds)


def _before(show: Show, calls: Sequence[IssuedCall], day: date) -> tuple[date, ...]:
    return tuple(each for each in days_of(show, calls) if each < day)


def with_spent(show: Show, order: StageOrder, spent: Mapping[str, tuple[date, ...]]) -> StageOrder:
    """An order with days that things were held on, whatever is called there now.

    A stage holds them; what the calls tell anyway is not told twice.
    """
    stages = {each.id for each in show.resources_of("stage")}
    held = dict(order.days_held)
    more = {}
    for id_, days in spent.items():
        known = frozenset(held.get(id_, ()) if id_ in stages else _days_called(show, order, id_))
        left = tuple(day for day in days if day not in known)
        if left:
            more[id_] = left
            if id_ in stages:
                held[id_] = tuple(sorted({*known, *left}))
    return replace(order, days_held=held, spent=more) if more else order


def _days_called(show: Show, order: StageOrder, id_: str) -> Iterator[date]:
    for call in order.calls:
        if id_ in call.holds:
            yield from show.calendar.working_days(*span_of(order, call))


def span_of(order: StageOrder, call: Call) -> tuple[date, date]:
    """First and last day on which a call holds what it holds now."""
    first, last = call.starts.date(), call.ends.date()
    return max(first, order.joined.get(call.id, first)), last


def _stood(
    show: Show, calendar: Calendar, mine: Sequence[Call], was: Mapping[str, IssuedCall]
) -> Iterator[Call]:
    """The calls of one piece as they followed one another, the last over when it was over."""
    ended = max(calendar.quarter_at(was[each.id].ends) for each in mine)
    shift = max(calendar.quarter_at(each.ends) for each in mine) - ended
    for each in mine:
        called = was[each.id]
        start = max(0, calendar.quarter_at(called.starts) + shift)
        end = max(start, calendar.quarter_at(called.ends) + shift)
        things = (id_ for id_ in called.holds if not _is_hands(show, id_))
        yield replace(
            each,
            starts=calendar.to_datetime(start),
            ends=calendar.finish_datetime(end) if end > start else calendar.to_datetime(start),
            holds=tuple(things),
            stage=called.stage,
        )


def _is_hands(show: Show, id_: str) -> bool:
    return id_ in show.resources and show.resources[id_].sort in {"crew", "person"}
