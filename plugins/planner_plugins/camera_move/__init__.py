"""A camera's path, frame by frame.

Takes a recording, a drawing, or what a picture tells of its camera, gives travel and speed of every
axis in the picture's world, hours, and what is wanting before anything can repeat it. Knows nothing
of scales and rigs: what repeats the move compares it with its own.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.craft import motion, perspective
from planner.kinds import DOOR, Estimate, Phase, Work, Worksheet, packaged_schema
from planner.kinds.takes import handle_frames
from planner.kinds.view import View, view_of
from planner.model.names import noun
from planner.model.quantity import Quantity, Standing
from planner_plugins.camera_move import rules
from planner_plugins.camera_move.reconstruct import reconstruct
from planner_plugins.camera_move.rules import RULES
from planner_plugins.camera_move.sweep import check_sweep

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context, Rule
    from planner.model.show import Move

__all__ = ["RULES", "CameraMove"]

DATA = ("sightings", "points", "known_size", "distance", "travel", "peak_speed", "peak_turn")
TURNS = ("pan", "tilt", "roll")


class CameraMove:
    """The kind ``camera_move``."""

    name = "camera_move"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of one move."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Speeds, hours and findings of one move."""
        sheet = Worksheet(context)
        view = view_of(sheet, rests="the camera's distance and what its errors show")
        move = context.show.moves.get(sheet.element.facts.word("data"))
        origin = sheet.element.facts.word("origin", "recorded")
        known = _check_data(sheet, move)
        if move is not None:
            _read(sheet, view, move)
        else:
            _stated(sheet)
        check_sweep(sheet, view, sheet.quantities)
        _check_pupil(sheet, view, move)
        if origin == "reconstructed":
            reconstruct(sheet, view)
        elif origin == "designed":
            _work(sheet, "draw the move", rules.DESIGN)
        else:
            if known:
                _check_recording(sheet, move)
            _work(sheet, "convert and check the move", rules.CONVERT)
        return sheet.estimate()


def _work(sheet: Worksheet, name: str, rule: Rule) -> None:
    effort = sheet.effort(name, (rule, 1))
    sheet.do(Work(name, "programming", Phase.PREPARE, effort.hours, effort.reason))


def _check_data(sheet: Worksheet, move: Move | None) -> bool:
    """Whether anything at all is known of the camera."""
    facts = sheet.element.facts
    if move is not None or facts.words("axes") or any(facts.has(name) for name in DATA):
        return True
    sheet.error(
        "no-camera-data",
        "nothing is known of this camera: no recording, no surveyed points, no known size, no"
        " distance and no travel",
        "put its recording in moves/, or survey at least six points of its set, or measure one"
        " thing in its picture",
        at="origin",
    )
    return False


def _check_recording(sheet: Worksheet, move: Move | None) -> None:
    facts = sheet.element.facts
    if not facts.flag("zero_logged"):
        sheet.warn(
            "zero-not-logged",
            "the rig's zero was not written down: the recording gives changes, not places",
            "measure the rig's start against the set, or add one surveyed point seen on frame one",
            at="zero_logged",
        )
    if move is None:
        sheet.miss("data", rests="speed, travel and length of the move")
        sheet.warn(
            "recording-not-in-hand",
            "the move was recorded and its file is not in moves/",
            "get the recording from whoever holds it, and keep a copy",
            at="data",
        )
        return
    absent = [axis for axis in facts.words("axes") if axis not in move.axes]
    if absent:
        sheet.warn(
            "axis-missing",
            f"{' and '.join(absent)} should be in {move.id} and the file has"
            f" {', '.join(move.axes) or 'no axis'}",
            "ask the rig's operator for the missing axes, or reconstruct them",
            at="axes",
        )


