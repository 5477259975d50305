"""A fall within an element: how long it takes and where it is on each frame.

Takes its height in the picture's own world, the scale and the rate shown, gives frames, places and
the rate if it is let go, and findings where it is let down at another pace. Knows nothing of drag.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.craft import scale as scaling
from planner.kinds import Rule
from planner.kinds.view import frame_rate_of
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from planner.kinds import Estimate, Worksheet
    from planner.model.facts import FrameRange

PACE = Rule("falls.pace", "share of a fall's time that passes unseen", 0.05, 0.1, 0.2, "1")
NO_DRAG = "free fall from rest without drag"


def check_fall(sheet: Worksheet, estimate: Estimate) -> None:
    """Frames, places and rate of the fall, against those it is to take."""
    falls = sheet.element.facts.group("falls")
    height = sheet.positive(falls.number("height"), "falls")
    if height is None:
        return
    shown = frame_rate_of(sheet)
    seconds = scaling.fall_seconds(height.value / 1000)
    frames = sheet.reckon(
        "frames of the fall",
        seconds * shown.value,
        "1",
        "square root of (2 x height / g) x rate shown",
        height,
        shown,
        source=NO_DRAG,
    )
    scale = scale_of(sheet, estimate)
    _places(sheet, height, frames, scale)
    if falls.flag("driven"):
        _compare(sheet, frames, falls.frames("frames"))
        return
    sheet.reckon(
        "rate of the fall",
        scaling.gravity_fps(scale.value, shown.value),
        "fps",
        "rate shown x sqrt N",
        shown,
        scale,
        source="equal Froude numbers",
    )


def scale_of(sheet: Worksheet, estimate: Estimate) -> Quantity:
    """N the element is made at, 1 where nothing says; never below 1."""
    known = estimate.quantities.get("scale") or sheet.context.scale()
    if known is None or known.value < 1:
        return Quantity("scale", 1.0, "1:N", reason="full size")
    return known


def _places(sheet: Worksheet, height: Quantity, frames: Quantity, scale: Quantity) -> None:
    """Drop on the stage by the first frame and by a quarter, half and three quarters of all."""
    last = max(math.ceil(frames.value), 1)
    for frame in dict.fromkeys((1, last // 4, last // 2, 3 * last // 4)):
        if 0 < frame < last:
            share = (frame / frames.value) ** 2
            sheet.reckon(
                f"drop by frame {frame} of the fall",
                height.value * share / scale.value,
                "mm",
                "height / N x (frame / frames of the fall) squared",
                height,
                frames,
                scale,
            )


def _compare(sheet: Worksheet, free: Quantity, stated: FrameRange | None) -> None:
    if stated is None:
        sheet.miss("falls.frames", rests="whether the fall reads as a fall")
        return
    unseen = sheet.rule(PACE)[0].value
    ratio = stated.count / free.value
    if abs(ratio - 1) <= unseen:
        return
    slow = ratio > 1
    sheet.warn(
        f"fall-{'slower' if slow else 'quicker'}-than-gravity",
        f"it is let down over {stated.count} frames ({stated}) and falls by itself in"
        f" {free.value:.1f}: it reads as {'floating' if slow else 'thrown down'}",
        f"drive it over {free.value:.0f} frames, or let it go",
        at="falls",
    )
