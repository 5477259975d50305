"""Calls by day: nights and days nobody works are left out."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time

from planner.kinds import Hours, Phase, Work
from planner.model.facts import DateRange
from planner.model.quantity import Quantity
from planner.model.show import WorkCalendar
from planner.order import Call
from planner.pages.prints.dated import call_and_wrap, called_words, clock, indexed, stretches
from planner.pages.prints.days import hours_in_all

CALENDAR = WorkCalendar(
    date(2027, 3, 1),
    frozenset(range(5)),
    (DateRange(date(2027, 3, 29), date(2027, 3, 29)),),
    time(8),
    10.0,
)


def _call(starts: datetime, ends: datetime, stage: str = "north") -> Call:
    work = Work(
        "set up", "stage", Phase.STAGE, Hours(1, 2, 3), Quantity("hours", 2, "h"), set_up="a"
    )
    return Call("A.town", work, starts, ends, 2.0, (stage,), stage)


def test_a_call_within_a_day_is_one_stretch() -> None:
    (only,) = stretches(_call(datetime(2027, 3, 1, 9), datetime(2027, 3, 1, 11)), CALENDAR)
    assert clock(only) == ("09:00", "11:00")


def test_a_call_over_a_week_end_and_a_holiday_has_its_working_days_only() -> None:
    # Friday 26 March to Tuesday 30 March 2027; Monday 29 is a holiday.
    held = tuple(stretches(_call(datetime(2027, 3, 26, 16), datetime(2027, 3, 30, 9)), CALENDAR))
    assert [each.starts for each in held] == [
        datetime(2027, 3, 26, 16),
        datetime(2027, 3, 30, 8),
    ]
    assert [each.ends for each in held] == [datetime(2027, 3, 26, 18), datetime(2027, 3, 30, 9)]
    assert clock(held[0]) == ("16:00", "Tue 30 Mar 09:00")
    assert clock(held[1]) == ("goes on", "09:00")


def test_a_day_says_when_its_first_are_called_and_its_last_go_home() -> None:
    # One call from 09:00 to 11:00; one from 16:00 over the night, left at 18:00 when the day ends.
    first = stretches(_call(datetime(2027, 3, 26, 9), datetime(2027, 3, 26, 11)), CALENDAR)
    last = stretches(_call(datetime(2027, 3, 26, 16), datetime(2027, 3, 30, 9)), CALENDAR)
    assert call_and_wrap([*first, next(last)]) == "First call 09:00, wrap 18:00."
    assert call_and_wrap([]) == ""


def test_a_call_is_said_with_its_days_and_one_that_is_not_made_says_so() -> None:
    calls = (
        _call(datetime(2027, 3, 1, 9), datetime(2027, 3, 1, 11)),
        replace(_call(datetime(2027, 3, 26, 16), datetime(2027, 3, 30, 9)), element="A.dam"),
    )
    dated = indexed(reversed(calls), {}, {}, "")
    assert dated.calls == calls
    said = "; called Mon 1 Mar 2027 09:00 to 11:00"
    assert called_words(dated, "A.town", "set up") == said
    over_days = "; called Fri 26 Mar 2027 16:00 to Tue 30 Mar 2027 09:00"
    assert called_words(dated, "A.dam", "set up") == over_days
    assert called_words(dated, "A.town", "strike") == "; not called"


def test_of_a_call_that_other_weeks_have_a_part_of_a_week_tells_the_hours_in_all() -> None:
    # Friday 16:00 to 18:00, nothing on Monday's holiday, Tuesday 8:00 to 9:00.
    held = tuple(stretches(_call(datetime(2027, 3, 26, 16), datetime(2027, 3, 30, 9)), CALENDAR))
    assert hours_in_all(held) == "2 h"
    assert hours_in_all(held[:1]) == "2 h in all, until Tue 30 Mar 09:00"
    assert hours_in_all(held[1:]) == "2 h in all"
