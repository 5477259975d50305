"""The facts that what is done on an element rests on.

Takes a show and an element, gives its facts as text by name: what its own file states and names,
the cut and camera of its shot, the show's camera and handles, what matters of the things it names,
its lens and its camera's path. Two readings with the same text are the same job. Knows nothing of
events, or of which change hurts.
"""

from __future__ import annotations

import hashlib
import re
from typing import TYPE_CHECKING

from planner.kinds.takes import HANDLES
from planner.model.facts import Facts, FrameRange, Missing
from planner.model.quantity import Quantity
from planner.status.verdicts import own_rules

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from planner.model.facts import Value
    from planner.model.show import Element, Move, Resource, Show

PROSE = frozenset({"says", "notes", "purpose", "due", "not_before", "day", "waivers", "method"})
"""Facts that may change without touching what was photographed."""
_OF_OTHERS = ("scale", "drawing", "revision", "data", "chosen")
NAMES = "names under "
"""What stands before a role in the name of the fact that tells which things are named under it."""
PATH_EVERY = 8
"""Frames between those of a path that are kept; its whole is told by its mark."""
_FRAMES = re.compile(r"(-?\d+)(?:-(-?\d+))?")


def facts_of(
    show: Show, element: Element, paths: Mapping[str, str] | None = None
) -> dict[str, str]:
    """Facts by name, sorted; what is not known is left out.

    Args:
        show: it belongs to.
        element: asked about.
        paths: of the show's moves, from `paths_of`; worked out anew where not given.
    """
    found = dict(_flat("", element.facts))
    if element.shot:
        shot = show.shots[element.shot]
        found["shot cut"] = str(shot.cut or "")
        found["shot state"] = shot.state
        speed = shot.facts.number("speed")
        found["shot speed"] = _text(speed) if speed else ""
        found |= {f"shot {name}": text for name, text in _flat("camera.", shot.camera)}
    found |= {f"show {name}": text for name, text in _flat("camera.", show.facts.group("camera"))}
    if show.facts.number("handles") or HANDLES.name in own_rules(show.facts):
        found["show handles"] = f"{handles_of(show):g}"
    found |= dict(_named(show, element, paths_of(show) if paths is None else paths))
    found |= {f"lens {lens.id} focal_length": text for lens, text in _lenses(show, element)}
    for reference in element.references:
        other = show.elements.get(reference.target)
        if other is not None:
            role = f"{reference.role} {other.id}"
            found |= {f"{role} {name}": text for name, text in _of_other(other)}
    return {name: found[name] for name in sorted(found) if found[name]}


def handles_of(show: Show) -> float:
    """Frames of a handle at each end: as stated, else by a rule of the show's own or the usual."""
    stated = show.facts.number("handles")
    own = own_rules(show.facts).get(HANDLES.name)
    return stated.value if stated else own.likely if own else HANDLES.likely


def frames_of(text: str) -> FrameRange | None:
    """The frames that a fact such as ``101-220`` tells; None where it tells none."""
    found = _FRAMES.fullmatch(text)
    if found is None:
        return None
    first, last = int(found[1]), int(found[2] or found[1])
    return FrameRange(first, last) if first <= last else None


def paths_of(show: Show) -> dict[str, str]:
    """The path of every move as text, by its name."""
    return {id_: _path(move) for id_, move in show.moves.items()}


def _named(show: Show, element: Element, paths: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """What it names under each role, and the paths of the moves among that."""
    for role in dict.fromkeys(each.role for each in element.references):
        yield f"{NAMES}{role}", ", ".join(element.targets(role))
    names = (element.id, *(each.target for each in element.references))
    for name in names:
        other = show.elements.get(name)
        move = other.facts.word("data") if other and "data" in other.facts.values else ""
        if move in paths:
            yield f"path {move}", paths[move]


def _path(move: Move) -> str:
    """Every so many frames of a move, and a mark of the rest: ``4f1c: pan deg; 93 0; 101 1.5``."""
    names = sorted(move.axes)
    heads = ", ".join(f"{name} {move.axes[name].unit}" for name in names)
    rows = [
        " ".join(f"{value:.6g}" for value in each)
        for each in zip(*(move.axes[name].values for name in names), strict=False)
    ]
    mark = hashlib.sha256("\n".join(rows).encode()).hexdigest()[:8]
    ends = {move.first_frame, move.first_frame + len(rows) - 1}
    told = [
        f"{frame} {row}"
        for frame, row in enumerate(rows, move.first_frame)
        if frame % PATH_EVERY == 0 or frame in ends
    ]
    return "; ".join((f"{mark}: {heads}", *told))


def _lenses(show: Show, element: Element) -> Iterator[tuple[Resource, str]]:
    levels = [element.facts, show.facts.group("camera")]
    if element.shot:
        levels.append(show.shots[element.shot].camera)
    for facts in levels:
        stated = facts.values.get("lens")
        lens = show.resources.get(stated) if isinstance(stated, str) else None
        if lens is not None and lens.facts.has("focal_length"):
            yield lens, _text(lens.facts.values["focal_length"])


def _of_other(other: Element) -> Iterator[tuple[str, str]]:
    for name in _OF_OTHERS:
        if other.facts.has(name):
            yield name, _text(other.facts.values[name])
    take = other.facts.group("report").word("take")
    if take:
        yield "take", take


def _flat(path: str, facts: Facts) -> Iterator[tuple[str, str]]:
    for name, value in facts.values.items():
        if not path and name in PROSE:
            continue
        if isinstance(value, Facts):
            yield from _flat(f"{path}{name}.", value)
        else:
            yield f"{path}{name}", _text(value)


def _text(value: Value) -> str:
    if isinstance(value, Missing):
        return ""
    if isinstance(value, Quantity):
        return f"{value.value:.10g} {value.unit}".removesuffix(" 1")
    if isinstance(value, tuple):
        return ", ".join(_text(each) for each in value)
    if isinstance(value, Facts):
        return "; ".join(f"{name} {_text(each)}" for name, each in value.values.items())
    return str(value)
