"""Why a call stands on the day it does.

Takes a stage order and one of its calls, gives sentences from the call back to what began the
chain. Knows nothing of solvers but their reasons.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds.estimate import FLOOR
from planner.model.names import day_words
from planner.order.question import LEAST_QUARTERS
from planner.schedule import Explainer

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from datetime import date, datetime

    from planner.order.question import Question
    from planner.order.stage_order import Call, StageOrder
    from planner.schedule import Answer, Reason


def why_then(order: StageOrder, call: Call) -> tuple[str, ...]:
    """What holds a call, then what holds that, and so on, one sentence each.

    Cost: one pass over the calls, then a look-up for each link of the chain.
    """
    if order.question is None or order.answer is None:
        return ()
    chain = Explainer(order.question.instance, order.answer).chain(call.during)
    asked = (order.question, order.answer)
    return tuple(_sentence(*asked, reason, _since(order)) for reason in chain)


def why_now(order: StageOrder) -> Callable[[Call], str]:
    """What holds any call, at first glance and in one sentence; empty where no question is known.

    Cost: one pass over the calls, then a look-up for each asked about.
    """
    question, answer = order.question, order.answer
    if question is None or answer is None:
        return lambda _call: ""
    explainer = Explainer(question.instance, answer)
    since = _since(order)
    return lambda call: _sentence(question, answer, explainer.reason(call.during), since)


def _since(order: StageOrder) -> date | None:
    """The day from which it was planned again, before which nothing could be called."""
    return None if order.is_issued else order.planned_from


def _sentence(question: Question, answer: Answer, reason: Reason, since: date | None) -> str:
    starts = question.calendar.to_datetime(reason.start)
    head = f"{_named(reason.id)} starts {day_words(starts)} {starts:%H:%M}"
    rest = f"{_delay(question, answer, reason)}{_too_late(question, reason)}"
    return f"{head}: {_cause(question, reason, since)}{rest}"


def _cause(question: Question, reason: Reason, since: date | None) -> str:
    by = _named(reason.by)
    if reason.kind == "kept":
        kept = "once set up it is not struck until done, and the rest"
        return f"{kept} waits for {by}" if reason.by else f"{kept} cannot begin sooner"
    if reason.kind == "changeover":
        return f"{reason.resource} is {_changed(question, reason)} after {by}"
    if reason.kind == "nothing" and reason.by:
        at = question.calendar.to_datetime(reason.ready)
        over = f"{day_words(at, year=False)} {at:%H:%M}"
        last = f"{by}{_then(question, reason)}"
        return f"the last it had to wait for, {last}, was over {over}; it could start sooner"
    plain = {
        "after": f"it waits for {by}{_then(question, reason)}",
        "resource": f"{reason.resource} is held by {by} before it",
        "release": _released(question.calendar.to_datetime(reason.ready), since),
        "lock": "it is fixed there",
        "calendar": "these are the first working hours",
        "nothing": "nothing holds it; it could start sooner",
    }
    return plain[reason.kind]


def _changed(question: Question, reason: Reason) -> str:
    """What is done to a thing before it is ready for other work."""
    pairs = question.instance.changeovers.pairs.items()
    if any(thing == reason.resource and quarters for (thing, *_), quarters in pairs):
        return "carried over from the other stage"
    element, _work = question.work.get(reason.id, ("", None))
    first = question.lined_up.get(element)
    if first is None or not first.quarters:
        return "cleared"
    return f"cleared, and lined up anew in {first.quarters / 4:g} h as for {first.element},"


def _released(ready: datetime, since: date | None) -> str:
    """Whether a day stated of it holds it, or the day that all is planned again from."""
    day = day_words(ready)
    if since is not None and ready.date() <= since:
        return f"nothing is called before {day}, from which on it is planned again"
    return f"by a day stated of it, it may not begin before {day}"


def _then(question: Question, reason: Reason) -> str:
    """What passes after some work before this may follow: a laboratory develops, paint dries."""
    if reason.resource:
        return ""
    after = next(each.after for each in question.instance.activities if each.id == reason.id)
    mine = (each for each in after if each.id == reason.by)
    quarters = max((max(each.lag_quarters, each.lag_clock_quarters) for each in mine), default=0)
    if not quarters:
        return ""
    _element, work = question.work.get(reason.by or "", ("", None))
    is_film = work is not None and work.phase in FLOOR
    return f", then {quarters / 4:g} h{' until its film is back' if is_film else ''}"


def _delay(question: Question, answer: Answer, reason: Reason) -> str:
    """What is left to say where it starts days after that was over."""
    calendar = question.calendar
    if reason.kind == "nothing" or calendar.day_index(reason.start) <= calendar.day_index(
        reason.ready
    ):
        return ""
    ready = calendar.to_datetime(reason.ready)
    over = (
        ""
        if reason.kind == "release"
        else f", over by {day_words(ready, year=False)} {ready:%H:%M}"
    )
    away = list(_away(question, answer, reason))
    if not away:
        return over
    return f"{over}; until it starts, {' and '.join(away)} {'is' if len(away) == 1 else 'are'} away"


def _too_late(question: Question, reason: Reason) -> str:
    """That it could have begun sooner, but only shortly before it would have stopped again."""
    calendar, sooner = question.calendar, reason.sooner
    if sooner is None or reason.kind in {"kept", "nothing"}:
        return ""
    last = calendar.day_index(sooner + LEAST_QUARTERS - 1)
    stop = "wrap" if last > calendar.day_index(sooner) else "something it needs is away"
    return f"; sooner it would begin less than {LEAST_QUARTERS / 4:g} h before {stop}"


def _away(question: Question, answer: Answer, reason: Reason) -> Iterator[str]:
    """What it holds that is away at some time between."""
    chosen = answer.modes[reason.id]
    uses = next(
        activity.modes[chosen].uses
        for activity in question.instance.activities
        if activity.id == reason.id
    )
    for resource in question.instance.resources:
        between = (first < reason.start and end > reason.ready for first, end in resource.blocked)
        if resource.id in uses and any(between):
            yield resource.id


def _named(id_: str | None) -> str:
    element, _, work = (id_ or "").partition("/")
    return f"{element}, {work}"
