"""The whole show's element graph collapsed: a list of shots for each sequence, and what they share.

Takes the show, its arrows and the estimates, gives the lines of DOT text within a drawing. Knows
nothing of drawings of single shots or sequences.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from itertools import cycle
from typing import TYPE_CHECKING

import networkx as nx

from planner.model.names import counted
from planner.pages.graph_nodes import (
    BLUE,
    GREY,
    SAID_ON_EACH,
    VERMILION,
    element_node,
    errors_in,
    group_of,
    in_words,
    label_of,
    named_again,
    short,
    slug,
    tooltip_of,
)
from planner.pages.wording import figure

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from planner.estimate.estimates import Estimates
    from planner.kinds import Estimate
    from planner.model.show import Sequence, Shot, Show


ALONE = "nothing here waits for these"
# A list of shots is about as wide as so many of its rows are high, on a page wider than high.
_ROWS_ACROSS_ONE_LIST = 20
# Dark enough for thin lines; arrows from different things differ.
_HUES = ("#0072B2", "#C04F00", "#007F5D", "#A85584", "#B87A00", "#444444")


def collapsed(show: Show, arrows: nx.DiGraph[str], estimates: Estimates) -> Iterator[str]:
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
    alone = [id_ for id_ in nx.isolates(merged) if id_ not in show.shots]
    for id_ in merged:
        if id_ not in show.shots and id_ not in alone:
            yield element_node(show, show.elements[id_], estimates.by_element.get(id_))
    if alone:
        nodes = (
            element_node(show, show.elements[id_], estimates.by_element.get(id_)) for id_ in alone
        )
        yield from _set_apart(nodes)
    yield from (_list(show.sequences[each], its_rows) for each, its_rows in rows.items())
    side_by_side = _side_by_side({each: len(its_rows) + 2 for each, its_rows in rows.items()})
    yield "  ranksep=1.1"
    for before, lists in zip([[], *side_by_side], side_by_side, strict=False):
        # Alone, it would be the list that goes unseen, not an arrow.
        unseen = " [style=invis]" if len(lists) > 1 else ""
        yield f"  {{rank=same; {' -> '.join(lists)}{unseen}}}"
        yield from (f"  {each} -> {lists[0]} [style=invis, weight=20]" for each in before[:1])
    if merged.number_of_edges() <= SAID_ON_EACH:
        yield from _arrows_to_rows(show, merged)
    else:
        yield from _arrows_to_lists(show, merged, side_by_side)


def _set_apart(nodes: Iterable[str]) -> Iterator[str]:
    """What has no arrow, framed and said so: else each box looks as if its arrow were missing."""
    yield "  subgraph cluster_alone {"
    yield f'    label=<{ALONE}>; labeljust=l; fontsize=10; color="#BBBBBB";'
    yield from (f"  {each}" for each in nodes)
    yield "  }"


def _merged(show: Show, arrows: nx.DiGraph[str]) -> tuple[nx.DiGraph[str], dict[str, list[str]]]:
    """Arrows between shots and shared things, each with its ``roles``; and what each one holds."""
    group = {id_: group_of(show, arrows, id_) for id_ in arrows if id_ in show.elements}
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


def _row(shot: Shot, merged: nx.DiGraph[str], held: Iterable[Estimate | None]) -> str:
    """One shot as a row of its sequence's list: name, sentence, hours, what it rests on."""
    estimates = [each for each in held if each is not None]
    hours = sum(work.hours.likely for each in estimates for work in each.work)
    stops = errors_in(estimates)
    says = shot.says if shot.is_live else f"{shot.state}: {shot.says}"
    rests_on = ", ".join(merged.predecessors(shot.id))
    cells = [
        f"<B>{label_of(short(shot.id)[0])}</B>",
        label_of(short(says, 44, 1)[0]),
        label_of(figure(round(hours), "h") if hours else ""),
        label_of(short(f"rests on {rests_on}", 44, 1)[0] if rests_on else ""),
    ]
    if stops:
        cells[1] += f' <FONT COLOR="{VERMILION}"><B>{counted(stops, "error")}</B></FONT>'
    # Escapes in a cell's title are undone once, as in a label.
    tooltip = label_of(f"{shot.id}: {says}; rests on {rests_on or 'nothing shared'}")
    fill = "white" if shot.is_live else GREY[0]
    link = f'PORT="{slug(shot.id)}" ID="{slug(shot.id)}" HREF="#{slug(shot.id)}" TITLE="{tooltip}"'
    row = "".join(
        f'<TD {"" if number else link} ALIGN="{"RIGHT" if number == 2 else "LEFT"}"'
        f' BGCOLOR="{fill}">{cell or " "}</TD>'
        for number, cell in enumerate(cells)
    )
    return f"<TR>{row}</TR>"


def _list(sequence: Sequence, rows: Iterable[str]) -> str:
    """A sequence as one node: its title over its shots."""
    title = sequence.called
    head = (
        f'<TR><TD PORT="head" COLSPAN="4" ALIGN="LEFT" BGCOLOR="{BLUE[0]}">'
        f"<B>{label_of(short(title, 60, 1)[0])}</B></TD></TR>"
    )
    return (
        f'  "list {slug(sequence.id)}" [shape=plain, fontsize=9, tooltip="{tooltip_of(title)}",'
        f' label=<<TABLE BORDER="1" CELLBORDER="0" CELLSPACING="0" CELLPADDING="3" ROWS="*"'
        f' COLOR="{BLUE[1]}">{head}{"".join(rows)}</TABLE>>]'
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
        words = in_words(roles)
        label = "" if (needed, words) in said else f"label=<{label_of(words) or ' '}>, "
        said.add((needed, words))
        tail = f'{ends[0]}:"{slug(needed)}":w' if ends[0] else f'"{slug(needed)}"'
        head = f'{ends[1]}:"{slug(needs)}":w' if ends[1] else f'"{slug(needs)}"'
        tooltip = tooltip_of(f"{needed} {words} {needs}")
        hue = hues.get(needed, GREY[1])
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
            yield f'  "{slug(needed)}" -> "{slug(needs)}" [label=<{label_of(in_words(each))}>]'
    before = ""
    for number, lists in enumerate(side_by_side):
        again = f" again {number}" if number else ""
        held = [(needed, head) for needed, head in shots if head in lists]
        for needed in dict.fromkeys(needed for needed, _ in held):
            if again:
                yield named_again(show, needed, slug(needed) + again)
                yield f'  {before} -> "{slug(needed)}{again}" [style=invis]'
        for needed, head in held:
            said = f"{in_words(roles[needed, head])} in {counted(shots[needed, head], 'shot')}"
            yield (
                f'  "{slug(needed)}{again}" -> {head}:head:w'
                f' [label=<{label_of(said)}>, color="{hues[needed]}", edgetooltip=" "]'
            )
        before = next(iter(lists))
