"""Meals of a working day: nobody works in them, and every page that tells hours knows.

The small show works Monday to Friday, ten hours from 08:00, from Monday 1 March 2027; here with an
hour of meal after five of them.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING

import pytest

from planner.bid.overtime import Overtime
from planner.estimate.working_day import meal_problems
from planner.model.place import Severity
from planner.order.loads import craft_weeks
from planner.pages.order_text import order_text
from planner.pages.prints.call_sheet import call_sheets
from planner.pages.prints.dated import stretches, worked_out
from planner.pages.prints.days import day_orders
from tests.order.floor import floor_of
from tests.order.test_arrange import NORTH, call_of, work

if TYPE_CHECKING:
    from planner.model.show import Show
    from planner.order import StageOrder
    from tests.conftest import ShowFolder

DAY = "  day_hours: 10 h\n"
LUNCH = "  meals: [{after: 5 h, lasts: 1 h}]\n"
MONDAY = date(2027, 3, 1)


def ordered(folder: ShowFolder, *hours: float) -> tuple[Show, StageOrder]:
    """A set-up and its photography, of so many hours each."""
    folder.replace("show.yaml", DAY, DAY + LUNCH)
    first, then = hours
    works = (
        work("set up", first, needs=NORTH, set_up="bird"),
        work("photograph", then, needs=NORTH, set_up="bird", after=("set up",)),
    )
    floor = floor_of(folder, {"HL010.town": works})
    return floor.show, floor.arranged()


def test_a_call_over_the_meal_is_longer_on_the_clock_than_in_hours(show: ShowFolder) -> None:
    _show, order = ordered(show, 4, 4)
    taken = call_of(order, "HL010.town", "photograph")
    # 08:00 to 12:00, then one hour to 13:00 and three from 14:00.
    assert (taken.starts, taken.ends) == (datetime(2027, 3, 1, 12), datetime(2027, 3, 1, 17))
    assert taken.hours == 4


def test_work_that_ends_at_the_meal_ends_before_it_and_the_next_begins_after(
    show: ShowFolder,
) -> None:
    _show, order = ordered(show, 5, 2)
    first, then = (call_of(order, "HL010.town", name) for name in ("set up", "photograph"))
    assert (first.ends.hour, then.starts.hour) == (13, 14)


def test_a_day_closes_later_by_its_meal(show: ShowFolder) -> None:
    read, order = ordered(show, 12, 2)
    days = list(stretches(call_of(order, "HL010.town", "set up"), read.calendar))
    # Ten hours from 08:00 and one of meal; the last two on Tuesday.
    assert [each.ends for each in days] == [datetime(2027, 3, 1, 19), datetime(2027, 3, 2, 10)]


def test_hours_of_hands_leave_the_meal_out(show: ShowFolder) -> None:
    read, order = ordered(show, 12, 2)
    weeks = craft_weeks(read, order.calls)
    # 12 h and 2 h of one hand each; nine on the clock more would be two meals.
    assert [each.hours.value for each in weeks if each.craft == "stage"] == [14]


def test_late_hours_are_counted_from_hours_worked_not_from_the_clock(show: ShowFolder) -> None:
    read, order = ordered(show, 8, 2)
    late = Overtime(((9.0, 1.5),), (1.0, 1.0), frozenset())
    call = call_of(order, "HL010.town", "photograph")
    # 17:00 to 19:00 are the ninth and tenth hour of work: half an hour more for the tenth.
    assert call.ends == datetime(2027, 3, 1, 19)
    assert late.extra_hours(call, read.calendar) == pytest.approx(0.5)


def test_whoever_is_called_reads_when_the_meal_is(show: ShowFolder) -> None:
    read, order = ordered(show, 4, 4)
    floor, dated = floor_of(show, {}), worked_out(order)
    (sheet,) = day_orders(read, dated, MONDAY)
    # Eight hours from 08:00, and one at table.
    assert "First call 08:00, wrap 17:00. Meal 13:00 to 14:00." in sheet.says
    (called,) = call_sheets(read, floor.estimates, dated, MONDAY)
    assert called.says == "First call 08:00, wrap 17:00. Meal 13:00 to 14:00."
    told = " ".join(order_text(order, read).split())
    assert "Meal 13:00 to 14:00, which no call counts as hours." in told


def test_a_day_that_is_over_by_then_has_no_meal(show: ShowFolder) -> None:
    read, order = ordered(show, 3, 1)
    (sheet,) = day_orders(read, worked_out(order), MONDAY)
    assert "Meal" not in sheet.says


def test_a_long_day_without_a_meal_is_noted_with_what_to_state(show: ShowFolder) -> None:
    (told,) = meal_problems(floor_of(show, {}).show)
    assert (told.code, told.severity) == ("meals-not-stated", Severity.NOTE)
    assert "a day of 10 h has no meal in it, and after 6 h there is to be one" in told.message
    assert "local rules and agreements decide" in told.message
    assert told.remedy == "state `meals: [{after: 5 h, lasts: 1 h}]` under calendar"


def test_a_meal_within_six_hours_of_call_and_of_the_end_is_soon_enough(show: ShowFolder) -> None:
    show.replace("show.yaml", DAY, DAY + LUNCH)
    assert list(meal_problems(floor_of(show, {}).show)) == []


def test_a_meal_too_late_is_a_warning(show: ShowFolder) -> None:
    show.replace("show.yaml", DAY, DAY + LUNCH.replace("5 h", "3 h"))
    # 3 h before it and 7 h after.
    (told,) = meal_problems(floor_of(show, {}).show)
    assert (told.code, told.severity) == ("meal-too-late", Severity.WARNING)
    assert "7 h of work go by without a meal, and 6 h are the most" in told.message


def test_a_show_may_state_how_long_its_agreements_allow(show: ShowFolder) -> None:
    show.replace("show.yaml", DAY, DAY + LUNCH + "  meal_within: 4.5 h\n")
    (told,) = meal_problems(floor_of(show, {}).show)
    assert "5 h of work go by without a meal, and 4.5 h are the most" in told.message
    assert "common practice" not in told.message


def test_rest_between_calls_counts_the_meal_as_part_of_the_day(show: ShowFolder) -> None:
    show.replace("show.yaml", DAY, DAY + LUNCH + "  rest: 14 h\n")
    # 24 h less 14 h of rest and one of meal: nine hours of work, 08:00 to 18:00.
    works = {"HL010.town": (work("set up", 12, needs=NORTH, set_up="bird"),)}
    order = floor_of(show, works).arranged()
    assert call_of(order, "HL010.town", "set up").ends == datetime(2027, 3, 2, 11)
    (told,) = (each for each in order.problems if each.code == "rest-too-short")
    assert "10 h leaves 13 h before the next call" in told.message
