"""Roto orders: what is drawn or painted out frame by frame, with what it is drawn over.

Takes a show with its estimates and findings, gives a sheet a shot. Whatever the crafts of hand work
do is on it, of any kind. Works nothing out.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner.kinds import Context
from planner.model.names import counted
from planner.pages.card import LEGEND
from planner.pages.card_values import marked, marked_count
from planner.pages.prints.dated import called_words
from planner.pages.prints.sheet import BLANK, Listed, Rows, Said, Sheet, Table
from planner.pages.prints.shot import blank, called, due, fallen_of, findings_about, span

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from planner.estimate import Estimates
    from planner.model.facts import Facts
    from planner.model.quantity import Quantity
    from planner.model.show import Element, Show
    from planner.pages.prints.sheet import Block, Cell
    from planner.pages.prints.shot import Handed

CRAFTS = frozenset({"roto", "paint_out"})
_STATED = (
    ("level", "difficulty"),
    ("edge", "edge"),
    ("background", "painted back in"),
)


def roto_orders(
    show: Show,
    estimates: Estimates,
    handed: Handed,
    shots: Sequence[str],
) -> tuple[Sheet, ...]:
    """A sheet for each shot that has anything to be drawn or painted out.

    Args:
        show: for what is outlined.
        estimates: frames and hours.
        handed: findings, takes in use, and when it is called.
        shots: ids of the shots wanted.
    """
    return tuple(
        _sheet(show, estimates, handed, mine)
        for shot in shots
        if (mine := [each for each in _pieces(show, shot) if _is_drawn(estimates, each)])
    )


def _pieces(show: Show, shot: str) -> Iterator[Element]:
    pieces = (show.elements[each] for each in show.shots[shot].elements)
    yield from (each for each in pieces if show.is_live(each))


def _is_drawn(estimates: Estimates, piece: Element) -> bool:
    estimate = estimates.by_element.get(piece.id)
    return estimate is not None and any(each.craft in CRAFTS for each in estimate.work)


def _sheet(
    show: Show,
    estimates: Estimates,
    handed: Handed,
    pieces: Sequence[Element],
) -> Sheet:
    shot = show.shots[pieces[0].shot]
    mine = {each.id for each in pieces}
    cut = f"{shot.cut}, {counted(shot.cut.count, 'frame')}" if shot.cut else BLANK
    blocks: list[Block] = [
        Rows((("Cut", cut), ("Seen", shot.says), ("Delivery", due(show, shot.id))))
    ]
    for each in pieces:
        blocks.append(Rows(tuple(_rows(show, estimates, each, handed)), _headed(each)))
        blocks.append(_rods(show, each))
    missing = tuple(each for each in estimates.missing if each.about in mine)
    fallen = fallen_of(show, handed, (each.id for each in pieces))
    found = (*fallen, *findings_about(show, handed.findings, mine))
    blocks.append(Listed("Open findings", found))
    blocks.append(Listed("Missing: write it in", tuple(map(blank, missing))))
    blocks.append(
        Table(
            ("Version", "Shown on", "Frames", "Notes", "By"),
            (("1", "", "", "", ""), ("2", "", "", "", ""), ("3", "", "", "", "")),
            (0, 1, 1, 4, 1),
            "Versions seen",
        )
    )
    blocks.append(Said(LEGEND))
    return Sheet("Roto order", shot.id, "", tuple(blocks), f"{handed.dated.source}.")


def _headed(piece: Element) -> str:
    sort = piece.facts.values.get("sort")
    what = sort if isinstance(sort, str) else piece.kind
    return f"{piece.name}: {what.replace('_', ' ')}"


def _rows(
    show: Show, estimates: Estimates, piece: Element, handed: Handed
) -> Iterator[tuple[str, Cell]]:
    facts, estimate = piece.facts, estimates.by_element[piece.id]
    yield "What", facts.word("says") or BLANK
    over = [
        f"{role.replace('_', ' ')} {called(show, piece, id_)}{take_of(show, id_, handed.takes)}"
        for role, id_ in ((each.role, each.target) for each in piece.references)
    ]
    yield "Over", "; ".join(over) or BLANK
    stated = facts.frames("frames") or facts.frames("in_frame")
    count = estimate.quantities.get("frames drawn")
    yield "Frames", f"{stated or 'the whole cut'}: {marked(count)} drawn; handles are not"
    said = [
        f"{label} {facts.word(name).replace('_', ' ')}"
        for name, label in _STATED
        if _word(facts, name)
    ]
    said += ["it moves"] if facts.values.get("moving") is True else []
    yield "How", "; ".join(said) or BLANK
    users = Context(show, piece, {}).users()
    if users:
        yield "For", ", ".join(each.id for each in users)
    for work in estimate.work:
        pace = estimate.quantities.get("frames a day")
        a_day = f"; {marked_count(_whole(pace), 'frame')} a day" if pace else ""
        hours = f"{work.craft.replace('_', ' ')}: {work.name}, {span(work.hours)}{a_day}"
        yield "Hours", f"{hours}{called_words(handed.dated, piece.id, work.name)}"


def _whole(pace: Quantity) -> Quantity:
    """Whole frames, where a day makes several."""
    return replace(pace, value=round(pace.value)) if pace.value >= 10 else pace


def _word(facts: Facts, name: str) -> bool:
    return isinstance(facts.values.get(name), str)


def take_of(show: Show, id_: str, takes: Mapping[str, str]) -> str:
    """The take a piece is used in, as posted, else as its report or revision says."""
    element = show.elements.get(id_)
    if element is None:
        return ""
    take = takes.get(id_) or element.facts.group("report").word("take")
    revision = element.facts.word("revision")
    said = [f"take {take}" if take else "", f"revision {revision}" if revision else ""]
    said = [each for each in said if each]
    return f" ({', '.join(said)})" if said else ""


def _rods(show: Show, piece: Element) -> Table:
    """Rods of the figure they are painted out of."""
    rods = [
        rod
        for each in piece.references
        if each.target in show.elements and each.role.startswith("removes")
        for rod in show.elements[each.target].facts.groups("rods")
    ]
    rows = tuple(
        (
            rod.word("name") or BLANK,
            rod.word("side") or BLANK,
            str(rod.frames("frames") or "whole cut"),
            str(rod.frames("crosses") or "nothing"),
            marked(rod.number("diameter")),
            rod.word("colour") or BLANK,
        )
        for rod in rods
    )
    heads = ("Rod", "From", "Frames", "Crosses the figure", "Thick", "Colour")
    return Table(heads, rows, (2, 1, 1, 1.4, 1, 1))
