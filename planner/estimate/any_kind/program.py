"""What the camera's program and its rig must keep between passes and sizes.

Takes the passes as photographed, the angles set up and the rig's own sizes, gives findings on
revisions, on angles scaled by mistake, on the pupil's offset and on the boom's tail. Knows nothing
of speeds: see `planner.kinds.rig`.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.craft import perspective
from planner.estimate.any_kind.falling import scale_of
from planner.kinds import Rule
from planner.kinds.view import view_of
from planner.model.ratio import in_ratio

if TYPE_CHECKING:
    from planner.kinds import Estimate, Worksheet
    from planner.model.quantity import Quantity
    from planner.model.show import Resource

SWEEP = Rule("program.sweep", "degrees a camera turns where nothing says", 15, 30, 60, "deg")
UNSEEN = Rule("program.pupil_slide", "pixels of slide that pass unseen", 1, 2, 3, "px")
ANGLES = ("tilt", "roll")
SCALED_WITHIN = 0.05
"""Share by which an angle divided by N may miss and still be taken for one scaled by mistake."""


def check_passes(sheet: Worksheet, _estimate: Estimate) -> None:
    """All passes on one revision of one program, the rig untouched between."""
    passes = sheet.element.facts.groups("pass_log")
    programs = dict.fromkeys(each.word("program") for each in passes if each.word("program"))
    sheet.reckon("programs its passes ran on", len(programs), "1", ", ".join(programs) or "none")
    source = sheet.context.target("move_from")
    now = source.facts.word("revision") if source else ""
    if len(programs) > 1:
        runs = ", ".join(f"{each.word('name')} on {each.word('program')}" for each in passes)
        sheet.warn(
            "passes-on-other-programs",
            f"its {len(passes)} passes ran on {len(programs)} programs ({runs}): they do not lie"
            " over one another",
            f"run them all on {now or next(reversed(programs))} again",
            at="pass_log",
        )
    elif programs and now and now not in programs:
        sheet.warn(
            "passes-on-other-programs",
            f"its passes ran on {next(iter(programs))} and {source.id if source else ''} is"
            f" {now} now",
            f"run all {len(passes)} passes on {now}",
            at="pass_log",
        )
    _check_zero(sheet)


def _check_zero(sheet: Worksheet) -> None:
    later = [
        each.word("name")
        for each in sheet.element.facts.groups("pass_log")[1:]
        if each.flag("rezeroed")
    ]
    if later:
        sheet.warn(
            "rezeroed-between-passes",
            f"the rig was moved or zeroed again before {' and '.join(later)}: earlier passes lie"
            " where it stood before",
            "photograph the earlier passes again, or line them up frame by frame in the composite",
            at="pass_log",
        )


def check_angles(sheet: Worksheet, estimate: Estimate) -> None:
    """An angle set up at the story's angle over N: lengths shrink with the model, angles do not."""
    n = scale_of(sheet, estimate).value
    shot = sheet.context.shot
    if shot is None or n < 1.5:
        return
    placed = sheet.element.facts.group("camera_place")
    for name in ANGLES:
        own, story = placed.number(name), shot.camera.number(name)
        if own is None or story is None or story.value == 0:
            continue
        if abs(own.value * n / story.value - 1) <= SCALED_WITHIN:
            sheet.warn(
                "angle-scaled",
                f"its {name} is {own.value:.3g} deg, which is {story.value:g} deg / {n:g}: lengths"
                " shrink with the model, angles do not",
                f"set the {name} to {story.value:g} deg",
                at="camera_place",
            )


