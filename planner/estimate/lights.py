"""Pieces that must answer the light of others before it can be known.

Takes a show and its graph, gives a finding for each piece that names another under ``lit_with`` and
does not wait for it. Knows nothing of where lights stand or what they are like: see the agreement.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.place import Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.graph import ElementGraph
    from planner.model.show import Element, Show


def light_problems(show: Show, graph: ElementGraph) -> Iterator[Problem]:
    """Tell of every live piece that may be lit before the light it answers has been photographed.

    Light already photographed is known, and a light that waits for the piece it falls on is made to
    suit it.

    Args:
        show: the show.
        graph: its element graph.

    Yields:
        Warnings; cost linear in what each such piece waits for.
    """
    for element in show.elements.values():
        if not element.target("lit_with") or not show.is_live(element):
            continue
        before = graph.upstream(element.id)
        for name in element.targets("lit_with"):
            light = show.elements.get(name)
            if light is None or name in before or not show.is_live(light) or _is_known(light):
                continue
            if element.id not in graph.upstream(name):
                yield _too_soon(element, name)


def _is_known(light: Element) -> bool:
    return light.facts.group("report").flag("taken")


def _too_soon(element: Element, light: str) -> Problem:
    place = next(
        (
            each.place
            for each in element.references
            if (each.role, each.target) == ("lit_with", light)
        ),
        element.place,
    )
    return Problem(
        Severity.WARNING,
        place,
        "lit-before-its-light",
        f"it must answer the light of {light} and does not wait for it: it may be photographed"
        " before anybody knows on which frames and how brightly that burns",
        f"write `waits_for: {light}`, and cue its lamps from the print",
        element.id,
    )
