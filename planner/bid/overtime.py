"""Hours that are paid more for coming late in the day or at the week-end.

Takes the show's ``overtime`` and a dated call, gives the clock hours paid beside the plain ones.
Knows nothing of rates. Whoever works in the hours after a band begins is held to have come at the
start of the day.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.model.facts import Facts
    from planner.model.show import WorkCalendar
    from planner.order.stage_order import Call

OVERTIME = "overtime, "
"""How such a line begins, before the work it is of."""
_SATURDAY = 5
_WEEK_END = ("saturday", "sunday")


@dataclass(frozen=True, slots=True)
class Overtime:
    """What late hours are paid.

    Attributes:
        bands: hours after the day's call from which each holds, and how many times the rate is paid
            in it; the earliest first.
        week_end: the same for all of a Saturday and all of a Sunday, where a band gives no more.
        crafts: who is paid so; empty for everybody.
    """

    bands: tuple[tuple[float, float], ...]
    week_end: tuple[float, float]
    crafts: frozenset[str]

    def extra_hours(self, call: Call, calendar: WorkCalendar) -> float:
        """Clock hours paid beside the plain ones: an hour at time and a half is half an hour."""
        if self.crafts and call.work.craft not in self.crafts:
            return 0.0
        extra = worked = 0.0
        for day, begins, ends in _days(call, calendar):
            worked += ends - begins
            extra += self._extra(day, begins, ends)
        # A call that pauses (a thing it holds is away) is longer on the clock than it is worked.
        return extra * min(1.0, call.hours / worked) if worked > 0 else 0.0

    def _extra(self, day: datetime, begins: float, ends: float) -> float:
        weekday = day.weekday() - _SATURDAY
        least = self.week_end[weekday] if weekday >= 0 else 1.0
        edges = [(0.0, 1.0), *self.bands, (24.0, 1.0)]
        extra = 0.0
        for (first, times), (last, _) in pairwise(edges):
            overlap = min(ends, last) - max(begins, first)
            extra += max(0.0, overlap) * (max(times, least) - 1.0)
        return extra


def _days(call: Call, calendar: WorkCalendar) -> Iterator[tuple[datetime, float, float]]:
    """Each working day of a call: its opening, and hours worked since from when to when it runs."""
    days = (call.ends.date() - call.starts.date()).days
    for each in range(days + 1):
        day = call.starts.date() + timedelta(each)
        if not calendar.is_working(day):
            continue
        begins, ends = (calendar.worked_by(moment, day) for moment in (call.starts, call.ends))
        if ends > begins:
            yield calendar.opens(day), begins, ends


def overtime_of(facts: Facts) -> Overtime | None:
    """As show.yaml states it; None where it states none.

    Args:
        facts: of show.yaml.
    """
    stated = facts.group("overtime")
    if not stated.values:
        return None
    bands = sorted(
        (each.amount("over", 0.0), each.amount("times", 1.0)) for each in stated.groups("bands")
    )
    saturday, sunday = (stated.amount(name, 1.0) for name in _WEEK_END)
    return Overtime(tuple(bands), (saturday, sunday), frozenset(stated.words("crafts")))
