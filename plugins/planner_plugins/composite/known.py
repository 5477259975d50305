"""What in a shot shows how large things are.

Takes the pieces joined, gives the size on screen of what everybody knows the size of, and a finding
where models stand alone. Knows nothing of how they are joined.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import Context, Worksheet
from planner.kinds.view import view_of

if TYPE_CHECKING:
    from planner.model.show import Element
    from planner_plugins.composite.pieces import Pieces

MADE = frozenset({"miniature", "puppet", "painting"})
LIVE = frozenset({"live", "blue_screen"})


def check_known(sheet: Worksheet, pieces: Pieces) -> None:
    """Sizes of things everybody knows; a person photographed at full size is one."""
    shown = [each for each in pieces.layers if each.facts.group("known").word("what")]
    for each in shown:
        _size(sheet, each)
    made = [each.id for each in pieces.layers if each.kind in MADE]
    if made and not shown and not any(_is_full_size(sheet, each) for each in pieces.layers):
        sheet.remark(
            "nothing-shows-scale",
            f"nothing in it is of a size everybody knows: how large {made[-1]} is, is left to"
            " haze, detail and pace",
            "show a person, a door or a bird beside it, and write it under known of that piece",
            at="joins",
        )


def _is_full_size(sheet: Worksheet, piece: Element) -> bool:
    if piece.kind == "plate":
        return piece.facts.word("sort", "live") in LIVE
    inner = piece.kind == "composite" or bool(sheet.context.show.elements.get(piece.target("set")))
    return inner or piece.kind in {"projected_people", "set_piece"}


def _size(sheet: Worksheet, piece: Element) -> None:
    known = piece.facts.group("known")
    size, distance = known.number("size"), known.number("distance")
    if size is None or distance is None:
        sheet.miss("known", rests=f"how large {known.word('what')} is on screen in {piece.id}")
        return
    try:
        covers = view_of(Worksheet(Context(sheet.context.show, piece, {}))).pixels_of(
            size, distance
        )
    except ValueError:
        return
    if covers is not None:
        what = known.word("what")
        sheet.reckon(f"{what} on screen", covers.value, "px", covers.reason, size, distance)
