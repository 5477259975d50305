"""An operator who stands in the picture and is taken out of it.

Takes the frames on which they are seen, the clean plate and the outlines drawn of the shot, gives
the frames to be split, and findings where nothing lies behind them or nobody draws the split. Knows
nothing of rods.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds.behind import how_to_name

if TYPE_CHECKING:
    from planner.kinds import Worksheet

SPLITS = frozenset({"split", "rod_removal", "garbage"})


def check_operator(sheet: Worksheet) -> None:
    """Everything about an operator in frame."""
    frames = sheet.element.facts.frames("operator_in_frame")
    if frames is None:
        return
    sheet.reckon("frames with an operator in frame", frames.count, "1", str(frames))
    splits = [
        each.id
        for each in sheet.context.users("roto_of", "removes_rods_of")
        if each.facts.word("sort") in SPLITS
    ]
    if not splits:
        sheet.warn(
            "operator-without-split",
            f"an operator is seen on {frames} and nothing takes them out: {frames.count} frames of"
            " split",
            "add a roto of sort split that names it under roto_of, for those frames",
            at="operator_in_frame",
        )
    clean = sheet.context.target("clean_plate")
    if clean is None:
        sheet.warn(
            "operator-without-clean-plate",
            f"an operator is seen on {frames} and no clean plate shows what is behind them",
            how_to_name(sheet.context.show, sheet.element),
            at="operator_in_frame",
        )
    elif clean.target("move_from") != sheet.element.target("move_from"):
        sheet.warn(
            "clean-plate-on-other-program",
            f"{clean.id} runs on {clean.target('move_from') or 'no program'} and this on"
            f" {sheet.element.target('move_from') or 'no program'}: what it shows does not lie"
            " behind the operator",
            "photograph the clean plate again on the same program",
            at="clean_plate",
        )
