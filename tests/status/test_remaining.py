"""What is left of a piece's work, hands beside it included."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.ledger import What
from planner.status.remaining import work_left
from tests.ledger.told import event

if TYPE_CHECKING:
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
