"""Where every piece of a show stands: what happened to it, to its shot, and what its file says.

Takes an outline and the states of whatever events were about, gives for each piece whether others
may go on, and its state in words. Knows nothing of dates to come.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from planner.status.state import BOARDED, State, Step

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from planner.status.judging import Judgement
    from planner.status.outline import Outline, Piece

_NOT_BEGUN = {"permit": "not in hand", "decision": "open", "test": "not passed"}
_MADE = {"permit": "in hand", "decision": "settled", "test": "passed"}


@dataclass(frozen=True, slots=True)
class Standing:
    """Where every piece stands.

    Attributes:
        outline: the pieces.
        states: by whatever events were about: pieces, shots, resources.
        judgements: of what was made, where facts changed since; see `planner.status.staleness`.
    """

    outline: Outline
    states: Mapping[str, State]
    judgements: Mapping[str, Judgement] = field(default_factory=dict)

    def of(self, id_: str) -> State:
        """State of a piece, what happened to its shot included; or of a shot or resource."""
        own = self._judged(id_)
        piece = self.outline.pieces.get(id_)
        shot = self.states.get(piece.shot) if piece and piece.shot else None
        if shot is None:
            return own
        return replace(
            own,
            holds=(*own.holds, *shot.holds),
            omitted=own.omitted or shot.omitted,
            recut=max(filter(None, (own.recut, shot.recut)), default=None),
        )

    def _judged(self, id_: str) -> State:
        """Its own state, with what became of it as facts changed."""
        own, told = self.states.get(id_, BOARDED), self.judgements.get(id_)
        if told is None or not told.short:
            return own
        dead, work = (told.short, "") if told.is_dead else ("", told.short)
        return own.after_changes(dead=dead, work=work)

    def is_wanted(self, id_: str) -> bool:
        """Whether work on a piece is still wanted."""
        return self.outline.pieces[id_].is_wanted and self.of(id_).omitted is None

    def is_done(self, id_: str) -> bool:
        """Whether what waits for a piece may go on."""
        if not self.is_wanted(id_):
            return True
        return not self.of(id_).holds and self.is_made(id_)

    def is_made(self, id_: str) -> bool:
        """Whether it has come as far as others need; it may be held all the same."""
        piece, state = self.outline.pieces[id_], self.of(id_)
        if state.lost is not None or state.is_refused or state.dead or state.work:
            return False
        return is_far_enough(piece, state)

    def undone(self, ids: Iterable[str]) -> tuple[str, ...]:
        """Those of `ids` that others still wait for."""
        return tuple(id_ for id_ in ids if not self.is_done(id_))

    def waits_for(self, id_: str) -> tuple[str, ...]:
        """What a piece still waits for directly; one that is made and held waits to be freed."""
        if self.is_made(id_):
            return ()
        return self.undone(self.outline.pieces[id_].waits)

    def words(self, id_: str) -> str:
        """The state of a piece, shot or resource in words that fit what it is."""
        state, piece = self.of(id_), self.outline.pieces.get(id_)
        if piece is None:
            return _thing_words(state, "live" if id_ in self.outline.shots else "there")
        if state.step is Step.BOARDED and piece.is_settled and not (state.lost or state.omitted):
            said = _MADE.get(piece.kind, "done, by its file")
            return f"{said}, on hold" if state.holds else said
        return _piece_words(piece, state)


def is_far_enough(piece: Piece, state: State) -> bool:
    """Whether a piece has come to the step at which others may go on, holds left aside."""
    if piece.shot_at is Step.APPROVED:
        return state.step is Step.APPROVED and not state.has_notes
    if state.step is Step.APPROVED or (piece.is_settled and state.lost is None):
        return True
    by_making = piece.made_at is not None and state.made >= piece.made_at
    return by_making or (piece.shot_at is not None and state.step >= piece.shot_at)


def _thing_words(state: State, otherwise: str) -> str:
    """A shot or a resource; things of neither sort are boarded."""
    words = state.words
    return words.replace("boarded", otherwise) if state.step is Step.BOARDED else words


def _piece_words(piece: Piece, state: State) -> str:
    words = state.words
    if state.step is Step.BOARDED and piece.is_asked:
        return words.replace("boarded", _NOT_BEGUN[piece.kind])
    if state.step is Step.SHOOTING and not piece.is_photographed and state.takes:
        return words.replace("shooting", f"version {state.takes[-1].number}")
    if piece.is_asked and state.step < Step.APPROVED:
        return words.replace(str(state.step), _MADE[piece.kind])
    return words
