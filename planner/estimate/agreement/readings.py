"""What each piece of a shot says of one thing, and which of them are out of step.

Takes readings of one thing in one unit, gives the pairs that differ by more than is allowed. Knows
nothing of what is read.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING, Generic, TypeVar

from planner.model.place import Problem, Severity
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from planner.estimate.agreement.pieces import Piece

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Reading(Generic[T]):
    """What one piece, or the shot itself, says of one thing.

    Attributes:
        who: id of the piece, or the shot in words.
        value: in the unit of the comparison.
        fact: where it is written, as the name of a fact of the piece.
        piece: the piece; None for the shot itself.
    """

    who: str
    value: T
    fact: str = ""
    piece: Piece | None = None


@dataclass(frozen=True, slots=True)
class Apart(Generic[T]):
    """Two readings that differ by more than is allowed.

    Attributes:
        one: what the other is held against.
        other: the one found out of step; always a piece's.
        by: how far, in the unit of the comparison.
    """

    one: Reading[T]
    other: Reading[T]
    by: float


def of_piece(piece: Piece, value: Quantity | float | None, fact: str) -> tuple[Reading[float], ...]:
    """A piece's reading of a number, none where it is not known."""
    if value is None:
        return ()
    number = value.value if isinstance(value, Quantity) else value
    return (Reading(piece.id, number, fact, piece),)


def of_shot(who: str, value: Quantity | float | None) -> tuple[Reading[float], ...]:
    """The shot's own reading of a number, none where it is not known."""
    if value is None:
        return ()
    return (Reading(who, value.value if isinstance(value, Quantity) else value),)


def apart(
    readings: Sequence[Reading[T]],
    difference: Callable[[Reading[T], Reading[T]], float],
    allowed: float,
) -> Iterator[Apart[T]]:
    """Readings that differ from the first, and the two farthest apart of those that do not.

    So that each stray piece is told once, and two that each pass beside the shot's own camera and
    not beside one another are told too.

    Args:
        readings: the one to hold the others against first; at most that one may be the shot's.
        difference: of two readings, 0 for equal values.
        allowed: what passes.
    """
    if not readings:
        return
    first = readings[0]
    near = [first]
    for each in readings[1:]:
        by = difference(first, each)
        if by > allowed:
            yield Apart(first, each, by)
        else:
            near.append(each)
    pairs = [
        Apart(one, other, difference(one, other))
        for one, other in combinations(_different(near[1:]), 2)
    ]
    farthest = max(pairs, key=lambda pair: pair.by, default=None)
    if farthest is not None and farthest.by > allowed:
        yield farthest


def _different(readings: Sequence[Reading[T]]) -> list[Reading[T]]:
    """One reading of each value, so that a hundred pieces of one camera make no pairs."""
    return list({each.value: each for each in reversed(readings)}.values())[::-1]


def warning(about: Reading[T], code: str, message: str, remedy: str) -> Problem:
    """A finding about the piece of a reading, at the place its fact is written.

    Raises:
        ValueError: the reading is the shot's own; a caller's mistake.
    """
    if about.piece is None:
        raise ValueError(f"{code}: only a piece can be out of step, not {about.who}")
    element = about.piece.element
    place = element.facts.place_of(about.fact)
    return Problem(Severity.WARNING, place, code, message, remedy, element.id)


def figures(value: float, count: int = 3) -> str:
    """A number in `count` figures as people write it, never in powers of ten."""
    if abs(value) >= 10**count - 0.5:
        return f"{value:,.0f}"
    if 0 < abs(value) < 0.001:
        return f"{value:.4f}"
    return f"{value:.{count}g}"


def metres(mm: float) -> str:
    """A length given in millimetres as people say it: millimetres below a metre, else metres."""
    return f"{figures(mm / 1000)} m" if abs(mm) >= 1000 else f"{mm:.0f} mm"
