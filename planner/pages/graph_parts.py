"""Which pieces of the element graph a drawing of shots holds, and when in time each stands.

Takes a show, its arrows and estimates, gives parts of the arrows and a place for each piece: its
phase, and its depth within it. Knows nothing of looks, or of programs that draw.
"""

from __future__ import annotations

from collections import defaultdict
from types import MappingProxyType
from typing import TYPE_CHECKING

import networkx as nx

from planner.kinds import Phase

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from planner.estimate.estimates import Estimates
    from planner.kinds import Estimate
    from planner.model.show import Element, Show

HEADINGS: Mapping[Phase, str] = MappingProxyType(
    {
        Phase.PREPARE: "settled first",
        Phase.BUILD: "made",
        Phase.LOCATION: "photographed on location",
        Phase.STAGE: "photographed on stage",
        Phase.LAB: "at the laboratory",
        Phase.FINISH: "finished",
    }
)
PHASES = tuple(HEADINGS)
"""In the order of a drawing, from left to right."""
# Where nothing is estimated.
_USUALLY: Mapping[str, Phase] = MappingProxyType(
    {
        "build": Phase.BUILD,
        "camera_move": Phase.LOCATION,
        "composite": Phase.FINISH,
        "miniature": Phase.STAGE,
        "painting": Phase.BUILD,
        "plate": Phase.LOCATION,
        "puppet": Phase.STAGE,
        "roto": Phase.FINISH,
        "shadow": Phase.STAGE,
        "standing_set": Phase.LOCATION,
    }
)


def with_all_they_need(
    show: Show, arrows: nx.DiGraph[str], parts: Iterable[Iterable[str]]
) -> Iterator[nx.DiGraph[str]]:
    """Of each group of shots in turn, the arrows between their pieces and everything upstream.

    Args:
        show: that they are of.
        arrows: of the whole show, looked through once; an arrow from what is needed to what needs
            it.
        parts: ids of shots, a group for each drawing.
    """
    # Pieces are drawn in the order of the whole, whichever of them a part holds.
    told = {id_: number for number, id_ in enumerate(arrows)}
    for shots in parts:
        own = (each for shot in shots for each in show.shots[shot].elements)
        found = with_upstream(arrows, (each for each in own if each in told))
        # A view would list the nodes in no fixed order.
        part: nx.DiGraph[str] = nx.DiGraph()
        nodes = sorted(found, key=told.__getitem__)
        part.add_nodes_from(nodes)
        for needed in nodes:
            for needs, about in arrows.adj[needed].items():
                if needs in found:
                    part.add_edge(needed, needs, **about)
        yield part


def with_upstream(arrows: nx.DiGraph[str], ids: Iterable[str]) -> set[str]:
    """Things and all they wait for, directly or not; looked through once for all of them."""
    found = set(ids)
    unseen = list(found)
    while unseen:
        new = arrows.pred[unseen.pop()].keys() - found
        found |= new
        unseen.extend(new)
    return found


def places(show: Show, arrows: nx.DiGraph[str], estimates: Estimates) -> dict[str, tuple[int, int]]:
    """Per id its phase, as a number in `PHASES`, and its depth within it: later than all it needs.

    Composites that nothing waits for end the drawing together.
    """
    found: dict[str, tuple[int, int]] = {}
    for id_ in nx.topological_sort(arrows):
        own = phase_of(show.elements.get(id_), estimates.by_element.get(id_))
        phase, depth = PHASES.index(own), 0
        for needed in arrows.pred[id_]:
            before = found[needed]
            if before[0] > phase:
                phase, depth = before[0], before[1] + 1
            elif before[0] == phase:
                depth = max(depth, before[1] + 1)
        found[id_] = (phase, depth)
    last = max(found.values(), default=(0, 0))
    for id_ in found:
        element = show.elements.get(id_)
        if element is not None and element.kind == "composite" and not arrows.succ[id_]:
            found[id_] = last
    return found


def phase_of(element: Element | None, estimate: Estimate | None) -> Phase:
    """When it is photographed; for what is not, when most of its hours fall, or usually do."""
    works = estimate.work if estimate else ()
    phase = main_phase((work.phase, work.hours.likely) for work in works)
    usual = _USUALLY.get(element.kind, Phase.PREPARE) if element else Phase.PREPARE
    return phase or usual


def main_phase(works: Iterable[tuple[Phase, float]]) -> Phase | None:
    """When a thing is photographed; for what is not, when most of its hours fall.

    Args:
        works: phase and hours of each stretch of work.

    Returns:
        None where no hours are.
    """
    hours: defaultdict[Phase, float] = defaultdict(float)
    for phase, its_hours in works:
        hours[phase] += its_hours
    taken = {each: hours[each] for each in (Phase.LOCATION, Phase.STAGE) if hours.get(each)}
    most = taken or hours
    return max(most, key=lambda each: most[each]) if any(most.values()) else None