def check_pupil(sheet: Worksheet, estimate: Estimate) -> None:
    """Slide of the nearest subject where the rig's head cannot set the offset at scale."""
    source = sheet.context.target("move_from")
    offset = source.facts.number("pupil_error") if source else None
    rig = next(
        (each for name in sheet.context.names("rig") if (each := sheet.context.resource(name))),
        None,
    )
    fixed = rig.facts.number("pupil_offset") if rig else None
    nearest = sheet.element.facts.number("nearest")
    if rig is None or fixed is None or nearest is None or nearest.value <= 0:
        return
    scale = scale_of(sheet, estimate)
    wanted = offset.value / scale.value if offset else 0.0
    inputs = (fixed, offset, scale) if offset else (fixed, scale)
    error = sheet.reckon(
        "pupil off its place at scale",
        fixed.value - wanted,
        "mm",
        "offset the rig has - offset recorded / N",
        *inputs,
    )
    _slide(sheet, rig, error, (nearest, scale))


def _slide(
    sheet: Worksheet, rig: Resource, error: Quantity, near: tuple[Quantity, Quantity]
) -> None:
    focal = view_of(sheet, rests="what the pupil's offset shows").focal_px()
    if focal is None:
        return
    nearest, scale = near
    sweep = sheet.rule(SWEEP)[0]
    slide = sheet.reckon(
        "slide from the rig's pupil",
        perspective.pan_shift_px(
            focal.value,
            abs(error.value) / 1000,
            sweep.value,
            nearest.value / scale.value / 1000,
            math.inf,
        ),
        "px",
        "focal length in pixels x 2 x offset x sin(sweep / 2) / nearest on the stage",
        focal,
        error,
        sweep,
        nearest,
        scale,
    )
    passes = sheet.rule(UNSEEN)[0].value
    if slide.value > passes:
        sheet.warn(
            "pupil-not-to-scale",
            f"{rig.title} holds the pupil {abs(error.value):.1f} mm off the place it has at"
            f" {in_ratio(scale.value)}: over {sweep.value:g} deg the nearest subject slides"
            f" {slide.value:.1f} px",
            f"take a head that sets it within {abs(error.value) * passes / slide.value:.1f} mm, or"
            " carry the difference as a move of the track",
            at="rig",
        )


def check_tail(sheet: Worksheet, _estimate: Estimate) -> None:
    """Whether the boom's tail swings free behind the rig."""
    room = sheet.element.facts.number("room_behind")
    for name in sheet.context.names("rig"):
        rig = sheet.context.resource(name)
        tail = rig.facts.number("tail") if rig else None
        if rig is None or room is None or tail is None:
            continue
        spare = sheet.reckon(
            f"room behind {name} to spare",
            room.value - tail.value,
            "mm",
            "free floor behind it - pivot to the end of the tail",
            room,
            tail,
        )
        if spare.value < 0:
            sheet.error(
                "tail-strikes",
                f"{rig.title}'s tail reaches {tail.value / 1000:.3g} m behind its pivot and"
                f" {room.value / 1000:.3g} m are free: {-spare.value:.0f} mm too little",
                f"set the rig {-spare.value:.0f} mm forward, or clear the floor behind it",
                at="room_behind",
            )


def check_heads(sheet: Worksheet, estimate: Estimate) -> None:
    """What is left between the rig and the heads it passes over; never whether that is safe."""
    heads = sheet.element.facts.number("heads_below")
    height = sheet.element.facts.number("camera_height") or sheet.context.look_up("height")
    if heads is None or height is None:
        return
    scale = scale_of(sheet, estimate)
    for name in sheet.context.names("rig"):
        rig = sheet.context.resource(name)
        below = rig.facts.number("below_lens") if rig else None
        if rig is None or below is None:
            continue
        clear = sheet.reckon(
            f"clear over heads under {name}",
            height.value / scale.value - below.value - heads.value,
            "mm",
            "lowest lens / N - lens to the lowest part - tallest head",
            height,
            scale,
            below,
            heads,
        )
        if clear.value < 0:
            sheet.error(
                "rig-passes-through-heads",
                f"at {in_ratio(scale.value)} the lowest part of {rig.title} comes down to"
                f" {(height.value / scale.value - below.value) / 1000:.2f} m and heads reach"
                f" {heads.value / 1000:.2f} m: {-clear.value:.0f} mm too little",
                "keep people out from under it, or raise the set; how near a rig may come is for"
                " whoever answers for it to say",
                at="heads_below",
            )
