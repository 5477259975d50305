"""What a sequence wants of its shots, and what is worked on before anybody asked for it.

Takes a show, gives findings on cameras that stand still where a moving one is wanted, on shares of
frames by method, on ideas worked on without agreement, on names used twice and on methods that
lack a part. Knows nothing of what kinds reckon and nothing of dates.
"""

from __future__ import annotations

import math
from collections import defaultdict
from typing import TYPE_CHECKING

from planner.kinds import Rule
from planner.model.methods import verdict_on
from planner.model.names import counted
from planner.model.place import Problem, Severity
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.model.facts import Facts
    from planner.model.show import Element, Sequence, Shot, Show

SINGLE = Rule("intent.single_item", "share of cost that may rest on one thing", 0.05, 0.1, 0.2, "1")

MOVING = "moving_camera"
BOOKED = ("day", "not_before", "frames_in_hand", "people")
"""Facts that say somebody or something is called for an element."""


def intent_problems(show: Show) -> Iterator[Problem]:
    """Findings about sequences, ideas, names and methods; cost linear in elements and references.

    Args:
        show: the show.
    """
    for sequence in show.sequences.values():
        yield from _camera_wanted(show, sequence)
        for share in sequence.facts.groups("shares"):
            yield from _share(show, sequence, share)
    for shot in show.shots.values():
        if shot.state == "unplaced":
            yield from _idea(show, shot)
    yield from _aliases(show)
    yield from _methods(show)


def _pieces(show: Show, shot: Shot) -> list[Element]:
    return [each for name in shot.elements if show.is_live(each := show.elements[name])]


def _live_shots(show: Show, sequence: Sequence) -> list[Shot]:
    return [shot for name in sequence.shots if (shot := show.shots[name]).is_live]


def _camera_wanted(show: Show, sequence: Sequence) -> Iterator[Problem]:
    wanted = sequence.facts.words("requires")
    axes = [each for each in wanted if each != MOVING]
    if not wanted:
        return
    for shot in _live_shots(show, sequence):
        moves = [each for each in _pieces(show, shot) if _moves(each)]
        if not moves:
            yield Problem(
                Severity.WARNING,
                shot.place,
                "camera-locked",
                f"{sequence.id} wants a moving camera ({', '.join(wanted)}) and nothing in"
                f" {shot.id} moves it",
                "add a camera_move and name it under move_from, or agree to a locked camera",
                shot.id,
            )
            continue
        has = {axis for each in moves for axis in _axes(show, each)}
        lacks = [axis for axis in axes if axis not in has]
        if lacks and has:
            yield Problem(
                Severity.WARNING,
                shot.place,
                "camera-axis-wanted",
                f"{sequence.id} wants {' and '.join(lacks)} and the camera of {shot.id} does"
                f" {', '.join(sorted(has))} only",
                f"add {' and '.join(lacks)} to its move",
                shot.id,
            )


def _moves(element: Element) -> bool:
    facts = element.facts
    return element.kind == "camera_move" or bool(element.target("move_from")) or facts.has("travel")


def _axes(show: Show, element: Element) -> set[str]:
    source = show.elements.get(element.target("move_from"), element)
    move = show.moves.get(source.facts.word("data"))
    return {*source.facts.words("axes"), *(move.axes if move else ())}


def share_of_frames(show: Show, sequence: Sequence, kind: str, sort: str = "") -> Quantity:
    """Part of the sequence's live frames on which a piece of a kind is seen.

    Args:
        show: the show.
        sequence: of it.
        kind: of element.
        sort: of its sorts; any where empty.
    """
    shown, whole = 0, 0
    for shot in _live_shots(show, sequence):
        if shot.cut is None:
            continue
        whole += shot.cut.count
        spans = [
            kept
            for each in _pieces(show, shot)
            if each.kind == kind and sort in {"", each.facts.word("sort")}
            if (kept := (each.facts.frames("in_frame") or shot.cut).overlap(shot.cut))
        ]
        shown += len({frame for each in spans for frame in range(each.first, each.last + 1)})
    frames = Quantity("frames shown", shown, standing=Standing.GIVEN, reason=f"{kind} in frame")
    cut = Quantity("frames of the cut", whole, standing=Standing.GIVEN, reason="live shots")
    reason = "frames shown / frames of the cut"
    return Quantity(
        f"share of {kind}", shown / whole if whole else 0.0, reason=reason, inputs=(frames, cut)
    )


