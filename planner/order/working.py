"""The order people work by: as issued while it can be kept, else planned again close to it.

Takes the question as it now is and the issued order, gives a `StageOrder` that says which it is.
Knows nothing of files or of what happened on the floor.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner.order.again import rearrange
from planner.order.changes import compare
from planner.order.dating import dated
from planner.order.goes_on import standing_as_issued
from planner.order.held import days_held
from planner.order.issued import reopened
from planner.order.question import ask
from planner.order.stage_order import Call, StageOrder
from planner.order.stood import (
    as_paid,
    as_past,
    standing_again,
    there_when_joined,
    where_it_stood,
    with_spent,
)
from planner.schedule import Replay, verify, weighed

if TYPE_CHECKING:
    from collections.abc import Collection
    from datetime import date

    from planner.estimate import Estimates
    from planner.graph import ElementGraph
    from planner.model.show import Show, WorkCalendar
    from planner.order.again import Terms
    from planner.order.changes import Changes
    from planner.order.issued import IssuedOrder
    from planner.order.question import Question
    from planner.schedule import Answer


def as_issued(
    show: Show, graph: ElementGraph, question: Question, issued: IssuedOrder
) -> StageOrder | None:
    """The issued order, every call where it stands; None where it can no longer be kept as it is.

    It can be kept while the show has the same work, of the same length, that can be done with what
    was issued for it, and no composite is later past its delivery than was issued. What was over
    before it was planned again is as it was, be it on another day than anybody was called for.
    """
    question = there_when_joined(question, issued)
    was = reopened(issued, question)
    past = as_past(question, issued, was)
    if not _has_same_work(question, issued, was, past.stood):
        return None
    if past.stood or verify(question.instance, was):
        question = past.question
        if verify(question.instance, was):
            return None
    was = replace(was, parts=weighed(question.instance, was))
    order = standing_again(show, dated(show, graph, question, was), issued, past.stood)
    if any(days > issued.late.get(shot, 0.0) for shot, days in order.late.items()):
        return None
    said = f"order {issued.stamp.number} as issued on {issued.stamp.on}"
    since = issued.stamp.planned_from
    order = with_spent(
        show, replace(order, joined=issued.joined, redone=issued.redone), issued.spent
    )
    return replace(order, method=said, is_issued=True, planned_from=since)


def as_called(show: Show, question: Question, issued: IssuedOrder) -> StageOrder:
    """What an issued order called everybody for, kept or not, with the days that it held: a price.

    Args:
        show: as its files now stand.
        question: what it asks.
        issued: an order; its calls of work that is gone are left out.
    """
    was = reopened(issued, question)
    works = {f"{id_}/{work.name}": work for id_, work in question.work.values()}
    works |= {
        f"{question.work[id_][0]}/{other.name}": other
        for id_, others in question.beside.items()
        for other in others
    }
    calls = tuple(
        Call(x.element, works[x.id], x.starts, x.ends, x.hours, x.holds, x.stage)
        for x in sorted(issued.calls, key=lambda call: (call.starts, call.element, call.work))
        if x.id in works
    )
    is_whole = was.starts.keys() >= {each.id for each in question.instance.activities}
    held = days_held(show, calls, (question, was) if is_whole else None)
    said = f"order {issued.stamp.number} as issued on {issued.stamp.on}"
    finals, late = dict(issued.finals), dict(issued.late)
    order = StageOrder(calls, held, finals, late, 0.0, proven=False, method=said, problems=())
    order = replace(order, joined=issued.joined, redone=issued.redone)
    return with_spent(show, order, issued.spent)


def ask_since(
    show: Show, graph: ElementGraph, estimates: Estimates, issued: IssuedOrder
) -> Question:
    """What a show asks since an order was issued: what had begun by then stands as it was set up.

    Args:
        show: as its files now stand.
        graph: of its elements.
        estimates: of them.
        issued: the order people work by.
    """
    day = issued.stamp.planned_from
    begun = {call.id for call in issued.calls if day is not None and call.starts.date() < day}
    return ask(show, graph, standing_as_issued(estimates, issued, begun))


def planned_again(
    show: Show, graph: ElementGraph, question: Question, issued: IssuedOrder, terms: Terms
) -> StageOrder:
    """An order close to the issued one, which says how close."""
    question = there_when_joined(question, issued, terms)
    order = rearrange(show, graph, question, issued, terms)
    if order.answer is None:
        return order
    order = where_it_stood(show, order, issued, terms.started.over)
    order = as_paid(show, order, issued, terms)
    said = moves_words(compare(show.calendar, issued, order))
    since = f"planned again{_begun_words(terms)}{_held_words(terms)}"
    method = f"order {issued.stamp.number}, {since}: {said}"
    return replace(order, method=method, planned_from=terms.day)


def _begun_words(terms: Terms) -> str:
    """By what was known what has begun; empty where nothing has."""
    if not terms.started.at and not terms.started.is_posted:
        return ""
    by = "what is posted" if terms.started.is_posted else "the dates in it, nothing being posted"
    return f" from {terms.day} by {by}"


def _held_words(terms: Terms) -> str:
    """What moves for less than the whole price, as two plans of one day may differ by it."""
    if terms.held_until is None:
        return ""
    if terms.held_until <= terms.day:
        return ", any call free to move"
    return f", calls from {terms.held_until} on moving for a third of the price"


def left_of(question: Question, issued: IssuedOrder) -> Replay:
    """What is left of an issued order, to stand where it was, or as soon after as can be.

    Nothing is searched. Until another order is issued, people come on the days of this one: a
    better order that nobody has is no date to tell, and `planned_again` finds it for whoever is to
    decide. What stays is where it was whatever is posted, so a post moves only what it holds up.

    Args:
        question: about what is left, from today on.
        issued: the order people work by.

    Raises:
        ValueError: the question has no answer on its face.
    """
    return Replay(question.instance, reopened(issued, question))


def moves_words(changes: Changes) -> str:
    """``3 calls moved, 1 new``; ``no call moved``."""
    moved = len(changes.moved)
    parts = [f"{moved or 'no'} call{'' if moved <= 1 else 's'} moved"]
    parts += [f"{len(changes.new)} new"] if changes.new else []
    parts += [f"{len(changes.gone)} gone"] if changes.gone else []
    return ", ".join(parts)


def first_day(calendar: WorkCalendar, issued: IssuedOrder, posted: date | None) -> date:
    """The day from which an issued order may be planned again where nobody names one.

    It is the first of the show, or the day it was itself planned again from, or the last on which
    anything was posted, whichever is last: what lies before is past.
    """
    days = (calendar.starts, issued.stamp.planned_from, posted)
    return max(day for day in days if day is not None)


def _has_same_work(
    question: Question, issued: IssuedOrder, was: Answer, stood: Collection[str]
) -> bool:
    """Whether every stretch of work is called once, with exactly what it holds.

    Of what stood somewhere on another day than called, nobody knows whose hands came.
    """
    held = {call.id: frozenset(call.holds) for call in issued.calls}
    activities = question.instance.activities
    named = {each.id for each in activities}
    for id_, others in question.beside.items():
        named.update(f"{question.work[id_][0]}/{other.name}" for other in others)
    return held.keys() == named and all(
        each.id in stood or held[each.id] == each.modes[was.modes[each.id]].uses.keys()
        for each in activities
    )
