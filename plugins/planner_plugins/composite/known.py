"""What in a shot shows how large things are.

Takes the pieces joined, gives the size on screen of what everybody knows the size of. A thing that
no shot shows beside such a one is told by its build. Knows nothing of how pieces are joined.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import Context, Worksheet
from planner.kinds.view import view_of

if TYPE_CHECKING:
    from planner.model.show import Element
    from planner_plugins.composite.pieces import Pieces


def check_known(sheet: Worksheet, pieces: Pieces) -> None:
    """Sizes of what everybody knows the size of, in every piece that names such a thing."""
    for each in pieces.layers:
        if each.facts.group("known").word("what"):
            _size(sheet, each)


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
