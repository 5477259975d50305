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
    if reason.kind == "after":
        return f"{starts}: it waits for {_named(reason.by)}"
    if reason.kind in {"resource", "changeover"}:
        what = "has" if reason.kind == "resource" else "must be cleared after"
        return f"{starts}: {reason.resource} {what} {_named(reason.by)} before it"
    if reason.kind == "release":
        return f"{starts}: it may not begin before"
    if reason.kind == "lock":
        return f"{starts}: it is fixed there"
    if reason.kind == "calendar":
        return f"{starts}: the first working hours there are"
    return f"{starts}: nothing holds it; it could start sooner"


def _named(id_: str | None) -> str:
    element, _, work = (id_ or "").partition("/")
    return f"{element}, {work}"
