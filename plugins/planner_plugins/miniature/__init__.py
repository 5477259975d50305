"""A model photographed to look full size.

Takes one element, its build, camera and stages, gives the stage work of photographing it, its film,
the scales that would do, and what will not work. Knows nothing of making the model: see `build`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.craft import scale as scaling
from planner.kinds import DOOR, Worksheet, packaged_schema
from planner.kinds.floor import SetUp, lay_out
from planner.kinds.stops import check_light, expose, limit_by_depth, rate_of_slow_pass
from planner.kinds.subject import caution, hazards_of, risk_of, subject_of
from planner.kinds.takes import buy_film, lab_hours, reckon_takes, running_hours
from planner.kinds.view import view_of
from planner.model.quantity import Quantity
from planner_plugins.miniature import rules
from planner_plugins.miniature.findings import find_troubles
from planner_plugins.miniature.stage import put_on_stage

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context, Estimate
    from planner.kinds.stops import Exposure
    from planner.kinds.subject import Subject
    from planner.kinds.view import View


class Miniature:
    """The kind ``miniature``."""

    name = "miniature"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """What one may state."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Stage work, film, limits on scale, and findings."""
        sheet = Worksheet(context)
        view = view_of(sheet)
        subject = subject_of(sheet)
        risk = risk_of(sheet)
        caution(sheet)
        action = action_of(sheet)
        is_gravity = action == "gravity"
        exposed = expose(sheet, view, subject)
        rate = shooting_rate(sheet, view, subject, exposed, action)
        passes = context.element.facts.words("passes") or ("beauty",)
        takes = reckon_takes(sheet, view, rate, len(passes), rules.TAKES[action])
        set_up = SetUp(view, subject, rate, gravity=is_gravity, pass_feet=takes.pass_feet)
        floor = lay_out(sheet, set_up)
        limit_by_depth(sheet, view, subject, gravity=is_gravity)
        find_troubles(sheet, set_up, takes, action)
        running = running_hours(sheet, takes, _reset(sheet, action))
        put_on_stage(sheet, floor, running, risk=risk, wait_hours=lab_hours(sheet))
        buy_film(sheet, takes, risk)
        return sheet.estimate()


def action_of(sheet: Worksheet) -> str:
    """``still``, ``driven`` or ``gravity``; a stated event without an action falls or burns."""
    stated = sheet.element.facts.word("action")
    if stated:
        return stated
    implied = "gravity" if sheet.element.facts.has("event") else "still"
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
    value = view.frame_rate.value * max(subject.scale.value, 1.0) ** 0.5
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


def _reset(sheet: Worksheet, action: str) -> Quantity:
    reset = sheet.element.facts.number("reset") or sheet.rule(rules.RESETS[action])[0]
    if "smoke" not in hazards_of(sheet):
        return reset
    settle = sheet.rule(rules.SMOKE_SETTLE)[0]
    return sheet.reckon(
        "reset", reset.value + settle.value, "s", "reset + smoke settles", reset, settle
    )
