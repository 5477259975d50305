"""Rods of a figure: how many, on how many frames, over the figure on how many.

Takes the rods listed, gives counts that rod removal reads, and findings. Knows nothing of pixels or
of hours: see `roto`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds.behind import how_to_name
from planner_plugins.puppet import rules

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.model.facts import Facts, FrameRange

RODDED = frozenset({"", "rod"})


def count_rods(sheet: Worksheet) -> None:
    """Count rods, the frames they show on and those they cross the figure on."""
    rods = sheet.element.facts.groups("rods")
    if not rods:
        if sheet.element.facts.word("sort") not in RODDED:
            return
        usual = sheet.rule(rules.RODS)[0]
        sheet.miss("rods", rests="hours to take the rods out", assumed=f"{usual.value:g} rods")
        sheet.reckon("rods", usual.value, "1", "usual for a rod puppet", usual)
    else:
        _count(sheet, rods)
    _check_removal(sheet)


def _count(sheet: Worksheet, rods: tuple[Facts, ...]) -> None:
    cut = sheet.context.shot.cut if sheet.context.shot else None
    shown = [_within(rod.frames("frames") or cut, cut) for rod in rods]
    crossing = [_within(rod.frames("crosses"), cut) for rod in rods]
    sheet.reckon("rods", len(rods), "1", "rods listed")
    sheet.reckon("rod frames", sum(shown), "1", "frames each rod shows on, summed")
    sheet.reckon(
        "crossing frames", sum(crossing), "1", "frames each rod crosses the figure on, summed"
    )
    for rod in rods:
        _check_camera(sheet, rod)
    for rod, frames in zip(rods, crossing, strict=True):
        name = rod.word("name")
        if rod.word("side") == "front" and frames:
            sheet.warn(
                "rod-over-figure",
                f"the rod {name} lies in front of the figure on {frames} frames, which are then"
                " painted by hand",
                "bring it in from behind or from the side, or hide it in the figure's own shape",
                at="rods",
            )
        elif rod.word("side") == "clear" and frames:
            sheet.warn(
                "rod-clear-yet-crosses",
                f"the rod {name} is said to be clear of the figure and to cross it on"
                f" {rod.frames('crosses')}",
                "say which side it is on",
                at="rods",
            )


def _check_camera(sheet: Worksheet, rod: Facts) -> None:
    """Whether a rod's hand would be level with the lens or behind it.

    Its places are told from the figure's mark at the figure's own size, the third one away from the
    lens; the mark stands at the nearest approach.
    """
    toward, nearest = rod.numbers("toward"), sheet.element.facts.number("nearest")
    scale = sheet.context.scale()
    if len(toward) < 3 or nearest is None or scale is None or scale.value <= 0:
        return
    before_lens = nearest.value / scale.value + toward[2].value
    if before_lens <= 0:
        sheet.error(
            "rod-through-camera",
            f"the rod {rod.word('name')} runs through the camera: its hand is"
            f" {-before_lens:,.0f} mm behind the lens, which stands"
            f" {nearest.value / scale.value:,.0f} mm from the figure",
            "bring the rod in from the side, from below or from behind the figure",
            at="rods",
        )


def _within(frames: FrameRange | None, cut: FrameRange | None) -> int:
    if frames is None:
        return 0
    kept = frames.overlap(cut) if cut else frames
    return kept.count if kept else 0


def _check_removal(sheet: Worksheet) -> None:
    if not sheet.context.users("removes_rods_of"):
        sheet.warn(
            "rods-left-in",
            "it is worked by rods and nothing in the show takes them out",
            f"add an element of kind roto with `removes_rods_of: {sheet.element.name}`",
            at="rods",
        )
    if not sheet.element.target("clean_plate"):
        sheet.warn(
            "rods-without-clean-plate",
            "there is no plate without it to paint the rods out from",
            how_to_name(sheet.context.show, sheet.element),
            at="clean_plate",
        )
