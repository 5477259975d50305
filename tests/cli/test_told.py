"""What a show's ledger tells, by the day on which it happened here."""

from __future__ import annotations

import time
from datetime import date, datetime, timedelta, timezone
from typing import TYPE_CHECKING

import pytest

from planner.cli.told import read_told, until
from planner.ledger import Event, What
from planner.ledger.store import NAME, open_ledger

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def in_greenwich(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    with monkeypatch.context() as here:
        here.setenv("TZ", "UTC")
        time.tzset()
        yield
    time.tzset()


@pytest.mark.usefixtures("in_greenwich")
def test_what_is_posted_far_to_the_west_happened_on_the_day_it_was_here(tmp_path: Path) -> None:
    # Eight hours behind, eight in the evening of the fifth is four in the morning of the sixth.
    evening = datetime(2027, 3, 5, 20, tzinfo=timezone(timedelta(hours=-8)))
    event = Event("one", What.BUILT, "town", evening, "the model shop")
    ledger = open_ledger(tmp_path / NAME)
    assert ledger is not None
    ledger.post([event])
    ledger.close()
    told = read_told(tmp_path, "", None)
    assert until(told, date(2027, 3, 5)).events == ()
    (found,) = until(told, date(2027, 3, 6)).events
    assert (found.id, found.at) == (event.id, evening)
    assert found.at.date() == date(2027, 3, 6)
