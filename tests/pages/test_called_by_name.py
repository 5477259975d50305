"""Where a show is at hand, sentences call its things as people do, and not by id."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from planner.bid.choosing import Chosen
from planner.cli.opening import open_sound
from planner.pages.bid_choice import choice_text
from planner.pages.sweep_text import Row, sweep_text

if TYPE_CHECKING:
    from planner.model.show import Show
    from tests.conftest import ShowFolder


def opened(show: ShowFolder) -> Show:
    return open_sound(show.path).show


def row(name: str, *brings: str) -> Row:
    nought = Decimal(0)
    return Row(name, "", nought, nought, nought, date(2027, 3, 1), (), 0, brings)


def test_errors_of_a_scenario_are_told_by_name(show: ShowFolder) -> None:
    said = sweep_text([row("as it stands"), row("other", "hill_town does not fit")], opened(show))
    assert "brings 1 error: hill town does not fit" in said
    assert "hill_town" not in said


def test_why_nothing_fits_is_told_by_name(show: ShowFolder) -> None:
    found = Chosen((), Decimal(0), date(2027, 3, 1), "hill_town takes too many days")
    said = choice_text(found, opened(show))
    assert said.startswith("Nothing fits: hill town takes too many days.\n")
