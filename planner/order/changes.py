"""What is different between an issued order and a newer one, and why.

Takes an issued order and a dated one, gives `Changes`. Knows nothing of how either was found.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.order.dates import why_now

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from planner.model.show import WorkCalendar
    from planner.order.issued import IssuedCall, IssuedOrder, Stamp
    from planner.order.stage_order import Call, StageOrder


@dataclass(frozen=True, slots=True)
class Moved:
    """A call on another day, or with other things.

    Attributes:
        was: as issued.
        call: as it is now.
        days: working days later; below nought sooner, nought on the same day.
        because: what holds it where it is now; empty for all but the first move of an element.
    """

    was: IssuedCall
    call: Call
    days: int
    because: str

    @property
    def is_elsewhere(self) -> bool:
        """Whether it goes on with other things than it did."""
        return set(self.was.holds) != set(self.call.holds)


@dataclass(frozen=True, slots=True)
class FinalMoved:
    """A composite done on another day: working days later, below nought sooner."""

    shot: str
    was: datetime
    now: datetime
    days: int


@dataclass(frozen=True, slots=True)
class Changes:
    """What is different.

    Attributes:
        since: the issued order compared with.
        moved: calls on another day or with other things, by the day they were on.
        new: calls that the issued order did not have.
        gone: calls that it had and that are no more.
        standing: how many calls are as they were, give or take hours of the same day.
        finals: composites done on another day.
        gained: shots with a composite now and none then.
        lost: shots with a composite then and none now.
    """

    since: Stamp
    moved: tuple[Moved, ...]
    new: tuple[Call, ...]
    gone: tuple[IssuedCall, ...]
    standing: int
    finals: tuple[FinalMoved, ...]
    gained: tuple[str, ...]
    lost: tuple[str, ...]

    @property
    def is_nothing(self) -> bool:
        """Whether both orders are the same to whoever works by them."""
        return not (self.moved or self.new or self.gone or self.finals or self.gained or self.lost)


def compare(calendar: WorkCalendar, issued: IssuedOrder, order: StageOrder) -> Changes:
    """What moved, came and went between an issued order and a newer one.

    Args:
        calendar: counts the days.
        issued: the older.
        order: the newer, with its question where reasons are wanted.
    """
    was = {call.id: call for call in issued.calls}
    now = {call.id: call for call in order.calls}
    moved = [
        Moved(was[id_], call, working_days_between(calendar, was[id_].starts, call.starts), "")
        for id_, call in now.items()
        if id_ in was and _differs(was[id_], call)
    ]
    moved.sort(key=lambda each: (each.was.starts, each.call.id))
    return Changes(
        since=issued.stamp,
        moved=_explained(order, moved),
        new=tuple(call for id_, call in now.items() if id_ not in was),
        gone=tuple(call for id_, call in was.items() if id_ not in now),
        standing=len(now.keys() & was.keys()) - len(moved),
        finals=_finals(calendar, issued.finals, order.finals),
        gained=tuple(shot for shot in order.finals if shot not in issued.finals),
        lost=tuple(shot for shot in issued.finals if shot not in order.finals),
    )


def _differs(was: IssuedCall, call: Call) -> bool:
    return was.starts.date() != call.starts.date() or set(was.holds) != set(call.holds)


def _explained(order: StageOrder, moved: list[Moved]) -> tuple[Moved, ...]:
    """A reason for the first move of each element."""
    told: set[str] = set()
    explained = []
    why = why_now(order)
    for each in moved:
        is_first = each.call.element not in told
        told.add(each.call.element)
        because = why(each.call) if is_first else ""
        explained.append(Moved(each.was, each.call, each.days, because))
    return tuple(explained)


def _finals(
    calendar: WorkCalendar, was: Mapping[str, datetime], now: Mapping[str, datetime]
) -> tuple[FinalMoved, ...]:
    return tuple(
        FinalMoved(shot, was[shot], when, working_days_between(calendar, was[shot], when))
        for shot, when in now.items()
        if shot in was and was[shot].date() != when.date()
    )


def working_days_between(calendar: WorkCalendar, first: datetime, last: datetime) -> int:
    """Working days from one day to another; below nought where the other is sooner."""
    if last < first:
        return -working_days_between(calendar, last, first)
    return calendar.days_between(first.date(), last.date())
