"""Whether what people chose for one piece could be of the one camera of its shot.

Takes a shot's pieces, gives findings on blur given to a piece beside that of the pictured lens, and
on a camera set up by the factor of another scale. Knows nothing of moves, light or time.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.estimate.agreement import rules
from planner.estimate.agreement.picture import focus_of_shot
from planner.estimate.agreement.readings import Reading, figures, metres, warning
from planner.model.ratio import in_ratio

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.estimate.agreement.pieces import Joined, Piece
    from planner.model.place import Problem


def check_chosen(joined: Joined) -> Iterator[Problem]:
    """Blur and distances that no one camera gives."""
    for piece in joined.pieces:
        yield from _blur(joined, piece)
    for piece in joined.solid:
        yield from _factor(joined, piece)


def _blur(joined: Joined, piece: Piece) -> Iterator[Problem]:
    """Focus as a statement of lens, stop and distance: the lens that the given blur implies."""
    given = piece.element.facts.group("given_blur")
    blur, distance = given.number("is"), given.number("distance")
    focus = focus_of_shot(joined)
    if blur is None or distance is None or focus is None:
        return
    due = focus.blur_px(distance.value)
    if min(due, blur.value) <= 0:
        return
    ratio, allowed = blur.value / due, joined.allowed(rules.GIVEN_BLUR)
    if 1 / allowed <= ratio <= allowed:
        return
    yield warning(
        Reading(piece.id, blur.value, "given_blur", piece),
        "blur-not-of-that-lens",
        f"{piece.id} is given {figures(blur.value)} px of blur at {metres(distance.value)}, where"
        f" {joined.camera_name} at f/{figures(focus.stop)} blurs {figures(due, 2)} px:"
        f" {figures(max(ratio, 1 / ratio), 2)} times as {'much' if ratio > 1 else 'little'}, as at"
        f" f/{figures(focus.stop / ratio, 2)}",
        f"give it {figures(due, 2)} px, or let the whole shot be seen as at"
        f" f/{figures(focus.stop / ratio, 2)}",
    )


def _factor(joined: Joined, piece: Piece) -> Iterator[Problem]:
    """A camera as far from one model as the scale of another piece asks."""
    placed = piece.camera_place.number("distance")
    story = piece.element.facts.number("nearest") or joined.shot.camera.number("distance")
    if placed is None or story is None or min(placed.value, story.value) <= 0:
        return
    passes = joined.allowed(rules.DISTANCE) / 100
    if abs(placed.value * piece.scale / story.value - 1) <= passes:
        return
    for other in joined.solid:
        if abs(placed.value * other.scale / story.value - 1) <= passes:
            yield warning(
                Reading(piece.id, placed.value, "camera_place", piece),
                "factor-of-another-scale",
                f"the lens stands {metres(placed.value)} from {piece.id}, which is its"
                f" {metres(story.value)} at {in_ratio(other.scale, 3)}, the scale of {other.id};"
                f" {piece.id} is at {in_ratio(piece.scale, 3)}",
                f"scale its whole program by {in_ratio(piece.scale, 3)}: the lens"
                f" {metres(story.value / piece.scale)} off",
            )
            return
