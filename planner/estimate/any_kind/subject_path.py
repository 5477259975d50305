"""The path of a subject on the stage.

Takes its path in the picture's own world and the scale, gives travel, start mark and length on the
stage, and whether rods or table reach that far. Knows nothing of cameras.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from planner.craft import motion
from planner.estimate.any_kind.falling import scale_of
from planner.model.quantity import Quantity, Standing
from planner.model.ratio import in_ratio, in_ratio_within

if TYPE_CHECKING:
    from planner.kinds import Estimate, Worksheet
    from planner.model.show import Move


def check_path(sheet: Worksheet, estimate: Estimate) -> None:
    """Travel along each axis, start mark and total length, at the element's scale."""
    move = sheet.context.show.moves.get(sheet.element.facts.word("path"))
    if move is None:
        return
    lengths = {name: axis.values for name, axis in move.axes.items() if axis.unit == "mm"}
    if not lengths:
        sheet.miss("path", rests="how far the subject travels: its file has no lengths")
        return
    scale = scale_of(sheet, estimate)
    frames = Quantity(
        f"frames of the path {move.id}",
        len(next(iter(lengths.values()))),
        standing=Standing.GIVEN,
        place=move.place,
    )
    for name, values in lengths.items():
        sheet.reckon(
            f"start mark of the path, {name}",
            values[0] / scale.value,
            "mm",
            f"first row, frame {move.first_frame}, / N",
            frames,
            scale,
        )
        travel = motion.extent(values) / scale.value
        reason = "farthest places apart / N"
        sheet.reckon(f"travel of the path, {name}", travel, "mm", reason, frames, scale)
    steps = zip(*lengths.values(), strict=True)
    _check_reach(sheet, move, _note_length(sheet, list(steps), frames, scale), scale)


def _note_length(
    sheet: Worksheet, places: list[tuple[float, ...]], frames: Quantity, scale: Quantity
) -> Quantity:
    """Length of the whole path; gives the farthest it goes from its start mark."""
    length = sum(math.dist(one, other) for one, other in pairwise(places))
    reason = "steps of all frames, summed, / N"
    sheet.reckon("length of the path", length / scale.value, "mm", reason, frames, scale)
    away = max(math.dist(places[0], each) for each in places)
    reason = "farthest place from the start mark / N"
    return sheet.reckon("farthest from the start mark", away / scale.value, "mm", reason, scale)


def _check_reach(sheet: Worksheet, move: Move, away: Quantity, scale: Quantity) -> None:
    reach = sheet.positive(sheet.element.facts.number("reach"), "reach")
    if reach is None:
        sheet.miss("reach", rests="whether rods or table carry it as far as it goes")
        return
    if away.value <= reach.value * (1 + 1e-9):
        return
    fits = scale.value * away.value / reach.value
    sheet.warn(
        "path-past-reach",
        f"at {in_ratio(scale.value)} it goes {away.value / 1000:.3g} m from its start mark on"
        f" {move.id}"
        f" and what carries it reaches {reach.value / 1000:.3g} m",
        f"build at {in_ratio_within(fits, at_least=True)} or smaller, hand it over to other rods on"
        " the way, or shorten its"
        " path",
        at="path",
    )
