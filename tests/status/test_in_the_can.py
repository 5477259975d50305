"""What is told as in the can and can hardly be is asked about."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.ledger import Verdict, What
from planner.status.in_the_can import doubts
from tests.ledger.told import event

if TYPE_CHECKING:
    from tests.status.conftest import Floor

TOWN = "HL010.town"


def said(floor: Floor, *before, told) -> str:
    return " ".join(doubts(floor.outline, before, [told]).get(told.id, ()))


def take(number: int, name: str, verdict: Verdict | None = None):
    return event(number, What.TAKE, TOWN, take=name, verdict=verdict)


@pytest.mark.parametrize(
    ("takes", "canned", "asked"),
    [
        ((("4", Verdict.NO_GOOD),), "4", "take 4 is marked no good"),
        ((("3", Verdict.GOOD),), "4", "take 4 of it was never posted"),
        (
            (("1", None), ("3", Verdict.GOOD)),
            "4",
            "nobody has said it is good; posted: 1, 3",
        ),
        ((("3", Verdict.NO_GOOD),), "", "every take of it that was posted is marked no good"),
        ((("4", Verdict.GOOD),), "4", ""),
        # A take nobody has ruled on may well be the one.
        ((("4", None),), "4", ""),
        ((("3", Verdict.NO_GOOD), ("4", Verdict.KEPT)), "", ""),
        ((("4", Verdict.NO_GOOD), ("4", Verdict.GOOD)), "4", ""),
    ],
)
def test_a_take_that_is_no_good_or_was_never_posted_is_asked_about(
    floor: Floor, takes, canned: str, asked: str
) -> None:
    before = [take(n, *each) for n, each in enumerate(takes, start=1)]
    found = said(floor, *before, told=event(9, What.IN_THE_CAN, TOWN, take=canned))
    assert (asked in found) if asked else not found


def test_film_of_a_take_no_good_is_asked_about_each_time_and_said_to_stay_called(
    floor: Floor,
) -> None:
    canned = [event(n, What.IN_THE_CAN, TOWN, take="1") for n in (2, 3)]
    bad = take(1, "1", Verdict.NO_GOOD)
    stays = "It stays called until that take, or another, is told as good, kept or circled"
    assert stays in said(floor, bad, told=canned[0])
    assert stays in said(floor, bad, canned[0], told=canned[1])
    # Another take is in the can already: nothing is called of it.
    other = (take(2, "2", Verdict.GOOD), event(3, What.IN_THE_CAN, TOWN, take="2"))
    later = event(9, What.IN_THE_CAN, TOWN, take="1")
    assert said(floor, bad, *other, told=later).endswith("is it the one in the can?")


def test_photography_of_what_was_not_built_yet_is_asked_about(floor: Floor) -> None:
    canned = event(5, What.IN_THE_CAN, TOWN)
    assert said(floor, told=canned).endswith("what it is made of was there: hill_town (boarded)")
    assert not said(floor, event(4), told=canned)
    # Built after it was photographed is as odd as not built.
    assert "hill_town (boarded)" in said(floor, event(6), told=canned)
    # A take tells that the town was there.
    assert not said(floor, take(3, "1", Verdict.GOOD), told=canned)


def test_what_was_lost_since_it_was_built_is_not_there(floor: Floor) -> None:
    canned = event(5, What.IN_THE_CAN, TOWN)
    assert "hill_town (lost)" in said(floor, event(3), event(4, What.LOST), told=canned)


def test_an_event_told_again_is_asked_about_no_more(floor: Floor) -> None:
    canned = event(5, What.IN_THE_CAN, TOWN)
    assert not said(floor, canned, told=canned)
