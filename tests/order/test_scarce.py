"""Real facts of stages, calendars and prices, as they reach the order; dates argued by hand.

The small show works Monday to Friday, ten hours from 08:00, from Monday 1 March 2027.
"""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

import pytest

from planner.kinds import Need
from planner.model.place import Severity
from planner.order import why_then
from tests.order.test_arrange import NORTH, call_of, order_of, work

if TYPE_CHECKING:
    from planner.order import StageOrder
    from tests.conftest import ShowFolder

ROOM = "height: 7 m}"


def two_set_ups(show: ShowFolder) -> tuple[datetime, datetime]:
    order = order_of(
        show,
        {
            "HL010.sky": (work("photograph", 2, needs=NORTH, set_up="sky"),),
            "HL010.town": (work("photograph", 2, needs=NORTH, set_up="town"),),
        },
    )
    first, second = order.calls
    return first.starts, second.starts


def test_a_stage_is_loaded_and_lit_before_the_crew_is_called(show: ShowFolder) -> None:
    show.replace("resources.yaml", ROOM, "height: 7 m, load_in: 1 h, pre_light: 1.5 h}")
    first, second = two_set_ups(show)
    # In and lit by 10:30; two hours to 12:30; one hour to strike, two and a half to bring the
    # next one in: 16:00.
    assert first == datetime(2027, 3, 1, 10, 30)
    assert second == datetime(2027, 3, 1, 16)


def test_a_stage_states_its_own_hours_to_strike(show: ShowFolder) -> None:
    show.replace("resources.yaml", ROOM, "height: 7 m, strike: 3 h}")
    first, second = two_set_ups(show)
    assert first == datetime(2027, 3, 1, 8)
    # Two hours to 10:00 and three to strike.
    assert second == datetime(2027, 3, 1, 13)


def test_a_day_too_long_for_the_rest_is_told_and_shortened(show: ShowFolder) -> None:
    show.replace("show.yaml", "  day_hours: 10 h\n", "  day_hours: 10 h\n  rest: 16 h\n")
    order = order_of(show, {"hill_town": (work("build it", 12, "model_making"),)})
    # 24 less 16 leaves eight hours: eight on Monday and four on Tuesday.
    assert call_of(order, "hill_town", "build it").ends == datetime(2027, 3, 2, 12)
    (problem,) = order.problems
    assert problem.code == "rest-too-short"
    assert "10 h leaves 14 h before the next call, and 16 h of rest are wanted" in problem.message
    assert "8 h" in problem.remedy


def test_enough_rest_changes_nothing(show: ShowFolder) -> None:
    show.replace("show.yaml", "  day_hours: 10 h\n", "  day_hours: 10 h\n  rest: 11 h\n")
    order = order_of(show, {"hill_town": (work("build it", 12, "model_making"),)})
    assert order.problems == ()
    assert call_of(order, "hill_town", "build it").ends == datetime(2027, 3, 2, 10)


def test_a_build_lent_away_holds_its_work_up(show: ShowFolder) -> None:
    show.replace("builds.yaml", "scale: 1/24", "scale: 1/24\n    away: [2027-03-01..2027-03-02]")
    town = (*NORTH, Need("build", ("hill_town",)))
    order = order_of(show, {"HL010.town": (work("photograph", 2, needs=town),)})
    assert call_of(order, "HL010.town", "photograph").starts == datetime(2027, 3, 3, 8)


def test_days_of_a_stage_are_priced_at_its_rate_and_what_the_show_adds(show: ShowFolder) -> None:
    show.replace("show.yaml", "overhead: 12 %", "overhead: 12 %\nweights: {day_held: 400 GBP}")
    order = order_of(show, {"HL010.town": (work("photograph", 2, needs=NORTH),)})
    assert order.question is not None
    north = next(each for each in order.question.instance.resources if each.id == "north")
    # 2400 GBP with 12 % of overhead and 10 % of contingency; what the show adds carries neither.
    assert north.held_day_cost == 2928 + 400


def test_a_delivery_may_weigh_less_than_another_and_still_weigh(show: ShowFolder) -> None:
    show.replace("show.yaml", "of: [hill]}", "of: [hill], weight: 0.4}")
    show.replace("show.yaml", "overhead: 12 %", "overhead: 12 %\nweights: {late: 1000 GBP}")
    order = order_of(show, {"HL010.final": (work("join", 2, "compositing"),)})
    assert order.question is not None
    (join,) = order.question.instance.activities
    # 1000 GBP a day of 40 quarter hours, four tenths of it.
    assert join.weight * order.question.instance.weights.late == 10


def puppet_on_two_stages(show: ShowFolder) -> StageOrder:
    """One puppet before the camera on either stage, two hours each."""
    show.replace(
        "resources.yaml",
        "  north: {width: 18 m, depth: 24 m, height: 7 m}\n",
        "  north: {width: 18 m, depth: 24 m, height: 7 m}\n"
        "  south: {width: 18 m, depth: 24 m, height: 7 m}\n",
    )
    puppet = Need("build", ("hill_town",))
    south = Need("stage", ("south",))
    return order_of(
        show,
        {
            "HL010.sky": (work("photograph", 2, needs=(*NORTH, puppet), set_up="sky"),),
            "HL010.town": (work("photograph", 2, needs=(south, puppet), set_up="town"),),
        },
    )


