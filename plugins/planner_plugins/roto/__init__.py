"""Outlines drawn, things painted out, and frames split by hand.

Takes what is drawn, on how many frames, how hard it is and what lies behind, gives hours by craft
and findings. Knows nothing of the picture the outlines are joined into.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import DOOR, Estimate, Phase, Work, Worksheet, packaged_schema
from planner.kinds.frames_drawn import frames_drawn
from planner_plugins.roto import rules
from planner_plugins.roto.rods import remove_rods
from planner_plugins.roto.rules import RULES

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context, Effort

__all__ = ["RULES", "Roto"]

NAMES = {
    "hold_out": "draw the outline",
    "garbage": "draw the garbage matte",
    "split": "lay the split",
    "rod_removal": "paint out the rods",
}


class Roto:
    """The kind ``roto``."""

    name = "roto"
    door = DOOR
    section = "elements"

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of one outline, split or removal."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Hours and findings."""
        sheet = Worksheet(context)
        sort = sheet.element.facts.word("sort", "hold_out")
        if sort == "rod_removal":
            effort, craft = remove_rods(sheet), "paint_out"
        else:
            effort, craft = _drawn(sheet, sort), "roto"
        _frames_a_day(sheet, effort)
        name = NAMES[sort]
        sheet.do(Work(name, craft, Phase.FINISH, effort.hours, effort.reason))
        return sheet.estimate()


def _drawn(sheet: Worksheet, sort: str) -> Effort:
    frames = frames_drawn(sheet)
    name = NAMES[sort]
    if sort == "garbage":
        return sheet.effort(name, (rules.BEGIN, 1), (rules.GARBAGE_FRAME, frames))
    if sort == "split":
        if not sheet.element.facts.flag("moving"):
            return sheet.effort(name, (rules.SPLIT, 1))
        _check_finish(sheet)
        return sheet.effort(name, (rules.SPLIT, 1), (rules.SPLIT_FRAME, frames))
    level = sheet.element.facts.word("level")
    if not level:
        level = "several"
        sheet.miss("level", rests="frames outlined a day", assumed="several figures, little blur")
    return sheet.effort(name, (rules.BEGIN, 1), (rules.OUTLINE[level], frames))


def _frames_a_day(sheet: Worksheet, effort: Effort) -> None:
    frames = sheet.quantities["frames drawn"]
    if effort.hours.likely <= 0:
        return
    day_hours = sheet.context.show.calendar.day_hours
    sheet.reckon(
        "frames a day",
        frames.value / effort.hours.likely * day_hours,
        "1",
        f"frames drawn / hours x {day_hours:g} h, the calendar's day",
        frames,
        effort.reason,
    )


def _check_finish(sheet: Worksheet) -> None:
    """A split that moves is redrawn each frame, which optical printers have no way to do."""
    shot = sheet.context.shot
    if shot is None or sheet.context.finish() != "photochemical":
        return
    sheet.error(
        "moving-split-on-printers",
        f"the split moves over {sheet.quantities['frames drawn'].value:g} frames and {shot.id} is"
        " finished photochemically: printers hold a split still",
        f"finish {shot.id} digitally, or record the moving matte on film (finish: mixed), or keep"
        " the split still",
        at="moving",
    )
