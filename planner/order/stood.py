"""Where work stood that was done on another day than it was called for.

Takes an order planned again, which gives such work no place, as nobody else may be moved by it, and
the order that called it; gives the order with that work where it must have stood: on the stage it
was called to, as long as it was called for, until it was over. What it cost there is spent, and is
no saving. Knows nothing of what is posted.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from typing import TYPE_CHECKING

from planner.order.dating import days_held

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence

    from planner.model.show import Show
    from planner.order.issued import IssuedCall, IssuedOrder
    from planner.order.stage_order import Call, StageOrder
    from planner.schedule import Calendar


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
