"""Each axis of a camera move as the stage meets it: travel, speed, acceleration, run-up.

Takes the move an element repeats, its scale and rate, gives numbers for the set-up card. Which rigs
can follow is told by `rig`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import rig
from planner.kinds.subject import Subject
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.kinds.view import View
    from planner.kinds.worksheet import Worksheet
    from planner.model.show import Element, Resource

ORIGINS = {
    "recorded": Standing.RECORDED,
    "reconstructed": Standing.RECONSTRUCTED,
    "designed": Standing.GIVEN,
}


def note_axes(
    sheet: Worksheet, view: View, pace: tuple[Quantity, Quantity], follows: Resource | None
) -> None:
    """Keep travel, peak speed, peak acceleration and run-up of each axis, as ``pan travel``.

    Args:
        sheet: of the element.
        view: the camera it is seen by.
        pace: scale N of 1:N and rate of the camera, fps.
        follows: the rig that will repeat the move; without it no run-up is known.
    """
    scale, rate = pace
    if scale.value <= 0 or rate.value <= 0:
        return
    limits = follows.facts.named("axes") if follows else {}
    origin = _origin(sheet)
    for demand in rig.demands(sheet, view, rig.Pace(Subject(scale), rate)):
        own = limits.get(demand.axis)
        run_up = rig.run_up(demand, own) if own else None
        for what, value, unit, frame in _parts(demand, run_up):
            where = f", at frame {frame}" if frame is not None else ""
            by = f"{REASONS[what]}{where}"
            sheet.note(
                Quantity(
                    f"{demand.axis} {what}", value, unit, reason=by, inputs=(origin, scale, rate)
                )
            )


REASONS = {
    "travel": "from end to end, lengths / N",
    "peak speed": "longest step of a frame, lengths / N, x rate",
    "peak acceleration": "sharpest change of step, lengths / N, x rate squared",
    "run-up": "speed at the first or last frame squared / (2 x acceleration of the rig)",
}


def _parts(
    demand: rig.AxisDemand, run_up: float | None
) -> Iterator[tuple[str, float, str, int | None]]:
    """What is known of one axis: what, value, unit, and the frame where it peaks."""
    unit = demand.unit
    if demand.travel:
        yield "travel", demand.travel, unit, None
    yield "peak speed", demand.speed, f"{unit}/s", demand.speed_frame
    if demand.acceleration:
        yield "peak acceleration", demand.acceleration, f"{unit}/s2", demand.acceleration_frame
    if run_up is not None and demand.travel:
        yield "run-up", run_up, unit, None


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
