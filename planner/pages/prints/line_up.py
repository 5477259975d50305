"""Line-up sheets: what a composite joins, back to front, with what holds what out.

Takes a show with its estimates and findings, and a composite; gives a sheet. Works nothing out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.names import counted
from planner.pages.card import LEGEND
from planner.pages.card_values import marked
from planner.pages.prints.dated import called_words
from planner.pages.prints.roto import take_of
from planner.pages.prints.sheet import BLANK, Listed, Rows, Said, Sheet, Table
from planner.pages.prints.shot import blank, due, fallen_of, findings_about, span

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.estimate import Estimates
    from planner.model.facts import FrameRange
    from planner.model.show import Element, Show
    from planner.pages.prints.dated import Dated
    from planner.pages.prints.sheet import Cell
    from planner.pages.prints.shot import Handed

JOINS = "joins"


def is_joined(element: Element) -> bool:
    """Whether it joins pieces, so that it has a line-up sheet."""
    return bool(element.targets(JOINS))


def line_up_sheet(
    show: Show,
    estimates: Estimates,
    handed: Handed,
    composite: Element,
) -> Sheet:
    """The order of the pieces, how each is joined, and on which frames.

    Args:
        show: for the pieces.
        estimates: counts of strips, exposures and hours.
        handed: findings, takes in use, what no longer serves, and when it is called.
        composite: to be lined up.
    """
    pieces = [show.elements[each] for each in composite.targets(JOINS)]
    rows = tuple(
        _piece(show, composite, (number, each), handed)
        for number, each in enumerate(pieces, start=1)
    )
    heads = ("No.", "Piece", "Joined by", "Before, held out", "Frames", "Roll, take", "Checked")
    mine = {composite.id}
    missing = tuple(each for each in estimates.missing if each.about in mine)
    fallen = fallen_of(show, handed, (*(each.id for each in pieces), composite.id))
    blocks = (
        Rows(tuple(_facts(show, estimates, composite, handed.dated))),
        Table(heads, rows, (0, 2.2, 1.1, 2.2, 1, 1, 0.9), "Pieces, back to front"),
        Table(
            ("Hand-over", "Last frame", "First frame", "Place and size agree"),
            tuple(_handed(show, pieces)),
            (3, 1, 1, 1.6),
            "Where one hands over to another",
        ),
        Table(
            ("Edge", "Frames", "Found"),
            tuple(_edges(composite)),
            (3, 1, 2),
            "Edges looked at",
        ),
        Listed("Open findings", (*fallen, *findings_about(show, handed.findings, mine))),
        Listed("Missing: write it in", tuple(map(blank, missing))),
        Said(LEGEND),
    )
    shot = show.shots.get(composite.shot)
    return Sheet(
        "Line-up sheet", composite.id, shot.says if shot else "", blocks, f"{handed.dated.source}."
    )


def _facts(
    show: Show, estimates: Estimates, composite: Element, dated: Dated
) -> Iterator[tuple[str, Cell]]:
    shot, facts = show.shots.get(composite.shot), composite.facts
    cut = shot.cut if shot else None
    yield "Cut", f"{cut}, {counted(cut.count, 'frame')}" if cut else BLANK
    finish = facts.word("finish") or (shot.facts.word("finish") if shot else "")
    approver = facts.word("approved_by") or BLANK
    yield "Finish", f"{finish or BLANK}; final when {approver} says so"
    yield "Delivery", due(show, composite.shot)
    estimate = estimates.by_element.get(composite.id)
    if estimate is None:
        return
    numbers = [
        f"{name} {marked(quantity)}"
        for name, quantity in estimate.quantities.items()
        if not name.startswith("hours")
    ]
    yield "Counts", "; ".join(numbers)
    for number, work in enumerate(estimate.work):
        craft = work.craft.replace("_", " ")
        hours = f"{work.name}: {craft} × {work.heads}, {span(work.hours)}"
        said = f"{hours}{called_words(dated, composite.id, work.name)}"
        yield "" if number else "Hours", said


def _piece(
    show: Show, composite: Element, at: tuple[int, Element], handed: Handed
) -> tuple[Cell, ...]:
    number, piece = at
    by = composite.facts.group("joined_by")
    how = by.word(piece.id) or by.word(piece.name)
    says = piece.facts.word("says")
    name = piece.name if piece.shot == composite.shot else piece.id
    kind = piece.kind.replace("_", " ")
    what = (name if name == kind else f"{name}, {kind}", *((says,) if says else ()))
    joined = "rearmost" if number == 1 else (how or "matte").replace("_", " ")
    roll = take_of(show, piece.id, handed.takes).strip(" ()") or BLANK
    fallen = handed.fallen.get(piece.id)
    frames = (_frames(show, piece), *((f"! {fallen.short}",) if fallen and fallen.short else ()))
    return str(number), what, joined, _before(piece), frames, roll, BLANK


def _before(piece: Element) -> tuple[str, ...]:
    words = (
        ("in_front_of", "in front of"),
        ("held_out_by", "held out by"),
        ("hides", "hides"),
        ("roto_of", "outline of"),
        ("removes_rods_of", "rods out of"),
        ("derived_from", "pulled from"),
    )
    return tuple(
        f"{said} {', '.join(each.removeprefix(f'{piece.shot}.') for each in piece.targets(role))}"
        for role, said in words
        if piece.targets(role)
    )


def _frames(show: Show, piece: Element) -> str:
    shot = show.shots.get(piece.shot)
    frames: FrameRange | None = piece.facts.frames("in_frame") or (shot.cut if shot else None)
    return str(frames) if frames else BLANK


def _handed(show: Show, pieces: Sequence[Element]) -> Iterator[tuple[Cell, ...]]:
    for piece in pieces:
        for name in piece.targets("hands_over_to"):
            seen, then = (
                piece.facts.frames("in_frame"),
                show.elements[name].facts.frames("in_frame"),
            )
            last, first = str(seen.last) if seen else BLANK, str(then.first) if then else BLANK
            yield f"{piece.name} to {name}", last, first, BLANK


def _edges(composite: Element) -> Iterator[tuple[Cell, ...]]:
    for check in composite.facts.groups("edge_checks"):
        passed = "nothing to be seen" if check.values.get("passed") is True else BLANK
        yield (
            check.word("what"),
            str(check.frames("frames") or BLANK),
            check.word("found") or passed,
        )
