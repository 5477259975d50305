"""What to do to take a way out of a loss; places and days argued by hand.

The town of the small show is photographed with the first camera, for two days from Wednesday 3
March 2027.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from planner.model.facts import Money
from planner.order.lost import blow_of, lost_for_good
from planner.order.taking import steps_of
from planner.order.ways_out import rebuild, wait
from tests.order.test_ways_out import case, lost_build, town

if TYPE_CHECKING:
    from planner.order.ways_out import WayOut
    from tests.conftest import ShowFolder
    from tests.order.test_ways_out import Case

WEDNESDAY = date(2027, 3, 3)
AGAIN = "`platewright order SHOW --from 2027-03-03 --issue`"


def told(it: Case, way: WayOut | None, *, held_to: bool = False) -> list[str]:
    assert way is not None
    steps = steps_of(it.floor.show, it.blow, way, held_to=held_to)
    return [f"{step.place}: {step.says}" if step.place else step.says for step in steps]


def test_who_waits_posts_the_loss_with_the_day_it_is_back(show: ShowFolder) -> None:
    it = case(show, "cam", WEDNESDAY, town(("south",), ("cam",)))
    # Lost to Friday the 5th.
    posted = "`platewright post SHOW lost cam --value back=2027-03-06`"
    way = wait(it.floor.show, it.floor.estimates, it.blow)
    assert told(it, way) == [posted, AGAIN]
    place = it.floor.show.elements["HL010.town"].place
    # Where planning again would have it go on with something else, it must say that it waits.
    assert told(it, way, held_to=True)[0] == f"{place}: HL010.town: `camera: cam` and nothing else"


def test_what_is_hired_is_written_down_priced_and_named(show: ShowFolder) -> None:
    it = case(show, "cam", WEDNESDAY, town(("south",), ("cam",)))
    lost = it.floor.show.resources["cam"].place
    steps = told(it, it.hires(Money(Decimal(90), "GBP")))
    alike = "one more called `hired_cam`, written as First camera is, from 2027-03-03"
    assert steps[0] == f"{lost}: under `cameras`, {alike}"
    assert steps[1] == "in rates.yaml, `hired_cam` per day: 90.00 GBP"
    assert steps[2].endswith("HL010.town: `camera: hired_cam` and nothing else")


def test_hands_are_hired_by_heads_and_named_by_nobody(show: ShowFolder) -> None:
    it = case(show, "modellers", date(2027, 3, 1), town(("north",), ("cam",)))
    steps = told(it, it.hires(Money(Decimal(320), "GBP"), 3))
    said = "under `crews`, one more called `hired_modellers` of 3 heads, written as modellers are"
    assert f"{said}, from 2027-03-01" in steps[0]
    assert not any("nothing else" in each for each in steps)


def test_a_loss_that_is_still_to_come_is_stated(show: ShowFolder) -> None:
    it = case(show, "cam", WEDNESDAY, town(("south",), ("cam",)))
    monday = date(2027, 3, 1)
    blow = blow_of(it.blow.losses, it.blow.issued, monday, it.blow.started)
    way = wait(it.floor.show, it.floor.estimates, blow)
    assert way is not None
    place = it.floor.show.resources["cam"].place
    (stated, planned) = steps_of(it.floor.show, blow, way)
    assert (stated.place, stated.says) == (place, "cam: `away: [2027-03-03..2027-03-05]`")
    assert planned.says == "`platewright order SHOW --from 2027-03-01 --issue`"


def test_a_build_made_again_is_one_build_more_that_the_town_names(show: ShowFolder) -> None:
    it = lost_build(show, lost_for_good("hill_town", date(2027, 3, 2)))
    steps = told(it, rebuild(it.floor.show, it.floor.estimates, it.blow))
    assert (
        "one more build called `again_hill_town`, written as hill town is, `not_before" in steps[0]
    )
    assert steps[1].endswith("HL010.town: `build: again_hill_town` and nothing else")
