"""Composites approved before what they join was there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.ledger import What
from planner.status.state import Step
from planner.status.too_soon import without_early
from planner.status.unposted import tells_of_work
from tests.ledger.told import event

if TYPE_CHECKING:
    from planner.ledger import Event
    from planner.status import Standing
    from tests.status.conftest import Floor

FINAL = "HL010.final"
SKY = event(1, What.IN_THE_CAN, "HL010.sky")
SCANNED = event(2, What.SCANNED, "HL010.sky")
TOWN = event(3, What.IN_THE_CAN, "HL010.town")
APPROVED = event(4, What.APPROVED, FINAL, by="the director")


def counted(floor: Floor, *told: Event) -> Standing:
    return without_early(floor.standing(*told))


def test_an_approval_counts_once_all_that_is_joined_is_there(floor: Floor) -> None:
    # The composite joins sky and town: with one of them it is too soon, with both it is not.
    early = counted(floor, SKY, SCANNED, APPROVED)
    assert not early.is_done(FINAL)
    assert early.waits_for(FINAL) == ("HL010.town",)
    assert early.words(FINAL) == "approved before its pieces were there"
    whole = counted(floor, SKY, SCANNED, TOWN, APPROVED)
    assert whole.is_done(FINAL)
    assert whole.words(FINAL) == "approved"


def test_a_version_was_joined_of_what_there_was(floor: Floor) -> None:
    # Somebody saw version 1, so that sky and town were there, though nobody posted them.
    version = event(3, What.TAKE, FINAL, take="1")
    assert counted(floor, version, APPROVED).is_done(FINAL)


def test_what_comes_back_after_an_approval_leaves_it_alone(floor: Floor) -> None:
    there = (SKY, SCANNED, TOWN, APPROVED)
    for what in (What.NOT_APPROVED, What.LOST):
        after = event(5, what, "HL010.town", by="the director")
        assert counted(floor, *there, after).of(FINAL).step is Step.APPROVED
    before = event(3, What.LOST, "HL010.town", by="the director")
    assert not counted(floor, SKY, SCANNED, before, APPROVED).is_done(FINAL)


def test_blocking_goes_on_telling_what_is_approved_too_soon_waits_for(floor: Floor) -> None:
    found = floor.blocking(APPROVED)
    ((blocked,), done) = (found.blocked, found.done)
    assert done == ()
    # The town waits for its build, and nothing is posted of either nor of the sky.
    assert {each.id for each in blocked.links} == {FINAL, "HL010.sky", "HL010.town", "hill_town"}
    assert blocked.words == "approved before its pieces were there"


def test_an_approval_alone_tells_of_no_work(floor: Floor) -> None:
    # Whoever approved it did no work, and past calls go on being taken as done; a take does.
    assert not tells_of_work(floor.standing(APPROVED))
    assert tells_of_work(floor.standing(APPROVED, event(5, What.TAKE, "HL010.town", take="1")))
    assert tells_of_work(floor.standing(event(1, What.BUILT)))
