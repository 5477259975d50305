"""Working days between two days are those that would be met by walking from one to the other."""

from datetime import date, datetime, time, timedelta

from hypothesis import given
from hypothesis import strategies as st

from planner.model.facts import DateRange
from planner.model.show import WorkCalendar

MONDAY = date(2027, 3, 1)
NEAR = st.integers(-40, 400).map(lambda n: MONDAY + timedelta(days=n))
SPANS = st.tuples(NEAR, st.integers(0, 30)).map(
    lambda pair: DateRange(pair[0], pair[0] + timedelta(days=pair[1]))
)


def _calendar(week: frozenset[int], *holidays: DateRange) -> WorkCalendar:
    return WorkCalendar(MONDAY, week, holidays, time(8), 10.0)


def test_holidays_are_left_out_once_however_often_they_are_named() -> None:
    shut = DateRange(date(2027, 3, 11), date(2027, 3, 14))
    again = DateRange(date(2027, 3, 12), date(2027, 3, 12))
    calendar = _calendar(frozenset(range(5)), shut, again)
    # Friday 5 March to Tuesday 23 March: Monday to Friday twice and two days are 12, less Thursday
    # the 11th and Friday the 12th; the week-end of the 13th was free already.
    assert calendar.days_between(date(2027, 3, 5), date(2027, 3, 23)) == 10


def test_nothing_is_worked_before_the_show_starts() -> None:
    # From a month before to Wednesday of the first week: Monday, Tuesday, Wednesday.
    assert _calendar(frozenset(range(5))).days_between(date(2027, 2, 1), date(2027, 3, 3)) == 3


@given(st.frozensets(st.integers(0, 6)), st.lists(SPANS, max_size=4), NEAR, NEAR)
def test_it_is_what_walking_counts(
    week: frozenset[int], holidays: list[DateRange], first: date, last: date
) -> None:
    calendar = _calendar(week, *holidays)
    walked = (first + timedelta(days=n) for n in range(1, (last - first).days + 1))
    assert calendar.days_between(first, last) == sum(map(calendar.is_working, walked))


def test_days_and_hours_worked_from_one_to_another() -> None:
    calendar = WorkCalendar(date(2027, 3, 1), frozenset(range(5)), (), time(8), 10.0)
    friday, monday = date(2027, 3, 5), date(2027, 3, 8)
    assert calendar.working_days(friday, monday) == (friday, monday)
    assert calendar.working_days(monday, friday) == ()
    # From 16:00 on Friday to 09:00 on Monday: two hours and one.
    worked = calendar.worked_between(datetime(2027, 3, 5, 16), datetime(2027, 3, 8, 9))
    assert worked == 3
