"""What gathers while the parts of a show are joined: elements by id, and every problem found.

Takes elements as their files have them, keeps the first of each name. Knows nothing of how a file
is read, and nothing of how names are looked up.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from planner.model.place import Place, Problem, Severity

if TYPE_CHECKING:
    from planner.text.parts import Pending, Piece, Pieces


@dataclass(slots=True)
class Gathering:
    """One show in the making; local to one call of `assemble`.

    Attributes:
        problems: found so far.
        pending: elements by id, in the order met.
        taken: the same: those of whole files, and single ones.
        unreadable: ids of elements whose text holds errors.
        named: (resource, place) named outside elements, as by a shot's camera.
    """

    problems: list[Problem] = field(default_factory=list)
    pending: dict[str, Pending] = field(default_factory=dict)
    taken: list[Pieces | Pending] = field(default_factory=list)
    unreadable: set[str] = field(default_factory=set)
    named: list[tuple[str, Place]] = field(default_factory=list)

    def error(self, code: str, place: Place, message: str, remedy: str = "") -> None:
        """Remember an error."""
        self.problems.append(Problem(Severity.ERROR, place, code, message, remedy))

    def take(self, pieces: Pieces) -> bool:
        """Add all elements of a file, if no name of them is taken; their problems are not told."""
        if not pieces.is_plain or not self.pending.keys().isdisjoint(pieces.pending):
            return False
        self.pending.update(pieces.pending)
        self.unreadable |= pieces.unreadable
        self.taken.append(pieces)
        return True

    def add(self, piece: Piece) -> None:
        """Add an element, under whose id it can be named even when it is unreadable."""
        element = piece.pending.element
        id_ = element.id
        if id_ in self.pending:
            message = f"{id_} is already the name of another thing"
            self.error("name-used-twice", element.place, message)
            return
        if not piece.is_readable:
            self.unreadable.add(id_)
        self.problems += piece.problems
        self.pending[id_] = piece.pending
        self.taken.append(piece.pending)
