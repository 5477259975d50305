"""Dates of work: what waits, calendars, absences, deliveries and stage days, argued by hand.

The small show works Monday to Friday, ten hours from 08:00, from Monday 1 March 2027.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

import pytest

from planner.estimate import Estimates
from planner.graph import build_graph
from planner.kinds import Estimate, Hours, Need, Phase, Registry, Work
from planner.model.quantity import Quantity
from planner.order import arrange
from planner.schedule import Budget
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from planner.order import Call, StageOrder
    from tests.conftest import ShowFolder

NORTH = (Need("stage", ("north",)),)


def work(name: str, hours: float, craft: str = "stage", **more: object) -> Work:
    reason = Quantity(f"hours to {name}", hours, "h")
    return Work(name, craft, Phase.STAGE, Hours(hours, hours, hours), reason, **more)  # type: ignore[arg-type]


def order_of(show: ShowFolder, work_by_element: dict[str, tuple[Work, ...]]) -> StageOrder:
    read, problems = load_show(show.path, Registry())
    assert problems == ()
    assert read is not None
    graph, _problems = build_graph(read)
    by_element = {id_: Estimate(id_, work=work_by_element.get(id_, ())) for id_ in read.elements}
    estimates = Estimates(by_element, {}, (), ())
    return arrange(read, graph, estimates, lambda _calls: Budget(evaluations=50, effort=0.5))


def call_of(order: StageOrder, element: str, name: str) -> Call:
    (call,) = [each for each in order.calls if (each.element, each.work.name) == (element, name)]
    return call


def test_work_starts_when_what_it_waits_for_is_done(show: ShowFolder) -> None:
    order = order_of(
        show,
        {
            "hill_town": (work("build it", 10, "model_making"),),
            "HL010.town": (work("photograph", 5, needs=NORTH),),
        },
    )
    # Ten hours fill Monday 1 March; photography begins on Tuesday.
    assert call_of(order, "hill_town", "build it").starts == datetime(2027, 3, 1, 8)
    assert call_of(order, "HL010.town", "photograph").starts == datetime(2027, 3, 2, 8)
    assert call_of(order, "HL010.town", "photograph").ends == datetime(2027, 3, 2, 13)


def test_waiting_passes_through_elements_that_need_no_work(show: ShowFolder) -> None:
    order = order_of(
        show,
        {
            "hill_town": (work("build it", 10, "model_making"),),
            "HL010.final": (work("join", 4, "compositing"),),
        },
    )
    assert call_of(order, "HL010.final", "join").starts == datetime(2027, 3, 2, 8)


def test_drying_paint_dries_by_night_and_a_laboratory_does_not_work_then(show: ShowFolder) -> None:
    reason = Quantity("hours", 4, "h")
    painted = Work("paint", "painting", Phase.BUILD, Hours(4, 4, 4), reason, wait_hours=12.0)
    shot = work("photograph", 4, needs=NORTH, wait_hours=8.0)
    order = order_of(
        show,
        {
            "hill_town": (painted,),
            "HL010.town": (shot,),
            "HL010.final": (work("join", 2, "compositing"),),
        },
    )
    # Painted by noon on Monday, dry at midnight; shot Tuesday to noon; eight laboratory hours are
    # six on Tuesday and two on Wednesday.
    assert call_of(order, "HL010.town", "photograph").starts == datetime(2027, 3, 2, 8)
    assert call_of(order, "HL010.final", "join").starts == datetime(2027, 3, 3, 10)
    # No order is shorter, though nothing were scarce: joined at noon on Wednesday, 24 hours of 10
    # a day from Monday morning on.
    assert order.bound_days == 2.4


def test_nobody_works_on_a_holiday_or_a_week_end(show: ShowFolder) -> None:
    show.replace(
        "show.yaml", "  day_hours: 10 h\n", "  day_hours: 10 h\n  holidays: [2027-03-05]\n"
    )
    order = order_of(show, {"hill_town": (work("build it", 45, "model_making"),)})
    # Four ten-hour days, Monday to Thursday; Friday is a holiday; five hours on Monday.
    assert call_of(order, "hill_town", "build it").ends == datetime(2027, 3, 8, 13)


def test_a_stage_let_to_others_is_not_used(show: ShowFolder) -> None:
    show.replace("resources.yaml", "height: 7 m}", "height: 7 m, away: [2027-03-01..2027-03-03]}")
    order = order_of(show, {"HL010.town": (work("photograph", 5, needs=NORTH),)})
    assert call_of(order, "HL010.town", "photograph").starts == datetime(2027, 3, 4, 8)


def test_not_before_holds_work_back(show: ShowFolder) -> None:
    show.replace(
        "sequences/hill.yaml", "nearest: 40 m", "nearest: 40 m\n        not_before: 2027-03-10"
    )
    order = order_of(show, {"HL010.town": (work("photograph", 5, needs=NORTH),)})
    assert call_of(order, "HL010.town", "photograph").starts == datetime(2027, 3, 10, 8)


def test_one_stage_takes_one_set_up_at_a_time_and_an_hour_to_strike(show: ShowFolder) -> None:
    order = order_of(
        show,
        {
            "HL010.sky": (work("photograph", 3, needs=NORTH, set_up="sky"),),
            "HL010.town": (work("photograph", 3, needs=NORTH, set_up="town"),),
        },
    )
    first, second = order.calls
    assert first.ends == datetime(2027, 3, 1, 11)
    assert second.starts == datetime(2027, 3, 1, 12)


def test_a_late_composite_is_told_with_its_days(show: ShowFolder) -> None:
    show.replace("show.yaml", "date: 2027-12-01", "date: 2027-03-02")
    order = order_of(show, {"HL010.final": (work("join", 45, "compositing"),)})
    # Forty-five hours end on Friday 5 March, three working days after Tuesday.
    assert order.late == {"HL010": 3}
    (problem,) = order.problems
    assert problem.code == "delivery-late"
    assert "2027-03-05, 3 working days after" in problem.message


def test_days_held_count_idle_days_inside_a_run_of_one_set_up(show: ShowFolder) -> None:
    show.replace(
        "sequences/hill.yaml",
        "sky: {kind: plate, sort: live, on: location}",
        "sky: {kind: plate, sort: live, on: location, not_before: 2027-03-04}",
    )
    # The town is kept on Monday, though it would be photographed beside the sky if it were free.
    locked = "action: still\n        locked: {date: 2027-03-01}"
    show.replace("sequences/hill.yaml", "action: still", locked)
    both = {"set_up": "the hill", "needs": NORTH}
    order = order_of(
        show,
        {
            "HL010.town": (work("photograph", 10, **both),),
            "HL010.sky": (work("photograph", 10, **both),),
        },
    )
    assert order.days_held["north"] == tuple(date(2027, 3, day) for day in (1, 2, 3, 4))


def test_two_pieces_of_work_without_a_set_up_hold_no_day_between_them(show: ShowFolder) -> None:
    show.replace(
        "sequences/hill.yaml",
        "sky: {kind: plate, sort: live, on: location}",
        "sky: {kind: plate, sort: live, on: location, not_before: 2027-03-04}",
    )
    # The town is kept on Monday. Nothing of either stands on the stage: Tuesday and Wednesday are
    # nobody's, and nobody pays for them.
    locked = "action: still\n        locked: {date: 2027-03-01}"
    show.replace("sequences/hill.yaml", "action: still", locked)
    order = order_of(
        show,
        {
            "HL010.town": (work("check it", 10, needs=NORTH),),
            "HL010.sky": (work("check it", 10, needs=NORTH),),
        },
    )
    assert [(each.element, each.starts.day) for each in order.calls] == [
        ("HL010.town", 1),
        ("HL010.sky", 4),
    ]
    assert order.days_held["north"] == (date(2027, 3, 1), date(2027, 3, 4))


@pytest.mark.parametrize(
    ("load_in", "days"),
    [("0 h", (3, 8, 9)), ("5 h", (2, 3, 8, 9)), ("12 h", (1, 2, 3, 5, 8, 9))],
)
def test_a_stage_is_held_while_it_is_changed_over_and_nobody_is_called(
    show: ShowFolder, load_in: str, days: tuple[int, ...]
) -> None:
    show.replace("resources.yaml", "height: 7 m}", f"height: 7 m, load_in: {load_in}}}")
    show.replace(
        "sequences/hill.yaml",
        "sky: {kind: plate, sort: live, on: location}",
        "sky: {kind: plate, sort: live, on: location, locked: {date: 2027-03-09}}",
    )
    locked = "action: still\n        locked: {date: 2027-03-03}"
    show.replace("sequences/hill.yaml", "action: still", locked)
    order = order_of(
        show,
        {
            "HL010.town": (work("photograph", 10, needs=NORTH, set_up="town"),),
            "HL010.sky": (work("photograph", 10, needs=NORTH, set_up="sky"),),
        },
    )
    # Both fill their days, Wednesday 3 and Tuesday 9. The load-in of the one is over by Wednesday;
    # that of the other, and an hour of strike before it, lie in days of ten hours before Tuesday.
    assert order.days_held["north"] == tuple(date(2027, 3, day) for day in days)


def test_more_hands_than_the_crew_has_is_told_and_still_ordered(show: ShowFolder) -> None:
    order = order_of(show, {"HL010.town": (work("photograph", 5, heads=9, needs=NORTH),)})
    assert [problem.code for problem in order.problems] == ["crew-too-small"]
    assert len(order.calls) == 1


def test_a_plate_is_reported_once_the_camera_has_run_and_joined_once_its_film_is_back(
    show: ShowFolder,
) -> None:
    shot = replace(work("photograph", 2, wait_hours=8.0), phase=Phase.LOCATION)
    report = replace(work("report", 1.5, after=("photograph",)), phase=Phase.LOCATION)
    order = order_of(
        show,
        {"HL010.sky": (shot, report), "HL010.final": (work("join", 5, "compositing"),)},
    )
    # Photographed from 8 to 10 on Monday and reported at once; eight laboratory hours end at 18:00,
    # with the day, whatever the report took.
    assert call_of(order, "HL010.sky", "report").starts == datetime(2027, 3, 1, 10)
    assert call_of(order, "HL010.final", "join").starts == datetime(2027, 3, 2, 8)
    # A report of nine hours ends later than the film is back.
    slow = replace(report, hours=Hours(9, 9, 9))
    order = order_of(
        show,
        {"HL010.sky": (shot, slow), "HL010.final": (work("join", 5, "compositing"),)},
    )
    assert call_of(order, "HL010.final", "join").starts == datetime(2027, 3, 2, 9)


def test_work_of_an_omitted_shot_is_left_out(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", "cut: 1-96", "cut: 1-96\n    state: omitted")
    order = order_of(show, {"HL010.town": (work("photograph", 5, needs=NORTH),)})
    assert order.calls == ()


def test_the_same_show_gives_the_same_order(show: ShowFolder) -> None:
    works = {
        "hill_town": (work("build it", 31, "model_making"),),
        "HL010.sky": (work("photograph", 7, needs=NORTH, set_up="sky"),),
        "HL010.town": (work("photograph", 9, needs=NORTH, set_up="town"),),
    }
    assert order_of(show, works) == order_of(show, works)


def test_an_element_is_photographed_where_it_was_set_up(show: ShowFolder) -> None:
    show.replace(
        "resources.yaml",
        "  north: {width: 18 m, depth: 24 m, height: 7 m}\n",
        "  north: {width: 18 m, depth: 24 m, height: 7 m, away: [2027-03-02]}\n"
        "  south: {width: 18 m, depth: 24 m, height: 7 m, away: [2027-03-01]}\n",
    )
    either = {"needs": (Need("stage", ("north", "south")),), "set_up": "town"}
    works = (work("set up", 10, **either), work("photograph", 5, after=("set up",), **either))
    order = order_of(show, {"HL010.town": works})
    # North is free on Monday for the set-up and let on Tuesday: photography there waits for
    # Wednesday. South is free from Tuesday: set up then, photographed on Wednesday too.
    assert len({call.stage for call in order.calls}) == 1
    assert call_of(order, "HL010.town", "photograph").starts == datetime(2027, 3, 3, 8)
