"""The element graph as a Graphviz drawing: one shot, one sequence, or the whole show collapsed.

Takes the show, the arrows to draw and the estimates, gives DOT text. Knows nothing of programs that
draw it. Time runs from left to right: what is made, what is photographed on location and on stage,
what comes back from the laboratory, what is finished. Ids and links are made of slugs only, and all
text is escaped, so that a name can hold anything.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from dataclasses import dataclass
from hashlib import blake2s
from itertools import cycle
from types import MappingProxyType
from typing import TYPE_CHECKING

import networkx as nx

from planner.estimate.estimates import Estimates
from planner.kinds import Phase
from planner.model.place import Severity
from planner.pages.wording import columns, counted, figure, folded, inert

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from planner.kinds import Estimate
    from planner.model.show import Element, Sequence, Shot, Show

_FONT = "Helvetica"
_NAME_COLUMNS = 24
_NAME_LINES = 3
# Above so many arrows the words on them are said once for all arrows of one sort into one thing.
_SAID_ON_EACH = 40
# In more bands than this, what is shared is named again in each.
_BANDS_TRACED = 4
# A list of shots is about as wide as so many of its rows are high, on a page wider than high.
_ROWS_ACROSS_ONE_LIST = 20


@dataclass(frozen=True, slots=True)
class _Look:
    """How one sort of thing is drawn: a shape, a pale fill and a border of the same hue."""

    shape: str
    fill: str
    border: str
    style: str = "filled"
    margin: str = "0.14,0.07"


# Hues of the Okabe-Ito palette; fills are the same hues mixed with white, all light enough for
# black words on them, in grey too.
_SKY, _ORANGE, _GREEN = ("#D9EEFA", "#2B7FB0"), ("#FBE7C2", "#B87A00"), ("#CDEBE1", "#007F5D")
_PURPLE, _YELLOW, _BLUE = ("#F6E4EE", "#A85584"), ("#FBF8CF", "#8F8600"), ("#C6DCEC", "#0072B2")
_GREY, _VERMILION = ("#F2F2F2", "#666666"), "#C04F00"
# Dark enough for thin lines; arrows from different things differ.
_HUES = ("#0072B2", "#C04F00", "#007F5D", "#A85584", "#B87A00", "#444444")
_LOOKS: Mapping[str, _Look] = MappingProxyType(
    {
        "plate": _Look("box", *_SKY),
        "standing_set": _Look("house", *_SKY),
        "camera_move": _Look("cds", *_YELLOW),
        "build": _Look("box3d", *_ORANGE),
        "miniature": _Look("box", *_ORANGE),
        "puppet": _Look("hexagon", *_ORANGE, margin="0.04,0.03"),
        "painting": _Look("note", *_GREEN),
        "shadow": _Look("parallelogram", *_PURPLE, margin="0,0.01"),
        "roto": _Look("octagon", *_PURPLE, margin="0.06,0.03"),
        "composite": _Look("ellipse", *_BLUE, margin="0.04,0.03"),
        "test": _Look("tab", *_GREY),
        "permit": _Look("folder", *_GREY),
        "decision": _Look("diamond", *_GREY, margin="0,0"),
    }
)
_OTHER = _Look("box", *_GREY)

# Words read along the arrow, from what is needed to what needs it.
_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "build": "is photographed as",
        "builds": "is tried in",
        "camera_of": "gives its camera to",
        "clean_plate": "is the clean plate of",
        "colour_from": "gives its colours to",
        "falls_on": "receives",
        "joins": "is joined into",
        "move_from": "gives its move to",
        "of": "gives its camera to",
        "needs_test": "must pass before",
        "removes_rods_of": "loses its rods in",
        "roto_of": "is outlined in",
        "set": "is the set of",
        "shadow_of": "casts",
        "waits_for": "comes before",
    }
)
_HEADINGS: Mapping[Phase, str] = MappingProxyType(
    {
        Phase.PREPARE: "settled first",
        Phase.BUILD: "made",
        Phase.LOCATION: "photographed on location",
        Phase.STAGE: "photographed on stage",
        Phase.LAB: "at the laboratory",
        Phase.FINISH: "finished",
    }
)
_PHASES = tuple(_HEADINGS)
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
    drawing = _collapsed(show, arrows, estimates) if collapse else _whole(show, arrows, estimates)
    lines = [
        "digraph drawing {",
        f"  graph [{_graph_look(title)}]",
        f'  node [fontname="{_FONT}", fontsize=11, penwidth=1.4]',
        f'  edge [fontname="{_FONT}", fontsize=8, fontcolor="#333333", color="{_GREY[1]}"]',
        "  edge [arrowsize=0.6]",
        *drawing,
        "}",
    ]
    return "\n".join(lines) + "\n"


def draw_part(
    show: Show, arrows: nx.DiGraph[str], part: str, estimates: Estimates | None = None
) -> str:
    """DOT text of one shot, one sequence, or the whole show collapsed.

    Args:
        show: everything the files state.
        arrows: of the whole show; see `dot_source`.
        part: id of a shot or a sequence; empty for the show. Everything it needs is drawn with it.
        estimates: hours, phases and findings; left out where there are none.
    """
    known = estimates or Estimates({}, {}, (), ())
    if part in show.shots:
        shots, title = {part}, f"{part}: {show.shots[part].says}"
    elif part in show.sequences:
        sequence = show.sequences[part]
        shots, title = set(sequence.shots), f"{show.title}: {sequence.title or part}"
    else:
        return dot_source(show, arrows, known, title=show.title, collapse=True)
    wanted = {
        each for each in arrows if each in show.elements and show.elements[each].shot in shots
    }
    drawn = wanted.union(*(nx.ancestors(arrows, each) for each in wanted))
    # A view would list the nodes in no fixed order.
    piece: nx.DiGraph[str] = nx.DiGraph()
    piece.add_nodes_from(each for each in arrows if each in drawn)
    piece.add_edges_from(each for each in arrows.edges(data=True) if {each[0], each[1]} <= drawn)
    return dot_source(show, piece, known, title=title)


def slug(id_: str) -> str:
    """A name for `id_` that is safe in links, files and every Graphviz; different ids differ."""
    kept = re.sub(r"[^A-Za-z0-9_.-]", "-", id_)
    if kept == id_ and id_:
        return id_
    return f"{kept[:40]}-{blake2s(id_.encode('utf-8', 'replace'), digest_size=4).hexdigest()}"


# Escaping ---------------------------------------------------------------------------------------


def _label(text: str) -> str:
    """Text within an HTML-like label: references for marks, and escapes doubled."""
    return _referenced(text).replace("\\", "\\\\")


def _tooltip(text: str) -> str:
    """Text within a quoted tooltip; escapes are undone twice on its way to the page."""
    return _referenced(text).replace("\\", "\\\\\\\\")


def _referenced(text: str) -> str:
    # Numeric references: old Graphviz leaves quotes as they are and takes `&lt;` for a mark.
    return "".join(f"&#{ord(char)};" if char in "&<>\"'" else char for char in inert(text))


def _graph_look(title: str) -> str:
    label = "<BR/>".join(_label(line) for line in _short(title, 90))
    return (
        f'rankdir=LR, label=<<B>{label}</B>>, labelloc=t, labeljust=l, fontname="{_FONT}",'
        ' fontsize=15, bgcolor=white, pad=0.25, nodesep=0.16, ranksep="0.55", newrank=true,'
        ' tooltip=" "'
    )


def _short(text: str, width: int = _NAME_COLUMNS, most: int = _NAME_LINES) -> list[str]:
    """At most `most` lines of `text`; what is cut off is marked with an ellipsis."""
    lines = folded(text, "", "", width=width)
    if len(lines) > most:
        lines = lines[:most]
        while columns(lines[-1]) >= width:
            lines[-1] = lines[-1][:-1]
        lines[-1] += "…"
    return lines


# Every element ----------------------------------------------------------------------------------


def _whole(show: Show, arrows: nx.DiGraph[str], estimates: Estimates) -> Iterator[str]:
    """Columns by time, a band for each shot where there are several, and the arrows."""
    places = _places(show, arrows, estimates)
    bands: defaultdict[str, list[str]] = defaultdict(list)
    for id_ in arrows:
        if id_ in show.elements:
            held_by = _group_of(show, arrows, id_)
            bands[held_by if held_by in show.shots else ""].append(id_)
    in_story = [each for each in show.shots if each in bands]
    tags: dict[str, str] = {}
    if len(in_story) > _BANDS_TRACED:
        arrows, tags = _named_again(show, arrows, set(bands[""]))
        places |= {tag: places[needed] for tag, needed in tags.items()}
        for tag in tags:
            bands[_group_of(show, arrows, next(arrows.successors(tag)))].append(tag)
    nodes = {
        id_: _again(show, tags[id_], slug(id_))
        if id_ in tags
        else _element_node(show, show.elements[id_], estimates.by_element.get(id_))
        for id_ in arrows
        if id_ in tags or id_ in show.elements
    }
    # Graphviz stacks what it reads from the foot of the page up.
    for shot in reversed(in_story):
        held = [nodes[id_] for id_ in bands[shot]]
        yield from _band(show.shots[shot], held) if len(in_story) > 1 else held
    yield from (nodes[id_] for id_ in reversed(bands[""]))
    yield from _columns(places, [id_ for shot in in_story for id_ in bands[shot]])
    yield from _arrows(arrows)


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
        shot = _group_of(show, arrows, needs) if needs in show.elements else ""
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
        f'    label=<{_label(_short(says, 90, 1)[0])}>; labeljust=l; fontsize=10; color="#BBBBBB";'
        f' fontcolor="#333333"; style=rounded; margin=6; tooltip="{_tooltip(says)}"'
    )
    yield from (f"  {node}" for node in nodes)
    yield "  }"


def _places(
    show: Show, arrows: nx.DiGraph[str], estimates: Estimates
) -> dict[str, tuple[int, int]]:
    """Per id its phase and its depth within it: later than everything it needs."""
    places: dict[str, tuple[int, int]] = {}
    for id_ in nx.lexicographical_topological_sort(arrows):
        phase, depth = _phase(show.elements.get(id_), estimates.by_element.get(id_)), 0
        for needed in arrows.predecessors(id_):
            before = places[needed]
            if before[0] > phase:
                phase, depth = before[0], before[1] + 1
            elif before[0] == phase:
                depth = max(depth, before[1] + 1)
        places[id_] = (phase, depth)
    # Composites that nothing waits for end the drawing together.
    last = max(places.values(), default=(0, 0))
    for id_ in places:
        element = show.elements.get(id_)
        if element is not None and element.kind == "composite" and not arrows.out_degree(id_):
            places[id_] = last
    return places


def _phase(element: Element | None, estimate: Estimate | None) -> int:
    """When the thing is photographed; for what is not, when most of its hours fall."""
    hours: defaultdict[Phase, float] = defaultdict(float)
    for work in estimate.work if estimate else ():
        hours[work.phase] += work.hours.likely
    photographed = {each: hours[each] for each in (Phase.LOCATION, Phase.STAGE) if hours[each]}
    most = photographed or hours
    if any(most.values()):
        return _PHASES.index(max(most, key=lambda each: most[each]))
    usual = _USUALLY.get(element.kind, Phase.PREPARE) if element else Phase.PREPARE
    return _PHASES.index(usual)


def _columns(places: Mapping[str, tuple[int, int]], in_story: Iterable[str]) -> Iterator[str]:
    """One rank for each column, under a heading where a phase begins, in the order of the story."""
    held: defaultdict[tuple[int, int], list[str]] = defaultdict(list)
    for id_ in dict.fromkeys((*in_story, *places)):
        held[places[id_]].append(id_)
    ordered = sorted(held)
    for number, place in enumerate(ordered):
        words = _HEADINGS[_PHASES[place[0]]] if not place[1] else ""
        yield (
            f'  "column {number}" [shape=plain, style="", fontsize=10, fontcolor="#555555",'
            f' label=<<I>{_label(words) or " "}</I>>, tooltip=" "]'
        )
        members = " ".join(f'"{slug(id_)}"' for id_ in held[place])
        yield f'  {{rank=same; "column {number}" {members}}}'
        if number:
            yield f'  "column {number - 1}" -> "column {number}" [style=invis, weight=50]'


def _element_node(show: Show, element: Element, estimate: Estimate | None) -> str:
    look = _LOOKS.get(element.kind, _OTHER)
    hours = sum(work.hours.likely for work in estimate.work) if estimate else 0.0
    about = [element.kind.replace("_", " ")]
    if hours:
        about.append(figure(round(hours, 1), "h"))
    shot = show.shots.get(element.shot)
    says = element.facts.word("says")
    if shot is not None and element.kind == "composite":
        says = says or shot.says
        if not shot.is_live:
            about.append(shot.state)
    tooltip = f"{element.id}: {says}" if says else element.id
    if not show.is_live(element):
        look = _Look(look.shape, _GREY[0], _GREY[1], "filled,dashed")
    stops = _errors([estimate] if estimate else [])
    return _node(element.id, look, (element.name, ", ".join(about), stops), tooltip)


def _errors(estimates: Iterable[Estimate]) -> int:
    return sum(
        1 for estimate in estimates for each in estimate.problems if each.severity is Severity.ERROR
    )


def _node(id_: str, look: _Look, told: tuple[str, str, int], tooltip: str) -> str:
    """A node.

    Args:
        id_: of what it stands for.
        look: its shape and hue.
        told: its name, a line about it, and how many errors were found in it.
        tooltip: everything in full.
    """
    name, about, stops = told
    lines = [f"<B>{_label(line)}</B>" for line in _short(name)]
    lines += [f'<FONT POINT-SIZE="9">{_label(line)}</FONT>' for line in _short(about, 30)]
    border, style = look.border, look.style
    if stops:
        border, style = _VERMILION, "filled,bold"
        said = counted(stops, "error")
        lines.append(f'<FONT POINT-SIZE="9" COLOR="{_VERMILION}"><B>{said}</B></FONT>')
    return (
        f'  "{slug(id_)}" [id="{slug(id_)}", URL="#{slug(id_)}", shape={look.shape},'
        f' style="{style}", fillcolor="{look.fill}", color="{border}", margin="{look.margin}",'
        f' label=<{"<BR/>".join(lines)}>, tooltip="{_tooltip(tooltip)}"]'
    )


def _again(show: Show, id_: str, node: str) -> str:
    """A shared thing named once more, smaller, linked to the same place."""
    look = _LOOKS.get(show.elements[id_].kind, _OTHER)
    return (
        f'  "{node}" [shape=box, style=filled, penwidth=0.6, fontsize=9, height=0.2,'
        f' fillcolor="{look.fill}", color="{look.border}", URL="#{slug(id_)}",'
        f' label=<{_label(_short(id_, most=1)[0])}>, tooltip="{_tooltip(id_)}"]'
    )


def _arrows(arrows: nx.DiGraph[str]) -> Iterator[str]:
    """Arrows with their words; in a large drawing, once for all of one sort into one thing."""
    role: str
    said: set[tuple[str, str]] = set()
    sparing = arrows.number_of_edges() > _SAID_ON_EACH
    for needed, needs, role in arrows.edges(data="role", default=""):
        words = _WORDS.get(role, role.replace("_", " "))
        is_said = sparing and (role, needs) in said
        said.add((role, needs))
        tooltip = _tooltip(f"{needed} {words} {needs}")
        label = f", label=<{_label(words)}>" if words and not is_said else ""
        yield f'  "{slug(needed)}" -> "{slug(needs)}" [edgetooltip="{tooltip}"{label}]'


# The show collapsed -----------------------------------------------------------------------------


def _collapsed(show: Show, arrows: nx.DiGraph[str], estimates: Estimates) -> Iterator[str]:
    """A list of shots for each sequence, and a node for each thing that several shots share.

    Every shot is one row, which says what it rests on in words; arrows run to the rows, or to the
    head of the list where they are too many to follow.
    """
    merged, members = _merged(show, arrows)
    rows: defaultdict[str, list[str]] = defaultdict(list)
    for shot in show.shots.values():
        if shot.id in merged:
            held = [estimates.by_element.get(id_) for id_ in members[shot.id]]
            rows[shot.sequence].append(_row(shot, merged, held))
    for id_ in merged:
        if id_ not in show.shots:
            yield _element_node(show, show.elements[id_], estimates.by_element.get(id_))
    yield from (_list(show.sequences[each], its_rows) for each, its_rows in rows.items())
    side_by_side = _side_by_side({each: len(its_rows) + 2 for each, its_rows in rows.items()})
    yield "  ranksep=1.1"
    for before, lists in zip([[], *side_by_side], side_by_side, strict=False):
        yield f"  {{rank=same; {' -> '.join(lists)} [style=invis]}}"
        yield from (f"  {each} -> {lists[0]} [style=invis, weight=20]" for each in before[:1])
    if merged.number_of_edges() <= _SAID_ON_EACH:
        yield from _arrows_to_rows(show, merged)
    else:
        yield from _arrows_to_lists(show, merged, side_by_side)


def _merged(show: Show, arrows: nx.DiGraph[str]) -> tuple[nx.DiGraph[str], dict[str, list[str]]]:
    """Arrows between shots and shared things, each with its ``roles``; and what each one holds."""
    group = {id_: _group_of(show, arrows, id_) for id_ in arrows if id_ in show.elements}
    members: defaultdict[str, list[str]] = defaultdict(list)
    merged: nx.DiGraph[str] = nx.DiGraph()
    for id_, held_by in group.items():
        members[held_by].append(id_)
        merged.add_node(held_by)
    role: str
    for needed, needs, role in arrows.edges(data="role", default=""):
        ends = group.get(needed, ""), group.get(needs, "")
        if ends[0] and ends[1] and ends[0] != ends[1]:
            roles = merged.edges[ends]["roles"] if merged.has_edge(*ends) else ()
            merged.add_edge(*ends, roles=tuple(dict.fromkeys((*roles, role))))
    return merged, members


def _group_of(show: Show, arrows: nx.DiGraph[str], id_: str) -> str:
    """The shot that holds `id_`: its own, or the only one that needs it; else `id_` itself."""
    own = show.elements[id_].shot
    if own:
        return own
    users: set[str] = set()
    for each in nx.descendants(arrows, id_):
        if each in show.elements and show.elements[each].shot:
            users.add(show.elements[each].shot)
    return users.pop() if len(users) == 1 else id_


def _row(shot: Shot, merged: nx.DiGraph[str], held: Iterable[Estimate | None]) -> str:
    """One shot as a row of its sequence's list: name, sentence, hours, what it rests on."""
    estimates = [each for each in held if each is not None]
    hours = sum(work.hours.likely for each in estimates for work in each.work)
    stops = _errors(estimates)
    says = shot.says if shot.is_live else f"{shot.state}: {shot.says}"
    rests_on = ", ".join(merged.predecessors(shot.id))
    cells = [
        f"<B>{_label(_short(shot.id)[0])}</B>",
        _label(_short(says, 44, 1)[0]),
        _label(figure(round(hours), "h") if hours else ""),
        _label(_short(f"rests on {rests_on}", 44, 1)[0] if rests_on else ""),
    ]
    if stops:
        cells[1] += f' <FONT COLOR="{_VERMILION}"><B>{counted(stops, "error")}</B></FONT>'
    # Escapes in a cell's title are undone once, as in a label.
    tooltip = _label(f"{shot.id}: {says}; rests on {rests_on or 'nothing shared'}")
    fill = "white" if shot.is_live else _GREY[0]
    link = f'PORT="{slug(shot.id)}" ID="{slug(shot.id)}" HREF="#{slug(shot.id)}" TITLE="{tooltip}"'
    row = "".join(
        f'<TD {"" if number else link} ALIGN="{"RIGHT" if number == 2 else "LEFT"}"'
        f' BGCOLOR="{fill}">{cell or " "}</TD>'
        for number, cell in enumerate(cells)
    )
    return f"<TR>{row}</TR>"


