"""Where boxes and arrows of a small graph go, in columns from left to right.

Takes ids and arrows, gives places in pixels. Everything stands right of what it needs, circles left
aside; arrows that pass a column have a lane of their own there, so that none runs under a box.
Knows nothing of shows, names or SVG.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

BOX_WIDE, BOX_HIGH = 126, 50
_BETWEEN_COLUMNS, _BETWEEN_BOXES, _LANE_HIGH = 34, 9, 4
_ROUNDS = 4

# An id, a column, and whether it is a lane of the arrows from the id's box through that column.
_Spot: TypeAlias = "tuple[str, int, bool]"


@dataclass(frozen=True, slots=True)
class Line:
    """A piece of an arrow between two neighbouring columns.

    Attributes:
        start: x and y of its left end, pixels.
        end: x and y of its right end, pixels.
        past: x to which it goes on straight through the column it reaches; `end`'s own where it
            ends at a box.
        is_strong: whether any arrow that runs along it is.
    """

    start: tuple[int, int]
    end: tuple[int, int]
    past: int
    is_strong: bool


@dataclass(frozen=True, slots=True)
class Layout:
    """A drawing's places, pixels.

    Attributes:
        corners: left and top of each box, by id.
        lines: pieces of arrows.
        wide: of the whole.
        high: of the whole.
    """

    corners: Mapping[str, tuple[int, int]]
    lines: tuple[Line, ...]
    wide: int
    high: int


def layered(ids: Sequence[str], arrows: Mapping[tuple[str, str], bool]) -> Layout:
    """Places of boxes and arrows.

    Args:
        ids: each once, those that belong together near each other.
        arrows: from what is needed to what needs it; whether each is strong. Those with an end that
            is not among `ids`, and those that close a circle, are left out.

    Returns:
        The layout; the same for the same input. Cost: about linear in arrows and columns they pass.
    """
    held = set(ids)
    arrows = {ends: strong for ends, strong in arrows.items() if held.issuperset(ends)}
    column = _columns(ids, arrows)
    pieces = _pieces(column, arrows)
    stacks = _stacks(ids, column, pieces)
    middle = _middles(stacks, pieces)
    top = min((middle[spot] - _tall(spot) / 2 for stack in stacks for spot in stack), default=0)
    foot = max((middle[spot] + _tall(spot) / 2 for stack in stacks for spot in stack), default=0)
    step = BOX_WIDE + _BETWEEN_COLUMNS
    y = {spot: round(value - top) + 2 for spot, value in middle.items()}
    lines = tuple(
        Line(
            (2 + step * start[1] + BOX_WIDE, y[start]),
            (2 + step * end[1], y[end]),
            2 + step * end[1] + BOX_WIDE * end[2],
            strong,
        )
        for (start, end), strong in pieces.items()
    )
    corners = {
        id_: (2 + step * at, y[id_, at, False] - BOX_HIGH // 2) for id_, at in column.items()
    }
    wide = step * len(stacks) - _BETWEEN_COLUMNS + 4 if stacks else 0
    return Layout(corners, lines, wide, round(foot - top) + 4)


def _columns(ids: Sequence[str], arrows: Iterable[tuple[str, str]]) -> dict[str, int]:
    """Column of each id: after all it needs, and as near as that lets it to what needs it."""
    needs: defaultdict[str, list[str]] = defaultdict(list)
    feeds: defaultdict[str, list[str]] = defaultdict(list)
    for needed, needer in arrows:
        needs[needer].append(needed)
        feeds[needed].append(needer)
    column: dict[str, int] = {}
    ordered = _needed_first(ids, needs)
    for id_ in ordered:
        column[id_] = max((column[each] + 1 for each in needs[id_] if each in column), default=0)
    for id_ in reversed(ordered):
        later = [column[each] for each in feeds[id_] if column[each] > column[id_]]
        column[id_] = min(later) - 1 if later else column[id_]
    return {id_: column[id_] for id_ in ids}


def _needed_first(ids: Sequence[str], needs: Mapping[str, Sequence[str]]) -> list[str]:
    """Each id after everything it needs; in a circle, wherever that was entered."""
    ordered: dict[str, None] = {}
    entered: set[str] = set()
    for first in ids:
        waiting = [first]
        while waiting:
            id_ = waiting[-1]
            entered.add(id_)
            held_up = [each for each in needs.get(id_, ()) if each not in entered]
            if held_up:
                waiting.append(held_up[0])
            else:
                ordered[waiting.pop()] = None
    return list(ordered)


def _pieces(
    column: Mapping[str, int], arrows: Mapping[tuple[str, str], bool]
) -> dict[tuple[_Spot, _Spot], bool]:
    """Arrows cut at columns; those from one box share a lane as far as they go together."""
    pieces: dict[tuple[_Spot, _Spot], bool] = {}
    for (needed, needer), strong in arrows.items():
        if needed not in column or needer not in column:
            continue
        first, last = column[needed], column[needer]
        spots = [(needed, at, at > first) for at in range(first, last)]
        for piece in pairwise([*spots, (needer, last, False)]):
            pieces[piece] = pieces.get(piece, False) or strong
    return pieces


def _stacks(
    ids: Sequence[str],
    column: Mapping[str, int],
    pieces: Iterable[tuple[_Spot, _Spot]],
) -> list[list[_Spot]]:
    """What stands in each column from top to bottom, put so that few arrows cross."""
    rank = {id_: at for at, id_ in enumerate(ids)}
    spots = {spot for piece in pieces for spot in piece}
    spots |= {(id_, at, False) for id_, at in column.items()}
    stacks: list[list[_Spot]] = [[] for _ in range(max(column.values(), default=-1) + 1)]
    for spot in sorted(spots, key=lambda each: (rank[each[0]], each[1])):
        stacks[spot[1]].append(spot)
    left, right = _neighbours(pieces)
    at = {spot: n / len(stack) for stack in stacks for n, spot in enumerate(stack)}
    for turn in range(_ROUNDS):
        beside = right if turn % 2 else left
        for stack in reversed(stacks) if turn % 2 else stacks:
            wanted = {spot: _mean([at[each] for each in beside[spot]], at[spot]) for spot in stack}
            stack.sort(key=wanted.__getitem__)
            at.update((spot, n / len(stack)) for n, spot in enumerate(stack))
    return stacks


def _neighbours(
    pieces: Iterable[tuple[_Spot, _Spot]],
) -> tuple[defaultdict[_Spot, list[_Spot]], defaultdict[_Spot, list[_Spot]]]:
    """Per spot what it is joined to in the column to its left, and to its right."""
    left: defaultdict[_Spot, list[_Spot]] = defaultdict(list)
    right: defaultdict[_Spot, list[_Spot]] = defaultdict(list)
    for start, end in pieces:
        left[end].append(start)
        right[start].append(end)
    return left, right


def _middles(
    stacks: Sequence[Sequence[_Spot]], pieces: Iterable[tuple[_Spot, _Spot]]
) -> dict[_Spot, float]:
    """Height of the middle of each spot: near those it is joined to, none upon another."""
    middle: dict[_Spot, float] = {}
    for stack in stacks:
        _spread(stack, middle, dict.fromkeys(stack, 0.0))
    left, right = _neighbours(pieces)
    for turn in range(_ROUNDS):
        beside = left if turn % 2 else right
        for stack in stacks if turn % 2 else reversed(stacks):
            wanted = {
                spot: _mean([middle[each] for each in beside[spot]], middle[spot]) for spot in stack
            }
            _spread(stack, middle, wanted)
    return middle


def _spread(
    stack: Sequence[_Spot], middle: dict[_Spot, float], wanted: Mapping[_Spot, float]
) -> None:
    """Put a column's spots as near to where they are wanted as their order and sizes let them."""
    down: list[float] = []
    for n, spot in enumerate(stack):
        least = down[-1] + _apart(stack[n - 1], spot) if n else wanted[spot]
        down.append(max(wanted[spot], least))
    up = wanted[stack[-1]]
    for n in range(len(stack) - 1, -1, -1):
        spot = stack[n]
        up = min(wanted[spot], up - _apart(spot, stack[n + 1])) if n + 1 < len(stack) else up
        middle[spot] = (down[n] + up) / 2


def _tall(spot: _Spot) -> int:
    return _LANE_HIGH if spot[2] else BOX_HIGH


def _apart(upper: _Spot, lower: _Spot) -> float:
    return (_tall(upper) + _tall(lower)) / 2 + _BETWEEN_BOXES


def _mean(values: Sequence[float], otherwise: float) -> float:
    return sum(values) / len(values) if values else otherwise
