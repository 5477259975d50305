"""A word after SHOW means the same to every command that takes a shot, a sequence or a piece."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from planner.cli.named import Meant, composites_meant, meant
from planner.cli.opening import open_sound
from tests.cli.test_commands import QUICK, run

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

ON = ("--on", "2027-03-08")
ASKED = {
    "blocking": (*ON, *QUICK),
    "forecast": (*ON, "--samples", "100", *QUICK),
    "stale": ON,
}
PIECES = ("HL010.sky", "HL010.town", "HL010.final")


def two_shots(show: ShowFolder) -> None:
    """HL010 and HL020, both before the model of the town."""
    text = (show.path / "sequences/hill.yaml").read_text(encoding="utf-8")
    show.write(
        "sequences/hill.yaml", text + text[text.index("  HL010:") :].replace("HL010", "HL020")
    )


@pytest.mark.parametrize(
    ("word", "pieces", "composites"),
    [
        ("HL010", PIECES, ("HL010.final",)),
        ("HL010.final", ("HL010.final",), ("HL010.final",)),
        ("HL010.sky", ("HL010.sky",), ("HL010.final",)),
        # The model is in no shot, and both shots' composites wait for it.
        ("hill_town", ("hill_town",), ("HL010.final", "HL020.final")),
        (
            "hill",
            (*PIECES, *(each.replace("010", "020") for each in PIECES)),
            ("HL010.final", "HL020.final"),
        ),
    ],
)
def test_a_word_means_pieces_and_the_composites_they_are_for(
    show: ShowFolder, word: str, pieces: tuple[str, ...], composites: tuple[str, ...]
) -> None:
    two_shots(show)
    opened = open_sound(show.path)
    assert meant(opened.show, opened.graph, word) == Meant(pieces, composites)
    assert composites_meant(opened.show, opened.graph, word) == composites


@pytest.mark.parametrize("command", ASKED)
def test_every_command_says_one_sentence_of_a_name_that_nothing_has(
    show: ShowFolder, command: str
) -> None:
    said = run(command, show.path, "hil_town", *ASKED[command])
    assert said.exit_code == 2
    assert said.output == (
        "no shot, sequence or piece is called hil_town; did you mean hill_town?\n"
    )


def test_a_model_is_asked_about_by_what_waits_for_it(show: ShowFolder) -> None:
    two_shots(show)
    held = json.loads(run("blocking", show.path, "hill_town", "--json", *ON, *QUICK).stdout)
    to_come = run("forecast", show.path, "hill_town", "--json", *ASKED["forecast"]).stdout
    both = ["HL010.final", "HL020.final"]
    assert sorted(each["composite"] for each in held["blocked"]) == both
    assert [each["composite"] for each in json.loads(to_come)["composites"]] == both


@pytest.mark.parametrize("command", ["blocking", "forecast"])
def test_what_no_composite_waits_for_is_told(show: ShowFolder, command: str) -> None:
    text = (show.path / "builds.yaml").read_text(encoding="utf-8")
    spare = text[text.index("  hill_town:") :].replace("hill_town", "spare_town")
    show.write("builds.yaml", text + spare)
    said = run(command, show.path, "spare_town", *ASKED[command])
    assert (said.exit_code, said.output) == (2, "no composite waits for spare_town\n")