def _list(sequence: Sequence, rows: Iterable[str]) -> str:
    """A sequence as one node: its title over its shots."""
    title = sequence.title or sequence.id
    head = (
        f'<TR><TD PORT="head" COLSPAN="4" ALIGN="LEFT" BGCOLOR="{_BLUE[0]}">'
        f"<B>{_label(_short(title, 60, 1)[0])}</B></TD></TR>"
    )
    return (
        f'  "list {slug(sequence.id)}" [shape=plain, fontsize=9, tooltip="{_tooltip(title)}",'
        f' label=<<TABLE BORDER="1" CELLBORDER="0" CELLSPACING="0" CELLPADDING="3" ROWS="*"'
        f' COLOR="{_BLUE[1]}">{head}{"".join(rows)}</TABLE>>]'
    )


def _side_by_side(heights: Mapping[str, int]) -> list[list[str]]:
    """Nodes of lists in as many columns as keep the drawing wider than high.

    Args:
        heights: rows of each sequence's list, in the order of the story.
    """
    total = sum(heights.values())
    wanted = max(1, round((total / _ROWS_ACROSS_ONE_LIST) ** 0.5))
    side_by_side: list[list[str]] = [[]]
    filled = 0
    for sequence, height in heights.items():
        if side_by_side[-1] and filled + height / 2 > total * len(side_by_side) / wanted:
            side_by_side.append([])
        side_by_side[-1].append(_list_node(sequence))
        filled += height
    return side_by_side if heights else []


