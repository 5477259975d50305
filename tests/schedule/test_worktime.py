"""The work-time axis: dates to quarters and back, and pausing over spells."""

from __future__ import annotations

from datetime import date, datetime, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.schedule.worktime import Calendar, finish_of, merged, start_before, working_days

# Friday 5 and Monday 8 March 2027 with Tuesday a holiday, then Wednesday: ten hours from 8.
DAYS = working_days(date(2027, 3, 5), date(2027, 3, 10), holidays=[date(2027, 3, 9)])


def at(day: int, hour: int, minute: int) -> datetime:
    return datetime.combine(date(2027, 3, day), time(hour, minute))


CALENDAR = Calendar(DAYS, quarters_per_day=40, first_hour=time(8))


def test_week_ends_and_holidays_are_squeezed_out() -> None:
    assert [day.day for day in DAYS] == [5, 8, 10]


def test_the_first_quarter_of_the_second_day_is_monday_morning() -> None:
    # Day 0 is quarters 0-39, so 40 is Monday 08:00 and 42 is 08:30.
    assert CALENDAR.to_datetime(42) == at(8, 8, 30)
    assert CALENDAR.day_index(42) == 1


def test_work_that_ends_with_the_day_ends_in_the_evening() -> None:
    # 40 quarters from 08:00 end at 18:00 on Friday, though quarter 40 begins on Monday.
    assert CALENDAR.finish_datetime(40) == at(5, 18, 0)


@pytest.mark.parametrize(
    ("moment", "quarter"),
    [
        (date(2027, 3, 5), 0),
        (date(2027, 3, 6), 40),  # Saturday: Monday's first
        (date(2027, 3, 9), 80),  # holiday: Wednesday's first
        (at(8, 8, 1), 41),  # a quarter begun is gone: the one from 08:15
        (at(8, 19, 0), 80),  # after hours: the next working day
        (at(7, 12, 0), 40),  # Sunday noon: Monday's first
    ],
)
def test_a_moment_is_followed_by_its_next_working_quarter(moment: date, quarter: int) -> None:
    assert CALENDAR.quarter_at(moment) == quarter


def test_drying_goes_on_through_the_week_end() -> None:
    # Ends Friday 18:00; 12 hours are over on Saturday 06:00: Monday's first quarter, 40.
    assert CALENDAR.after_clock(40, 48) == 40
    # 63 hours, 252 quarters, end Monday 09:00: four quarters into Monday, 44.
    assert CALENDAR.after_clock(40, 252) == 44


def test_past_the_list_the_same_weekdays_go_on() -> None:
    # The list has Mondays, Wednesdays and Fridays; after Wednesday 10 comes Friday 12, Monday 15.
    assert CALENDAR.day(3) == date(2027, 3, 12)
    assert CALENDAR.day(4) == date(2027, 3, 15)
    assert CALENDAR.quarter_at(date(2027, 3, 13)) == 4 * 40


@given(st.integers(0, 4000))
def test_every_quarter_is_found_again_from_its_clock(quarter: int) -> None:
    assert CALENDAR.quarter_at(CALENDAR.to_datetime(quarter)) == quarter


def test_days_out_of_order_are_refused() -> None:
    with pytest.raises(ValueError, match="rising"):
        Calendar((date(2027, 3, 8), date(2027, 3, 5)))


def test_work_pauses_over_a_spell() -> None:
    # 3 quarters from 4: 4, 5, then not 6 7 8, then 9: ends at 10.
    assert finish_of(4, 3, ((6, 9),)) == 10
    assert start_before(10, 3, ((6, 9),)) == 4


def test_spells_that_touch_are_one() -> None:
    assert merged([(5, 7), (1, 3), (3, 4), (6, 9), (4, 4)]) == ((1, 4), (5, 9))


SPELLS = st.lists(st.tuples(st.integers(0, 60), st.integers(0, 60))).map(merged)


@given(st.integers(0, 50), st.integers(1, 30), SPELLS)
def test_finish_counts_only_quarters_outside_spells(
    start: int, duration: int, spells: tuple[tuple[int, int], ...]
) -> None:
    end = finish_of(start, duration, spells)
    at_work = [q for q in range(start, end) if not any(a <= q < b for a, b in spells)]
    assert len(at_work) == duration
    assert at_work[-1] == end - 1
