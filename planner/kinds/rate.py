"""The rate a camera runs at for models and figures.

Takes the action, the scale and the light, gives the shooting rate with its reason. What falls,
flows, burns or breaks wants the root of the scale; what is driven wants the rate shown; what is
still may take its time. Knows nothing of cameras: see `floor`.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.craft import scale as scaling
from planner.kinds.stops import check_light, rate_of_slow_pass
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from planner.kinds.stops import Exposure
    from planner.kinds.subject import Subject
    from planner.kinds.view import View
    from planner.kinds.worksheet import Worksheet


def action_of(sheet: Worksheet, *, usual: str) -> str:
    """``still``, ``driven`` or ``gravity``: stated, else gravity for an event, else usual."""
    stated = sheet.element.facts.word("action")
    if stated:
        return stated
    implied = "gravity" if sheet.element.facts.has("event") else usual
    sheet.miss("action", rests="shooting rate", assumed=implied)
    return implied


def shooting_rate(
    sheet: Worksheet, view: View, subject: Subject, exposed: Exposure, action: str
) -> Quantity:
    """Rate of the camera, fps: stated, else by gravity, by the drive, or as the light allows."""
    stated = sheet.element.facts.number("rate")
    gravity = _gravity_rate(sheet, view, subject) if action == "gravity" else None
    if stated is not None and gravity is not None:
        _compare_rates(sheet, stated, gravity)
    rate = stated or gravity
    if rate is None and action == "still":
        return rate_of_slow_pass(sheet, view, exposed)
    if rate is None:
        rate = view.frame_rate
    if rate.value <= 0:
        sheet.error("rate-is-nothing", "a camera that does not run exposes nothing", "state a rate")
        rate = view.frame_rate
    check_light(sheet, view, exposed, rate)
    return sheet.note(Quantity("rate", rate.value, "fps", reason=rate.reason, inputs=(rate,)))


def _gravity_rate(sheet: Worksheet, view: View, subject: Subject) -> Quantity:
    value = view.frame_rate.value * math.sqrt(max(subject.scale.value, 1.0))
    event = sheet.element.facts.number("event")
    if event is not None:
        on_stage = scaling.stage_seconds(event.value, max(subject.scale.value, 1.0))
        sheet.reckon(
            "event on the stage", on_stage, "s", "story time / sqrt N", event, subject.scale
        )
    return sheet.reckon(
        "gravity rate",
        value,
        "fps",
        "rate shown x sqrt N",
        view.frame_rate,
        subject.scale,
        source="equal Froude numbers; VES Handbook of Visual Effects, Appendix A",
    )


def _compare_rates(sheet: Worksheet, stated: Quantity, gravity: Quantity) -> None:
    ratio = stated.value / gravity.value
    if 0.9 <= ratio <= 1.1:
        return
    looks = "small and quick" if ratio < 1 else "slow, as if floating"
    sheet.warn(
        "rate-not-gravity",
        f"{stated.value:g} fps is stated and what falls wants {gravity.value:.4g} fps: it looks"
        f" {looks}",
        f"shoot at {gravity.value:.0f} fps",
        at="rate",
    )
