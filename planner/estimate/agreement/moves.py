"""Whether all pieces of a shot are carried by one camera move.

Takes a shot's pieces, gives findings on pieces that repeat another move than the rest, or none, and
how far a move carries a piece across the frame. Knows nothing of rigs: see `planner.kinds.rig`.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.estimate.agreement import rules
from planner.estimate.agreement.readings import Reading, warning

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.estimate.agreement.pieces import Joined, Piece
    from planner.model.place import Problem
    from planner.model.show import Move


def check_moves(joined: Joined) -> Iterator[Problem]:
    """Pieces that do not repeat the camera move of the others."""
    leader = next((each for each in joined.pieces if each.moves), None)
    if leader is None:
        return
    allowed = joined.allowed(rules.SLIDE)
    for piece in joined.pieces:
        if _same_move(joined, piece, leader):
            continue
        frames = joined.frames(piece, leader)
        slide = slide_px(joined, piece, leader)
        if frames is None or (slide is not None and slide <= allowed):
            continue
        how = f"repeats {piece.moves}" if piece.moves else "is seen by a camera at rest"
        by = f"slides by up to {slide:,.0f} px" if slide is not None else "slides"
        yield warning(
            Reading(piece.id, 0.0, "move_from", piece),
            "move-differs" if piece.moves else "move-not-shared",
            f"{piece.id} {how} and {leader.id} on {leader.moves}: it {by} against it on frames"
            f" {frames}",
            f"photograph it on {leader.moves} too, or carry it along by"
            f" {f'{slide:,.0f} px' if slide is not None else 'the move'} when it is joined",
        )


def _same_move(joined: Joined, one: Piece, other: Piece) -> bool:
    if one.moves == other.moves:
        return True
    elements = joined.show.elements
    data = [
        elements[each.moves].facts.word("data") if each.moves in elements else ""
        for each in (one, other)
    ]
    return bool(data[0]) and data[0] == data[1]


def slide_px(joined: Joined, piece: Piece, leader: Piece) -> float | None:
    """How far the leader's move carries the picture across the frame where `piece` lies, px.

    Turning counts at any distance; travel at the piece's own, else, for all but boards, at that of
    the nearest thing of the picture. The greater counts. None where nothing is known of the move.
    """
    source = joined.show.elements.get(leader.moves)
    focal = joined.focal_px(piece)
    if source is None or focal is None:
        return None
    move = joined.show.moves.get(source.facts.word("data"))
    distance = piece.distance_mm() or (None if piece.is_flat else joined.distance_mm())
    if move is None:
        travel = source.facts.number("travel")
        return focal * travel.value / distance if travel and distance else None
    spans = _spans(joined, move, piece)
    turned = max((focal * math.radians(span) for unit, span in spans if unit == "deg"), default=0.0)
    travelled = max((span for unit, span in spans if unit == "mm"), default=0.0)
    return max(turned, focal * travelled / distance if distance else 0.0)


def _spans(joined: Joined, move: Move, piece: Piece) -> list[tuple[str, float]]:
    """Unit and span of each axis that carries the picture sideways, on the frames both are seen."""
    frames = joined.frames(piece)
    found = []
    for name, axis in move.axes.items():
        values = axis.values
        if frames is not None:
            first = max(frames.first - move.first_frame, 0)
            values = values[first : max(frames.last - move.first_frame + 1, 0)]
        if values and name != "roll":
            found.append((axis.unit, max(values) - min(values)))
    return found
