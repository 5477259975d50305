"""What a show's ledger tells, by the day on which it happened here."""

from __future__ import annotations

import time
from datetime import UTC, date, datetime, timedelta, timezone
from typing import TYPE_CHECKING

import pytest

from planner.cli.told import read_told, until
from planner.ledger import Event, What
from planner.ledger.store import NAME, open_ledger

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[str], None]]:
    """Puts this machine into a zone."""

    def put(zone: str) -> None:
        here.setenv("TZ", zone)
        time.tzset()

    with monkeypatch.context() as here:
        yield put
    time.tzset()


def kept(folder: Path, event: Event) -> None:
    ledger = open_ledger(folder / NAME)
    assert ledger is not None
    ledger.post([event])
    ledger.close()


def test_what_is_posted_far_to_the_west_happened_on_the_day_it_was_here(
    clock: Callable[[str], None], tmp_path: Path
) -> None:
    clock("UTC")
    # Eight hours behind, eight in the evening of the fifth is four in the morning of the sixth.
    evening = datetime(2027, 3, 5, 20, tzinfo=timezone(timedelta(hours=-8)))
    event = Event("one", What.BUILT, "town", evening, "the model shop")
    kept(tmp_path, event)
    told = read_told(tmp_path, "", None)
    assert until(told, date(2027, 3, 5)).events == ()
    (found,) = until(told, date(2027, 3, 6)).events
    assert (found.id, found.at) == (event.id, evening)
    assert found.at.date() == date(2027, 3, 6)


def test_the_last_hour_there_is_is_told_as_it_was(
    clock: Callable[[str], None], tmp_path: Path
) -> None:
    clock("Asia/Tokyo")
    # Nine hours ahead it would be the first of January of the year 10000, which no calendar holds.
    last = datetime(9999, 12, 31, 23, tzinfo=UTC)
    kept(tmp_path, Event("one", What.BUILT, "town", last, "the model shop"))
    assert [each.at for each in read_told(tmp_path, "", None).events] == [last]
