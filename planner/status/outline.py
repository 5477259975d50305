"""What has to be done of every element before others may go on, in the words events use.

Takes nothing, gives `Outline` and `Piece`: names, what waits for what, and the step each thing must
come to. Small enough to be kept as a file, so that posting need not read the show again; see
`planner.status.outlining`. Knows nothing of what happened.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.status.state import Step

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

ASKED = frozenset({"permit", "decision", "test"})
"""Kinds of what is given on somebody's word."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One element or thing, as far as waiting for it goes.

    Attributes:
        id: of the element.
        kind: of the element.
        shot: its shot; empty for things outside shots.
        waits: ids of what must be done first.
        made_at: the step of making at which it is done; None where making alone never does.
        shot_at: the step of photography or joining at which it is done; None where none does.
        is_wanted: whether its shot is live and its method taken.
        is_settled: whether its file says that nothing is left to do.
        grantor: who must grant, choose or approve it; empty where nobody is named.
    """

    id: str
    kind: str
    shot: str
    waits: tuple[str, ...]
    made_at: Step | None
    shot_at: Step | None
    is_wanted: bool
    is_settled: bool
    grantor: str

    @property
    def is_asked(self) -> bool:
        """Whether it is leave, a choice or a test: given on a word, and seen in no picture."""
        return self.kind in ASKED

    @property
    def is_photographed(self) -> bool:
        """Whether it is finished before a camera and in no other way."""
        return self.made_at is None and self.shot_at is not Step.APPROVED


@dataclass(frozen=True, slots=True)
class Outline:
    """Every piece of a show.

    Attributes:
        pieces: by id, each after what it waits for.
        shots: per shot, the id of its composite; empty where it has none.
        sequences: per sequence, its shots.
        resources: ids of scarce things.
        after: per piece that anything waits for directly, what does; None where it is not known
            and is found from the pieces.
    """

    pieces: Mapping[str, Piece]
    shots: Mapping[str, str]
    sequences: Mapping[str, tuple[str, ...]]
    resources: tuple[str, ...]
    after: Mapping[str, Sequence[str]] | None = None

    @property
    def names(self) -> tuple[str, ...]:
        """Everything an event may be about."""
        return (*self.pieces, *self.shots, *self.resources)

    def followers(self) -> Mapping[str, Sequence[str]]:
        """Per piece that anything waits for directly, what does."""
        if self.after is not None:
            return self.after
        found: dict[str, list[str]] = {}
        for piece in self.pieces.values():
            for each in piece.waits:
                found.setdefault(each, []).append(piece.id)
        return found
