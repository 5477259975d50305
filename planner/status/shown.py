"""What a take tells of what stood before it: its builds were there, and its move was run.

Takes where every piece stands by what is posted, gives the same with what takes show to be made and
nobody posted. Of leave, choices and tests a take tells nothing, nor of other photography.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner.status.state import BOARDED, Step

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import datetime

    from planner.status.outline import Outline, Piece
    from planner.status.standing import Standing
    from planner.status.state import State

_MOVE = "camera_move"


def with_shown(standing: Standing) -> Standing:
    """Where pieces stand, with what was before a camera made by the first take of it.

    What is posted as lost stays so, and what was photographed against other facts shows nothing.
    """
    outline, states = standing.outline, standing.states
    found: dict[str, State] = {}
    for id_, at in _photographed(standing):
        for piece in stood_before(outline, id_):
            own = found.get(piece.id) or states.get(piece.id, BOARDED)
            if piece.made_at is not None and own.made < piece.made_at and own.lost is None:
                found[piece.id] = _made(own, piece.made_at, at)
    return replace(standing, states={**states, **found}) if found else standing


def _photographed(standing: Standing) -> Iterator[tuple[str, datetime]]:
    """Pieces with takes that are not dead, and when the first was, the earliest first."""
    takes = {
        id_: min(each.at for each in state.takes)
        for id_, state in standing.states.items()
        if state.takes and not _is_dead(standing, id_)
    }
    pieces: Mapping[str, Piece] = standing.outline.pieces
    for id_ in sorted(takes, key=lambda each: (takes[each], each)):
        if id_ in pieces and pieces[id_].is_photographed:
            yield id_, takes[id_]


def _is_dead(standing: Standing, id_: str) -> bool:
    told = standing.judgements.get(id_)
    return told is not None and told.is_dead


def stood_before(outline: Outline, id_: str) -> Iterator[Piece]:
    """Builds and moves that a piece cannot be photographed without, and those they rest on."""
    ahead, seen = [id_], {id_}
    while ahead:
        for name in outline.pieces[ahead.pop()].waits:
            piece = outline.pieces[name]
            if name not in seen and _is_made_only(piece):
                seen.add(name)
                ahead.append(name)
                yield piece


def _is_made_only(piece: Piece) -> bool:
    is_build = piece.shot_at is None and not piece.is_asked
    return piece.kind == _MOVE or is_build


def _made(own: State, step: Step, at: datetime) -> State:
    reached = max(own.step, step)
    return replace(own, made=step, step=reached, since=at if reached is step else own.since)
