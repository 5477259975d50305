"""What a camera move asks of each axis on the stage.

Takes the move an element repeats, its scale and its shooting rate, gives what each axis must do.
Lengths, the focus distance and the pupil's offset shrink with the scale, angles do not; speeds grow
with the rate. Only frames on which the element is seen count, where it says which. Knows nothing of
the rigs that might do it, of stages, lenses or light.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.craft import motion
from planner.kinds.takes import CUT
from planner.model.quantity import Quantity
from planner.model.show import Move, MoveAxis

if TYPE_CHECKING:
    from collections.abc import Iterable

    from planner.kinds.subject import Subject
    from planner.kinds.view import View
    from planner.kinds.worksheet import Worksheet
    from planner.model.facts import Facts, FrameRange
    from planner.model.show import Element


EASE = motion.PROFILES["smoothstep"]
CARRYING = (("arm", "east_west"), ("boom", "lift", "up_down"), ("track", "north_south"))
"""Axes that carry the lens right, up and forward, where it looks along the track."""
TRAVELLING = ("track", "arm", "boom", "lift", "east_west", "north_south", "up_down")
PLACES = (
    "distance of the camera",
    "camera to the right",
    "camera height",
    "camera forward",
)
"""Lengths of a camera in the picture's world that its move may have found."""
FINENESS = "pixels a mm shifts the nearest"


@dataclass(frozen=True, slots=True)
class Pace:
    """How fast the move is repeated.

    Attributes:
        subject: what is photographed, at its scale.
        rate: of the camera, fps.
        gravity: whether the rate follows the scale as ``sqrt(N)``.
    """

    subject: Subject
    rate: Quantity
    gravity: bool = False


@dataclass(frozen=True, slots=True)
class AxisDemand:
    """What one axis must do on the stage.

    Attributes:
        axis: its name.
        unit: ``mm`` or ``deg``; a speed is per second of it, and so on.
        travel: from end to end.
        speed: greatest.
        acceleration: greatest; 0 where unknown.
        jerk: greatest; 0 where unknown.
        speed_frame: frame of the fastest step, in the shot's count; None where unknown.
        acceleration_frame: frame of the hardest step; None where unknown.
        jerk_frame: frame of the roughest; None where unknown.
        entry: speed at the first frame, which needs a run-up.
        leaving: speed at the last, which needs a run-out.
        smallest: smallest step between frames; 0 where unknown.
        px: pixels by which a unit of it shifts the nearest subject; 0 where unknown.
    """

    axis: str
    unit: str
    travel: float
    speed: float
    acceleration: float = 0.0
    jerk: float = 0.0
    speed_frame: int | None = None
    acceleration_frame: int | None = None
    jerk_frame: int | None = None
    entry: float = 0.0
    leaving: float = 0.0
    smallest: float = 0.0
    px: float = 0.0

    def asks(self) -> tuple[tuple[str, float, int | None], ...]:
        """Speed, acceleration and jerk by name, each with its frame."""
        return (
            ("speed", self.speed, self.speed_frame),
            ("acceleration", self.acceleration, self.acceleration_frame),
            ("jerk", self.jerk, self.jerk_frame),
        )


def demands(sheet: Worksheet, view: View, pace: Pace) -> tuple[AxisDemand, ...]:
    """What each axis must do at the scale and rate; empty where the camera stands still.

    A travel of which no speed is known is taken as eased in and out over the cut.
    """
    source = sheet.context.target("move_from")
    if source is not None:
        _carry_camera(sheet, source, pace)
    _note_fineness(sheet, view, pace)
    move = move_of(sheet)
    if move is not None:
        wanted = _recorded(sheet, view, pace, seen_part(sheet, move))
    else:
        facts = source.facts if source else sheet.element.facts
        wanted = (*_travelling(sheet, facts, pace, view), *_turning(facts, pace, view))
    return wanted


def mind_frames(sheet: Worksheet) -> None:
    """Remark where nothing says on which frames of a moving camera the element is seen."""
    if sheet.element.facts.frames("in_frame") is not None:
        return
    move = move_of(sheet)
    what = f"all {_count(move)} frames of moves/{move.id}.csv" if move else "the whole move"
    sheet.remark(
        "judged-over-whole-move",
        f"nothing says on which frames it is seen: the rig is judged over {what}",
        "state `in_frame`, so that only those frames count",
        at="in_frame",
    )


def move_of(sheet: Worksheet) -> Move | None:
    """The recorded or designed move the element repeats; None where no file holds it."""
    source = sheet.context.target("move_from")
    return sheet.context.show.moves.get(source.facts.word("data")) if source else None


def _count(move: Move) -> int:
    return max((len(axis.values) for axis in move.axes.values()), default=0)


