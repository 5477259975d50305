"""Day orders: what whoever strikes a set-up, or leaves it standing, reads of what comes next.

The small show works Monday to Friday, ten hours from 08:00, from Monday 1 March 2027.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from planner.kinds import Need
from planner.pages.order_text import Notes
from planner.pages.prints.dated import worked_out
from planner.pages.prints.days import day_orders, week_orders
from planner.pages.prints.sheet import Listed, Table
from tests.order.floor import floor_of
from tests.order.test_arrange import work

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

NORTH = (Need("stage", ("north",)),)


def test_a_set_up_that_is_called_again_stands_and_another_is_told(show: ShowFolder) -> None:
    works = {
        "HL010.town": (
            work("set up", 10, needs=NORTH, set_up="town"),
            work("photograph", 5, after=("set up",), needs=NORTH, set_up="town"),
        ),
        # It waits for the town, so that it comes last.
        "HL010.final": (work("print it", 12, needs=NORTH, set_up="print"),),
    }
    floor = floor_of(show, works)
    dated = worked_out(floor.arranged())
    says = [day_orders(floor.show, dated, date(2027, 3, day))[0].says for day in (1, 2, 3)]
    assert says[0].endswith("The set-up stands: called next here Tue 2 Mar 2027 08:00.")
    # The print is begun on Tuesday and goes on on Wednesday.
    assert "stands" not in says[1]
    assert "Next here" not in says[1]
    assert says[2].endswith("Nothing else is called here.")


def test_another_set_up_is_told_with_its_hour(show: ShowFolder) -> None:
    works = {
        "HL010.sky": (work("photograph", 10, needs=NORTH, set_up="sky"),),
        "HL010.final": (work("print it", 2, needs=NORTH, set_up="print"),),
    }
    floor = floor_of(show, works)
    (sheet,) = day_orders(floor.show, worked_out(floor.arranged()), date(2027, 3, 1))
    # The stage takes an hour to change over.
    assert sheet.says.endswith("Next here, Tue 2 Mar 2027 09:00: print.")


def test_a_week_says_once_and_whole_what_cannot_be_done_and_points_to_it(
    show: ShowFolder,
) -> None:
    works = {
        "HL010.town": (
            work("set up", 10, needs=NORTH, set_up="town"),
            work("photograph", 5, after=("set up",), needs=NORTH, set_up="town"),
        ),
        "HL010.final": (work("join", 2, "compositing"),),
    }
    floor = floor_of(show, works)
    faults = Notes({"HL010.town": ("cannot be done as planned: it burns [stage-forbids]",)})
    (sheet,) = week_orders(floor.show, worked_out(floor.arranged()), date(2027, 3, 1), faults)
    stages, off_stage, *_ = sheet.blocks
    assert isinstance(stages, Table)
    assert isinstance(off_stage, Table)
    # Set up on Monday and photographed on Tuesday, on the first stage of the table.
    monday, tuesday = stages.rows[:2]
    assert "! see below" in monday[1]
    assert "! see below" in tuesday[1]
    assert not [row for row in off_stage.rows if "! see below" in row[2]]
    (listed,) = [each for each in sheet.blocks if isinstance(each, Listed)]
    assert listed.items == ("HL010.town cannot be done as planned: it burns [stage-forbids]",)


def test_a_week_with_nothing_found_points_nowhere(show: ShowFolder) -> None:
    works = {"HL010.town": (work("photograph", 5, needs=NORTH, set_up="town"),)}
    floor = floor_of(show, works)
    (sheet,) = week_orders(floor.show, worked_out(floor.arranged()), date(2027, 3, 1))
    assert "see below" not in repr(sheet.blocks)
