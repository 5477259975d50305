"""What is left of a piece's work, hands beside it included."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.ledger import What
from planner.status.remaining import work_left
from planner.status.unposted import tells_of_work
from tests.ledger.told import event

if TYPE_CHECKING:
    from planner.kinds import Work
    from planner.status import Standing
    from tests.status.conftest import Floor


@pytest.mark.parametrize(
    ("told", "left"),
    [
        ((), ["set up", "light and line up", "photograph"]),
        # Who lights is called for the set-up and gone with it.
        ((What.SET_UP,), ["photograph"]),
        ((What.SET_UP, What.TAKE), ["photograph"]),
        ((What.SET_UP, What.TAKE, What.IN_THE_CAN), []),
    ],
)
def test_hands_beside_work_are_wanted_as_long_as_it_is(
    floor: Floor, told: tuple[What, ...], left: list[str]
) -> None:
    events = [event(n, what, "HL010.town") for n, what in enumerate(told, start=1)]
    standing = floor.standing(event(0), *events)
    piece, state = standing.outline.pieces["HL010.town"], standing.of("HL010.town")
    works = floor.estimates.by_element["HL010.town"].work
    assert [each.name for each in work_left(piece, state, works)] == left


def test_a_build_that_is_refused_is_made_again_until_it_is_built_once_more(floor: Floor) -> None:
    built, refused = event(1, What.BUILT, "hill_town"), event(2, What.NOT_APPROVED, "hill_town")
    standing = floor.standing(built, refused)
    works = floor.estimates.by_element["hill_town"].work
    assert works

    def left(standing: Standing) -> tuple[Work, ...]:
        return work_left(standing.outline.pieces["hill_town"], standing.of("hill_town"), works)

    # Nobody says how much of it must change: all of it is wanted again, as a refused picture is.
    assert left(standing) == works
    assert standing.words("hill_town") == "not approved"
    again = floor.standing(built, refused, event(3, What.BUILT, "hill_town"))
    assert left(again) == ()
    assert again.words("hill_town") == "built"
    assert again.is_done("hill_town")


@pytest.mark.parametrize(
    ("told", "tells"),
    [
        ((What.NOT_APPROVED,), False),
        ((What.APPROVED,), False),
        ((What.HELD,), False),
        ((What.LOST,), False),
        ((What.BUILT, What.LOST), True),
        ((What.IN_THE_CAN, What.NOT_APPROVED), True),
        ((What.SET_UP, What.STRUCK), True),
    ],
)
def test_only_work_tells_that_work_is_posted(
    floor: Floor, told: tuple[What, ...], tells: bool
) -> None:
    events = [event(n, what, "HL010.town", by="Ann") for n, what in enumerate(told)]
    assert tells_of_work(floor.standing(*events)) is tells