def seen_part(sheet: Worksheet, move: Move, frames: FrameRange | None = None) -> Move:
    """The part of the move on which the element is seen; all of it where nothing says."""
    seen = frames or sheet.element.facts.frames("in_frame")
    if seen is None:
        return move
    start = max(seen.first - move.first_frame, 0)
    stop = max(seen.last - move.first_frame + 1, 0)
    axes = {name: MoveAxis(axis.unit, axis.values[start:stop]) for name, axis in move.axes.items()}
    if all(len(axis.values) < 2 for axis in axes.values()):
        return move
    return Move(move.id, move.first_frame + start, axes, move.place)


def _carry_camera(sheet: Worksheet, source: Element, pace: Pace) -> None:
    """Bring the camera's place, its spread and its pupil's offset down to the model."""
    n = pace.subject.scale
    found = [each for name in PLACES if (each := sheet.context.upstream_number("move_from", name))]
    offset = source.facts.number("pupil_error")
    found += [Quantity("pupil offset", offset.value, "mm", inputs=(offset,))] if offset else []
    for each in found:
        spread = None if each.spread is None else each.spread / n.value
        name = f"{each.name} on the stage"
        sheet.note(
            Quantity(
                name, each.value / n.value, "mm", spread=spread, reason="/ N", inputs=(each, n)
            )
        )


def _note_fineness(sheet: Worksheet, view: View, pace: Pace) -> None:
    focal, nearest = view.focal_px(), sheet.element.facts.number("nearest")
    if focal is None or nearest is None or nearest.value <= 0:
        return
    n = pace.subject.scale
    reason = "focal length in pixels x N / nearest"
    sheet.reckon(FINENESS, focal.value * n.value / nearest.value, "px", reason, focal, n, nearest)


def _recorded(sheet: Worksheet, view: View, pace: Pace, move: Move) -> tuple[AxisDemand, ...]:
    fineness, focal = sheet.quantities.get(FINENESS), view.focal_px()
    px = {
        "mm": fineness.value if fineness else 0.0,
        "deg": focal.value * math.radians(1) if focal else 0.0,
    }
    return tuple(
        _of_axis(name, axis, move.first_frame, pace, px[axis.unit])
        for name, axis in move.axes.items()
        if len(axis.values) > 1 and max(axis.values) > min(axis.values)
    )


def _of_axis(name: str, axis: MoveAxis, first_frame: int, pace: Pace, px: float) -> AxisDemand:
    smaller = pace.subject.scale.value if axis.unit == "mm" else 1.0
    rate = pace.rate.value
    positions = [each / smaller for each in axis.values]
    speed, acceleration, jerk = motion.peaks(positions)
    return AxisDemand(
        axis=name,
        unit=axis.unit,
        travel=motion.extent(positions),
        speed=speed.size * rate,
        acceleration=acceleration.size * rate**2,
        jerk=jerk.size * rate**3,
        speed_frame=first_frame + speed.frame,
        acceleration_frame=first_frame + acceleration.frame,
        jerk_frame=first_frame + jerk.frame,
        entry=abs(positions[1] - positions[0]) * rate,
        leaving=abs(positions[-1] - positions[-2]) * rate,
        smallest=motion.smallest_step(positions),
        px=px if name != "focus" else 0.0,
    )


def _quicker(pace: Pace, view: View) -> float:
    """How many times faster than it is shown the move is run."""
    return pace.rate.value / view.frame_rate.value


def _travelling(sheet: Worksheet, facts: Facts, pace: Pace, view: View) -> Iterable[AxisDemand]:
    scale, quicker = pace.subject.scale.value, _quicker(pace, view)
    travel = facts.number("travel") or sheet.element.facts.number("travel")
    peak = facts.number("peak_speed")
    length = travel.value / scale if travel else 0.0
    axes = facts.words("axes")
    axis = next((each for each in TRAVELLING if each in axes), TRAVELLING[0])
    if peak is not None:
        yield AxisDemand(axis, "mm", length, peak.value / scale * quicker)
    elif length:
        seconds = _cut_seconds(sheet, view) / quicker
        speed = EASE.speed_factor * length / seconds
        acceleration = EASE.acceleration_factor * length / seconds**2
        yield AxisDemand(axis, "mm", length, speed, acceleration)


def _turning(facts: Facts, pace: Pace, view: View) -> Iterable[AxisDemand]:
    peak = facts.number("peak_turn")
    if peak is not None:
        axes = facts.words("axes")
        axis = next((each for each in ("pan", "tilt", "roll") if each in axes), "pan")
        yield AxisDemand(axis, "deg", 0.0, peak.value * _quicker(pace, view))


def _cut_seconds(sheet: Worksheet, view: View) -> float:
    shot = sheet.context.shot
    frames = shot.cut.count if shot and shot.cut else sheet.rule(CUT)[0].value
    return frames / view.frame_rate.value


def is_moving(element: Element) -> bool:
    """Whether the element's camera moves, so that someone must program it."""
    return bool(element.target("move_from")) or element.facts.has("travel")
