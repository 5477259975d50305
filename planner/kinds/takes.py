"""Frames, film and time of what is photographed.

Takes the frames wanted, the camera's rate and the passes, gives how long a pass runs, the film it
uses and the charges for it. Knows nothing of lenses, stages or what is before the camera.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, NamedTuple

from planner.kinds.estimate import Charge, Phase
from planner.kinds.view import of_format
from planner.kinds.worksheet import Rule
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from planner.kinds.view import View
    from planner.kinds.worksheet import Worksheet

MM_PER_FOOT = 304.8
LAB_HOURS = 8.0

HANDLES = Rule("takes.handles", "handle frames at each end", 8, 8, 12, "1")
CUT = Rule("takes.cut", "frames of a cut nobody has settled", 48, 72, 120, "1")
RUN_FRAMES = Rule("takes.run_frames", "frames a slow pass runs up and out", 20, 40, 60, "1")
ROLL = Rule("takes.roll", "time the camera rolls round the action", 2, 4, 8, "s")
TAKEN = Rule("takes.taken", "takes it takes, over those allowed for", 0.6, 1, 1.6, "1")
"""Times `running_hours`, in an effort, it gives the range that running time has."""
PRINTED = Rule("takes.printed", "share of takes printed", 0.3, 0.5, 1, "1")


@dataclass(frozen=True, slots=True)
class Tried:
    """Passes run before the takes at rates of their own, as a wedge.

    Attributes:
        passes: how many, one at each rate.
        seconds: running time of all of them, s.
        feet: film of all of them, ft.
        longest_feet: film of the longest of them, ft.
    """

    passes: Quantity
    seconds: Quantity
    feet: Quantity
    longest_feet: Quantity


@dataclass(frozen=True, slots=True)
class Takes:
    """What goes through the camera.

    Attributes:
        frames: kept, handles included.
        rate: of the camera, fps.
        run: frames of one pass beyond those kept.
        passes: exposures of the same frames in one take.
        takes: allowed for.
        pass_time: running time of one pass, s.
        pass_feet: film of one pass, ft.
        feet: film of all takes and of what is tried before them, ft.
        tried: before the takes; None where nothing is.
    """

    frames: Quantity
    rate: Quantity
    run: Quantity
    passes: Quantity
    takes: Quantity
    pass_time: Quantity
    pass_feet: Quantity
    feet: Quantity
    tried: Tried | None = None


def handle_frames(sheet: Worksheet) -> Quantity:
    """Handle frames at each end of what is photographed: as the show states, else by the rule."""
    return sheet.context.show.facts.number("handles") or sheet.rule(HANDLES)[0]


def frames_wanted(sheet: Worksheet) -> Quantity:
    """Frames on which the element is seen, with a handle at each end."""
    context = sheet.context
    cut = context.shot.cut if context.shot else None
    seen = context.element.facts.frames("in_frame")
    handle = handle_frames(sheet)
    if cut and seen:
        seen = seen.overlap(cut) or cut
    span = seen or cut
    if span:
        shown = Quantity("frames seen", span.count, "1", Standing.GIVEN, reason=str(span))
    else:
        shown = sheet.rule(CUT)[0]
        sheet.miss("cut", rests="frames, film and time", assumed=f"{shown.value:g} frames")
    speed = context.shot.facts.number("speed") if context.shot else None
    if speed is None:
        value = shown.value + 2 * handle.value
        reason = "frames seen + a handle at each end"
        return sheet.reckon("frames", value, "1", reason, shown, handle)
    # At double speed every other frame is passed over, and twice as many are wanted.
    value = math.ceil(shown.value * speed.value - 1e-9) + 2 * handle.value
    reason = "frames seen x speed they are shown at + a handle at each end"
    return sheet.reckon("frames", value, "1", reason, shown, speed, handle)


def reckon_takes(
    sheet: Worksheet, view: View, rate: Quantity, passes: int, usual_takes: Rule
) -> Takes:
    """Time and film of every take of the element.

    Args:
        sheet: of the element.
        view: gives frames to the foot and the rate the picture is shown at.
        rate: of the camera, fps.
        passes: exposures in one take.
        usual_takes: stands in where ``takes`` is not stated.
    """
    frames = frames_wanted(sheet)
    run = _run(sheet, view, rate)
    count = sheet.note(Quantity("passes", passes, "1", reason="passes listed"))
    stated = sheet.element.facts.number("takes") or sheet.rule(usual_takes)[0]
    return _rolled(sheet, view, _Plan(frames, rate, run, count, replace(stated, name="takes")))


def with_run(sheet: Worksheet, view: View, takes: Takes, run: Quantity) -> Takes:
    """The same takes, each pass run on for so many frames beyond those kept."""
    plan = _Plan(takes.frames, takes.rate, run, takes.passes, takes.takes)
    return _rolled(sheet, view, plan)


def with_tried(sheet: Worksheet, takes: Takes, tried: Tried) -> Takes:
    """The same takes after what is tried before them, whose film is added to theirs."""
    feet = sheet.reckon(
        "film exposed",
        takes.pass_feet.value * takes.passes.value * takes.takes.value + tried.feet.value,
        "ft",
        "film of a pass x passes x takes + film of the wedge",
        takes.pass_feet,
        takes.passes,
        takes.takes,
        tried.feet,
    )
    return replace(takes, feet=feet, tried=tried)


class _Plan(NamedTuple):
    """Takes whose time and film are not reckoned yet; fields as those of `Takes`."""

    frames: Quantity
    rate: Quantity
    run: Quantity
    passes: Quantity
    takes: Quantity


def _rolled(sheet: Worksheet, view: View, plan: _Plan) -> Takes:
    frames, rate, run, count, takes = plan
    sheet.note(takes)
    exposed = frames.value + run.value
    pass_time = sheet.reckon(
        "pass time", exposed / rate.value, "s", "(frames + run) / rate", frames, run, rate
    )
    per_foot = of_format(view.frame, "frames per foot", view.frame.frames_per_foot, "1")
    pass_feet = sheet.reckon(
        "film of a pass",
        exposed / per_foot.value,
        "ft",
        "(frames + run) / frames per foot",
        frames,
        run,
        per_foot,
    )
    feet = sheet.reckon(
        "film exposed",
        pass_feet.value * count.value * takes.value,
        "ft",
        "film of a pass x passes x takes",
        pass_feet,
        count,
        takes,
    )
    return Takes(frames, rate, run, count, takes, pass_time, pass_feet, feet)


def _run(sheet: Worksheet, view: View, rate: Quantity) -> Quantity:
    """Frames beyond those kept: a few for a slow pass, seconds of rolling for a live one."""
    if rate.value < view.frame_rate.value:
        return sheet.note(replace(sheet.rule(RUN_FRAMES)[0], name="frames of run"))
    roll = sheet.rule(ROLL)[0]
    value = roll.value * rate.value
    return sheet.reckon("frames of run", value, "1", "seconds rolled x rate", roll, rate)


def running_hours(sheet: Worksheet, takes: Takes, reset: Quantity) -> Quantity:
    """Hours of passes and resets, all takes; `reset` in seconds follows every take but the last.

    What is tried before the takes runs as well, each pass with a reset after it.
    """
    sheet.note(replace(reset, name="reset"))
    seconds = takes.takes.value * takes.passes.value * takes.pass_time.value
    inputs: tuple[Quantity, ...] = (takes.takes, takes.passes, takes.pass_time)
    reason = "takes x passes x pass time"
    runs, tried = takes.takes.value, takes.tried
    if tried is not None:
        seconds, runs = seconds + tried.seconds.value, runs + tried.passes.value
        inputs, reason = (*inputs, tried.passes, tried.seconds), f"{reason} + time of the wedge"
    seconds += max(runs - 1, 0) * reset.value
    reason += " + resets between takes"
    return sheet.reckon("running time", seconds / 3600, "h", reason, *inputs, reset)


def lab_hours(sheet: Worksheet) -> float:
    """Working hours before the film is back as picture or scan."""
    turnaround = sheet.context.show.facts.group("turnaround")
    scan = turnaround.amount("scan", 0.0) if _is_scanned(sheet) else 0.0
    return turnaround.amount("lab", LAB_HOURS) + scan


def buy_film(sheet: Worksheet, takes: Takes) -> None:
    """Charge negative, processing and prints by the foot, and scans by the frame."""
    printed = sheet.rule(PRINTED)[0]
    prints = sheet.reckon(
        "film printed",
        takes.feet.value * printed.value,
        "ft",
        "film exposed x share printed",
        takes.feet,
        printed,
    )
    sheet.buy(Charge("negative", "negative", takes.feet, Phase.STAGE))
    sheet.buy(Charge("processing", "processing", takes.feet, Phase.LAB))
    sheet.buy(Charge("prints", "print", prints, Phase.LAB))
    if _is_scanned(sheet):
        scans = sheet.reckon(
            "frames scanned",
            takes.frames.value * takes.passes.value,
            "1",
            "frames x passes of the take kept",
            takes.frames,
            takes.passes,
        )
        sheet.buy(Charge("scans", "scan", scans, Phase.LAB))


def _is_scanned(sheet: Worksheet) -> bool:
    shot = sheet.context.shot
    return shot is None or shot.facts.word("finish") != "photochemical"
