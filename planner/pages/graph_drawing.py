"""The element graph as a Graphviz drawing: one shot, one sequence, or the whole show collapsed.

Takes the show, the arrows to draw and the estimates, gives DOT text. Knows nothing of programs that
draw it. Time runs from left to right: what is made, what is photographed on location and on stage,
what comes back from the laboratory, what is finished.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

import networkx as nx

from planner.pages.graph_collapsed import collapsed
from planner.pages.graph_nodes import (
    GREY,
    SAID_ON_EACH,
    THICK,
    element_node,
    group_of,
    in_words,
    label_of,
    named_again,
    short,
    slug,
    tooltip_of,
)
from planner.pages.graph_parts import HEADINGS, PHASES, places, with_all_they_need

if TYPE_CHECKING:
    from collections.abc import Container, Iterable, Iterator, Mapping, Sequence

    from planner.estimate.estimates import Estimates
    from planner.kinds import Phase
    from planner.model.show import Shot, Show


_FONT = "Helvetica"
# In more bands than this, what is shared is named again in each.
_BANDS_TRACED = 4


def dot_source(
    show: Show,
    arrows: nx.DiGraph[str],
    estimates: Estimates,
    *,
    title: str,
    collapse: bool = False,
) -> str:
    """DOT text of a drawing.

    Args:
        show: names and places of what is drawn.
        arrows: ids of elements, an arrow from what is needed to what needs it, each with its
            ``role``; what is not in it is not drawn.
        estimates: hours, phases and findings; an element without one is drawn plain.
        title: stands above the drawing.
        collapse: one node for each shot and for each thing that several shots share.

    Returns:
        Text for any Graphviz; the same for the same input.
    """
    drawing = (
        collapsed(show, arrows, estimates) if collapse else _whole(show, arrows, estimates, {})
    )
    return _document(drawing, title)


def _document(drawing: Iterable[str], title: str) -> str:
    lines = [
        "digraph drawing {",
        f"  graph [{_graph_look(title)}]",
        f'  node [fontname="{_FONT}", fontsize=11, penwidth=1.4]',
        f'  edge [fontname="{_FONT}", fontsize=8, fontcolor="#333333", color="{GREY[1]}"]',
        "  edge [arrowsize=0.6]",
        *drawing,
        "}",
    ]
    return "\n".join(lines) + "\n"


def draw_part(
    show: Show,
    arrows: nx.DiGraph[str],
    part: str,
    estimates: Estimates,
    waiting: Mapping[str, str] | None = None,
) -> str:
    """DOT text of one shot, one sequence, or the whole show collapsed.

    Args:
        show: everything the files state.
        arrows: of the whole show; see `dot_source`.
        part: id of a shot or a sequence; empty for the show. Everything it needs is drawn with it.
        estimates: hours, phases and findings; an element without one is drawn plain.
        waiting: by id, what stands in the way of pieces that composites wait for, in words; empty
            for one that waits itself. They are drawn thick, and what runs between them.
    """
    if part in show.shots:
        title = f"{part}: {show.shots[part].says}"
        shots: Sequence[str] = (part,)
    elif part in show.sequences:
        sequence = show.sequences[part]
        shots, title = sequence.shots, f"{show.title}: {sequence.title or part}"
    else:
        return dot_source(show, arrows, estimates, title=show.title, collapse=True)
    (held,) = with_all_they_need(show, arrows, (shots,))
    return _document(_whole(show, held, estimates, waiting or {}), title)


def _graph_look(title: str) -> str:
    label = "<BR/>".join(label_of(line) for line in short(title, 90))
    return (
        f'rankdir=LR, label=<<B>{label}</B>>, labelloc=t, labeljust=l, fontname="{_FONT}",'
        ' fontsize=15, bgcolor=white, pad=0.25, nodesep=0.16, ranksep="0.55", newrank=true,'
        ' tooltip=" "'
    )


def _whole(
    show: Show, arrows: nx.DiGraph[str], estimates: Estimates, waiting: Mapping[str, str]
) -> Iterator[str]:
    """Columns by time, a band for each shot where there are several, and the arrows."""
    at = places(show, arrows, estimates)
    bands: defaultdict[str, list[str]] = defaultdict(list)
    for id_ in arrows:
        if id_ in show.elements:
            held_by = group_of(show, arrows, id_)
            bands[held_by if held_by in show.shots else ""].append(id_)
    in_story = [each for each in bands if each]
    if len(in_story) > 1:
        in_story = [each for each in show.shots if each in bands]
    tags: dict[str, str] = {}
    if len(in_story) > _BANDS_TRACED:
        arrows, tags = _named_again(show, arrows, set(bands[""]))
        at |= {tag: at[needed] for tag, needed in tags.items()}
        for tag in tags:
            bands[group_of(show, arrows, next(arrows.successors(tag)))].append(tag)
    nodes = {
        id_: named_again(show, tags[id_], slug(id_))
        if id_ in tags
        else element_node(show, show.elements[id_], estimates.by_element.get(id_), waiting.get(id_))
        for id_ in arrows
        if id_ in tags or id_ in show.elements
    }
    # Graphviz stacks what it reads from the foot of the page up.
    for shot in reversed(in_story):
        held = [nodes[id_] for id_ in bands[shot]]
        yield from _band(show.shots[shot], held) if len(in_story) > 1 else held
    yield from (nodes[id_] for id_ in reversed(bands[""]))
    yield from _columns(arrows, at, [id_ for shot in in_story for id_ in bands[shot]])
    yield from _arrows(arrows, {*waiting, *(tag for tag in tags if tags[tag] in waiting)})


def _named_again(
    show: Show, arrows: nx.DiGraph[str], shared: set[str]
) -> tuple[nx.DiGraph[str], dict[str, str]]:
    """The arrows with what is shared named again in each shot that needs it.

    In a drawing of many bands nobody can follow an arrow from a build across the page.

    Returns:
        The arrows, and per added node the id it names again.
    """
    tags: dict[str, str] = {}
    drawn: nx.DiGraph[str] = nx.DiGraph()
    drawn.add_nodes_from(arrows)
    role: str
    for needed, needs, role in arrows.edges(data="role", default=""):
        shot = group_of(show, arrows, needs) if needs in show.elements else ""
        tail = needed
        if shot in show.shots and needed in shared:
            tail = f"{needed} in {shot}"
            tags[tail] = needed
        drawn.add_edge(tail, needs, role=role)
    return drawn, tags


def _band(shot: Shot, nodes: Iterable[str]) -> Iterator[str]:
    says = shot.id if shot.is_live else f"{shot.id}, {shot.state}"
    says = f"{says}: {shot.says}" if shot.says else says
    yield f'  subgraph "cluster {slug(shot.id)}" {{'
    yield (
        f'    label=<{label_of(short(says, 90, 1)[0])}>; labeljust=l; fontsize=10; color="#BBBBBB";'
        f' fontcolor="#333333"; style=rounded; margin=6; tooltip="{tooltip_of(says)}"'
    )
    yield from (f"  {node}" for node in nodes)
    yield "  }"


def _columns(
    arrows: nx.DiGraph[str], places: Mapping[str, tuple[int, int]], in_story: Iterable[str]
) -> Iterator[str]:
    """One rank for each column, under a heading where a phase begins, in the order of the story.

    A column within a phase needs no mark of its own: something in it follows the column before it.
    """
    held: defaultdict[tuple[int, int], list[str]] = defaultdict(list)
    for id_ in dict.fromkeys((*in_story, *places)):
        held[places[id_]].append(id_)
    headed, before = 0, list[str]()
    for number, place in enumerate(sorted(held)):
        members = "".join(f' "{slug(id_)}"' for id_ in held[place])
        if not place[1]:
            yield f'  "column {number}" [{_heading(PHASES[place[0]])}]'
            yield f'  {{rank=same; "column {number}"{members}}}'
            if number:
                unseen = f"style=invis, weight=50, minlen={number - headed}"
                yield f'  "column {headed}" -> "column {number}" [{unseen}]'
            if _drifts(arrows, before, held[place]):
                yield f'  "{slug(before[0])}" -> "column {number}" [style=invis]'
            headed = number
        elif len(held[place]) > 1:
            yield f"  {{rank=same;{members}}}"
        before = held[place]


def _drifts(arrows: nx.DiGraph[str], column: Sequence[str], following: Sequence[str]) -> bool:
    """Whether a phase's last column might come under the next heading, near what follows it."""
    after = {needs for id_ in column for needs in arrows.succ[id_]}
    return bool(after) and after.isdisjoint(following)


def _heading(phase: Phase) -> str:
    return (
        'shape=plain, style="", fontsize=10, fontcolor="#555555",'
        f' label=<<I>{label_of(HEADINGS[phase])}</I>>, tooltip=" "'
    )


def _arrows(arrows: nx.DiGraph[str], waiting: Container[str]) -> Iterator[str]:
    """Arrows with their words; in a large drawing, once for all of one sort into one thing."""
    role: str
    said: set[tuple[str, str]] = set()
    sparing = arrows.number_of_edges() > SAID_ON_EACH
    for needed, needs, role in arrows.edges(data="role", default=""):
        words = in_words((role,))
        is_said = sparing and (role, needs) in said
        said.add((role, needs))
        tooltip = tooltip_of(f"{needed} {words} {needs}")
        label = f", label=<{label_of(words)}>" if words and not is_said else ""
        thick = f", penwidth={THICK}" if needed in waiting and needs in waiting else ""
        yield f'  "{slug(needed)}" -> "{slug(needs)}" [edgetooltip="{tooltip}"{label}{thick}]'
