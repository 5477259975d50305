"""Pieces that answer the light of others, as a show's files state them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.estimate.lights import light_problems
from planner.graph import build_graph
from planner.kinds import Registry
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from planner.model.place import Problem
    from tests.conftest import ShowFolder


def found(show: ShowFolder, *, town: str = "", sky: str = "") -> list[Problem]:
    """Findings where facts are added to the town and the sky."""
    show.replace("sequences/hill.yaml", "kind: miniature", f"kind: miniature{town}")
    show.replace("sequences/hill.yaml", "on: location", f"on: location{sky}")
    read, problems = load_show(show.path, Registry())
    assert problems == ()
    assert read is not None
    graph, more = build_graph(read)
    assert more == ()
    return list(light_problems(read, graph))


LIT = "\n        lit_with: sky"


def test_a_piece_that_answers_a_light_and_does_not_wait_for_it_is_told(show: ShowFolder) -> None:
    (told,) = found(show, town=LIT)
    assert (told.code, told.about) == ("lit-before-its-light", "HL010.town")
    assert "waits_for: HL010.sky" in told.remedy


@pytest.mark.parametrize(
    ("town", "sky"),
    [
        (f"{LIT}\n        waits_for: sky", ""),
        (LIT, ", report: {taken: true}"),
        (LIT, ", waits_for: town"),  # the light is made to suit the town
        ("", ""),
    ],
)
def test_light_that_is_known_or_made_to_suit_is_no_trouble(
    show: ShowFolder, town: str, sky: str
) -> None:
    assert found(show, town=town, sky=sky) == []


def test_waiting_through_another_piece_is_waiting(show: ShowFolder) -> None:
    between = "\n      card: {kind: plate, sort: live, on: location, waits_for: sky}"
    show.replace("sequences/hill.yaml", "on: location}", f"on: location}}{between}")
    text = f"{LIT}\n        waits_for: card"
    show.replace("sequences/hill.yaml", "kind: miniature", f"kind: miniature{text}")
    read, _problems = load_show(show.path, Registry())
    assert read is not None
    graph, _more = build_graph(read)
    assert list(light_problems(read, graph)) == []
