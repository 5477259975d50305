"""Shots: the strip of frames, and each shot with its drawing and a row for each element.

Takes the matter of a page, gives sections. Works nothing out.
"""

from __future__ import annotations

from collections import defaultdict
from html import escape
from typing import TYPE_CHECKING

from markupsafe import Markup

from planner.model.names import counted, title_of
from planner.pages.graph_nodes import in_words, slug
from planner.pages.order_text import counted_days
from planner.pages.report.drawing import sequence_drawing, shot_drawing
from planner.pages.report.matter import hours, short_day, when, without_work
from planner.pages.report.section import Section, breakable, rendered
from planner.pages.wording import inert

if TYPE_CHECKING:
    from planner.model.show import Element, Sequence, Shot, Show
    from planner.pages.report.matter import Matter


def strip(matter: Matter) -> Section | None:
    """A framed panel for each shot, in story order, with its sentence under it."""
    shots = matter.shots()
    if not shots:
        return None
    longest = max((shot.cut.count for shot in shots if shot.cut), default=1)
    panels = [_panel(matter, shot, longest) for shot in shots]
    html = rendered("strip.html", panels=panels, longest=longest)
    return Section("strip", "Shot strip", html, "Shot strip")


def _panel(matter: Matter, shot: Shot, longest: int) -> dict[str, object]:
    frames = shot.cut.count if shot.cut else 0
    return {
        "id": shot.id,
        "link": matter.link(shot.id),
        "is_live": shot.is_live,
        "frames": _frames(matter.plan.show, shot),
        "share": f"--m:{100 * frames / longest:.3g}",
        "state": _state(matter, shot),
        "stops": _stops(matter, shot),
        "says": shot.says,
    }


def _frames(show: Show, shot: Shot) -> str:
    if shot.cut is None:
        return "length not known"
    frames = shot.cut.count
    rate = shot.camera.number("frame_rate") or show.facts.group("camera").number("frame_rate")
    seconds = f", {frames / rate.value:.1f} s" if rate else ""
    return f"{counted(frames, 'frame')}{seconds}"


def _state(matter: Matter, shot: Shot) -> str:
    """``done on 2 Jul 2027, in time for reel one``."""
    order, delivery = matter.plan.order, matter.due.get(shot.id)
    if not shot.is_live:
        return shot.state
    final = order.finals.get(shot.id)
    if final is None:
        return "no date for it yet"
    said = f"done on {short_day(final)}"
    if shot.id in order.late:
        said += f", late by {counted_days(order.late[shot.id])}"
    elif delivery is not None:
        said += f", in time for {delivery.id.replace('_', ' ')}"
    return said


def _stops(matter: Matter, shot: Shot) -> str:
    """Where errors stand, in words; empty where there are none."""
    if not shot.is_live:
        return ""
    by_element = {
        matter.name_in(id_, shot.id): len(found)
        for id_ in (shot.id, *shot.elements)
        if (found := matter.errors((id_,)))
    }
    if not by_element:
        return ""
    return f"{counted(sum(by_element.values()), 'error')} in {', '.join(by_element)}"


def shots(matter: Matter) -> Section | None:
    """Each sequence with what its shots share, then each shot with all it is made of."""
    show = matter.plan.show
    told = [_sequence(matter, show.sequences[each]) for each in matter.sequences]
    if not told:
        return None
    html = rendered("shots.html", sequences=told)
    return Section("shots", "Shots and what they wait for", html, "Shots")


def _sequence(matter: Matter, sequence: Sequence) -> dict[str, object]:
    show = matter.plan.show
    drawing, alone = sequence_drawing(matter, sequence.id)
    return {
        "title": sequence.called,
        "drawing": drawing,
        "alone": alone,
        "shots": [_shot(matter, show.shots[id_]) for id_ in sequence.shots],
    }


