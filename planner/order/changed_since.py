"""Which elements' facts no longer fit the calls of an order issued before.

Takes a question as the show asks it now and an issued order, gives ids. Knows nothing of what was
posted, of money, or of how either order was found.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.order.issued import reopened

if TYPE_CHECKING:
    from collections.abc import Collection

    from planner.order.issued import IssuedCall, IssuedOrder
    from planner.order.question import Question
    from planner.schedule import Activity, Answer

_QUARTERS = 4


def changed_since(
    question: Question, issued: IssuedOrder, met: Collection[str] = ()
) -> tuple[str, ...]:
    """Elements that could not stand as they were called, by the show's files as they are now.

    An element is among them where its work is new or takes longer or less long, where it is locked
    to another time, or where a day it waits for has moved past its call. What only follows from
    those, as a stage that is taken, is not told.

    Args:
        question: what the show asks since the order was issued.
        issued: the order.
        met: things that were lost. What held one goes on with another, so that of this its new work
            and its hours are no news; a lock and a day to wait for are.

    Returns:
        Ids, each once, as the question has them.
    """
    was, calls = reopened(issued, question), {call.id: call for call in issued.calls}
    hit = {call.element for call in issued.calls if not set(call.holds).isdisjoint(met)}
    found: dict[str, None] = {}
    for activity in question.instance.activities:
        element, _work = question.work[activity.id]
        call = calls.get(activity.id)
        if call is None or activity.id not in was.starts:
            is_other = element not in hit
        else:
            is_other = _is_held_up(activity, was) or (
                element not in hit and _takes_other_hours(activity, was, call)
            )
        if is_other:
            found[element] = None
    return tuple(found)


def _is_held_up(activity: Activity, was: Answer) -> bool:
    start = was.starts[activity.id]
    is_moved = activity.locked is not None and activity.locked.start != start
    return start < activity.release or is_moved


def _takes_other_hours(activity: Activity, was: Answer, call: IssuedCall) -> bool:
    quarters = activity.modes[was.modes[activity.id]].duration_quarters
    return quarters != round(call.hours * _QUARTERS)
