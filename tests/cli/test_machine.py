"""What commands say to other programs: one JSON value each."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest
from click.testing import CliRunner

from planner.cli import group

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

TRIES = ("--tries", "0")


def said(*words: str) -> Any:
    result = CliRunner().invoke(group, list(words))
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_loads_are_told_with_their_arithmetic(show: ShowFolder) -> None:
    weeks = said("loads", str(show.path), *TRIES, "--json")
    first = next(each for each in weeks if each["craft"] == "model_making")
    # Four modellers, five days of ten hours, from the first Monday.
    assert (first["monday"], first["there_are"]) == ("2027-03-01", 200)
    assert first["hours"]["unit"] == "h"


def test_a_plan_is_told_in_counts_and_sums(show: ShowFolder) -> None:
    told = said("plan", str(show.path), "--to", str(show.path / "plan"), *TRIES, "--json")
    assert told["live_shots"] == ["HL010"]
    order = json.loads((show.path / "plan" / "order.json").read_text(encoding="utf-8"))
    assert told["calls"] == len(order["calls"])
    low, likely, high = (float(told["total"][each]) for each in ("low", "likely", "high"))
    assert 0 < low <= likely <= high


def test_a_number_is_opened_with_its_inputs_and_places(show: ShowFolder) -> None:
    told = said("why", str(show.path), "HL010.town", *TRIES, "--json")
    work = {each["name"] for each in told["work"]}
    assert {"set up", "photograph"} <= work
    places = {n["place"]["file"] for n in _under(told["numbers"]) if n["place"]}
    assert any(each.endswith("hill.yaml") for each in places)
    one = said("why", str(show.path), "HL010.town", "photograph", *TRIES, "--json")
    assert [each["name"] for each in one["work"]] == ["photograph"]


def _under(numbers: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [each for n in numbers for each in (n, *_under(n["inputs"]))]


def test_events_come_back_as_they_were_posted(show: ShowFolder) -> None:
    folder = str(show.path)
    told = said("post", folder, "built", "hill_town", "--json")
    assert told["news"][0]["about"] == "hill_town"
    assert len(told["kept"]) == 1
    assert [each["about"] for each in said("ledger", folder, "--json")] == ["hill_town"]
    tried = said("post", folder, "struck", "hill_town", "--dry-run", "--json")
    assert tried["kept"] == []


@pytest.mark.parametrize(
    ("words", "known"),
    [
        (("kinds",), "puppet"),
        (("kinds", "puppet"), "properties"),
        (("kinds", "every"), "properties"),
        (("rules",), "puppet"),
    ],
)
def test_what_is_known_before_any_show_is_read(words: tuple[str, ...], known: str) -> None:
    assert known in said(*words, "--json")


def test_formats_carry_their_source() -> None:
    assert all(each["source"] and each["slug"] for each in said("formats", "--json"))
