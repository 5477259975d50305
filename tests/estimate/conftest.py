"""Shots written as text, for trying what is found between their pieces."""

from __future__ import annotations

from textwrap import dedent, indent
from typing import TYPE_CHECKING

import pytest

from planner.estimate import estimate_show
from planner.estimate.agreement import disagreements
from planner.graph import build_graph
from planner.kinds import Registry
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.model.place import Problem
    from planner.model.show import Show
    from tests.conftest import ShowFolder

TOWN = (
    "kind: miniature, build: hill_town, action: still, nearest: 40 m,"
    " holds: {from: 40 m, to: 90 m}, light: 250 fc"
)
SKY = "kind: plate, sort: live, on: location"


class OneShot:
    """A show of one shot, HL010: a plate ``sky`` and a model ``town`` at 1/24, both joined.

    The frame is 24.892 mm wide and 2048 px; the lens is 35 mm, which is 2879.64 px; the cut is
    frames 1 to 96 at 24 fps, with handles of 8.
    """

    def __init__(self, folder: ShowFolder) -> None:
        self.folder = folder

    def write(
        self,
        *,
        camera: str = "lens: prime_35",
        shot: str = "",
        sky: str = "",
        town: str = "",
        more: str = "",
    ) -> None:
        """Write the sequence; each argument is added to the facts of what it names."""
        head = f"""\
            sequence: hill
            title: On the hill
            shots:
              HL010:
                says: The town below.
                cut: 1-96
                camera: {{{camera}}}
            """
        pieces = f"""\
            elements:
              sky: {{{SKY}{", " if sky else ""}{sky}}}
              town: {{{TOWN}{", " if town else ""}{town}}}
              final: {{kind: composite, joins: [sky, town]}}
            """
        text = dedent(head) + indent(f"{dedent(shot)}\n{dedent(pieces)}", "    ")
        self.folder.write("sequences/hill.yaml", text + indent(dedent(more), "      "))

    def load(self) -> Show:
        """The show as written, which must hold no error."""
        show, problems = load_show(self.folder.path, Registry())
        assert show is not None
        assert [str(each) for each in problems if each.severity == 0] == []
        return show

    def found(self) -> tuple[Problem, ...]:
        """What is out of step in the show as written."""
        show = self.load()
        graph, _problems = build_graph(show)
        by_element = estimate_show(show, graph, Registry()).by_element
        return disagreements(show, graph, by_element)


@pytest.fixture
def one_shot(show: ShowFolder) -> OneShot:
    return OneShot(show)


@pytest.fixture
def find(one_shot: OneShot) -> Callable[..., dict[str, Problem]]:
    """What is found in the shot with some facts added, by code; each code may come once."""

    def found_with(**facts: str) -> dict[str, Problem]:
        one_shot.write(**facts)
        found = one_shot.found()
        by_code = {each.code: each for each in found}
        assert len(by_code) == len(found), [str(each) for each in found]
        return by_code

    return found_with
