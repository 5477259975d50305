"""What a figure must get right on the floor: contacts, feet, speed and blur.

Takes the set-up, gives tolerances at scale, the speed it is worked at, and findings. Knows nothing
of rods, arms or stages.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.craft import motion
from planner.craft import scale as scaling
from planner_plugins.puppet import rules

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.kinds.floor import SetUp
    from planner.model.facts import Facts


def check_contacts(sheet: Worksheet, set_up: SetUp) -> None:
    """Each contact needs something to touch: a fixture, a hold-out or roto."""
    covered = bool(sheet.element.targets("held_out_by") or sheet.context.users("roto_of"))
    for contact in sheet.element.facts.groups("contacts"):
        if not contact.flag("fixture") and not covered:
            sheet.error(
                "contact-with-nothing",
                f"it touches {contact.word('with')} on {contact.frames('frames')} and there is no"
                " fixture, hold-out or roto to touch it with",
                "build a fixture in the plane of what it touches, or hold it out by that element",
                at="contacts",
            )
        _tolerance(sheet, set_up, contact)


def _tolerance(sheet: Worksheet, set_up: SetUp, contact: Facts) -> None:
    pixels, focal = contact.number("tolerance"), set_up.view.focal_px()
    nearest = sheet.positive(sheet.element.facts.number("nearest"), "nearest")
    if pixels is None or nearest is None or focal is None:
        return
    value = pixels.value * nearest.value / focal.value / set_up.subject.scale.value
    sheet.reckon(
        f"tolerance of contact with {contact.word('with')}",
        value,
        "mm",
        "pixels x nearest / focal length in pixels / N",
        pixels,
        nearest,
        focal,
        set_up.subject.scale,
    )


def check_feet(sheet: Worksheet, set_up: SetUp) -> None:
    """Slide of each foot over the frames on which it bears."""
    focal = set_up.view.focal_px()
    nearest = sheet.positive(sheet.element.facts.number("nearest"), "nearest")
    for foot in sheet.element.facts.groups("feet"):
        name, frames, drift = foot.word("foot"), foot.frames("frames"), foot.number("drift")
        if drift is None or nearest is None or focal is None:
            sheet.miss("feet.drift", rests=f"whether the {name} foot slides while it bears")
            continue
        n = max(set_up.subject.scale.value, 1.0)
        slide = sheet.reckon(
            f"slide of the {name} foot on {frames}",
            focal.value * drift.value * n / nearest.value,
            "px",
            "drift x N x focal length in pixels / nearest",
            focal,
            drift,
            set_up.subject.scale,
            nearest,
        )
        unseen = sheet.rule(rules.FOOT_SLIDE)[0].value
        if slide.value > unseen:
            sheet.warn(
                "foot-slides",
                f"the {name} foot bears on {frames} and drifts {drift.value:g} mm meanwhile:"
                f" {slide.value:.1f} px, where {unseen:g} pass unseen",
                f"pin it to a fixture within {drift.value * unseen / slide.value:.2f} mm, or hide"
                " it behind something that stands",
                at="feet",
            )


def check_speed(sheet: Worksheet, set_up: SetUp) -> None:
    """How fast it is worked on the stage, beside how fast it looks."""
    shown = set_up.view.frame_rate
    quicker = set_up.rate.value / shown.value
    speed = sheet.element.facts.number("speed")
    if speed is not None:
        n = max(set_up.subject.scale.value, 1.0)
        metres = scaling.controlled_speed_mps(speed.value / 1000, n, set_up.rate.value, shown.value)
        sheet.reckon(
            "speed on the stage",
            metres * 1000,
            "mm/s",
            "speed / N x rate / rate shown",
            speed,
            set_up.subject.scale,
            set_up.rate,
        )
    if quicker > 1.05:
        sheet.remark(
            "worked-faster",
            f"at {set_up.rate.value:.4g} fps it must be worked {quicker:.2g} times as fast as it"
            " will look",
            "rehearse at that speed, with a count",
            at="rate",
        )


def check_blur(sheet: Worksheet, set_up: SetUp) -> None:
    """Blur that the shutter owes; worked live it comes by itself, moved frame by frame it does not.

    The speed is taken as across the frame, at the nearest approach.
    """
    facts = sheet.element.facts
    speed, nearest, focal = facts.number("speed"), facts.number("nearest"), set_up.view.focal_px()
    if speed is None or nearest is None or focal is None or nearest.value <= 0:
        return
    a_frame = speed.value / set_up.view.frame_rate.value / nearest.value * focal.value
    blur = sheet.reckon(
        "motion blur",
        motion.blur_px(set_up.view.open_share * 360, a_frame),
        "px",
        "share of the frame the shutter is open x pixels crossed in a frame",
        speed,
        nearest,
        focal,
        set_up.view.shutter,
    )
    due = sheet.rule(rules.BLUR_DUE)[0]
    if blur.value > due.value:
        sheet.remark(
            "blur-due",
            f"the shutter owes it {blur.value:.0f} px of blur; worked while the camera runs it has"
            " them, moved between frames it has none",
            "work it live or on a motor while the shutter is open",
            at="speed",
        )
