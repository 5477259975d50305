"""The element graph: what waits for what across the whole show.

Takes a show, gives `ElementGraph`: nodes are ids of elements, builds, tests, permits, sets and
decisions; an arrow runs from what must be done first to what waits for it. Knows nothing of
estimates, dates or money.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import networkx as nx

from planner.model.place import Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from planner.model.place import Place
    from planner.model.show import Element, Show


@dataclass(frozen=True, slots=True)
class ElementGraph:
    """A directed graph without cycles.

    Attributes:
        arrows: edges upstream -> downstream; each carries ``role``, the word it was written under.
        relations: every other reference, namer -> named, such as ``in_front_of``; carries ``role``.
        order: all ids, each after everything it waits for.
        composites: per shot that has any, the id of its composite.
        is_whole: whether no arrow had to be left out of it.
    """

    arrows: nx.DiGraph[str]
    relations: nx.MultiDiGraph[str]
    order: tuple[str, ...]
    composites: dict[str, str]
    is_whole: bool = True

    def upstream(self, id_: str) -> set[str]:
        """Everything `id_` waits for, directly or not."""
        return set(nx.ancestors(self.arrows, id_))

    def downstream(self, id_: str) -> set[str]:
        """Everything that waits for `id_`, directly or not: the reach of a change to it."""
        return set(nx.descendants(self.arrows, id_))

    def part(self, ids: Iterable[str]) -> nx.DiGraph[str]:
        """The arrows among `ids` alone."""
        return self.arrows.subgraph(list(ids)).copy()


def build_graph(show: Show) -> tuple[ElementGraph, tuple[Problem, ...]]:
    """Join every element of the show into one graph.

    Returns:
        The graph, always usable: of a cycle the last arrow written is left out; and the problems
        found: cycles with their path, shots with no composite or with two. Cost is linear in
        elements and references.
    """
    arrows: nx.DiGraph[str] = nx.DiGraph()
    relations: nx.MultiDiGraph[str] = nx.MultiDiGraph()
    arrows.add_nodes_from(show.elements)
    relations.add_nodes_from(show.elements)
    for element in show.elements.values():
        for reference in element.references:
            if reference.waits:
                arrows.add_edge(reference.target, element.id, role=reference.role)
            else:
                relations.add_edge(element.id, reference.target, role=reference.role)
    order = _topological(arrows)
    problems: tuple[Problem, ...] = ()
    is_whole = len(order) == len(arrows)
    if not is_whole:
        problems = tuple(_break_cycles(show, arrows))
        order = _topological(arrows)
    composites, more = _composites(show)
    return ElementGraph(arrows, relations, order, composites, is_whole), (*problems, *more)


def build_graph_again(
    show: Show, before: tuple[Show, ElementGraph]
) -> tuple[ElementGraph, tuple[Problem, ...]]:
    """The same as `build_graph`, for a show that may wait for the same as it did before.

    Args:
        show: the show.
        before: the show as it was, and its graph.
    """
    was, graph = before
    # Of a cycle an arrow was left out, and where it was written is told: look again.
    if not graph.is_whole or not _names_alike(was, show):
        return build_graph(show)
    composites, problems = _composites(show)
    return replace(graph, composites=composites), problems


def _names_alike(one: Show, other: Show) -> bool:
    """Whether the same elements stand in the same order and name the same."""
    if list(one.elements) != list(other.elements):
        return False
    pairs = zip(one.elements.values(), other.elements.values(), strict=True)
    # Most are the very ones that were there.
    apart = [(left, right) for left, right in pairs if left is not right]
    return all(_named(left) == _named(right) for left, right in apart)


def _named(element: Element) -> list[tuple[str, str, bool]]:
    return [(each.role, each.target, each.waits) for each in element.references]


def _composites(show: Show) -> tuple[dict[str, str], tuple[Problem, ...]]:
    """Per live shot its composite, and what is told of shots with none or several."""
    problems: list[Problem] = []
    composites: dict[str, str] = {}
    for shot in show.shots.values():
        found = [id_ for id_ in shot.elements if show.elements[id_].kind == "composite"]
        if found:
            composites[shot.id] = found[-1]
        if shot.is_live and len(found) != 1 and shot.elements:
            problems.append(_wrong_number_of_composites(shot.id, found, show))
    return composites, tuple(problems)


def _break_cycles(show: Show, arrows: nx.DiGraph[str]) -> Iterable[Problem]:
    """Report each cycle by its path, and take out the arrow most likely to be the slip."""
    for component in [each for each in nx.strongly_connected_components(arrows) if len(each) > 1]:
        tangle = arrows.subgraph(component).copy()
        while cycle := _one_cycle(tangle):
            upstream, downstream = _stray(show, arrows, cycle)
            yield _endless(show, arrows, cycle, (upstream, downstream))
            tangle.remove_edge(upstream, downstream)
            arrows.remove_edge(upstream, downstream)


def _stray(
    show: Show, arrows: nx.DiGraph[str], cycle: Sequence[tuple[str, str]]
) -> tuple[str, str]:
    """The arrow of a cycle that is most likely a slip: the last of the best.

    A piece that waits for the composite of its own shot is one before all else, then what is
    written as waiting and nothing more: what is joined or built tells what the picture is made of.
    """

    def likelihood(arrow: tuple[str, str]) -> tuple[bool, bool]:
        upstream, downstream = (show.elements[each] for each in arrow)
        is_own = upstream.kind == "composite" and upstream.shot == downstream.shot
        role: str = arrows.edges[arrow]["role"]
        return is_own, role == "waits_for"

    return max(reversed(cycle), key=likelihood)


def _endless(
    show: Show,
    arrows: nx.DiGraph[str],
    cycle: Sequence[tuple[str, str]],
    stray: tuple[str, str],
) -> Problem:
    """A cycle, told at an arrow that may be taken out, with where the others are written."""
    path = " -> ".join([*(upstream for upstream, _downstream in cycle), cycle[0][0]])
    named = {arrow: _written(show, arrows, arrow) for arrow in cycle}
    others = "; ".join(
        f"{says} ({place})" for each, (says, place) in named.items() if each != stray
    )
    says, place = named[stray]
    return Problem(
        Severity.ERROR,
        place,
        "cycle",
        f"each of these waits for the one before it, without end: {path}",
        f"take out one; likely the slip: {says}, here. Others: {others}",
        stray[1],
    )


def _written(show: Show, arrows: nx.DiGraph[str], arrow: tuple[str, str]) -> tuple[str, Place]:
    """An arrow as its file has it, and where."""
    upstream, downstream = arrow
    role = arrows.edges[arrow]["role"]
    place = _place_of_reference(show.elements[downstream], role, upstream)
    return f"`{role}` {upstream} in {downstream}", place


def _one_cycle(tangle: nx.DiGraph[str]) -> list[tuple[str, str]]:
    try:
        # The least id first, so that the same show always prints the same cycle.
        return list(nx.find_cycle(tangle, source=sorted(tangle.nodes)))
    except nx.NetworkXNoCycle:
        return []


def _place_of_reference(element: Element, role: str, target: str) -> Place:
    for reference in element.references:
        if (reference.role, reference.target) == (role, target):
            return reference.place
    return element.place


def _wrong_number_of_composites(shot: str, found: list[str], show: Show) -> Problem:
    if found:
        place, message = show.elements[found[1]].place, f"{shot} has {len(found)} composites"
        remedy = "a shot ends in one; make the others part of it"
    else:
        place, message = show.shots[shot].place, f"{shot} has no composite"
        remedy = "add an element of kind composite that joins the pieces"
    return Problem(Severity.ERROR, place, "composite-not-one", message, remedy, shot)


def _topological(arrows: nx.DiGraph[str]) -> tuple[str, ...]:
    """Ids in an order that depends only on the files, not on hashing: first written, first out.

    What is part of a cycle, or waits for one, is left out.
    """
    followers = dict(arrows.adjacency())
    waiting = dict.fromkeys(followers, 0)
    for after in followers.values():
        for follower in after:
            waiting[follower] += 1
    order = [id_ for id_, count in waiting.items() if count == 0]
    for id_ in order:  # grows as it is gone through
        for follower in followers[id_]:
            waiting[follower] -= 1
            if waiting[follower] == 0:
                order.append(follower)
    return tuple(order)
