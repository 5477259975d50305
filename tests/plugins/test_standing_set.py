from __future__ import annotations

from datetime import date

from planner.model.facts import DateRange
from planner.model.place import Severity
from planner_plugins.standing_set import StandingSet

# Monday 2027-02-01 to Wednesday 2027-02-03: three working days of ten hours.
STANDS = DateRange(date(2027, 2, 1), date(2027, 2, 3))
DOOR = {"what": "width of the door", "by": "Ines"}
SILL = {"what": "height of the sill"}
DONE = {"what": "depth of the step", "taken": True}


def estimate(make, **facts):
    return StandingSet().estimate(make("standing_set", facts, identity="quay"))


def test_measures_not_taken_are_listed_with_the_last_day(make, finding) -> None:
    told = finding(
        estimate(make, stands=STANDS, measures=[DOOR, SILL, DONE]), "measure-before-strike"
    )
    assert told.severity is Severity.WARNING
    assert "width of the door (by Ines), height of the sill" in told.message
    assert "depth of the step" not in told.message
    assert "the last day it stands is 2027-02-03" in told.message
    assert "nobody is named to take height of the sill" in told.message


def test_a_set_wholly_measured_needs_no_work(make) -> None:
    result = estimate(make, stands=STANDS, measures=[DONE])
    assert result.work == ()
    assert result.problems == ()
    assert result.quantities["measures still to take"].value == 0


def test_the_days_it_stands_are_counted_in_working_hours(make) -> None:
    found = estimate(make, stands=STANDS, measures=[DONE]).quantities
    # From Monday 4 January: 28 days to 1 February, 30 to 3 February; 3 days x 10 h.
    assert found["first day the set stands"].value == 28
    assert found["last day the set stands"].value == 30
    assert found["working hours the set stands"].value == 30


def test_measuring_takes_a_beginning_and_so_much_for_each(make) -> None:
    (work,) = estimate(make, stands=STANDS, measures=[DOOR, SILL]).work
    # 1 h to begin + 2 x 0.75 h.
    assert work.hours.likely == 2.5
    assert work.craft == "art_department"


def test_stated_hours_stand_in_place_of_the_rule(make, quantity) -> None:
    hours = {"likely": quantity(6.0, "h"), "high": quantity(9.0, "h")}
    (work,) = estimate(make, stands=STANDS, measures=[DOOR], hours=hours, craft="survey").work
    assert (work.hours.low, work.hours.likely, work.hours.high) == (6, 6, 9)
    assert work.craft == "survey"


def test_too_few_hours_before_it_is_struck_are_told(make, finding, quantity) -> None:
    hours = {"likely": quantity(34.0, "h")}
    told = finding(
        estimate(make, stands=STANDS, measures=[DOOR], hours=hours), "too-few-hours-to-measure"
    )
    assert "34 h" in told.message
    assert "4 h too few" in told.message  # 34 h against 3 days of 10 h


def test_a_set_standing_over_a_week_end_only_is_told(make, finding) -> None:
    week_end = DateRange(date(2027, 2, 6), date(2027, 2, 7))
    told = finding(estimate(make, stands=week_end, measures=[]), "set-stands-on-no-working-day")
    assert "2027-02-06..2027-02-07" in told.message


def test_an_empty_list_of_measures_is_remarked(make, finding) -> None:
    told = finding(estimate(make, stands=STANDS), "no-measures-listed")
    assert told.severity is Severity.NOTE
