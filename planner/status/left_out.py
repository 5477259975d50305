"""What people posted as omitted, taken out of what is to be ordered.

Takes a show and what became of its pieces and shots, gives which pieces nobody wants though the
show's files still have them, and graph and estimates without their work. Knows nothing of ledgers
or dates.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.model.place import Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from planner.estimate import Estimates
    from planner.graph import ElementGraph
    from planner.model.show import Show
    from planner.status.state import Hold, State


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A shot or piece posted as omitted, of which there was something to call.

    Attributes:
        id: of the shot or piece.
        posted: who omitted it, when and why.
        pieces: ids of the elements with work, in the show's order.
    """

    id: str
    posted: Hold
    pieces: tuple[str, ...]

    @property
    def says(self) -> str:
        """By whom, when and why, a clause."""
        why = f": {self.posted.why}" if self.posted.why else ""
        return f"by {self.posted.by} on {self.posted.since:%Y-%m-%d}, as posted{why}"


def left_out(show: Show, estimates: Estimates, states: Mapping[str, State]) -> tuple[LeftOut, ...]:
    """What is posted as omitted and would be called by the show's files; linear in elements.

    A piece is no longer wanted where it or its shot is omitted, as in every standing.
    """
    holds = {id_: each.omitted for id_, each in states.items() if each.omitted is not None}
    pieces: dict[str, list[str]] = {}
    for element in show.elements.values() if holds else ():
        what = element.id if element.id in holds else element.shot
        if what in holds and show.is_live(element) and estimates.by_element[element.id].work:
            pieces.setdefault(what, []).append(element.id)
    return tuple(LeftOut(id_, holds[id_], tuple(mine)) for id_, mine in pieces.items())


def without(
    graph: ElementGraph, estimates: Estimates, ids: Collection[str]
) -> tuple[ElementGraph, Estimates]:
    """What is left where some pieces are not wanted: they have no work, and wait for nothing."""
    arrows = graph.arrows.copy()
    arrows.remove_edges_from(list(graph.arrows.in_edges(ids)))
    gone = {id_: replace(estimates.by_element[id_], work=()) for id_ in ids}
    by_element = MappingProxyType({**estimates.by_element, **gone})
    return replace(graph, arrows=arrows), replace(estimates, by_element=by_element)


def left_out_notes(show: Show, omitted: Collection[LeftOut]) -> Iterator[Problem]:
    """One note for each: who omitted it, and which of its pieces are not called."""
    for each in omitted:
        thing = show.shots.get(each.id) or show.elements[each.id]
        yield Problem(
            Severity.NOTE,
            thing.place,
            "omitted-as-posted",
            f"omitted {each.says}; not called: {', '.join(each.pieces)}",
            "state it in the show's files too, or post it as un-omitted",
            each.id,
        )
