"""Frames that are drawn or painted one by one.

Takes the frames an element states, those it is seen on and the cut, gives how many are drawn;
handles are not drawn. Knows nothing of what is drawn.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds.takes import CUT
from planner.kinds.view import frame_rate_of
from planner.model.names import counted
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from planner.kinds.worksheet import Effort, Worksheet
    from planner.model.facts import FrameRange


def range_drawn(sheet: Worksheet) -> FrameRange | None:
    """Frames drawn: those stated, else those it is seen on, within the cut; None while unknown."""
    facts, shot = sheet.element.facts, sheet.context.shot
    cut = shot.cut if shot else None
    stated = facts.frames("frames") or facts.frames("in_frame")
    if stated is None or cut is None:
        return stated or cut
    return stated.overlap(cut) or cut


def frames_drawn(sheet: Worksheet) -> Quantity:
    """How many frames are drawn; frames outside the cut are told and left out."""
    facts, shot = sheet.element.facts, sheet.context.shot
    span = range_drawn(sheet)
    if span is None:
        usual = sheet.rule(CUT)[0]
        sheet.miss("frames", rests="hours of drawing", assumed=f"{usual.value:g} frames")
        return sheet.reckon("frames drawn", usual.value, "1", "the usual length of a cut", usual)
    stated = facts.frames("frames")
    if stated and shot and shot.cut:
        _check_within(sheet, stated, shot.cut)
    given = Quantity("frames", span.count, "1", Standing.GIVEN, reason=str(span))
    reason = "frames stated or seen, within the cut"
    return sheet.reckon("frames drawn", span.count, "1", reason, given)


def hours_a_second(sheet: Worksheet, effort: Effort, frames: Quantity) -> Quantity | None:
    """Hours that a second of screen time takes; None where no frames are made."""
    if frames.value <= 0:
        return None
    shown = frame_rate_of(sheet)
    return sheet.reckon(
        "hours a second of screen time",
        effort.hours.likely / frames.value * shown.value,
        "h",
        "hours / frames x rate shown",
        effort.reason,
        frames,
        shown,
    )


def _check_within(sheet: Worksheet, stated: FrameRange, cut: FrameRange) -> None:
    inside = stated.overlap(cut)
    beyond = stated.count - (inside.count if inside else 0)
    if not beyond:
        return
    keep = f"draw {inside} only" if inside else f"state frames within {cut}"
    sheet.warn(
        "drawn-past-cut",
        f"frames {stated} are to be drawn and the cut is {cut}:"
        f" {counted(beyond, 'frame')} would be drawn for nothing",
        f"{keep}, unless the cut is to be lengthened",
        at="frames",
    )
