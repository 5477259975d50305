"""The small show read from its files, with what happened told in one-letter words.

Its pieces: ``sky`` (a location plate), ``hill_town`` (a build), ``HL010.town`` (a miniature of it)
and ``HL010.final`` (the composite of sky and town).
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from planner.estimate import estimate_show
from planner.graph import build_graph
from planner.kinds import Registry
from planner.schedule import Budget
from planner.status import Standing, states_of
from planner.status.blocking import Blocker, Blocking
from planner.status.causes import Causes
from planner.status.dates import Dates, dates_of, show_from
from planner.status.outlining import bases, outline
from planner.status.remaining import remaining
from planner.status.too_soon import without_early
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from datetime import datetime

    from planner.ledger import Basis, Event
    from planner.status import Outline
    from tests.conftest import ShowFolder

MONDAY = date(2027, 3, 1)


class Floor:
    """A show and what happened on it."""

    def __init__(self, folder: ShowFolder) -> None:
        self.folder = folder
        self.passed = 0.0

    def read(self) -> None:
        kinds = Registry()
        show, problems = load_show(self.folder.path, kinds)
        assert show is not None
        assert problems == ()
        self.show = show
        self.graph, found = build_graph(show)
        self.estimates = estimate_show(show, self.graph, kinds)
        self.findings = (*found, *self.estimates.problems)

    @property
    def outline(self) -> Outline:
        self.read()
        return outline(self.show, self.graph, self.estimates)

    def basis(self, id_: str) -> Basis:
        self.read()
        return bases(self.show)[id_]

    def standing(self, *told: Event) -> Standing:
        return Standing(self.outline, states_of(told))

    def dates(self, *told: Event, day: date = MONDAY) -> Dates:
        stands = without_early(self.standing(*told))
        left = remaining(self.estimates, stands, self._passed)
        show = show_from(self.show, day, stands)
        found = dates_of(show, self.graph, left, lambda _calls: Budget(evaluations=20))
        assert found is not None
        return found

    def blocking(self, *told: Event, day: date = MONDAY, most: int = 9) -> Blocking:
        dates, stands = self.dates(*told, day=day), without_early(self.standing(*told))
        causes = Causes(self.show, dates.estimates, stands, self.findings, day)
        sinks = tuple(stands.outline.shots.values())
        return Blocker(self.show, stands, causes, dates).ask(sinks, day, most)

    def _passed(self, _since: datetime) -> float:
        return self.passed


@pytest.fixture
def floor(show: ShowFolder) -> Floor:
    return Floor(show)
