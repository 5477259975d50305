"""Whether people projected behind openings look as if they stood there.

Takes the opening, the card, the camera's place and how the people were filmed, gives sizes, angles
and findings. Knows nothing of stage work or film.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.craft import exposure
from planner.model.quantity import Quantity
from planner_plugins.projected_people import rules

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.kinds.subject import Subject
    from planner.kinds.takes import Takes
    from planner.kinds.view import View


def size_figures(sheet: Worksheet, view: View, subject: Subject) -> None:
    """Height of a person on the model and on the finished frame."""
    figure = sheet.element.facts.number("figure_height") or sheet.rule(rules.FIGURE)[0]
    n = max(subject.scale.value, 1.0)
    sheet.reckon("figure on the model", figure.value / n, "mm", "height / N", figure, subject.scale)
    distance = sheet.positive(sheet.element.facts.number("distance"), "distance")
    if distance is None:
        sheet.miss("distance", rests="size of the figures on screen, their angle and the card")
        return
    try:
        covers = view.pixels_of(figure, distance)
    except ValueError as cause:
        sheet.error("window-inside-lens", str(cause), "move the camera away", at="distance")
        return
    if covers is not None:
        sheet.reckon("figure on screen", covers.value, "px", covers.reason, figure, distance)


def check_angle(sheet: Worksheet) -> None:
    """Compare the angle the camera looks up to the opening with that at which people were filmed.

    Both are positive upward.
    """
    facts = sheet.element.facts
    distance = facts.number("distance")
    sill = facts.group("window").number("sill")
    lens = facts.number("camera_height") or sheet.context.look_up("height")
    filmed = facts.number("filmed_angle")
    if sill is None or lens is None or distance is None or distance.value <= 0:
        sheet.miss("window", rests="the angle the people must be filmed at")
        return
    wanted = sheet.reckon(
        "angle to film them at",
        math.degrees(math.atan2(sill.value - lens.value, distance.value)),
        "deg",
        "arctan((sill - lens height) / distance), upward",
        sill,
        lens,
        distance,
    )
    if filmed is None:
        sheet.miss("filmed_angle", rests="whether the people are seen from the right height")
        return
    allowed = sheet.rule(rules.ANGLE)[0]
    off = filmed.value - wanted.value
    if abs(off) <= allowed.value:
        return
    sheet.warn(
        "people-from-another-height",
        f"the camera sees the opening {_up(wanted.value)} and the people were filmed"
        f" {_up(filmed.value)}: {abs(off):.0f} deg apart, {allowed.value:g} pass unseen",
        f"film them {_up(wanted.value)}: at 3 m, with the lens"
        f" {abs(3 * math.tan(math.radians(wanted.value))):.2g} m"
        f" {'below' if wanted.value > 0 else 'above'} their feet",
        at="filmed_angle",
    )


def _up(angle: float) -> str:
    return f"from {abs(angle):.0f} deg {'below' if angle > 0 else 'above'}"


def check_card(sheet: Worksheet, subject: Subject) -> None:
    """Compare the card with what the camera sees of it through the opening, over its travel."""
    facts = sheet.element.facts
    card, window = facts.group("card"), facts.group("window")
    behind = card.number("behind")
    distance = sheet.element.facts.number("distance")
    if behind is None or distance is None or distance.value <= 0:
        sheet.miss("card", rests="whether the edge of the card is seen")
        return
    n = max(subject.scale.value, 1.0)
    lens = distance.value / n
    travel = sheet.context.look_up("travel")
    for side, moved in (("width", travel.value / n if travel else 0.0), ("height", 0.0)):
        opening, has = window.number(side), card.number(side)
        if opening is None or has is None:
            continue
        needed = sheet.reckon(
            f"card {side} needed",
            opening.value / n * (lens + behind.value) / lens + moved * behind.value / lens,
            "mm",
            "opening on the model x (lens to card / lens to opening) + travel x gap / lens to"
            " opening",
            opening,
            behind,
            distance,
            subject.scale,
        )
        if has.value < needed.value:
            sheet.warn(
                "card-edge-seen",
                f"through the opening the camera sees {needed.value:.0f} mm of {side} of a card"
                f" {has.value:.0f} mm {'wide' if side == 'width' else 'high'}, set"
                f" {behind.value:.0f} mm behind",
                f"make it {math.ceil(needed.value / 10) * 10:g} mm or set it closer to the opening",
                at="card",
            )


def check_step(sheet: Worksheet, takes: Takes) -> None:
    """A projector that runs by itself drifts against the camera; and the print may be too short."""
    facts = sheet.element.facts
    filmed = facts.number("frames_filmed") or sheet.context.upstream_number(
        "people_plate", "frames"
    )
    if filmed is not None and filmed.value < takes.frames.value:
        sheet.warn(
            "people-run-out",
            f"{takes.frames.value:g} frames are wanted and {filmed.value:g} of people were filmed:"
            f" {takes.frames.value - filmed.value:g} short",
            "film them for longer, or hold or repeat where nobody moves",
            at="frames_filmed",
        )
    if facts.flag("in_step"):
        return
    own = facts.number("projector_rate")
    if own is None:
        sheet.miss("in_step", rests="whether the people drift against the camera")
        return
    drift = sheet.reckon(
        "drift of the people",
        abs(own.value / takes.rate.value - 1) * takes.frames.value,
        "1",
        "|projector's rate / camera's - 1| x frames",
        own,
        takes.rate,
        takes.frames,
    )
    allowed = sheet.rule(rules.DRIFT)[0]
    if drift.value > allowed.value:
        sheet.warn(
            "projector-out-of-step",
            f"the projector runs at {own.value:.3g} fps and the camera at {takes.rate.value:.3g}"
            f" fps: {drift.value:.1f} frames apart by the end",
            "drive both from one motor or one pulse, a frame for a frame (in_step: true)",
            at="in_step",
        )


def check_light(sheet: Worksheet) -> None:
    """Stray light lifts the blacks of what is projected."""
    facts = sheet.element.facts
    picture, stray = facts.number("projector_light"), facts.number("stray_light")
    if picture is None or stray is None or min(picture.value, stray.value) <= 0:
        return
    over = exposure.stops_short(picture.value, stray.value)
    contrast = sheet.note(
        Quantity(
            "picture over stray light",
            over,
            "stops",
            reason="log2(light of the projector / other light on the card)",
            inputs=(picture, stray),
        )
    )
    wanted = sheet.rule(rules.CONTRAST)[0]
    if contrast.value < wanted.value:
        sheet.warn(
            "projection-washed-out",
            f"the projector is {contrast.value:.1f} stops over the light that falls on the card"
            f" anyway; {wanted.value:g} are wanted",
            f"cut the stray light to {picture.value / 2**wanted.value:.2g} lx, or expose the people"
            " as a pass of their own in the dark",
            at="stray_light",
        )
