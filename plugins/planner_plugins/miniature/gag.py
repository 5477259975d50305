"""Something that happens before the lens on a cue: when, how long it falls or swings, how often.

Takes the cue, a fall or a swing in the picture's world, the rate and the takes, gives times on the
stage and on the screen and takes in a day, and findings where it misses its frames or has not been
seen to work. Knows nothing of smoke or light.

Source of the laws: a fall from rest and a small swing, both slowed by the root of the scale.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.craft import scale as scaling
from planner.kinds.takes import handle_frames
from planner.model.facts import FrameRange

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.kinds.floor import SetUp
    from planner.kinds.takes import Takes
    from planner.model.quantity import Quantity


def check_gag(sheet: Worksheet, set_up: SetUp, takes: Takes, reset: Quantity) -> None:
    """Everything about the gag, where there is one."""
    gag = sheet.element.facts.group("gag")
    cue = gag.number("cue")
    if cue is None:
        return
    lasts = max(_fall(sheet, set_up), _swing(sheet, set_up))
    _check_cue(sheet, cue, lasts)
    _count_takes(sheet, takes, reset)
    if not gag.flag("proven") and not _has_test(sheet):
        sheet.warn(
            "gag-not-proven",
            f"what is cued on frame {cue.value:g} has not been seen to work, and no test of it is"
            " planned",
            "try it at the shooting rate and write `proven: true`, or name its test",
            at="gag",
        )


def _fall(sheet: Worksheet, set_up: SetUp) -> float:
    """Frames of the fall on screen."""
    fall = sheet.positive(sheet.element.facts.group("gag").number("fall"), "gag")
    if fall is None:
        return 0.0
    story = scaling.fall_seconds(fall.value / 1000)
    return _times(sheet, set_up, ("fall", "sqrt(2 height / g)"), (story, fall))


def _swing(sheet: Worksheet, set_up: SetUp) -> float:
    """Frames of one swing to and fro on screen."""
    swing = sheet.positive(sheet.element.facts.group("gag").number("swing"), "gag")
    if swing is None:
        return 0.0
    story = 2 * math.pi * math.sqrt(swing.value / 1000 / scaling.GRAVITY_MPS2)
    return _times(sheet, set_up, ("swing", "2 pi sqrt(length / g)"), (story, swing))


def _times(
    sheet: Worksheet, set_up: SetUp, words: tuple[str, str], found: tuple[float, Quantity]
) -> float:
    """Keep a time on the stage and on the screen; gives frames of the screen."""
    (name, law), (story, length) = words, found
    n, shown = set_up.subject.scale, set_up.view.frame_rate
    on_stage = sheet.reckon(
        f"{name} on the stage",
        scaling.stage_seconds(story, max(n.value, 1.0)),
        "s",
        f"{law} in the picture's world / sqrt N",
        length,
        n,
    )
    frames = sheet.reckon(
        f"{name} on the screen",
        on_stage.value * set_up.rate.value,
        "1",
        f"{name} on the stage x rate, in frames shown at {shown.value:g} fps",
        on_stage,
        set_up.rate,
    )
    return frames.value


def _check_cue(sheet: Worksheet, cue: Quantity, lasts: float) -> None:
    """The cue, and what follows from it, within the frames that are photographed."""
    shot = sheet.context.shot
    if shot is None or shot.cut is None:
        return
    handle = handle_frames(sheet)
    filmed = FrameRange(shot.cut.first - int(handle.value), shot.cut.last + int(handle.value))
    shown = max(math.ceil(lasts - 1e-9), 1)
    over = cue.value + shown
    if filmed.first <= cue.value and over <= filmed.last + 1:
        return
    runs = f" and runs to frame {over - 1:g}" if lasts else ""
    latest = filmed.last + 1 - shown
    sheet.warn(
        "cue-outside-handles",
        f"it is cued on frame {cue.value:g}{runs}; {filmed} are photographed, handles included",
        f"cue it between frames {filmed.first} and {latest:g}"
        if latest >= filmed.first
        else f"lengthen the cut: {lasts:.0f} frames are wanted and {filmed.count} photographed",
        at="gag",
    )


def _count_takes(sheet: Worksheet, takes: Takes, reset: Quantity) -> None:
    each = takes.passes.value * takes.pass_time.value + reset.value
    hours = sheet.context.show.calendar.day_hours
    if each > 0:
        sheet.reckon(
            "takes in a day",
            math.floor(hours * 3600 / each + 1e-9),
            "1",
            f"{hours:g} h / (passes x pass time + reset), rounded down",
            takes.passes,
            takes.pass_time,
            reset,
        )


def _has_test(sheet: Worksheet) -> bool:
    elements = sheet.context.show.elements
    named = {each.target for each in sheet.element.references}
    build = sheet.context.target("build")
    if build is not None:
        named |= {each.target for each in build.references}
    return any(name in elements and elements[name].kind == "test" for name in named)
