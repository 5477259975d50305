"""Whether the head of a rig passes an opening that the camera goes through.

Takes what the move asks and the rigs that may carry it, gives what is clear at each side, a limit
of scale, and a finding where the head does not pass. Knows nothing of what else a rig can do.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.craft import motion
from planner.kinds.move import CARRYING, AxisDemand, Pace, move_of, seen_part
from planner.kinds.sentences import built_larger
from planner.model.quantity import Quantity
from planner.model.ratio import in_ratio

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.kinds.worksheet import Worksheet
    from planner.model.facts import FrameRange
    from planner.model.show import Resource


ASIDE = {"width": CARRYING[0], "height": CARRYING[1]}
"""Axes that carry the lens across an opening it tracks through."""


def check_opening(
    sheet: Worksheet, wanted: Sequence[AxisDemand], pace: Pace, rigs: Sequence[Resource]
) -> None:
    """Whether the slimmest head passes the opening the camera goes through.

    The path across the opening is that of the opening's own frames, where it states them.
    """
    opening = sheet.element.facts.group("opening")
    if not opening.values:
        return
    heads = [each for rig in rigs if (each := rig.facts.number("head_width")) is not None]
    head = min(heads, key=lambda each: each.value, default=None)
    if head is None or head.value <= 0:
        sheet.miss("head_width", rests="whether the head of the rig passes the opening")
        return
    travel = _travel_at(sheet, wanted, pace, opening.frames("frames"))
    for side, axes in ASIDE.items():
        size = opening.number(side)
        if size is not None:
            aside = sum(travel.get(axis, 0.0) for axis in axes)
            _pass_side(sheet, pace, (side, size, head), aside)


def _travel_at(
    sheet: Worksheet, wanted: Sequence[AxisDemand], pace: Pace, frames: FrameRange | None
) -> dict[str, float]:
    """Travel of each axis on the stage, mm; over `frames` where they and the move are known."""
    move = move_of(sheet)
    if frames is None or move is None:
        return {each.axis: each.travel for each in wanted}
    part, n = seen_part(sheet, move, frames), pace.subject.scale.value
    return {name: motion.extent(axis.values) / n for name, axis in part.axes.items()}


def _pass_side(
    sheet: Worksheet, pace: Pace, facts: tuple[str, Quantity, Quantity], aside: float
) -> None:
    side, size, head = facts
    n = pace.subject.scale
    clear = size.value / n.value - aside - head.value
    reason = "(opening / N - travel across it - head) / 2"
    sheet.reckon(f"clear of the opening's {side}", clear / 2, "mm", reason, size, n, head)
    story = size.value - aside * n.value
    limit = story / head.value
    if pace.subject.build and limit > 0:
        free = Quantity(
            f"{side} free of travel", story, "mm", reason="opening - travel", inputs=(size,)
        )
        said = f"{side} of the opening free of travel / head"
        bound = Quantity("head through the opening", limit, "1:N", reason=said, inputs=(free, head))
        relax = "a slimmer head, a snorkel or wild walls"
        pace.subject.bound_scale(sheet, bound, relax)
    if clear >= 0:
        return
    opening = sheet.element.facts.group("opening")
    if opening.flag("wild"):
        frames = opening.frames("frames")
        sheet.remark(
            "wild-sides-part",
            f"the head is {-clear:.0f} mm too {'wide' if side == 'width' else 'high'} for the"
            f" opening: its wild sides part by that{f' on frames {frames}' if frames else ''}",
            "cue two hands for it, and hide the parting or draw a split for those frames",
            at="opening",
        )
        return
    otherwise = "make its walls wild, or take a snorkel"
    sheet.error(
        "head-does-not-pass",
        f"at {in_ratio(n.value)} the opening is {size.value / n.value:.0f} mm {_across(side)}; the"
        f" head is {head.value:.0f} mm and moves {aside:.0f} mm across it: {-clear:.0f} mm too"
        " little",
        built_larger(limit, otherwise) if pace.subject.build else otherwise,
        at="opening",
    )


def _across(side: str) -> str:
    return "wide" if side == "width" else "high"
