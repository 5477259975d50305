"""Why a call stands on the day it does.

Takes a stage order and one of its calls, gives sentences from the call back to what began the
chain. Knows nothing of solvers but their reasons.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.schedule import Explainer

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

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
    return tuple(_sentence(order.question, order.answer, reason) for reason in chain)


def why_now(order: StageOrder) -> Callable[[Call], str]:
    """What holds any call, at first glance and in one sentence; empty where no question is known.

    Cost: one pass over the calls, then a look-up for each asked about.
    """
    question, answer = order.question, order.answer
    if question is None or answer is None:
        return lambda _call: ""
    explainer = Explainer(question.instance, answer)
    return lambda call: _sentence(question, answer, explainer.reason(call.during))


def _sentence(question: Question, answer: Answer, reason: Reason) -> str:
    starts = question.calendar.to_datetime(reason.start)
    head = f"{_named(reason.id)} starts {starts:%a %d %b %Y %H:%M}"
    return f"{head}: {_cause(question, reason)}{_delay(question, answer, reason)}"


def _cause(question: Question, reason: Reason) -> str:
    if reason.kind == "after":
        return f"it waits for {_named(reason.by)}"
    if reason.kind == "kept":
        kept = "once set up it is not struck until done, and the rest"
        return (
            f"{kept} waits for {_named(reason.by)}" if reason.by else f"{kept} cannot begin sooner"
        )
    if reason.kind == "resource":
        return f"{reason.resource} is held by {_named(reason.by)} before it"
    if reason.kind == "changeover":
        if any(thing == reason.resource for thing, *_ in question.instance.changeovers.pairs):
            return (
                f"{reason.resource} is carried over from the other stage after {_named(reason.by)}"
            )
        return f"{reason.resource} is cleared after {_named(reason.by)}"
    plain = {
        "release": "it may not begin before",
        "lock": "it is fixed there",
        "calendar": "these are the first working hours",
        "nothing": "nothing holds it; it could start sooner",
    }
    return plain[reason.kind]


def _delay(question: Question, answer: Answer, reason: Reason) -> str:
    """What is left to say where it starts days after that was over."""
    calendar = question.calendar
    if reason.kind == "nothing" or calendar.day_index(reason.start) <= calendar.day_index(
        reason.ready
    ):
        return ""
    ready = calendar.to_datetime(reason.ready)
    over = f", over by {ready:%a %d %b %H:%M}"
    away = list(_away(question, answer, reason))
    if not away:
        return over
    return f"{over}; until it starts, {' and '.join(away)} {'is' if len(away) == 1 else 'are'} away"


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