def _read(sheet: Worksheet, view: View, move: Move) -> None:
    """Length, travel and peak speed of a recorded or drawn path, at the rate it is shown."""
    count = max((len(axis.values) for axis in move.axes.values()), default=0)
    sheet.note(
        Quantity(
            "frames of the move", count, "1", Standing.RECORDED, place=move.place, reason=move.id
        )
    )
    _check_length(sheet, move, count)
    for name, axis in move.axes.items():
        travel = motion.extent(axis.values)
        if not travel:
            continue
        peak = motion.peaks(axis.values)[0]
        sheet.note(
            Quantity(
                f"travel of {name}",
                travel,
                axis.unit,
                Standing.RECORDED,
                place=move.place,
                reason="farthest positions apart",
            )
        )
        sheet.reckon(
            f"peak speed of {name}",
            peak.size * view.frame_rate.value,
            f"{axis.unit}/s",
            f"largest step, at frame {move.first_frame + peak.frame}, x rate shown",
            view.frame_rate,
        )


def _check_length(sheet: Worksheet, move: Move, count: int) -> None:
    shot = sheet.context.shot
    if shot is None or shot.cut is None:
        return
    handle = handle_frames(sheet).value
    head = move.first_frame - (shot.cut.first - handle)
    tail = shot.cut.last + handle - (move.first_frame + count - 1)
    short = [
        f"{frames:g} {noun(frames, 'frame')} short at the {end}"
        for end, frames in (("head", head), ("tail", tail))
        if frames > 0
    ]
    if short:
        sheet.warn(
            "move-shorter-than-cut",
            f"{move.id} runs from frame {move.first_frame} to {move.first_frame + count - 1}; the"
            f" cut is {shot.cut} with handles of {handle:g}: {' and '.join(short)}",
            "extend the path at that end, or do without those handles",
            at="data",
        )


def _stated(sheet: Worksheet) -> None:
    """Keep what the show states of a move that has no file."""
    for name in ("travel", "peak_speed", "peak_turn"):
        stated = sheet.element.facts.number(name)
        if stated is not None:
            sheet.reckon(name.replace("_", " "), stated.value, stated.unit, "as stated", stated)


def _check_pupil(sheet: Worksheet, view: View, move: Move | None) -> None:
    """Slide of the nearest subject against the far ground when the pupil is off the axis."""
    error, nearest = (sheet.element.facts.number(name) for name in ("pupil_error", "nearest"))
    focal = view.focal_px()
    if error is None or focal is None:
        return
    if nearest is None or nearest.value <= 0:
        sheet.miss("nearest", rests="how far a pupil off its axis slides the nearest subject")
        return
    sweep = _sweep(sheet, move)
    try:
        slide = perspective.pan_shift_px(
            focal.value, abs(error.value) / 1000, sweep.value, nearest.value / 1000, math.inf
        )
    except ValueError as cause:
        sheet.error("pupil-impossible", str(cause), "correct the distances", at="pupil_error")
        return
    sheet.reckon(
        "slide from the pupil error",
        slide,
        "px",
        "focal length in pixels x 2 x offset x sin(sweep / 2) / nearest",
        focal,
        error,
        sweep,
        nearest,
    )
    passes = sheet.rule(rules.SLIDE)[0]
    if slide <= passes.value:
        return
    within = abs(error.value) * passes.value / slide
    sheet.warn(
        "pupil-off-axis",
        f"the entrance pupil lies {abs(error.value):g} mm off the turning axis: over"
        f" {sweep.value:g} deg the nearest subject, {nearest.value / 1000:g} m away, slides"
        f" {slide:.1f} px against what lies far off",
        f"set the head to within {within:.1f} mm, repeat the same offset at scale, or keep"
        f" subjects beyond {nearest.value / 1000 * slide / passes.value:.1f} m",
        at="pupil_error",
    )


def _sweep(sheet: Worksheet, move: Move | None) -> Quantity:
    if move is not None:
        turns = {name: motion.extent(move.axes[name].values) for name in TURNS if name in move.axes}
        if turns:
            name = max(turns, key=lambda each: turns[each])
            return Quantity(
                f"sweep of {name}", turns[name], "deg", Standing.RECORDED, place=move.place
            )
    return sheet.rule(rules.SWEEP)[0]
