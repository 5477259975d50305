"""What holds a call, at first glance: the same as the whole chain says of it first."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.kinds import Need
from planner.order import why_then
from planner.order.dates import why_now
from tests.order.floor import floor_of
from tests.order.test_arrange import work

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

NORTH = (Need("stage", ("north",)),)
WORKS = {
    "hill_town": (work("build it", 10, "model_making"),),
    "HL010.sky": (work("photograph", 12, needs=NORTH, set_up="sky"),),
    "HL010.town": (
        work("set up", 4, needs=NORTH, set_up="town"),
        work("photograph", 2, needs=NORTH, set_up="town", after=("set up",)),
    ),
    "HL010.final": (work("join", 4, "compositing"),),
}


@pytest.mark.parametrize("change", [("height: 7 m}", "height: 7 m}"), ("heads: 6", "heads: 1")])
def test_the_first_reason_is_that_of_the_whole_argument(
    show: ShowFolder, change: tuple[str, str]
) -> None:
    show.replace("resources.yaml", *change)
    order = floor_of(show, WORKS).arranged()
    why = why_now(order)
    assert [why(call) for call in order.calls] == [why_then(order, call)[0] for call in order.calls]


def test_a_locked_call_is_fixed_there(show: ShowFolder) -> None:
    show.replace(
        "sequences/hill.yaml", "nearest: 40 m", "nearest: 40 m\n        locked: {date: 2027-03-10}"
    )
    order = floor_of(show, WORKS).arranged()
    call = next(each for each in order.calls if each.id == "HL010.town/set up")
    assert why_now(order)(call).endswith("2027 08:00: it is fixed there")
