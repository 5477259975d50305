"""Load of each craft by the week.

Takes a show and its dated calls, gives hours of hands against hours there are, craft by craft and
week by week, and a finding where one craft is full while another idles. Knows nothing of solvers or
money.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from planner.model.names import noun
from planner.model.place import Problem, Severity
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from planner.model.show import Resource, Show
    from planner.order.stage_order import Call

FULL, IDLE = 0.95, 0.05
"""Shares of a craft's hours from which it is full, and up to which it idles; common practice."""
LONG = 2
"""Weeks on end from which it is told; common practice."""
DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class CraftWeek:
    """One craft in one week.

    Attributes:
        craft: as crews and work name it.
        monday: first day of the week.
        hours: of hands called for, with its arithmetic.
        there_are: hours of hands of its crews; 0 where no crew of the craft is listed.
    """

    craft: str
    monday: date
    hours: Quantity
    there_are: float

    @property
    def share(self) -> float:
        """Of the hours there are; 0 where there are none."""
        return self.hours.value / self.there_are if self.there_are else 0.0


def craft_weeks(show: Show, calls: Sequence[Call]) -> tuple[CraftWeek, ...]:
    """Every craft in every week from the first call to the last, by craft, then by week.

    Args:
        show: its calendar and crews.
        calls: dated work.
    """
    used: defaultdict[tuple[str, date], float] = defaultdict(float)
    for call in calls:
        for day, hours in _hours_by_day(show, call):
            used[call.work.craft, _monday(day)] += hours * call.work.heads
    if not used:
        return ()
    crews = _crews(show)
    mondays = sorted({monday for _craft, monday in used})
    weeks = [mondays[0] + 7 * DAY * n for n in range((mondays[-1] - mondays[0]).days // 7 + 1)]
    return tuple(
        CraftWeek(
            craft,
            monday,
            Quantity(
                f"hours of {craft.replace('_', ' ')} in the week of {monday}",
                used[craft, monday],
                "h",
                reason="hours x heads of that week's calls",
            ),
            _there_are(show, crews.get(craft, []), monday),
        )
        for craft in sorted({craft for craft, _monday in used} | set(crews))
        for monday in weeks
    )


def load_problems(
    show: Show, calls: Sequence[Call], late: Mapping[str, float]
) -> Iterator[Problem]:
    """Tell of each craft full for weeks while another idles; a warning where shots are late.

    Args:
        show: its calendar and crews.
        calls: dated work.
        late: shots that miss their delivery.
    """
    weeks = craft_weeks(show, calls)
    by_craft: defaultdict[str, list[CraftWeek]] = defaultdict(list)
    for each in weeks:
        if each.there_are:
            by_craft[each.craft].append(each)
    for craft, mine in by_craft.items():
        run = _longest_full(mine)
        idle = [name for name, theirs in by_craft.items() if _idles(theirs, run)]
        if len(run) >= LONG and idle:
            yield _tell(show, craft, (run, idle), late)


def _tell(
    show: Show, craft: str, found: tuple[list[CraftWeek], list[str]], late: Mapping[str, float]
) -> Problem:
    run, idle = found
    crew = _crews(show)[craft][0]
    share = sum(each.hours.value for each in run) / sum(each.there_are for each in run)
    others = ", ".join(each.replace("_", " ") for each in idle)
    name = craft.replace("_", " ")
    many = "1 shot is" if len(late) == 1 else f"{len(late)} shots are"
    shots = f", and {many} late" if late else ""
    return Problem(
        Severity.WARNING if late else Severity.NOTE,
        crew.place,
        "craft-full-another-idle",
        f"{name} is at {share * 100:.0f} % of its hands for {len(run)} {noun(len(run), 'week')}"
        f" from {run[0].monday},"
        f" while {others} {'has' if len(idle) == 1 else 'have'} next to nothing to do{shots}",
        f"lend hands to {name}, hire for {noun(len(run), 'that week', 'those weeks')}, or bring"
        f" forward what {others} can do",
        crew.id,
    )


def _longest_full(weeks: list[CraftWeek]) -> list[CraftWeek]:
    best: list[CraftWeek] = []
    run: list[CraftWeek] = []
    for each in weeks:
        run = [*run, each] if each.share >= FULL else []
        best = max(best, run, key=len)
    return best


def _idles(weeks: list[CraftWeek], run: list[CraftWeek]) -> bool:
    """Whether a craft called for before and after a run of weeks has nothing to do in them."""
    if not run:
        return False
    first, last = run[0].monday, run[-1].monday
    busy = [each.monday for each in weeks if each.share > IDLE]
    return (
        any(monday < first for monday in busy)
        and any(monday > last for monday in busy)
        and not any(first <= monday <= last for monday in busy)
    )


def _monday(day: date) -> date:
    return day - DAY * day.weekday()


def _hours_by_day(show: Show, call: Call) -> Iterator[tuple[date, float]]:
    """Working hours of a call on each day it touches; those it pauses for are spread over all."""
    calendar = show.calendar
    length = (call.ends.date() - call.starts.date()).days + 1
    days = [call.starts.date() + DAY * n for n in range(length)]
    there = {
        day: calendar.worked_by(call.ends, day) - calendar.worked_by(call.starts, day)
        for day in days
        if calendar.is_working(day)
    }
    whole = sum(each for each in there.values() if each > 0)
    for day, worked in there.items():
        if worked > 0:
            yield day, worked * min(1.0, call.hours / whole)


def _crews(show: Show) -> dict[str, list[Resource]]:
    crews: dict[str, list[Resource]] = {}
    for each in show.resources_of("crew"):
        crews.setdefault(each.craft, []).append(each)
    return crews


def _there_are(show: Show, crews: list[Resource], monday: date) -> float:
    days = [monday + DAY * n for n in range(7)]
    return sum(
        crew.capacity * show.calendar.day_hours
        for crew in crews
        for day in days
        if show.calendar.is_working(day)
        and not any(span.first <= day <= span.last for span in crew.away)
    )
