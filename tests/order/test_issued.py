"""An issued order opens again as the answer it was, whatever has been added or taken since."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from planner.kinds import Need
from planner.order import StageOrder, ask, issue
from planner.order.issued import reopened
from tests.order.floor import STAMP, floor_of, usual_work, with_south
from tests.order.test_arrange import work

if TYPE_CHECKING:
    from tests.conftest import ShowFolder


def test_an_issued_order_opens_with_the_starts_modes_and_ranks_it_had(show: ShowFolder) -> None:
    with_south(show)
    floor = floor_of(show, usual_work())
    order = floor.arranged()
    answer = reopened(
        issue(order, "A small show", STAMP), ask(floor.show, floor.graph, floor.estimates)
    )
    assert order.answer is not None
    assert answer.starts == order.answer.starts
    assert answer.finishes == order.answer.finishes
    assert answer.modes == order.answer.modes
    assert answer.priorities == order.answer.priorities


def test_a_call_whose_camera_is_gone_keeps_its_stage(show: ShowFolder) -> None:
    with_south(show, north=", away: [2027-03-01..2027-03-31]")
    needs = (Need("stage", ("north", "south")), Need("camera", ("cam",)))
    issued = floor_of(show, {"HL010.town": (work("photograph", 5, needs=needs),)}).issued()
    assert issued.calls[0].stage == "south"
    without = (Need("stage", ("north", "south")),)
    floor = floor_of(show, {"HL010.town": (work("photograph", 5, needs=without),)})
    question = ask(floor.show, floor.graph, floor.estimates)
    answer = reopened(issued, question)
    (activity,) = question.instance.activities
    assert "south" in activity.modes[answer.modes[activity.id]].uses


def test_work_that_is_gone_is_left_out_and_new_work_has_no_place(show: ShowFolder) -> None:
    floor = floor_of(show, {"hill_town": (work("build it", 10, "model_making"),)})
    later = floor.needing({"HL010.final": (work("join", 5, "compositing"),)})
    answer = reopened(floor.issued(), ask(later.show, later.graph, later.estimates))
    assert answer.starts == {}
    assert answer.priorities == {}


def test_work_whose_call_is_past_keeps_its_turn_and_has_no_place(show: ShowFolder) -> None:
    # Built on Monday, photographed on Tuesday, joined on Wednesday; nothing of it is done.
    floor = floor_of(show, usual_work())
    calendar = replace(floor.show.calendar, starts=date(2027, 3, 2))
    question = ask(replace(floor.show, calendar=calendar), floor.graph, floor.estimates)
    answer = reopened(floor.issued(), question)
    # A day has 40 quarters; Tuesday is the first.
    assert answer.starts == {"HL010.town/photograph": 0, "HL010.final/join": 40}
    assert "hill_town/build it" in answer.priorities
    assert answer.modes["hill_town/build it"] == 0


def test_an_order_made_by_hand_cannot_be_issued() -> None:
    order = StageOrder((), {}, {}, {}, 0.0, False, "by hand", ())
    with pytest.raises(ValueError, match="worked out"):
        issue(order, "A small show", STAMP)
