"""How fast a turning camera sweeps the picture across the frame.

Takes the fastest turn and the lens, gives pixels a frame, the time a thing takes to cross, and a
finding where that strobes. Knows nothing of travel.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner_plugins.camera_move import rules

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Worksheet
    from planner.kinds.view import View
    from planner.model.quantity import Quantity

PEAKS = ("peak speed of pan", "peak speed of tilt", "peak turn")


def check_sweep(sheet: Worksheet, view: View, quantities: Mapping[str, Quantity]) -> None:
    """Tell a turn faster than the eye follows at the rate the picture is shown.

    A camera already recorded is what it is, and only noted.

    Args:
        sheet: of the move.
        view: its lens and rate.
        quantities: peaks already reckoned, deg/s.
    """
    focal = view.focal_px()
    turns = [quantities[name] for name in PEAKS if name in quantities]
    peak = max(turns, key=lambda each: each.value, default=None)
    if focal is None or peak is None or peak.value <= 0 or view.frame_rate.value <= 0:
        return
    sweep = sheet.reckon(
        "sweep of the picture",
        focal.value * math.radians(peak.value) / view.frame_rate.value,
        "px/frame",
        "focal length in pixels x fastest turn / rate shown",
        focal,
        peak,
        view.frame_rate,
    )
    crosses = sheet.reckon(
        "time to cross the frame",
        view.image.value / sweep.value / view.frame_rate.value,
        "s",
        "image width / sweep / rate shown",
        view.image,
        sweep,
        view.frame_rate,
    )
    wanted = sheet.rule(rules.CROSS)[0]
    if crosses.value >= wanted.value:
        return
    tell = sheet.warn if sheet.element.facts.word("origin") == "designed" else sheet.remark
    tell(
        "sweep-strobes",
        f"at its fastest it sweeps {sweep.value:.0f} px a frame: a thing crosses in"
        f" {crosses.value:.1f} s, and under {wanted.value:g} s still things strobe",
        f"turn at {peak.value * crosses.value / wanted.value:.2g} deg/s or slower, or keep the eye"
        " on what the camera follows",
        at="data" if sheet.element.facts.has("data") else "peak_turn",
    )
