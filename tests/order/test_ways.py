"""Who and what may do a piece of work, and what there is too little of."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from planner.kinds import Need
from tests.order.test_arrange import NORTH, call_of, order_of, work

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

DIRECTOR = "people:\n  director: {craft: direction, away: [2027-03-01..2027-03-03]}\n"


def with_director(show: ShowFolder) -> None:
    text = (show.path / "resources.yaml").read_text(encoding="utf-8")
    show.write("resources.yaml", text + DIRECTOR)


def test_who_must_be_present_is_there_while_it_is_photographed_and_not_before(
    show: ShowFolder,
) -> None:
    with_director(show)
    show.replace(
        "sequences/hill.yaml", "nearest: 40 m", "nearest: 40 m\n        presence: director"
    )
    works = (
        work("set up", 4, needs=NORTH, set_up="town"),
        work("photograph", 2, needs=NORTH, set_up="town", after=("set up",)),
        work("stand by", 2, after=("set up",)),
    )
    order = order_of(show, {"HL010.town": works})
    # Away from Monday to Wednesday: set up at once, photographed on Thursday.
    assert call_of(order, "HL010.town", "set up").starts == datetime(2027, 3, 1, 8)
    photographed = call_of(order, "HL010.town", "photograph")
    assert photographed.starts == datetime(2027, 3, 4, 8)
    assert "director" in photographed.holds
    assert "director" not in call_of(order, "HL010.town", "set up").holds


def test_a_composite_waits_for_the_director_with_its_last_work_only(show: ShowFolder) -> None:
    with_director(show)
    show.replace(
        "sequences/hill.yaml", "joins: [sky, town]", "joins: [sky, town], presence: [director]"
    )
    works = (work("join", 6, "joining"), work("judge", 1, "joining", after=("join",)))
    order = order_of(show, {"HL010.final": works})
    assert call_of(order, "HL010.final", "join").starts == datetime(2027, 3, 1, 8)
    assert call_of(order, "HL010.final", "judge").starts == datetime(2027, 3, 4, 8)


def test_one_thing_wanted_for_two_uses_takes_the_other_of_the_options(show: ShowFolder) -> None:
    show.replace(
        "resources.yaml",
        "  cam: {top_rate: 120 fps}\n",
        "  cam: {top_rate: 120 fps}\n  cam_two: {top_rate: 120 fps}\n",
    )
    needs = (Need("camera", ("cam", "cam_two")), Need("camera", ("cam",)))
    order = order_of(show, {"HL010.town": (work("photograph", 2, needs=needs),)})
    assert set(order.calls[0].holds) == {"stage_crew", "cam", "cam_two"}


def test_more_than_there_is_is_told_and_still_ordered(show: ShowFolder) -> None:
    show.replace("builds.yaml", "scale: 1/24", "scale: 1/24\n    copies: 2")
    needs = (Need("build", ("hill_town",), units=3),)
    order = order_of(show, {"HL010.town": (work("photograph", 2, needs=needs),)})
    (problem,) = order.problems
    assert problem.code == "more-than-there-is"
    assert "wants 3 of hill town, and there is 2" in problem.message
    assert len(order.calls) == 1
