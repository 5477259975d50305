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


# Ten hours of work with an hour of meal after five of them, and half an hour after eight.
WITH_MEALS = Calendar(DAYS, 40, time(8), ((20, 4), (32, 2)))


@pytest.mark.parametrize(
    ("quarter", "begins", "ended"),
    [
        (19, at(5, 12, 45), at(5, 12, 45)),
        # Five hours are over at 13:00; the next quarter begins after the meal, at 14:00.
        (20, at(5, 14, 0), at(5, 13, 0)),
        # Eight hours are over at 8 + 8 + 1 = 17:00, and it goes on at 17:30.
        (32, at(5, 17, 30), at(5, 17, 0)),
        # Ten hours from 08:00 and an hour and a half of meals: 19:30; then Monday.
        (40, at(8, 8, 0), at(5, 19, 30)),
    ],
)
def test_meals_are_squeezed_out(quarter: int, begins: datetime, ended: datetime) -> None:
    assert WITH_MEALS.to_datetime(quarter) == begins
    assert WITH_MEALS.finish_datetime(quarter) == ended


@pytest.mark.parametrize(
    ("moment", "quarter"),
    [
        (at(5, 13, 0), 20),  # as the meal begins: what comes after it
        (at(5, 13, 20), 20),  # during it
        (at(5, 14, 0), 20),
        (at(5, 14, 1), 21),
        (at(5, 17, 15), 32),  # during the second
        (at(5, 19, 15), 39),
        (at(5, 19, 30), 40),
    ],
)
def test_a_moment_in_a_meal_is_followed_by_work_after_it(moment: datetime, quarter: int) -> None:
    assert WITH_MEALS.quarter_at(moment) == quarter


@given(st.integers(0, 4000))
def test_every_quarter_of_days_with_meals_is_found_again(quarter: int) -> None:
    assert WITH_MEALS.quarter_at(WITH_MEALS.to_datetime(quarter)) == quarter


def test_drying_goes_on_through_meals() -> None:
    # Ends 12:45; half an hour is over at 13:15, in the meal: quarter 20, which begins at 14:00.
    assert WITH_MEALS.after_clock(19, 2) == 20


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
