"""What is done to frames afterwards, and the shortest run worth having.

Takes the rate an element is photographed at and what its frames are brought to, gives its time on
the screen, and findings where that is not the speed meant or where a run is too short. Knows
nothing of light or film.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.kinds import Rule
from planner.kinds.view import frame_rate_of

if TYPE_CHECKING:
    from planner.kinds import Estimate, Worksheet
    from planner.model.quantity import Quantity

SPEED = Rule("conform.speed", "share of speed a conform may change unseen", 0.02, 0.05, 0.1, "1")


def check_conform(sheet: Worksheet, estimate: Estimate) -> None:
    """Time and speed on the screen once frames are dropped."""
    kept = sheet.positive(sheet.element.facts.group("conform").number("keep_every"), "conform")
    rate, frames = estimate.quantities.get("rate"), estimate.quantities.get("frames")
    shown = frame_rate_of(sheet)
    if kept is None or rate is None or frames is None or rate.value <= 0:
        return
    run = sheet.reckon(
        "time of the action",
        frames.value * kept.value / rate.value,
        "s",
        "frames kept x one of so many / rate",
        frames,
        kept,
        rate,
    )
    viewed = sheet.reckon(
        "time on the screen", frames.value / shown.value, "s", "frames kept / rate shown", frames
    )
    speed = sheet.reckon(
        "speed on the screen", run.value / viewed.value, "1", "time of it / time shown", run, viewed
    )
    _compare(sheet, estimate, speed, (rate, kept, shown))


def _compare(
    sheet: Worksheet,
    estimate: Estimate,
    speed: Quantity,
    stated: tuple[Quantity, Quantity, Quantity],
) -> None:
    rate, kept, shown = stated
    gravity = estimate.quantities.get("gravity rate")
    own = sheet.element.facts.group("conform").number("speed")
    meant = own.value if own else shown.value / gravity.value if gravity else 1.0
    if meant <= 0 or abs(speed.value / meant - 1) <= sheet.rule(SPEED)[0].value:
        return
    sheet.warn(
        "conform-changes-speed",
        f"at {rate.value:.4g} fps with one frame kept of {kept.value:g} it plays at"
        f" {speed.value:.3g} of the speed it had before the lens where {meant:.3g} is meant:"
        f" {speed.value / meant:.3g} times as fast",
        f"shoot at {shown.value * kept.value / meant:.4g} fps, or keep one frame of"
        f" {max(round(rate.value * meant / shown.value), 1)}",
        at="conform",
    )


def check_shortest(sheet: Worksheet, estimate: Estimate) -> None:
    """A pass against the shortest run of the cameras named."""
    run, rate = estimate.quantities.get("pass time"), estimate.quantities.get("rate")
    if run is None or rate is None:
        return
    cameras = [
        each for name in sheet.context.names("camera") if (each := sheet.context.resource(name))
    ]
    least = [q for each in cameras if (q := each.facts.number("shortest_take"))]
    if not least or len(least) < len(cameras):
        return
    shortest = min(least, key=lambda each: each.value)
    if run.value >= shortest.value:
        return
    sheet.warn(
        "take-too-short",
        f"a pass runs {run.value:.1f} s and no camera named for it holds steady under"
        f" {shortest.value:.3g} s",
        f"roll {math.ceil(shortest.value * rate.value - 1e-9)} frames at {rate.value:.4g} fps or"
        " more, or shoot slower",
        at="camera",
    )
