"""Each axis of a camera move as the stage meets it: travel, speed and acceleration.

Takes the move an element repeats, its scale and rate, gives numbers for the set-up card. Which rigs
can follow, and their run-up, is told by `rig`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds.move import AxisDemand, Pace, demands
from planner.kinds.subject import Subject
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.kinds.view import View
    from planner.kinds.worksheet import Worksheet
    from planner.model.show import Element

ORIGINS = {
    "recorded": Standing.RECORDED,
    "reconstructed": Standing.RECONSTRUCTED,
    "designed": Standing.GIVEN,
}
REASONS = {
    "travel": "from end to end, lengths / N",
    "peak speed": "longest step of a frame, lengths / N, x rate",
    "peak acceleration": "sharpest change of step, lengths / N, x rate squared",
    "run-up": "it is at rest, or as good as, at the first frame",
}
AT_REST = 0.05
"""Speed at the first frame over the greatest below which no run-up is worth laying."""


def note_axes(sheet: Worksheet, view: View, scale: Quantity, rate: Quantity) -> None:
    """Keep travel, peak speed and peak acceleration of each axis, as ``pan travel``.

    Args:
        sheet: of the element.
        view: the camera it is seen by.
        scale: N of 1:N.
        rate: of the camera, fps.
    """
    if scale.value <= 0 or rate.value <= 0:
        return
    origin = _origin(sheet)
    for demand in demands(sheet, view, Pace(Subject(scale), rate)):
        for what, value, unit, frame in _parts(demand):
            where = f", at frame {frame}" if frame is not None else ""
            name, reason = f"{demand.axis} {what}", f"{REASONS[what]}{where}"
            sheet.note(Quantity(name, value, unit, reason=reason, inputs=(origin, scale, rate)))


def _parts(demand: AxisDemand) -> Iterator[tuple[str, float, str, int | None]]:
    """What is known of one axis: what, value, unit, and the frame where it peaks."""
    unit = demand.unit
    if demand.travel:
        yield "travel", demand.travel, unit, None
    yield "peak speed", demand.speed, f"{unit}/s", demand.speed_frame
    if demand.acceleration:
        yield "peak acceleration", demand.acceleration, f"{unit}/s2", demand.acceleration_frame
        if demand.entry <= AT_REST * demand.speed:
            yield "run-up", 0.0, unit, None


def _origin(sheet: Worksheet) -> Quantity:
    """The move as a number of frames, standing as its origin does."""
    source: Element = sheet.context.target("move_from") or sheet.element
    move = sheet.context.show.moves.get(source.facts.word("data"))
    frames = len(next(iter(move.axes.values())).values) if move and move.axes else 0
    return Quantity(
        f"frames of the move {source.id}",
        frames,
        standing=ORIGINS.get(source.facts.word("origin"), Standing.GIVEN),
        place=move.place if move else source.place,
        reason="" if move else "no file of it yet; eased in and out over the cut",
    )
