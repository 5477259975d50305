"""Where boxes and arrows of a small graph go, in columns from left to right.

Takes ids, arrows and the room each box takes, gives places in pixels, and lines as SVG's path data.
Everything stands right of what it needs, circles left aside; arrows that pass a column have a lane
of their own there, so that none runs under a box. Knows nothing of shows, names or looks.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from itertools import accumulate, pairwise
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

BOX_WIDE, BOX_HIGH = 126, 50
BETWEEN_COLUMNS, _BETWEEN_BOXES, _LANE_HIGH = 34, 9, 4
_ROUNDS = 4
USED, AWAITED = 1, 2
"""Of an arrow, added up: what it comes from is used in what it reaches; others wait along it."""

# An id, a column, and whether it is a lane of the arrows from the id's box through that column.
_Spot: TypeAlias = "tuple[str, int, bool]"
_Beside: TypeAlias = "list[list[int]]"
"""By the number of a spot, the numbers of those it is joined to on one side."""


@dataclass(frozen=True, slots=True)
class Room:
    """What boxes take, pixels.

    Attributes:
        wide: of every box.
        high: of each box, by id; `BOX_HIGH` of those not in it.
        before: left of each box, by id, for words on the arrows that reach it; nothing of those
            not in it.
        apart: of one arrow from the next where they reach a box; 0 where all reach its middle.
        columns: of every box, by id, counted from 0, each right of those of all it needs; None
            where they are to be found.
    """

    wide: int = BOX_WIDE
    high: Mapping[str, int] = field(default_factory=dict)
    before: Mapping[str, int] = field(default_factory=dict)
    apart: int = 0
    columns: Mapping[str, int] | None = None


PLAIN = Room()


@dataclass(frozen=True, slots=True)
class Line:
    """A piece of an arrow between two neighbouring columns.

    Attributes:
        start: x and y of its left end, pixels.
        bend: x from which it runs straight, at the height of its end.
        end: x and y of the left edge of the column it reaches, pixels.
        past: x to which it goes on straight through that column; `end`'s own where it ends at a
            box.
        sort: `USED` and `AWAITED`, each where any arrow that runs along it is so.
        ends: ids of the box all arrows along it come from, and of the box it ends at; the latter
            empty where it goes on.
    """

    start: tuple[int, int]
    bend: int
    end: tuple[int, int]
    past: int
    sort: int
    ends: tuple[str, str]


@dataclass(frozen=True, slots=True)
class Layout:
    """A drawing's places, pixels.

    Attributes:
        corners: left and top of each box, by id.
        lines: pieces of arrows.
        columns: left edge of each column.
        wide: of the whole.
        high: of the whole.
    """

    corners: Mapping[str, tuple[int, int]]
    lines: tuple[Line, ...]
    columns: tuple[int, ...]
    wide: int
    high: int


def layered(
    ids: Sequence[str], arrows: Mapping[tuple[str, str], int], room: Room = PLAIN
) -> Layout:
    """Places of boxes and arrows.

    Args:
        ids: each once, those that belong together near each other.
        arrows: from what is needed to what needs it, with their sort: `USED` and `AWAITED`, added
            up. Those with an end that is not among `ids`, and those that close a circle, are left
            out.
        room: what boxes take.

    Returns:
        The layout; the same for the same input. Cost: about linear in arrows and columns they pass.
    """
    held = set(ids)
    arrows = {ends: sort for ends, sort in arrows.items() if held.issuperset(ends)}
    columns = room.columns or _columns(ids, arrows)
    column = {id_: columns[id_] for id_ in ids}
    pieces = _pieces(column, arrows)
    spots = _spots(ids, column, pieces)
    number = {spot: n for n, spot in enumerate(spots)}
    joined = [(number[start], number[end]) for start, end in pieces]
    sides = _neighbours(joined, len(spots))
    stacks = _stacks([at for _, at, _ in spots], *sides)
    high = [_LANE_HIGH if is_lane else room.high.get(id_, BOX_HIGH) for id_, _, is_lane in spots]
    middle = _middles(stacks, high, *sides)
    top = min((at - tall / 2 for at, tall in zip(middle, high, strict=True)), default=0)
    foot = max((at + tall / 2 for at, tall in zip(middle, high, strict=True)), default=0)
    y = [round(at - top) + 2 for at in middle]
    lefts = _lefts(column, room)
    ends = _ends(joined, y, room.apart)
    lines = tuple(
        Line(
            (lefts[start[1]] + room.wide, y[number[start]]),
            lefts[start[1]] + room.wide + BETWEEN_COLUMNS,
            (lefts[end[1]], at),
            lefts[end[1]] + room.wide * end[2],
            sort,
            (start[0], "" if end[2] else end[0]),
        )
        for ((start, end), sort), at in zip(pieces.items(), ends, strict=True)
    )
    boxes = {id_: number[id_, at, False] for id_, at in column.items()}
    corners = {id_: (lefts[column[id_]], y[n] - high[n] // 2) for id_, n in boxes.items()}
    wide = lefts[-1] + room.wide + 2 if lefts else 0
    return Layout(corners, lines, lefts, wide, round(foot - top) + 4)


def _lefts(column: Mapping[str, int], room: Room) -> tuple[int, ...]:
    """Left edge of each column: right of the one before, and of the words on arrows to it."""
    if not column:
        return ()
    before = [0] * (max(column.values()) + 1)
    for id_, at in column.items():
        before[at] = max(before[at], room.before.get(id_, 0))
    steps = (room.wide + BETWEEN_COLUMNS + each for each in before[1:])
    return tuple(accumulate(steps, initial=2))


def _ends(joined: Sequence[tuple[int, int]], y: Sequence[int], apart: int) -> list[int]:
    """Height at which each piece ends: at a box from above to below as they come."""
    into: defaultdict[int, list[int]] = defaultdict(list)
    for start, end in joined:
        into[end].append(y[start])
    ends = []
    # No two heights are the same: what stands in one column stands apart.
    nth = {end: sorted(heights) for end, heights in into.items()} if apart else {}
    for start, end in joined:
        before = nth[end].index(y[start]) if apart else 0
        ends.append(y[end] + (2 * before + 1 - len(into[end])) * apart // 2)
    return ends


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
    return column


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
    column: Mapping[str, int], arrows: Mapping[tuple[str, str], int]
) -> dict[tuple[_Spot, _Spot], int]:
    """Arrows cut at columns; those from one box share a lane as far as they go together."""
    pieces: dict[tuple[_Spot, _Spot], int] = {}
    for (needed, needer), sort in arrows.items():
        if needed not in column or needer not in column:
            continue
        first, last = column[needed], column[needer]
        spots = [(needed, at, at > first) for at in range(first, last)]
        for piece in pairwise([*spots, (needer, last, False)]):
            pieces[piece] = pieces.get(piece, 0) | sort
    return pieces


def _spots(
    ids: Sequence[str], column: Mapping[str, int], pieces: Iterable[tuple[_Spot, _Spot]]
) -> list[_Spot]:
    """Boxes and lanes, those of ids near each other near each other; numbered by their place."""
    rank = {id_: at for at, id_ in enumerate(ids)}
    spots = {spot for piece in pieces for spot in piece}
    spots |= {(id_, at, False) for id_, at in column.items()}
    return sorted(spots, key=lambda each: (rank[each[0]], each[1]))


def _neighbours(joined: Iterable[tuple[int, int]], count: int) -> tuple[_Beside, _Beside]:
    """Per spot what it is joined to in the column to its left, and to its right."""
    left: _Beside = [[] for _ in range(count)]
    right: _Beside = [[] for _ in range(count)]
    for start, end in joined:
        left[end].append(start)
        right[start].append(end)
    return left, right


def _stacks(column: Sequence[int], left: _Beside, right: _Beside) -> list[list[int]]:
    """What stands in each column from top to bottom, put so that few arrows cross."""
    stacks: list[list[int]] = [[] for _ in range(max(column, default=-1) + 1)]
    for spot, of in enumerate(column):
        stacks[of].append(spot)
    at = [0.0] * len(column)
    for stack in stacks:
        for n, spot in enumerate(stack):
            at[spot] = n / len(stack)
    for turn in range(_ROUNDS):
        beside = right if turn % 2 else left
        for stack in reversed(stacks) if turn % 2 else stacks:
            if len(stack) == 1:
                continue
            wanted = {spot: _mean([at[each] for each in beside[spot]], at[spot]) for spot in stack}
            stack.sort(key=wanted.__getitem__)
            for n, spot in enumerate(stack):
                at[spot] = n / len(stack)
    return stacks


def _middles(
    stacks: Sequence[Sequence[int]], high: Sequence[int], left: _Beside, right: _Beside
) -> list[float]:
    """Height of the middle of each spot: near those it is joined to, none upon another."""
    middle = [0.0] * len(high)
    # From the middle of each spot to that of the one under it; under the last there is none.
    rows = [
        (stack, [(high[a] + high[b]) / 2 + _BETWEEN_BOXES for a, b in pairwise(stack)])
        for stack in stacks
    ]
    for stack, gaps in rows:
        for spot, at in zip(stack, _spread([0.0] * len(stack), gaps), strict=True):
            middle[spot] = at
    for turn in range(_ROUNDS):
        beside = left if turn % 2 else right
        for stack, gaps in rows if turn % 2 else reversed(rows):
            wanted = [
                _mean([middle[each] for each in beside[spot]], middle[spot]) for spot in stack
            ]
            for spot, at in zip(stack, _spread(wanted, gaps), strict=True):
                middle[spot] = at
    return middle


def _spread(wanted: Sequence[float], apart: Sequence[float]) -> list[float]:
    """Middles of a column's spots, as near to where they are wanted as order and sizes let them."""
    if not apart:
        return list(wanted)
    down = [wanted[0]]
    for gap, each in zip(apart, wanted[1:], strict=True):
        down.append(max(each, down[-1] + gap))
    up = [wanted[-1]]
    for gap, each in zip(reversed(apart), reversed(wanted[:-1]), strict=True):
        up.append(min(each, up[-1] - gap))
    return [(lower + upper) / 2 for lower, upper in zip(down, reversed(up), strict=True)]


def _mean(values: Sequence[float], otherwise: float) -> float:
    return sum(values) / len(values) if values else otherwise


def path_of(lines: Iterable[Line], head: str = "m-6-3l6 3-6 3") -> str:
    """Pieces of arrows in one path, with a head where they end, each once.

    A piece goes on from where the pen stands, where that is where it starts: most do, and what
    need not be said is a tenth of a drawing.
    """
    drawn = []
    headed: set[tuple[int, int]] = set()
    pen: tuple[int, int] | None = None
    for line in lines:
        (x, y), to_y = line.start, line.end[1]
        moved = "" if pen == line.start else f"M{x} {y}"
        half, down = (line.bend - x) // 2, f"{to_y - y:+}".replace("+", " ")
        curve = f"c{half} 0 {line.bend - x - half}{down} {line.bend - x}{down}" if to_y != y else ""
        along = "" if curve and line.past == line.bend else f"H{line.past}"
        pen = line.past, to_y
        headed_with = ""
        if line.ends[1] and line.end not in headed:
            headed.add(line.end)
            headed_with, pen = head, None
        drawn.append(f"{moved}{curve}{along}{headed_with}")
    return "".join(drawn)
