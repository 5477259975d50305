"""The stage order cut into weeks, days and blocks."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

from planner.kinds import Hours, Phase, Work
from planner.model.facts import DateRange
from planner.model.quantity import Quantity
from planner.model.show import WorkCalendar
from planner.order.stage_order import Call
from planner.pages.report.week_grid import Block, cut

MONDAY = date(2027, 3, 1)
DAY = timedelta(days=1)
# Eight to six, Monday to Friday.
CALENDAR = WorkCalendar(MONDAY, frozenset(range(5)), (), time(8), 10.0)


def call(name: str, starts: str, ends: str, stage: str = "north", element: str = "A.sky") -> Call:
    hours = Hours(1, 1, 1)
    work = Work(name, "camera", Phase.STAGE, hours, Quantity("hours", 1, "h"))
    first, last = (datetime.fromisoformat(f"2027-03-{each}") for each in (starts, ends))
    return Call(element, work, first, last, 1.0, (stage,), stage)


def blocks(*calls: Call, calendar: WorkCalendar = CALENDAR) -> dict[str, list[Block]]:
    """Blocks of the north stage by day."""
    held = {"north": frozenset(each.starts.date() for each in calls)}
    return {
        f"{day:%a %d}": list(its)
        for week in cut(calls, held, calendar)
        for stage in week.stages
        for day, its in zip(week.days, stage.by_day, strict=True)
        if its
    }


def hours_of(
    *calls: Call, calendar: WorkCalendar = CALENDAR
) -> dict[str, list[tuple[float, float]]]:
    found = blocks(*calls, calendar=calendar)
    return {day: [(each.begins, each.ends) for each in its] for day, its in found.items()}


def test_a_call_is_cut_by_the_night_and_the_week_end() -> None:
    # Two hours from five on Friday: one until six, one from eight on Monday.
    assert hours_of(call("set up", "05T17:00", "08T09:00")) == {
        "Fri 05": [(17, 18)],
        "Mon 08": [(8, 9)],
    }


def test_a_call_over_a_holiday_skips_it() -> None:
    free = DateRange(MONDAY + DAY, MONDAY + DAY)
    closed = WorkCalendar(MONDAY, frozenset(range(5)), (free,), time(8), 10.0)
    assert hours_of(call("set up", "01T17:00", "03T09:00"), calendar=closed) == {
        "Mon 01": [(17, 18)],
        "Wed 03": [(8, 9)],
    }


def test_works_of_one_element_that_touch_are_one_block_with_a_line_each() -> None:
    found = blocks(
        call("set up", "01T08:00", "01T13:00"), call("photograph", "01T13:00", "01T14:45")
    )
    (block,) = found["Mon 01"]
    assert (block.begins, block.ends) == (8, 14.75)
    assert block.says == ("08:00 set up", "13:00 photograph")


def test_a_pause_or_another_element_parts_blocks() -> None:
    found = hours_of(
        call("set up", "01T08:00", "01T09:00"),
        call("photograph", "01T10:00", "01T11:00"),
        call("set up", "01T11:00", "01T12:00", element="B.sky"),
    )
    assert found["Mon 01"] == [(8, 9), (10, 11), (11, 12)]


def test_a_short_block_leaves_out_the_hours_then_the_work_then_the_name() -> None:
    # 24 px an hour and 12 px a line: 22 px hold one line, 46 px three.
    two_hours = blocks(call("set up", "01T08:00", "01T10:00"))["Mon 01"][0]
    hour = blocks(call("set up", "01T08:00", "01T09:00"))["Mon 01"][0]
    quarter = blocks(call("set up", "01T08:00", "01T08:15"))["Mon 01"][0]
    assert (two_hours.is_named, two_hours.says) == (True, ("08:00 set up",))
    assert (hour.is_named, hour.says) == (True, ())
    assert (quarter.is_named, quarter.says) == (False, ())
    assert quarter.told == "A.sky: 08:00 set up, until 08:15"


def test_what_a_stage_holds_at_once_stands_abreast() -> None:
    found = blocks(
        call("set up", "01T08:00", "01T12:00"),
        call("set up", "01T09:00", "01T10:00", element="B.sky"),
        call("set up", "01T12:00", "01T14:00", element="C.sky"),
    )
    assert [(each.element, each.across, each.abreast) for each in found["Mon 01"]] == [
        ("A.sky", 0, 2),
        ("B.sky", 1, 2),
        ("C.sky", 0, 1),
    ]


def test_a_day_held_without_work_is_idle_and_keeps_its_week() -> None:
    held = {"north": frozenset({MONDAY, MONDAY + DAY}), "south": frozenset[date]()}
    (week,) = cut([call("set up", "01T08:00", "01T10:00")], held, CALENDAR)
    assert [each.stage for each in week.stages] == ["north"]
    assert week.stages[0].idle == {MONDAY + DAY}


def test_the_grid_opens_with_the_day_and_earlier_or_later_for_a_call_outside_it() -> None:
    held = {"north": frozenset({MONDAY})}
    (usual,) = cut([call("set up", "01T09:00", "01T10:00")], held, CALENDAR)
    (night,) = cut([call("set up", "01T06:30", "01T20:15")], held, CALENDAR)
    assert (usual.opens, usual.closes) == (8, 18)
    assert (night.opens, night.closes) == (6, 21)


def test_a_call_on_a_day_off_gets_a_column() -> None:
    held = {"north": frozenset[date]()}
    (week,) = cut([call("set up", "06T09:00", "06T10:00")], held, CALENDAR)
    assert [f"{day:%a}" for day in week.days] == ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat"]


def test_calls_off_stage_are_in_no_week() -> None:
    assert cut([call("paint", "01T09:00", "01T10:00", stage="")], {}, CALENDAR) == ()
