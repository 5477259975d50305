"""One sum beside one issued order, once, whatever makes it."""

from __future__ import annotations

import json
import shutil
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from tests.cli.test_commands import QUICK, run

if TYPE_CHECKING:
    from pathlib import Path

BACK = "back=2027-03-29"


@pytest.fixture(scope="module")
def issued(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The starter show with its first order issued."""
    folder = tmp_path_factory.mktemp("losses") / "hill"
    assert run("new", folder).exit_code == 0
    assert run("order", folder, "--issue", *QUICK).exit_code == 0
    return folder


@pytest.fixture
def hill(issued: Path, tmp_path: Path) -> Path:
    """A copy of that to write in."""
    return shutil.copytree(issued, tmp_path / "hill")


def post(folder: Path, *words: str, on: str) -> None:
    told = run("post", folder, *words, "--on", on)
    assert told.exit_code == 0, told.output


def plan(folder: Path, day: str) -> None:
    told = run("order", folder, "--from", day, "--issue", *QUICK)
    assert told.exit_code == 0, told.output


def bid(folder: Path) -> dict[str, object]:
    told = json.loads(run("bid", folder, "--json", *QUICK).stdout)
    assert isinstance(told, dict)
    return told


def page(folder: Path) -> str:
    return " ".join(run("bid", folder, "--summary", *QUICK).stdout.split())


def total(folder: Path) -> Decimal:
    return Decimal(bid(folder)["total"]["likely"])


def with_permit(folder: Path, expected: str) -> None:
    """The town in the hill waits for leave to put it up, which comes on a day."""
    builds = folder / "builds.yaml"
    text = builds.read_text(encoding="utf-8")
    permit = f"permits:\n  leave_to_smoke: {{for: smoke, in_hand: false, expected: {expected}}}\n"
    builds.write_text(text + "\n" + permit, "utf-8")
    sequence = folder / "sequences/hill.yaml"
    text = sequence.read_text(encoding="utf-8")
    assert text.count("        kind: miniature\n") == 1
    wanted = "        kind: miniature\n        waits_for: leave_to_smoke\n"
    sequence.write_text(text.replace("        kind: miniature\n", wanted), "utf-8")


def test_a_loss_and_past_calls_make_one_sum(hill: Path) -> None:
    before = total(hill)
    post(hill, "built", "hill_town", on="2027-03-12")
    post(hill, "lost", "north", "--value", BACK, on="2027-03-12")
    plan(hill, "2027-03-15")
    told = bid(hill)
    assert told["lost"]["cost"] is None
    assert told["called_again"]["more"] is None
    assert told["called_again"]["calls"] > 0
    more = total(hill) - before
    sums = {"beside_order": 1, "more": str(more), "around_lost": True, "called_again": True}
    assert told["dearer"] == {**sums, "changed": []}
    said = page(hill)
    assert said.count(f"{more:+,.2f}") == 1
    assert f"Beside what order 1 called: {more:+,.2f} likely, in the total. In it" in said
    assert "Lost: North stage, since 2027-03-12, back 2027-03-29 as posted. " in said
    assert "so that they are still to be done. Post what was done" in said


def test_facts_changed_since_are_no_cost_of_a_loss(hill: Path) -> None:
    with_permit(hill, "2027-04-12")
    post(hill, "lost", "north", "--value", BACK, on="2027-03-01")
    plan(hill, "2027-03-01")
    told = bid(hill)
    assert told["lost"]["cost"] is None
    assert told["lost"]["beside_order"] == 1
    assert told["called_again"] is None
    assert "leave to smoke" in told["dearer"]["changed"]
    said = page(hill)
    assert "going on around what is lost; what else changed since (leave to smoke" in said
    assert "going on around it costs" not in said


def test_a_permit_that_comes_later_than_it_was_called_is_a_change(hill: Path) -> None:
    with_permit(hill, "2027-03-01")
    plan(hill, "2027-03-01")
    post(hill, "lost", "north", "--value", BACK, on="2027-03-02")
    builds = hill / "builds.yaml"
    text = builds.read_text(encoding="utf-8")
    builds.write_text(text.replace("expected: 2027-03-01", "expected: 2027-04-12"), "utf-8")
    plan(hill, "2027-03-02")
    told = bid(hill)["dearer"]
    assert (told["beside_order"], told["changed"]) == (2, ["leave to smoke"])


def test_a_loss_alone_keeps_its_sum(hill: Path) -> None:
    post(hill, "lost", "north", "--value", BACK, on="2027-03-01")
    plan(hill, "2027-03-01")
    told = bid(hill)
    assert told["dearer"] is None
    assert told["lost"]["cost"] is not None


def test_a_take_refused_as_well_is_named(hill: Path) -> None:
    day = "2027-03-12"
    post(hill, "built", "hill_town", on=day)
    for each in ("HL010.sky", "HL010.town"):
        post(hill, "take", each, "--take", "1", "--verdict", "good", "--circled", on=day)
        post(hill, "in-the-can", each, "--take", "1", on=day)
    post(hill, "take", "HL010.town", "--take", "1", "--verdict", "no good", on=day)
    post(hill, "lost", "north", "--value", BACK, on=day)
    plan(hill, "2027-03-15")
    assert "HL010.town, made again" in bid(hill)["dearer"]["changed"]


def test_a_build_lost_as_well_is_named(hill: Path) -> None:
    post(hill, "built", "hill_town", on="2027-03-12")
    plan(hill, "2027-03-15")
    post(hill, "lost", "hill_town", on="2027-03-16")
    post(hill, "lost", "north", "--value", BACK, on="2027-03-16")
    plan(hill, "2027-03-17")
    assert bid(hill)["dearer"]["changed"] == ["hill town, lost"]


def test_a_build_lost_before_the_order_compared_with_is_in_both(hill: Path) -> None:
    post(hill, "built", "hill_town", on="2027-03-12")
    post(hill, "lost", "hill_town", on="2027-03-12")
    plan(hill, "2027-03-15")
    post(hill, "lost", "north", "--value", BACK, on="2027-03-16")
    plan(hill, "2027-03-17")
    told = bid(hill)
    assert told["lost"]["beside_order"] == 2
    assert "hill town, lost" not in (told["dearer"] or {"changed": []})["changed"]
