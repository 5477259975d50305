"""From a show, its graph and its estimates to its outline.

Takes what the other rooms know of every element, gives the step it must come to before others may
go on, and the facts that events about it rest on. Knows nothing of what happened.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import Phase
from planner.ledger import Basis
from planner.status.outline import Outline, Piece
from planner.status.rested import facts_of, paths_of
from planner.status.state import Step

if TYPE_CHECKING:
    from planner.estimate import Estimates
    from planner.graph import ElementGraph
    from planner.kinds import Estimate
    from planner.model.show import Element, Show

PROVING = "prove"
"""How the name of the work begins that proves a thing which is already built."""
_GRANTORS = {"permit": "from", "decision": "owner", "composite": "approved_by"}


def outline(show: Show, graph: ElementGraph, estimates: Estimates) -> Outline:
    """What each element must come to, and what waits for it; linear in elements and arrows."""
    sinks = frozenset(graph.composites.values())
    pieces = {
        id_: _piece(show, graph, estimates.by_element[id_], is_sink=id_ in sinks)
        for id_ in graph.order
    }
    return Outline(
        pieces,
        {id_: graph.composites.get(id_, "") for id_ in show.shots},
        {id_: each.shots for id_, each in show.sequences.items()},
        tuple(show.resources),
    )


def bases(show: Show) -> dict[str, Basis]:
    """Per element, the facts that what is done on it rests on."""
    paths = paths_of(show)
    return {id_: Basis(facts_of(show, element, paths)) for id_, element in show.elements.items()}


def _piece(show: Show, graph: ElementGraph, estimate: Estimate, *, is_sink: bool) -> Piece:
    element = show.elements[estimate.element]
    made_at, shot_at = (None, Step.APPROVED) if is_sink else _done_at(estimate)
    known = element.id not in show.unreadable
    return Piece(
        element.id,
        element.kind,
        element.shot,
        tuple(graph.arrows.predecessors(element.id)),
        made_at,
        shot_at,
        show.is_live(element),
        known and not estimate.work and not is_sink,
        _grantor(element),
    )


def _done_at(estimate: Estimate) -> tuple[Step | None, Step | None]:
    """Steps of making and of photography at which others may go on."""
    phases = {work.phase for work in estimate.work}
    if Phase.BUILD in phases:
        proves = any(work.name.startswith(PROVING) for work in estimate.work)
        return (Step.PROVEN if proves else Step.BUILT), None
    if "pass time" in estimate.quantities:
        return None, Step.IN_THE_CAN
    if phases & {Phase.FINISH, Phase.LAB}:
        return Step.BUILT, Step.IN_THE_CAN
    return Step.MEASURED, Step.IN_THE_CAN


def _grantor(element: Element) -> str:
    name = _GRANTORS.get(element.kind)
    return element.facts.word(name) if name else ""
