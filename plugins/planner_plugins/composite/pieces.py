"""What a composite joins, and what is left over.

Takes the composite and the show, gives its layers and findings about pieces. Knows nothing of hours
or film.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.kinds.sentences import listed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.kinds import Worksheet
    from planner.model.show import Element

NO_PICTURE_AT_ALL = frozenset({"check_composite", "performer"})
"""Kinds that are joined to nothing: what helps people see, and who is in a plate already."""
NO_PICTURE = frozenset({"roto", "camera_move", "derived_matte"}) | NO_PICTURE_AT_ALL
"""Kinds that serve a layer and are none."""
RECORD = "record_out"
BESIDE = frozenset(
    {"alternative_to", "hands_over_to", "hides", "in_front_of", "lit_with", "made_for"}
)
"""Roles that name a piece without using it."""
ADDING = frozenset({"adds_light", "screen"})


@dataclass(frozen=True, slots=True)
class Pieces:
    """What is joined.

    Attributes:
        joined: everything named, back to front.
        layers: those of them that are pictures.
        added: layers joined without a matte, by adding their light.
        recorded: pieces made by computer or by paint, which film sees only once recorded.
        inner: composites among the layers.
    """

    joined: tuple[Element, ...]
    layers: tuple[Element, ...]
    added: tuple[Element, ...]
    recorded: tuple[Element, ...]
    inner: tuple[Element, ...]

    @property
    def matted(self) -> int:
        """Layers in front of the rearmost that a matte joins."""
        return max(len(self.layers) - 1 - len(self.added), 0)


def gather(sheet: Worksheet) -> Pieces:
    """The pieces named under ``joins``, sorted by how they are joined."""
    elements = sheet.context.show.elements
    names = sheet.element.targets("joins")
    joined = tuple(elements[name] for name in names if name in elements)
    layers = tuple(each for each in joined if _is_layer(each, names))
    on_film = {name for each in joined if each.kind == RECORD for name in each.targets("records")}
    return Pieces(
        joined=joined,
        layers=layers,
        added=tuple(each for each in layers if _how(sheet, each) in ADDING),
        recorded=tuple(
            each for each in joined if _is_made_by_computer(each) and each.id not in on_film
        ),
        inner=tuple(each for each in layers if each.kind == "composite"),
    )


def _is_layer(piece: Element, joined: Sequence[str]) -> bool:
    """Whether it is a picture of its own; a record of one that is joined as well is not."""
    if piece.kind == RECORD:
        return not set(piece.targets("records")) & set(joined)
    return piece.kind not in NO_PICTURE


def _how(sheet: Worksheet, piece: Element) -> str:
    """How a piece is joined, whether named in full or by its name within the shot."""
    by = sheet.element.facts.group("joined_by")
    return by.word(piece.id) or by.word(piece.name) or "matte"


def _is_made_by_computer(piece: Element) -> bool:
    """Whether it exists as figures only, until a recorder puts it on film."""
    sort = piece.facts.word("sort")
    made = {("shadow", "computer"), ("roto", "rod_removal"), ("drawn", "computer")}
    return (piece.kind, sort) in made


def is_inner(sheet: Worksheet) -> bool:
    """Whether another composite joins this one."""
    return any(each.kind == "composite" for each in sheet.context.users("joins"))


def check_pieces(sheet: Worksheet, pieces: Pieces) -> None:
    """Tell pieces that are none, that are no longer wanted, or that nothing joins."""
    if not pieces.layers:
        sheet.error(
            "joins-nothing",
            "it joins no picture",
            "name its pieces under joins, back to front",
            at="joins",
        )
    _check_live(sheet, pieces)
    if not is_inner(sheet):
        _check_left_over(sheet)


def _check_live(sheet: Worksheet, pieces: Pieces) -> None:
    show = sheet.context.show
    shot = sheet.context.shot
    if shot is None or not shot.is_live:
        return
    for each in pieces.joined:
        if show.is_live(each) or each.id in show.aside:
            continue  # of methods not taken the whole show tells at once
        sheet.error(
            "joins-piece-not-wanted",
            f"it joins {each.id}, and {each.shot} is {show.shots[each.shot].state}: nobody will"
            " make it",
            f"take the piece over into {shot.id}, or bring {each.shot} back",
            at="joins",
        )


def _check_left_over(sheet: Worksheet) -> None:
    """Pieces of the shot that the composite reaches by no reference that uses them."""
    shot = sheet.context.shot
    if shot is None:
        return
    used = _used(sheet)
    left = [
        name
        for name in shot.elements
        if name not in used and _is_for_the_picture(sheet, sheet.context.show.elements[name])
    ]
    if left:
        sheet.warn(
            "piece-not-joined",
            f"nothing of {shot.id} uses {listed(left)}: no composite joins"
            f" {'it' if len(left) == 1 else 'them'}",
            "add it to joins, or take it out of the shot",
            at="joins",
        )


def _is_for_the_picture(sheet: Worksheet, piece: Element) -> bool:
    if piece.kind in NO_PICTURE_AT_ALL or piece.id in sheet.context.show.aside:
        return False
    return not piece.facts.word("purpose").lower().startswith("coverage")


def _used(sheet: Worksheet) -> set[str]:
    elements = sheet.context.show.elements
    used = {sheet.element.id}
    edge = [sheet.element]
    while edge:
        named = {
            reference.target
            for each in edge
            for reference in each.references
            if reference.role not in BESIDE
        }
        edge = [elements[name] for name in named - used if name in elements]
        used |= named
    return used
