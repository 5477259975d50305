"""Names to ids: what every reference, resource and move named in the show's files means.

Takes the elements gathered, gives them with references spelled out as ids that exist. Knows nothing
of files or schemas.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import TYPE_CHECKING

from planner.model.place import Problem, Severity
from planner.text.parts import Pending

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from planner.model.place import Place
    from planner.model.show import Element, Reference
    from planner.text.gathering import Gathering
    from planner.text.parts import Pieces


def resolve(
    work: Gathering,
    resources: Collection[str],
    moves: Collection[str],
    lost: Collection[str] = frozenset(),
    damaged: Collection[str] = frozenset(),
) -> dict[str, Element]:
    """Elements by id, every reference an id that exists; those that do not are told and dropped.

    Args:
        work: what has been gathered.
        resources: ids of resources.
        moves: ids of moves.
        lost: files of which something cannot be read; what may stand in them is dropped untold.
        damaged: ids of resources whose text holds errors; nothing is worked out for what names
            them.
    """
    known = _Known(
        None if "resources.yaml" in lost else resources,
        None if "moves" in lost else moves,
        are_elements_whole=not {"builds.yaml", "sequences"} & set(lost),
        damaged=damaged,
    )
    if known.resources is not None:
        work.problems += (
            _unknown_resource(name, place, known.resources)
            for name, place in work.named
            if name not in known.resources
        )
    before = frozenset(work.unreadable)
    elements: dict[str, Element] = {}
    for each in work.taken:
        if isinstance(each, Pending):
            elements[each.element.id] = _resolved(work, each, known)
        elif known.leave_alone(each, work.pending):
            elements.update(each.elements)
        else:
            elements |= {id_: _resolved(work, one, known) for id_, one in each.pending.items()}
    if lost:
        work.unreadable |= _resting_on(work.unreadable - before, elements)
    return elements


def _resting_on(ids: Collection[str], elements: Mapping[str, Element]) -> set[str]:
    """All that name some of the elements, directly or not: what is said of them may not hold.

    Args:
        ids: of elements that name what a lost file may hold.
        elements: by id.
    """
    named_by: dict[str, list[str]] = {}
    for element in elements.values():
        for reference in element.references:
            named_by.setdefault(reference.target, []).append(element.id)
    found: set[str] = set()
    ahead = list(ids)
    while ahead:
        new = {*named_by.get(ahead.pop(), ())} - found
        found |= new
        ahead += new
    return found


@dataclass(frozen=True, slots=True)
class _Known:
    """Names there are; None where a file that may hold more cannot be read."""

    resources: Collection[str] | None
    moves: Collection[str] | None
    are_elements_whole: bool
    damaged: Collection[str]

    def leave_alone(self, pieces: Pieces, elements: Mapping[str, object]) -> bool:
        """Whether all that elements of a file name is there and means what it was read as."""
        return (
            all(name in elements for name in pieces.wanted)
            and not any(name in elements for name in pieces.unwanted)
            and all(name in (self.resources or ()) for name in pieces.resources)
            and not any(name in self.damaged for name in pieces.resources)
            and all(name in (self.moves or ()) for name in pieces.moves)
        )


def nearest(word: str, known: Iterable[str]) -> str:
    """``did you mean …?`` where a known name is close; else nothing."""
    near = get_close_matches(word, list(known), n=1, cutoff=0.6)
    return f"did you mean {near[0]}?" if near else ""


def _resolved(work: Gathering, pending: Pending, known: _Known) -> Element:
    element = pending.element
    targets = [_target(word, element, work.pending) for word in pending.written]
    # The very element that was read, where it can be: what is unchanged stays recognizable.
    as_read = [each.target for each in element.references]
    if targets != as_read or not all(targets) or element.id in targets:
        element = _looked_up(work, pending, targets, known)
    _check_names(work, element, "resource", pending.resources, known.resources)
    if any(name in known.damaged for name, _place in pending.resources):
        work.unreadable.add(element.id)
    _check_names(work, element, "move", pending.moves, known.moves)
    return element


def _looked_up(work: Gathering, pending: Pending, targets: Iterable[str], known: _Known) -> Element:
    """The element with what its names mean; those that mean nothing are told and dropped."""
    element = pending.element
    kept = []
    for reference, word, target in zip(element.references, pending.written, targets, strict=True):
        if target and target != element.id:
            kept.append(replace(reference, target=target))
        elif target or known.are_elements_whole:
            _tell_lost(work, element, replace(reference, target=word))
        else:
            work.unreadable.add(element.id)
    return replace(element, references=tuple(kept))


def _check_names(
    work: Gathering,
    element: Element,
    sort: str,
    named: Iterable[tuple[str, Place]],
    known: Collection[str] | None,
) -> None:
    for name, place in named:
        if known is None:
            work.unreadable.add(element.id)
        elif name not in known:
            where = "resources.yaml lists" if sort == "resource" else "moves/ holds"
            _tell(work, element, place, f"{sort}-unknown", f"{where} no {name}")
            work.problems[-1] = replace(work.problems[-1], remedy=nearest(name, known))


def _unknown_resource(name: str, place: Place, known: Collection[str]) -> Problem:
    message = f"resources.yaml lists no {name}"
    return Problem(Severity.ERROR, place, "resource-unknown", message, nearest(name, known))


def _target(written: str, element: Element, known: Mapping[str, Pending]) -> str:
    """The id a name means: another piece of the same shot first, then anything by its full id.

    A piece may carry the name of the build it shows: `bird: {build: bird}` means the build.
    """
    own = f"{element.shot}.{written}"
    if element.shot and own in known and own != element.id:
        return own
    if written in known:
        return written
    return own if own in known else ""


def _tell_lost(work: Gathering, element: Element, reference: Reference) -> None:
    role = reference.role.replace("_", " ")
    code = "reference-to-nothing"
    if _target(reference.target, element, work.pending):
        _tell(work, element, reference.place, code, f"{role}: {element.id} names itself")
        return
    message = f"{role}: nothing is called {reference.target}"
    _tell(work, element, reference.place, code, message)
    near = nearest(reference.target, (id_.removeprefix(f"{element.shot}.") for id_ in work.pending))
    work.problems[-1] = replace(work.problems[-1], remedy=near)


def _tell(work: Gathering, element: Element, place: Place, code: str, message: str) -> None:
    work.unreadable.add(element.id)
    work.problems.append(Problem(Severity.ERROR, place, code, message, "", element.id))