def test_one_puppet_is_before_one_camera_at_a_time(show: ShowFolder) -> None:
    first, second = puppet_on_two_stages(show).calls
    # From 08:00 to 10:00 on the one stage, then at once on the other.
    assert (first.ends, second.starts) == (datetime(2027, 3, 1, 10), datetime(2027, 3, 1, 10))
    assert first.stage != second.stage


def test_a_puppet_is_carried_to_the_other_stage_in_the_time_that_takes(show: ShowFolder) -> None:
    show.replace("builds.yaml", "scale: 1/24", "scale: 1/24\n    move_time: 3 h")
    order = puppet_on_two_stages(show)
    first, second = order.calls
    # Over at 10:00, carried until 13:00.
    assert (first.ends, second.starts) == (datetime(2027, 3, 1, 10), datetime(2027, 3, 1, 13))
    assert any("hill_town is carried over" in said for said in why_then(order, second))


def test_what_is_carried_in_no_time_that_anybody_stated_is_told_once(show: ShowFolder) -> None:
    order = puppet_on_two_stages(show)
    (note,) = [each for each in order.problems if each.code == "move-time-assumed"]
    assert str(note.place) == show.place("builds.yaml", "makes: miniature")
    assert note.severity is Severity.NOTE
    # Two calls on two stages: carried once, from the first of them to the second.
    first, second = (f"{each.element}, {each.work.name}" for each in order.calls)
    assert f": hill_town once, between {first} and {second}; the order takes" in note.message


@pytest.mark.parametrize("stated", ["move_time: 3 h", "move_time: 0 h", "copies: 2"])
def test_nothing_is_assumed_where_a_time_is_stated_or_none_is_carried(
    show: ShowFolder, stated: str
) -> None:
    show.replace("builds.yaml", "scale: 1/24", f"scale: 1/24\n    {stated}")
    order = puppet_on_two_stages(show)
    assert not [each for each in order.problems if each.code == "move-time-assumed"]


def test_two_puppets_alike_need_not_be_carried(show: ShowFolder) -> None:
    show.replace("builds.yaml", "scale: 1/24", "scale: 1/24\n    copies: 2\n    move_time: 3 h")
    first, second = puppet_on_two_stages(show).calls
    assert first.starts == second.starts == datetime(2027, 3, 1, 8)


def test_a_rig_is_moved_too_and_on_its_own_stage_stays_where_it_is(show: ShowFolder) -> None:
    show.replace("resources.yaml", "cameras:\n", "rigs:\n  track: {move_time: 5 h}\ncameras:\n")
    needs = (*NORTH, Need("rig", ("track",)))
    order = order_of(
        show,
        {
            "HL010.sky": (work("photograph", 2, needs=needs),),
            "HL010.town": (work("photograph", 2, needs=needs),),
        },
    )
    first, second = order.calls
    assert (first.ends, second.starts) == (datetime(2027, 3, 1, 10), datetime(2027, 3, 1, 10))


def test_a_stage_is_had_in_its_hours_of_the_day(show: ShowFolder) -> None:
    hours = "height: 7 m, called_between: {from: 10:00, to: 14:00}}"
    show.replace("resources.yaml", ROOM, hours)
    shots = {
        "HL010.sky": (work("photograph", 3, needs=NORTH),),
        "HL010.town": (work("photograph", 2, needs=NORTH),),
    }
    order = order_of(show, shots)
    called = sorted((call.starts, call.ends) for call in order.calls)
    # Two hours from 10:00, or three; the other goes on the next morning from 10:00, five in all.
    assert called[0][0] == datetime(2027, 3, 1, 10)
    assert called[-1][1] == datetime(2027, 3, 2, 11)


def test_a_last_day_before_the_first_is_told_at_its_place(show: ShowFolder) -> None:
    days = "height: 7 m, from: 2027-04-15, until: 2027-04-12}"
    show.replace("resources.yaml", ROOM, days)
    order = order_of(show, {"HL010.sky": (work("photograph", 3, needs=NORTH),)})
    (problem,) = order.problems
    assert (problem.code, str(problem.place)) == (
        "days-end-first",
        show.place("resources.yaml", "2027-04-12}"),
    )
    # The stage is not away for ever: neither day binds anything.
    assert call_of(order, "HL010.sky", "photograph").starts == datetime(2027, 3, 1, 8)


def test_hours_that_end_before_they_begin_are_told_at_their_place(show: ShowFolder) -> None:
    hours = "height: 7 m, called_between: {from: 14:00, to: 10:00}}"
    show.replace("resources.yaml", ROOM, hours)
    order = order_of(show, {"HL010.sky": (work("photograph", 3, needs=NORTH),)})
    (problem,) = order.problems
    assert (problem.code, str(problem.place)) == (
        "hours-end-first",
        show.place("resources.yaml", "10:00}"),
    )
    assert call_of(order, "HL010.sky", "photograph").starts == datetime(2027, 3, 1, 8)
