"""What a take tells of what stood before it: a miniature taken, its build never posted."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from planner.ledger import What
from planner.status import Step
from planner.status.shown import with_shown
from tests.cli.test_commands import QUICK, run
from tests.ledger.told import START, event

if TYPE_CHECKING:
    from tests.conftest import ShowFolder
    from tests.status.conftest import Floor

TOWN = "HL010.town"


def test_a_take_tells_that_its_build_was_there(floor: Floor) -> None:
    told = with_shown(floor.standing(event(1, What.TAKE, TOWN, take="1")))
    assert told.is_done("hill_town")
    assert told.of("hill_town").since == told.of(TOWN).takes[0].at > START
    # A set-up without a take is no photography yet: it tells nothing.
    set_up = with_shown(floor.standing(event(1, What.SET_UP, TOWN)))
    assert not set_up.is_done("hill_town")


def test_a_take_tells_nothing_of_other_photography(floor: Floor) -> None:
    told = with_shown(floor.standing(event(1, What.TAKE, TOWN, take="1")))
    assert told.of("HL010.sky").step is Step.BOARDED
    version = with_shown(floor.standing(event(1, What.TAKE, "HL010.final", take="1")))
    assert not version.is_done("HL010.sky")
    assert not version.is_done("hill_town")


def test_a_build_that_was_lost_is_not_there_for_an_old_take(floor: Floor) -> None:
    take, lost = event(1, What.TAKE, TOWN, take="1"), event(2, What.LOST, "hill_town")
    assert not with_shown(floor.standing(take, lost)).is_done("hill_town")


def test_order_blocking_and_post_take_a_build_as_made_alike(show: ShowFolder) -> None:
    run("order", show.path, "--issue", *QUICK)
    kept = json.loads((show.path / "issued" / "order_001.json").read_bytes())["calls"]
    # Taken on the first day of the show, before the build was called to be over.
    asked = ("--take", "1", "--at", "2027-03-01 12:00", "--on", "2027-03-01")
    run("post", show.path, "take", TOWN, *asked)
    (blocked,) = json.loads(run("blocking", show.path, "--json", "--on", "2027-03-02").stdout)[
        "blocked"
    ]
    assert "hill_town" not in {each["id"] for each in blocked["chain"]}
    told = json.loads(run("order", show.path, "--from", "2027-03-02", "--json", *QUICK).stdout)
    late = {each["element"] for each in told["calls"] if each["ends"] > "2027-03-02"}
    assert any(each["element"] == "hill_town" and each["ends"] > "2027-03-02" for each in kept)
    assert "hill_town" not in late