def _list_node(sequence: str) -> str:
    return f'"list {slug(sequence)}"'


def _list_of(show: Show, id_: str) -> str:
    """Node that lists the shot `id_`; empty for things outside shots."""
    shot = show.shots.get(id_)
    return _list_node(shot.sequence) if shot else ""


def _arrows_to_rows(show: Show, merged: nx.DiGraph[str]) -> Iterator[str]:
    """An arrow for each merged edge; the words once for all of one sort from one thing."""
    hues = dict(zip((each for each in merged if each not in show.shots), cycle(_HUES)))
    said: set[tuple[str, str]] = set()
    roles: tuple[str, ...]
    for needed, needs, roles in merged.edges(data="roles", default=()):
        ends = _list_of(show, needed), _list_of(show, needs)
        if ends[0] and ends[0] == ends[1]:
            continue  # within one list the row says it in words
        words = _in_words(roles)
        label = "" if (needed, words) in said else f"label=<{_label(words) or ' '}>, "
        said.add((needed, words))
        tail = f'{ends[0]}:"{slug(needed)}":w' if ends[0] else f'"{slug(needed)}"'
        head = f'{ends[1]}:"{slug(needs)}":w' if ends[1] else f'"{slug(needs)}"'
        tooltip = _tooltip(f"{needed} {words} {needs}")
        hue = hues.get(needed, _GREY[1])
        yield f'  {tail} -> {head} [{label}color="{hue}", edgetooltip="{tooltip}"]'


