"""Who has what work waits for, and when it comes.

Takes negative, data and drawings under way, gives the first day a set-up can be lined up by them,
and findings. Knows nothing of when the set-up is called: see `planner.order`.
"""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from planner.kinds import Rule
from planner.kinds.waiting import dated

if TYPE_CHECKING:
    from datetime import date

    from planner.kinds import Estimate, Worksheet

MOST_DAYS = 3660
"""No line-up takes ten years; past it a figure is a slip of the pen."""
LINE_UP = Rule("custody.line_up", "working hours from arrival to set-up", 2, 4, 8)


def check_custody(sheet: Worksheet, _estimate: Estimate) -> None:
    """First day for a set-up, and what is at risk until then."""
    held = sheet.element.facts.groups("custody")
    arrivals = []
    for each in held:
        what, arrives, sent = each.word("what"), each.day("arrives"), each.day("sent")
        if not each.word("with"):
            sheet.miss("custody.with", rests=f"who has {what}")
        if arrives is None:
            sheet.miss("custody.arrives", rests=f"when anything can be set up by {what}")
        else:
            arrivals.append((arrives, what))
        if sent is not None and each.amount("copies", 2) <= 1:
            until = f" until {arrives}" if arrives else ""
            sheet.warn(
                "only-copy-in-transit",
                f"the only copy of {what} travels from {sent}{until}",
                "make a copy before it leaves, and send the copy",
                at="custody",
            )
    if arrivals:
        _note_first(sheet, *max(arrivals))


def _note_first(sheet: Worksheet, arrives: date, what: str) -> None:
    line_up = sheet.element.facts.number("line_up") or sheet.rule(LINE_UP)[0]
    last = dated(sheet, "last arrival", arrives, "custody")
    ready = first_set_up(arrives, line_up.value, sheet.context.show.calendar.day_hours)
    sheet.reckon(
        "first day to set up",
        (ready - sheet.context.show.calendar.starts).days,
        last.unit,
        f"{ready}: last arrival ({what}, {arrives}) + line-up",
        last,
        line_up,
    )


def first_set_up(arrives: date, line_up_hours: float, day_hours: float) -> date:
    """Day on which a set-up can begin: the day of arrival, with whole days of line-up after it.

    What arrives is lined up on the day it arrives where that takes less than a day.
    """
    days = min(max(line_up_hours, 0.0) // max(day_hours, 1.0), MOST_DAYS)
    return arrives + timedelta(days=int(days))
