"""What still waits for what, of all that waited at first.

Takes the graph of a show and where every piece stands, gives the graph of what is left. Knows
nothing of work or dates.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planner.graph import ElementGraph
    from planner.status.standing import Standing


def arrows_left(graph: ElementGraph, standing: Standing) -> ElementGraph:
    """The graph without the arrows into pieces that are made; linear in arrows.

    What has been photographed waits for its puppet no longer: where that is lost afterwards, it
    holds up only what is still to be photographed.

    Args:
        graph: of the show's elements.
        standing: where every piece stands.
    """
    arrows = graph.arrows.copy()
    made = [id_ for id_ in graph.order if standing.is_done(id_) or standing.is_made(id_)]
    arrows.remove_edges_from(list(graph.arrows.in_edges(made)))
    return replace(graph, arrows=arrows)
