"""Ways of making one thing as text and JSON, from a show on disk."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner

from planner.cli import group

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

FINAL = "final: {kind: composite, joins: [sky, town]}"
WAY = (
    "drawn: {kind: drawn, sort: computer, alternative_to: town, says: By computer.,"
    " method: {verdict: rejected, by: the director, on: 2027-03-04, for: no stage is needed,"
    " against: the water is not believed, reopen: a test of water passes}}"
)


def run(show: ShowFolder, *words: str) -> str:
    wanted = ["bid", str(show.path), "--tries", "0", "--alternatives", *words]
    result = CliRunner().invoke(group, wanted)
    assert result.exit_code == 0, result.output
    return result.stdout


@pytest.fixture
def two_ways(show: ShowFolder) -> ShowFolder:
    show.replace("sequences/hill.yaml", FINAL, f"{WAY}\n      {FINAL}")
    return show


def test_each_way_is_told_with_its_verdict_and_reasons(two_ways: ShowFolder) -> None:
    text = " ".join(run(two_ways).split())
    assert "HL010.town" in text
    assert "open; made, and in the bid" in text
    assert "rejected by the director on 2027-03-04; not made, and not in the bid" in text
    assert "for: no stage is needed" in text
    assert "against: the water is not believed" in text
    assert "open again if: a test of water passes" in text
    assert "with hill town" in text


def test_no_line_is_wider_than_80_columns(two_ways: ShowFolder) -> None:
    assert max(len(line) for line in run(two_ways).splitlines()) <= 80


def test_the_same_for_machines_keeps_every_cent(two_ways: ShowFolder) -> None:
    ((made, other),) = (each["methods"] for each in json.loads(run(two_ways, "--json")))
    assert (made["element"], made["made"]) == ("HL010.town", True)
    assert other["why"]["by"] == "the director"
    assert other["why"]["on"] == "2027-03-04"
    dearer = float(other["total"]["likely"]) - float(made["total"]["likely"])
    assert float(other["dearer"]) == pytest.approx(dearer)


def test_a_show_with_one_way_of_everything_says_so(show: ShowFolder) -> None:
    assert run(show) == "nothing in the show has more than one way of making it\n"
    assert json.loads(run(show, "--json")) == []
