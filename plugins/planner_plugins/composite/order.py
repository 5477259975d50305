"""Which piece lies in front of which, and what shows through.

Takes the pieces of a composite with what each says of being in front and held out, gives findings.
Knows nothing of how pieces are made.
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from planner.kinds import Worksheet
    from planner.model.facts import FrameRange
    from planner.model.show import Element
    from planner_plugins.composite.pieces import Pieces


def check_order(sheet: Worksheet, pieces: Pieces, finish: str) -> None:
    """Contradictions in depth, and light that shines through what lies before it.

    On a printer every run exposes the whole frame, so light also shines through figures that are
    only listed before it; a digital join covers it with what comes later.
    """
    in_front = {each.id: set(each.targets("in_front_of")) for each in pieces.joined}
    pairs = _each_other(sheet, pieces.joined, in_front)
    if not pairs:
        _round(sheet, pieces.joined, in_front)
    _against_list(sheet, pieces.joined, in_front, pairs)
    for light in pieces.added:
        before = {each.id for each in pieces.layers if light.id in in_front[each.id]}
        before -= {name for name in before if frozenset({name, light.id}) in pairs}
        if finish != "digital":
            later = pieces.joined[pieces.joined.index(light) + 1 :]
            before |= {each.id for each in later if _is_figure(each)}
        _shows_through(sheet, pieces, light, before)


def _frames(sheet: Worksheet, piece: Element) -> FrameRange | None:
    """Frames a piece is seen on; None where neither it nor the cut says."""
    shot = sheet.context.shot
    return piece.facts.frames("in_frame") or (shot.cut if shot else None)


def _together(sheet: Worksheet, pieces: Sequence[Element]) -> str:
    """Frames on which all are seen, as a clause; empty where they never are."""
    known = [frames for each in pieces if (frames := _frames(sheet, each)) is not None]
    if len(known) < len(pieces):
        return "on every frame"
    common: FrameRange | None = known[0]
    for frames in known[1:]:
        common = common.overlap(frames) if common else None
    return f"on frames {common}" if common else ""


def _each_other(
    sheet: Worksheet, joined: Sequence[Element], in_front: Mapping[str, set[str]]
) -> set[frozenset[str]]:
    found: set[frozenset[str]] = set()
    for one, other in combinations(joined, 2):
        if other.id not in in_front[one.id] or one.id not in in_front[other.id]:
            continue
        found.add(frozenset({one.id, other.id}))
        if when := _together(sheet, (one, other)):
            sheet.error(
                "each-in-front-of-the-other",
                f"{one.id} and {other.id} are each said to be in front of the other {when}",
                "say which is in front, or give each its in_frame and split the shot where they"
                " change places",
                at="joins",
            )
    return found


def _round(sheet: Worksheet, joined: Sequence[Element], in_front: Mapping[str, set[str]]) -> None:
    """Three or more pieces, each in front of the next and the last in front of the first."""
    left = {name: targets & set(in_front) for name, targets in in_front.items()}
    while free := [name for name, targets in left.items() if not targets & set(left)]:
        for name in free:
            del left[name]
    if not left:
        return
    path = [next(iter(left))]
    while path[-1] not in path[:-1]:
        path.append(min(left[path[-1]] & set(left)))
    loop = path[path.index(path[-1]) :]
    by_name = {each.id: each for each in joined}
    when = _together(sheet, [by_name[name] for name in loop[:-1]])
    if when:
        sheet.error(
            "order-goes-round",
            f"each is in front of the next {when}: {' > '.join(loop)}",
            "take one of these out of in_front_of",
            at="joins",
        )


def _against_list(
    sheet: Worksheet,
    joined: Sequence[Element],
    in_front: Mapping[str, set[str]],
    pairs: set[frozenset[str]],
) -> None:
    """Pieces listed behind what they are said to be in front of."""
    for behind, before in combinations(joined, 2):
        if before.id in in_front[behind.id] and frozenset({behind.id, before.id}) not in pairs:
            sheet.warn(
                "joined-against-order",
                f"{behind.id} is in front of {before.id} and is listed behind it",
                f"list {before.id} before {behind.id}: joins run back to front",
                at="joins",
            )


def _shows_through(sheet: Worksheet, pieces: Pieces, light: Element, before: set[str]) -> None:
    """Figures before an element that adds light, with nothing cutting their outline from it."""
    for each in pieces.layers:
        if each.id not in before or each in pieces.added or _holds_out(sheet, light, each):
            continue
        if not (when := _together(sheet, (light, each))):
            continue
        sheet.error(
            "fire-shows-through",
            f"{light.id} adds its light and {each.id} is in front of it {when}: it shows through"
            " the figure, as nothing holds it out",
            f"draw an outline of {each.id} (kind roto, sort hold_out) and name it under"
            f" held_out_by of {light.id}",
            at="joined_by",
        )


def _is_figure(piece: Element) -> bool:
    blue = piece.kind == "plate" and piece.facts.word("sort") == "blue_screen"
    return blue or piece.kind == "puppet"


def _holds_out(sheet: Worksheet, light: Element, figure: Element) -> bool:
    """Whether the figure, or an outline of it, is cut from the light."""
    elements = sheet.context.show.elements
    for name in light.targets("held_out_by"):
        outline = elements.get(name)
        if name == figure.id or (outline and figure.id in outline.targets("roto_of")):
            return True
    return False