def _shot(matter: Matter, shot: Shot) -> dict[str, object]:
    use = matter.use.get(shot.id)
    camera = _camera(matter.plan.show, shot)
    about = [_frames(matter.plan.show, shot), *camera, _state(matter, shot)]
    if use is not None and use.likely:
        currency = matter.plan.bid.currency
        about.append(f"{use.likely:,.0f} {currency}")
    found = matter.errors((shot.id, *shot.elements)) if shot.is_live else ()
    return {
        "id": shot.id,
        "says": shot.says,
        "about": "; ".join(about),
        "drawing": shot_drawing(matter, shot),
        "stops": [(matter.name_in(each.about, shot.id), each) for each in found],
        "rows": Markup("").join(
            _row(matter, matter.plan.show.elements[id_]) for id_ in shot.elements
        ),
    }


def _camera(show: Show, shot: Shot) -> list[str]:
    """The lens the picture is taken with, its stop and height, as far as they are stated."""
    lens, stop, height = shot.camera.word("lens"), *map(shot.camera.number, ("stop", "height"))
    said = title_of(lens, show) if lens else ""
    said += f" at {stop.text}" if stop is not None and stop.text else ""
    said += f", {height.text} up" if height is not None and height.text else ""
    return [said.removeprefix(", ").strip()] if said else []


def made_once(matter: Matter) -> Section | None:
    """Builds, tests, permits, sets and decisions: what is outside shots, by kind."""
    if not matter.is_first:
        return None
    by_kind: defaultdict[str, list[Markup]] = defaultdict(list)
    for element in matter.plan.show.elements.values():
        if not element.shot:
            by_kind[element.kind.replace("_", " ")].append(_row(matter, element))
    if not by_kind:
        return None
    groups = [(kind, Markup("").join(rows)) for kind, rows in by_kind.items()]
    html = rendered("once.html", groups=groups)
    return Section("once", "Made once, used by shots", html, "Made once")


def _row(matter: Matter, element: Element) -> Markup:
    """One element: what it is, its work, its days, what it waits for.

    Put together here, not in a template: a show has thousands.
    """
    calls = matter.calls.get(element.id, ())
    said = (f"{escape(inert(call.work.name))} {hours(call.hours)}" for call in calls)
    work = ", ".join(said) or escape(inert(without_work(element)))
    if not matter.plan.show.is_live(element):
        work = "not made"
    kind = element.kind.replace("_", " ") if element.shot else ""
    stops = len(matter.errors((element.id,)))
    id_ = slug(element.id)
    error = f"<a class=no href=#error:{id_}>{counted(stops, 'error')}</a>" if stops else ""
    small = f"<small>{escape(kind)}</small>" if kind else ""
    row = (
        f"<tr id={id_}><th>{breakable(element.name)}{small}{error}"
        f"<td>{work}<td>{when(calls)}<td>{_waits_for(matter, element)}\n"
    )
    return Markup(row)  # noqa: S704 - every word in it is escaped above


def _waits_for(matter: Matter, element: Element) -> str:
    """``each of sky, town is joined into it``; things outside the shot are linked."""
    graph = matter.plan.graph.arrows
    by_role: defaultdict[str, list[str]] = defaultdict(list)
    for needed in graph.pred[element.id]:
        by_role[graph.edges[needed, element.id].get("role", "")].append(needed)
    said = []
    for role, ids in by_role.items():
        names = ", ".join(_named(matter, id_, element.shot) for id_ in ids)
        each_of = "each of " if len(ids) > 1 else ""
        words = in_words((role,))
        if words == role.replace("_", " "):  # nobody has said how it reads the other way round
            said.append(f"<i>{escape(inert(words))}</i> {names}")
        else:
            said.append(f"{each_of}{names} <i>{words} it</i>")
    return "; ".join(said)


def _named(matter: Matter, id_: str, shot: str) -> str:
    element = matter.plan.show.elements.get(id_)
    if element is not None and shot and element.shot == shot:
        return breakable(element.name)
    return f"<a href={matter.link(id_)}>{breakable(id_)}</a>"