def _arrows_to_lists(
    show: Show, merged: nx.DiGraph[str], side_by_side: Iterable[Iterable[str]]
) -> Iterator[str]:
    """An arrow from each shared thing to each list that holds shots resting on it.

    Beside every column of lists but the first the thing is named again, so that no arrow crosses
    a column.
    """
    hues = dict(zip((each for each in merged if each not in show.shots), cycle(_HUES)))
    shots: Counter[tuple[str, str]] = Counter()
    roles: defaultdict[tuple[str, str], dict[str, None]] = defaultdict(dict)
    for needed, needs, each in merged.edges(data="roles", default=()):
        head = _list_of(show, needs)
        if head and not _list_of(show, needed):
            shots[needed, head] += 1
            roles[needed, head].update(dict.fromkeys(each))
        elif not head:
            yield f'  "{slug(needed)}" -> "{slug(needs)}" [label=<{_label(_in_words(each))}>]'
    before = ""
    for number, lists in enumerate(side_by_side):
        again = f" again {number}" if number else ""
        held = [(needed, head) for needed, head in shots if head in lists]
        for needed in dict.fromkeys(needed for needed, _ in held):
            if again:
                yield _again(show, needed, slug(needed) + again)
                yield f'  {before} -> "{slug(needed)}{again}" [style=invis]'
        for needed, head in held:
            said = f"{_in_words(roles[needed, head])} in {counted(shots[needed, head], 'shot')}"
            yield (
                f'  "{slug(needed)}{again}" -> {head}:head:w'
                f' [label=<{_label(said)}>, color="{hues[needed]}", edgetooltip=" "]'
            )
        before = next(iter(lists))


def _in_words(roles: Iterable[str]) -> str:
    return ", ".join(_WORDS.get(role, role.replace("_", " ")) for role in roles)