def _share(show: Show, sequence: Sequence, share: Facts) -> Iterator[Problem]:
    least, kind, sort = share.number("least"), share.word("kind"), share.word("sort")
    if least is None:
        return
    found = share_of_frames(show, sequence, kind, sort)
    shown, whole = (each.value for each in found.inputs)
    if found.value >= least.value:
        return
    what = f"{kind} ({sort})" if sort else kind
    more = math.ceil(least.value * whole - shown - 1e-9)
    yield Problem(
        Severity.WARNING,
        share.place,
        "share-below-target",
        f"{what} is seen on {shown:.0f} of {whole:.0f} frames of {sequence.id}, {found.value:.0%};"
        f" {least.value:.0%} is meant",
        f"make {counted(more, 'frame')} more with it, or agree on another share",
        sequence.id,
    )


def _idea(show: Show, shot: Shot) -> Iterator[Problem]:
    idea = shot.facts.group("idea")
    if not idea.word("from"):
        yield Problem(
            Severity.NOTE,
            shot.facts.place_of("idea"),
            "idea-from-nobody",
            f"{shot.id} has no place in the cut and nothing says whose idea it is",
            "write `idea: {from: …}`",
            shot.id,
        )
    booked = [
        each.name
        for name in shot.elements
        if any((each := show.elements[name]).facts.has(fact) for fact in BOOKED)
        or show.elements[name].facts.group("report").flag("taken")
    ]
    if booked and not idea.word("agreed_by"):
        yield Problem(
            Severity.WARNING,
            shot.place,
            "idea-without-agreement",
            f"{shot.id} has no place in the cut and is in no bid, and work is booked on"
            f" {', '.join(booked)}",
            "have whoever pays agree and write them under `idea: {agreed_by: …}`, or free the call",
            shot.id,
        )


def _aliases(show: Show) -> Iterator[Problem]:
    first: dict[str, Element] = {}
    for element in show.elements.values():
        alias = element.facts.word("alias")
        if not alias:
            continue
        other = first.setdefault(alias, element)
        if other.name != element.name:
            yield Problem(
                Severity.WARNING,
                element.facts.place_of("alias"),
                "alias-of-two",
                f"{alias} stands for {element.name} and for {other.name} ({other.id})",
                "give one of them another alias, or print plain names",
                element.id,
            )


def _methods(show: Show) -> Iterator[Problem]:
    """Methods composed of others that lack one; what names the method counts as part of it."""
    composed = {
        each.id: each
        for each in show.elements.values()
        if each.facts.has("method")
        and each.facts.group("method").words("parts")
        and show.is_live(each)
    }
    if not composed:
        return
    near = defaultdict(set)
    for element in show.elements.values():
        for reference in element.references:
            if reference.target in composed:
                near[reference.target].add(element.kind)
            if element.id in composed:
                near[element.id].add(show.elements[reference.target].kind)
    for id_, element in composed.items():
        lacks = [
            kind
            for kind in element.facts.group("method").words("parts")
            if kind not in near[id_] | {element.kind}
        ]
        if lacks and verdict_on(element) != "rejected":
            yield Problem(
                Severity.WARNING,
                element.facts.place_of("method"),
                "method-lacks-part",
                f"it is made of {', '.join(element.facts.group('method').words('parts'))} and has"
                f" no {' and no '.join(lacks)}",
                f"add one with `made_for: {element.name}`, or name it in this element",
                id_,
            )
