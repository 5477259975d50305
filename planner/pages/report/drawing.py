"""The element graph within the report: one drawing a shot, one a sequence, as small SVG.

Takes the matter of a page, gives SVG whose boxes link to the rows that tell of them. Looks are left
to the page's style sheet; every box says in words what its fill says. Knows nothing of templates.
"""

from __future__ import annotations

from collections import defaultdict
from html import escape
from types import MappingProxyType
from typing import TYPE_CHECKING

from markupsafe import Markup

from planner.kinds import Phase
from planner.model.names import counted
from planner.pages.graph_nodes import ONLY_BEFORE, group_of, short
from planner.pages.graph_parts import main_phase, with_upstream
from planner.pages.layers import USED, layered, path_of
from planner.pages.report.matter import day_span, when, without_work
from planner.pages.wording import columns, inert

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from planner.model.show import Shot
    from planner.pages.layers import Layout
    from planner.pages.report.matter import Matter

_SHOTS_APART = 12  # shots in a drawing that have a box each
_NAME, _LINE = 17, 23  # columns of text that a box has room for, bold and plain
_SAID: Mapping[Phase, tuple[str, str]] = MappingProxyType(
    {
        Phase.PREPARE: ("a", "settled"),
        Phase.BUILD: ("b", "made"),
        Phase.LOCATION: ("c", "location"),
        Phase.STAGE: ("d", "stage"),
        Phase.LAB: ("e", "laboratory"),
        Phase.FINISH: ("f", "finish"),
    }
)


def shot_drawing(matter: Matter, shot: Shot) -> Markup:
    """Everything a shot waits for, to its composite; empty for a shot without elements."""
    own = dict.fromkeys(shot.elements)
    needed = with_upstream(matter.plan.graph.arrows, own) - own.keys()
    ids = [*sorted(needed), *own]
    layout = layered(ids, _arrows(matter, ids))
    boxes = (_element(matter, id_, shot.id, layout.corners[id_]) for id_ in ids)
    return _drawn(layout, boxes, f"What waits for what in {shot.id}")


def sequence_drawing(matter: Matter, sequence: str) -> tuple[Markup, tuple[str, ...]]:
    """What the shots of a sequence share and what that waits for, a box for each shot.

    Of many shots, those that share exactly the same are in one box.

    Returns:
        The drawing, and the shots left out of it as they share nothing.
    """
    plan = matter.plan
    shots = plan.show.sequences[sequence].shots
    own = [id_ for shot in shots for id_ in plan.show.shots[shot].elements]
    drawn = dict.fromkeys((*own, *sorted(with_upstream(plan.graph.arrows, own))))
    group = {id_: group_of(plan.show, plan.graph.arrows, id_) for id_ in drawn}
    merged: dict[tuple[str, str], int] = {}
    for (needed, needs), sort in _arrows(matter, drawn).items():
        ends = group[needed], group[needs]
        if ends[0] != ends[1]:
            merged[ends] = merged.get(ends, 0) | sort
    linked = {end for ends in merged for end in ends}
    alike = _alike([shot for shot in shots if shot in linked], merged)
    shared = sorted(set(group.values()) - set(shots))
    ids = [*(each for each in shared if each in linked), *alike]
    layout = layered(ids, merged)
    boxes = (
        _shots(matter, alike.get(each, [each]), layout.corners[each])
        if each in plan.show.shots
        else _element(matter, each, "", layout.corners[each])
        for each in ids
    )
    title = plan.show.sequences[sequence].called
    alone = tuple(shot for shot in shots if shot not in linked)
    return _drawn(layout, boxes, f"What the shots of {title} share"), alone


def _alike(shots: Sequence[str], merged: Iterable[tuple[str, str]]) -> dict[str, list[str]]:
    """Shots in one box each; of many, those with the same arrows under the first of them."""
    if len(shots) <= _SHOTS_APART:
        return {shot: [shot] for shot in shots}
    arrows: defaultdict[str, set[tuple[str, str]]] = defaultdict(set)
    for needed, needs in merged:
        arrows[needed].add(("to", needs))
        arrows[needs].add(("from", needed))
    first: dict[frozenset[tuple[str, str]], str] = {}
    alike: defaultdict[str, list[str]] = defaultdict(list)
    for shot in shots:
        alike[first.setdefault(frozenset(arrows[shot]), shot)].append(shot)
    return dict(alike)


