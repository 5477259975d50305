"""Which first order is taken goes by how full the resources are."""

from __future__ import annotations

import pytest

from planner.schedule import Activity, Instance, Mode, Resource
from planner.schedule.indexed import Indexed, index
from planner.schedule.ranking import is_overloaded


def benched(count: int, due: int) -> Indexed:
    """So many quarters of work on one bench, all due at once."""
    mode = Mode(1, {"bench": 1})
    activities = tuple(Activity(f"a{n}", (mode,), due=due) for n in range(count))
    return index(Instance(activities, (Resource("bench"),)))


@pytest.mark.parametrize(
    ("count", "due", "is_over"),
    [
        # Few that just fit do fit: 10 of 10 quarters. One more cannot.
        (10, 10, False),
        (11, 10, True),
        # Of many, 700 quarters of 1000 is where it ends.
        (700, 1000, False),
        (701, 1000, True),
    ],
)
def test_a_resource_is_overloaded_from_a_share_that_goes_by_how_much_there_is(
    count: int, due: int, *, is_over: bool
) -> None:
    assert is_overloaded(benched(count, due)) is is_over
