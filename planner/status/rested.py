"""The facts that what is done on an element rests on.

Takes a show and an element, gives its facts as text by name: what its own file states, the cut and
camera of its shot, the show's camera and handles, and what matters of the things it names. Two
readings with the same text are the same job. Knows nothing of events, or of which change hurts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.facts import Facts, FrameRange, Missing
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.model.facts import Value
    from planner.model.show import Element, Show

PROSE = frozenset({"says", "notes", "purpose", "due", "not_before", "day", "waivers", "method"})
"""Facts that may change without touching what was photographed."""
_OF_OTHERS = ("scale", "drawing", "revision", "data", "chosen")


def facts_of(show: Show, element: Element) -> dict[str, str]:
    """Facts by name, sorted; what is not known is left out."""
    found = dict(_flat("", element.facts))
    if element.shot:
        shot = show.shots[element.shot]
        found["shot cut"] = str(shot.cut or "")
        found["shot state"] = shot.state
        found |= {f"shot {name}": text for name, text in _flat("camera.", shot.camera)}
    found |= {f"show {name}": text for name, text in _flat("camera.", show.facts.group("camera"))}
    handles = show.facts.number("handles")
    found["show handles"] = f"{handles.value:g}" if handles else ""
    for reference in element.references:
        other = show.elements.get(reference.target)
        if other is not None:
            role = f"{reference.role} {other.id}"
            found |= {f"{role} {name}": text for name, text in _of_other(other)}
    return {name: found[name] for name in sorted(found) if found[name]}


def frames_of(text: str) -> FrameRange | None:
    """The frames that a fact such as ``101-220`` tells; None where it tells none."""
    first, _, last = text.partition("-")
    if not (first.isdecimal() and last.isdecimal()):
        return None
    return FrameRange(int(first), int(last))


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