def _arrows(matter: Matter, ids: Iterable[str]) -> dict[tuple[str, str], int]:
    needed_by = matter.plan.graph.arrows.pred
    return {
        (needed, id_): 0 if about.get("role") in ONLY_BEFORE else USED
        for id_ in ids
        for needed, about in needed_by[id_].items()
    }


def _element(matter: Matter, id_: str, shot: str, corner: tuple[int, int]) -> str:
    show = matter.plan.show
    element = show.elements[id_]
    calls = matter.calls.get(id_, ())
    phase = main_phase((call.work.phase, call.hours) for call in calls)
    look, said = _SAID[phase] if phase else ("n", "")
    days = when(calls, year=False) or without_work(element).partition(",")[0]
    last = f"{said} {days}".strip()
    last = last if columns(last) <= _LINE else days
    if not show.is_live(element):
        look, last = "z", "not made"
    stops = len(matter.errors((id_,)))
    if stops:
        look, last = f"{look}x", counted(stops, "error")
    kind = element.kind.replace("_", " ")
    return _box(matter.link(id_), look, corner, (matter.name_in(id_, shot), kind, last))


def _shots(matter: Matter, ids: Sequence[str], corner: tuple[int, int]) -> str:
    """One shot, or several of which the box leads to the first."""
    if len(ids) == 1:
        return _shot(matter, ids[0], corner)
    held = [each for id_ in ids for each in (id_, *matter.plan.show.shots[id_].elements)]
    stops = len(matter.errors(held))
    finals = matter.plan.order.finals
    last = max((finals[id_] for id_ in ids if id_ in finals), default=None)
    said = f"done {day_span(last, last)}" if last else ""
    told = (f"{ids[0]} and more", counted(len(ids), "shot"), said)
    if stops:
        told = (*told[:2], counted(stops, "error"))
    return _box(matter.link(ids[0]), "gx" if stops else "g", corner, told)


def _shot(matter: Matter, id_: str, corner: tuple[int, int]) -> str:
    shot = matter.plan.show.shots[id_]
    final = matter.plan.order.finals.get(id_)
    last = f"done {day_span(final, final)}" if final else ""
    stops = len(matter.errors((id_, *shot.elements)))
    look = "g"
    if not shot.is_live:
        look, last = "z", shot.state
    elif stops:
        look, last = "gx", counted(stops, "error")
    return _box(matter.link(id_), look, corner, (id_, counted(len(shot.elements), "element"), last))


def _box(link: str, look: str, corner: tuple[int, int], lines: tuple[str, str, str]) -> str:
    # Strings, not Markup: a show has thousands of boxes. Links are slugs; words are escaped here.
    name, *rest = lines
    # Each line by itself, so that a link is read out as words; the style sheet puts them apart.
    held = "".join(f"<text>{escape(short(line, _LINE, 1)[0])}</text>" for line in rest)
    title = "" if columns(name) <= _NAME else f"<title>{escape(inert(name))}</title>"
    # Set where its text begins, so that neither text nor frame has to say where it stands.
    x, y = corner[0] + 6, corner[1] + 17
    return (
        f"<a href={link} transform=translate({x},{y})>{title}<rect class={look} />"
        f"<text>{escape(short(name, _NAME, 1)[0])}</text>{held}</a>"
    )


def _drawn(layout: Layout, boxes: Iterable[str], title: str) -> Markup:
    if not layout.corners:
        return Markup("")
    paths = "".join(
        f'<path class={look} d="{drawn}"/>'
        for look, sort in (("u", USED), ("v", 0))
        if (drawn := path_of(line for line in layout.lines if line.sort == sort))
    )
    wide, high = layout.wide, layout.high
    svg = (
        f'<svg class=g role=group aria-label="{escape(inert(title))}" width={wide} height={high}'
        f' viewBox="0 0 {wide} {high}">{paths}{"".join(boxes)}</svg>'
    )
    return Markup(svg)  # noqa: S704 - every word in it is escaped above
