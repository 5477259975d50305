"""A set that stands for some days, with what must be measured before it goes.

Takes the days it stands and the list of measures, gives the work of taking those still open, and
whether the days left are enough. Knows nothing of what is photographed on it.
"""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from planner.kinds import (
    DOOR,
    Effort,
    Estimate,
    Phase,
    Rule,
    Work,
    Worksheet,
    packaged_schema,
)
from planner.kinds.sentences import listed
from planner.kinds.stated import stated_hours
from planner.kinds.waiting import dated
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context
    from planner.model.facts import DateRange, Facts
    from planner.model.show import WorkCalendar

RULES = (
    Rule("standing_set.begin", "hours to set up instruments and find datum points", 0.5, 1.0, 2.0),
    Rule("standing_set.measure", "hours to take and write up one measure", 0.25, 0.75, 2.0),
)
BEGIN, MEASURE = RULES


class StandingSet:
    """The kind ``standing_set``."""

    name = "standing_set"
    door = DOOR
    section = "sets"

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of one standing set."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Work of measuring it while it stands."""
        sheet = Worksheet(context)
        measures = sheet.element.facts.groups("measures")
        still = tuple(each for each in measures if not each.flag("taken"))
        open_count = sheet.reckon(
            "measures still to take", len(still), "1", "measures listed and not taken"
        )
        left = _days(sheet)
        if not measures:
            sheet.remark(
                "no-measures-listed",
                "nothing is listed to be measured before the set goes",
                "list every size that a model, painting or camera will be made from",
                at="measures",
            )
        if still:
            effort = _effort(sheet, open_count)
            craft = sheet.element.facts.word("craft", "art_department")
            work = Work("measure the set", craft, Phase.LOCATION, effort.hours, effort.reason)
            sheet.do(work)
            _tell(sheet, still, left, effort)
        return sheet.estimate()


def _days(sheet: Worksheet) -> Quantity | None:
    """Working hours the set stands; None while its days are not known."""
    stands = sheet.element.facts.days("stands")
    if stands is None:
        sheet.miss("stands", rests="the last day on which anything of the set can be measured")
        return None
    dated(sheet, "first day the set stands", stands.first, "stands")
    dated(sheet, "last day the set stands", stands.last, "stands")
    calendar = sheet.context.show.calendar
    days = _working_days(calendar, stands)
    if days == 0:
        sheet.warn(
            "set-stands-on-no-working-day",
            f"the set stands {stands}, and nobody works on any of those days in this show's"
            f" calendar (first day {calendar.starts})",
            "correct the days, or call a crew on one of them",
            at="stands",
        )
    working = sheet.reckon("working days the set stands", days, "d", "working days of the calendar")
    length = Quantity("hours in a working day", calendar.day_hours, "h", Standing.GIVEN)
    return sheet.reckon(
        "working hours the set stands",
        days * calendar.day_hours,
        "h",
        "working days x hours in a day",
        working,
        length,
    )


def _working_days(calendar: WorkCalendar, stands: DateRange) -> int:
    span = (stands.last - stands.first).days + 1
    return sum(calendar.is_working(stands.first + timedelta(days=day)) for day in range(span))


def _effort(sheet: Worksheet, open_count: Quantity) -> Effort:
    stated = sheet.element.facts.group("hours")
    likely, hours = stated.number("likely"), stated_hours(sheet, stated, "hours")
    if likely is None or hours is None:
        return sheet.effort("measure the set", (BEGIN, 1), (MEASURE, open_count))
    return Effort(hours, likely)


def _tell(
    sheet: Worksheet, still: tuple[Facts, ...], left: Quantity | None, effort: Effort
) -> None:
    stands = sheet.element.facts.days("stands")
    until = f"the last day it stands is {stands.last}" if stands else "no last day is known"
    nobody = [each.word("what") for each in still if not each.word("by")]
    whose = f"; nobody is named to take {listed(nobody)}" if nobody else ""
    names = listed([_with_name(each) for each in still])
    sheet.warn(
        "measure-before-strike",
        f"not measured: {names}; {until}{whose}",
        f"measure {'by ' + str(stands.last) if stands else 'before it is struck'}; afterwards the"
        " sizes can only be reconstructed from pictures",
        at="measures",
    )
    if left is not None and left.value < effort.hours.likely:
        sheet.warn(
            "too-few-hours-to-measure",
            f"measuring takes {effort.hours.likely:g} h and the set stands for {left.value:g}"
            f" working hours, {effort.hours.likely - left.value:g} h too few",
            "send a second party, keep the set longer, or drop the least wanted measures",
            at="stands",
        )


def _with_name(measure: Facts) -> str:
    by = measure.word("by")
    return f"{measure.word('what')} (by {by})" if by else measure.word("what")
