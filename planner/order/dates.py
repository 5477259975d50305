"""Why a call stands on the day it does.

Takes a stage order and one of its calls, gives sentences from the call back to what began the
chain. Knows nothing of solvers but their reasons.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.schedule import why_there

if TYPE_CHECKING:
    from planner.order.stage_order import Call, StageOrder
    from planner.schedule import Calendar, Reason


def why_then(order: StageOrder, call: Call) -> tuple[str, ...]:
    """What holds a call, then what holds that, and so on, one sentence each.

    Cost: one pass over the calls for each link of the chain.
    """
    if order.question is None or order.answer is None:
        return ()
    chain = why_there(order.question.instance, order.answer, f"{call.element}/{call.work.name}")
    return tuple(_sentence(order.question.calendar, reason) for reason in chain)


def _sentence(calendar: Calendar, reason: Reason) -> str:
    starts = f"{_named(reason.id)} starts {calendar.to_datetime(reason.start):%a %d %b %Y %H:%M}"
    return f"{starts}: {_cause(reason)}{_delay(calendar, reason)}"


def _cause(reason: Reason) -> str:
    if reason.kind == "after":
        return f"it waits for {_named(reason.by)}"
    if reason.kind == "resource":
        return f"{reason.resource} is held by {_named(reason.by)} before it"
    if reason.kind == "changeover":
        return f"{reason.resource} is cleared after {_named(reason.by)}"
    plain = {
        "release": "it may not begin before",
        "lock": "it is fixed there",
        "calendar": "these are the first working hours",
        "nothing": "nothing holds it; it could start sooner",
    }
    return plain[reason.kind]


def _delay(calendar: Calendar, reason: Reason) -> str:
    """What is left to say where it starts days after that was over."""
    if reason.kind == "nothing" or calendar.day_index(reason.start) <= calendar.day_index(
        reason.ready
    ):
        return ""
    ready = calendar.to_datetime(reason.ready)
    return f", over by {ready:%a %d %b %H:%M}; until it starts, something it needs is away"


def _named(id_: str | None) -> str:
    element, _, work = (id_ or "").partition("/")
    return f"{element}, {work}"
