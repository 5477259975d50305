"""Which makings of a thing are over and count no more, each by what was posted."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from planner.ledger import Verdict, What
from planner.status.makings import past_makings
from planner.status.shown import with_shown
from planner.status.state import by_thing, in_force
from tests.ledger.told import event

if TYPE_CHECKING:
    from datetime import date

    from planner.ledger import Event
    from planner.status.makings import Making
    from tests.status.conftest import Floor

FLOOR_WORK = {"set up", "light and line up", "photograph"}
DAY = 24 * 60
GOOD, NO_GOOD = Verdict.GOOD, Verdict.NO_GOOD


def take(n: int, number: str, verdict: Verdict | None = None) -> Event:
    return event(n, What.TAKE, "HL010.town", take=number, verdict=verdict)


def past(floor: Floor, *told: Event, one_call: bool = False) -> tuple[Making, ...]:
    def as_one(_id: str, _first: date, _last: date) -> bool:
        return one_call

    standing = with_shown(floor.standing(*told))
    events = by_thing(in_force(told))
    return past_makings(floor.estimates, standing, events, {}, as_one)


def test_what_was_built_and_lost_was_made_once(floor: Floor) -> None:
    built = event(1, What.BUILT, "hill_town")
    assert past(floor, built) == ()
    (making,) = past(floor, built, event(2, What.LOST, "hill_town"))
    assert making.works == {each.name for each in floor.estimates.by_element["hill_town"].work}
    assert (making.why, making.is_again, making.is_last) == ("lost 2027-03-01", True, True)
    # Built and lost once more it was made twice; built for the third time nothing is on its way.
    again = (event(3, What.BUILT, "hill_town"), event(4, What.LOST, "hill_town"))
    lost = (built, event(2, What.LOST, "hill_town"), *again)
    assert [each.is_last for each in past(floor, *lost)] == [False, True]
    whole = past(floor, *lost, event(5, What.BUILT, "hill_town"))
    assert [each.is_last for each in whole] == [False, False]


def test_what_was_never_made_is_lost_for_nothing(floor: Floor) -> None:
    assert past(floor, event(1, What.LOST, "hill_town")) == ()


def test_a_take_shows_that_a_build_was_made_which_is_lost_since(floor: Floor) -> None:
    (making,) = past(floor, take(1, "1", GOOD), event(2, What.LOST, "hill_town"))
    assert making.id == "hill_town"
    assert making.works


def test_takes_of_a_day_that_are_all_no_good_were_made_for_nothing(floor: Floor) -> None:
    (making,) = past(floor, take(1, "1", NO_GOOD), take(2, "2", NO_GOOD))
    assert (making.works, making.why) == (FLOOR_WORK, "take 2 no good")
    # One of the same day that is good is what it was done for.
    assert past(floor, take(1, "1", NO_GOOD), take(2, "2", GOOD)) == ()
    # On the next day it was done again, whatever came of it.
    good = (take(1, "1", NO_GOOD), take(DAY, "2", GOOD))
    assert [each.is_last for each in past(floor, *good)] == [False]
    bad = (take(1, "1", NO_GOOD), take(DAY, "2", NO_GOOD))
    assert len(past(floor, *bad)) == 2


def test_days_of_one_call_are_one_making(floor: Floor) -> None:
    told = (take(1, "1", NO_GOOD), take(DAY, "2", GOOD))
    assert past(floor, *told, one_call=True) == ()


def test_where_it_still_stands_only_the_photography_is_done_again(floor: Floor) -> None:
    told = (event(0, What.SET_UP, "HL010.town"), take(1, "1", NO_GOOD))
    (making,) = past(floor, *told)
    assert making.works == {"photograph"}


@pytest.mark.parametrize("scanned", [False, True])
def test_what_is_not_approved_was_made_for_nothing(floor: Floor, scanned: bool) -> None:
    told = [take(1, "1", GOOD), event(2, What.IN_THE_CAN, "HL010.town", take="1")]
    told += [event(3, What.SCANNED, "HL010.town", take="1")] if scanned else []
    refused = event(4, What.NOT_APPROVED, "HL010.town", by="Ann")
    assert past(floor, *told) == ()
    (making,) = past(floor, *told, refused)
    assert making.works >= FLOOR_WORK
    assert (making.why, making.is_scanned) == ("not approved by Ann", scanned)


def test_a_take_no_good_after_it_was_in_the_can_counts_once(floor: Floor) -> None:
    told = (take(1, "1", GOOD), event(2, What.IN_THE_CAN, "HL010.town", take="1"))
    (making,) = past(floor, *told, take(DAY, "1", NO_GOOD))
    assert (making.works, making.why) == (FLOOR_WORK, "take 1 no good")


def test_what_was_in_the_can_and_is_photographed_anew_was_made_twice(floor: Floor) -> None:
    told = (take(1, "1", GOOD), event(2, What.IN_THE_CAN, "HL010.town", take="1"))
    (making,) = past(floor, *told, take(DAY, "2", GOOD))
    assert making.why == "photographed again"
    # Another word on a take that is known is no photography.
    assert past(floor, *told, take(DAY, "1", GOOD)) == ()


def test_what_is_struck_and_set_up_again_was_set_up_twice(floor: Floor) -> None:
    struck = (event(1, What.SET_UP, "HL010.town"), event(2, What.STRUCK, "HL010.town"))
    (making,) = past(floor, *struck)
    assert making.works == {"set up", "light and line up"}
    # It was photographed before, and nobody had said so yet.
    assert past(floor, *struck, event(3, What.IN_THE_CAN, "HL010.town")) == ()
    assert len(past(floor, *struck, event(3, What.SET_UP, "HL010.town"))) == 1


def test_what_was_photographed_and_omitted_is_not_made_again(floor: Floor) -> None:
    told = (take(1, "1", GOOD), event(2, What.OMITTED, "HL010.town", by="Ann"))
    (making,) = past(floor, *told)
    assert (making.works, making.is_again) == (FLOOR_WORK, False)
    assert making.why == "omitted by Ann"


def test_what_is_corrected_never_was(floor: Floor) -> None:
    lost = event(2, What.LOST, "hill_town")
    told = (event(1, What.BUILT, "hill_town"), lost)
    fixed = event(3, What.CORRECTED, "hill_town", corrects=lost.id)
    assert past(floor, *told, fixed) == ()


def test_it_was_over_when_it_came_to_count_no_more(floor: Floor) -> None:
    bad = take(1, "1", NO_GOOD)
    (making,) = past(floor, bad)
    assert making.over - bad.at == timedelta(0)
