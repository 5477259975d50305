"""Working hours between moments told on different clocks."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from typing import TYPE_CHECKING

from planner.status.dates import hours_between

if TYPE_CHECKING:
    from tests.status.conftest import Floor


def test_hours_between_leave_out_nights_and_follow_one_clock(floor: Floor) -> None:
    floor.read()
    here = timezone(timedelta(hours=1))
    now = datetime(2027, 3, 2, 10, tzinfo=here)
    # Monday 16:00 there is 15:00 UTC; until 18:00 two hours, and Tuesday from 8:00 two more.
    assert hours_between(floor.show, datetime(2027, 3, 1, 15, tzinfo=UTC), now) == 4
    assert hours_between(floor.show, now, now) == 0
