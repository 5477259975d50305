"""Calls of an issued order that what is told takes away: unwanted, or wanting a thing that is lost.

Takes news and the issued order, gives calls still to come on an omitted shot's own pieces, and on
those that nothing else waits for; and calls that hold what is lost. Knows nothing of planning
again.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.ledger import What
from planner.ledger.event import BACK, day_back

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from planner.ledger import Event
    from planner.order import Call, IssuedOrder
    from planner.order.issued import IssuedCall
    from planner.status.news import News


@dataclass(frozen=True, slots=True)
class FreedCall:
    """One call that may be struck from the order.

    Attributes:
        call: as it was issued.
        is_stage_free: whether its stage is called for nothing else on its days; False off stage.
    """

    call: IssuedCall
    is_stage_free: bool


def freed_calls(order: IssuedOrder, told: Iterable[News], day: date) -> tuple[FreedCall, ...]:
    """Calls that begin on a day or later and that what was told leaves without a use, by start.

    Args:
        order: as issued.
        told: news; only what is `spared` in them counts.
        day: what was called before it is past.
    """
    spared = {id_ for each in told for id_ in each.spared}
    gone = [each for each in order.calls if each.element in spared and each.starts.date() >= day]
    names = {each.id for each in gone}
    others = [each for each in order.calls if each.id not in names and each.stage]
    return tuple(
        FreedCall(each, bool(each.stage) and not any(_meets(each, other) for other in others))
        for each in sorted(gone, key=lambda call: (call.starts, call.id))
    )


@dataclass(frozen=True, slots=True)
class TakenCalls:
    """Calls that hold a thing that is lost.

    Attributes:
        thing: what is lost.
        back: the first day it is there again; None where nobody said a day.
        calls: those still to come until then, by start.
    """

    thing: str
    back: date | None
    calls: tuple[IssuedCall, ...]


def taken_calls(order: IssuedOrder, events: Iterable[Event]) -> tuple[TakenCalls, ...]:
    """Calls of an order that the losses told now take, each loss with at least one.

    A call under way when a thing is lost is among them; one that begins once it is back is not.

    Args:
        order: as issued.
        events: told now; only what is lost in them counts.
    """
    found = []
    for each in events:
        if each.what is not What.LOST:
            continue
        day, back = each.at.date(), day_back(each.details.values.get(BACK, ""))
        calls = [call for call in order.calls if is_taken(call, each.about, day, back)]
        if calls:
            calls.sort(key=lambda call: (call.starts, call.id))
            found.append(TakenCalls(each.about, back, tuple(calls)))
    return tuple(found)


def is_taken(call: Call | IssuedCall, thing: str, since: date, back: date | None) -> bool:
    """Whether a call wants a thing at any time from a day on, before the day it is back."""
    is_before = back is None or call.starts.date() < back
    return thing in call.holds and call.ends.date() >= since and is_before


def _meets(one: IssuedCall, other: IssuedCall) -> bool:
    """Whether two calls share a day of a stage."""
    is_near = one.starts.date() <= other.ends.date() and other.starts.date() <= one.ends.date()
    return one.stage == other.stage and is_near
