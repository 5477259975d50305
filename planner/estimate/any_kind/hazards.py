"""Who decides on what can hurt someone, and what must be learned first.

Takes an element with work left to do, gives a caution for each of its hazards and the work of
learning what nobody here has done. Nothing here says what is safe: local codes and licensed people
decide.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.craft.cautions import CAUTIONS
from planner.kinds import Hours, Phase, Risk, Work
from planner.kinds.subject import hazards_of

if TYPE_CHECKING:
    from planner.kinds import Estimate, Worksheet


def check_hazards(sheet: Worksheet, estimate: Estimate) -> None:
    """Note, for each hazard, whose decision it is; flame without the allowance for fire is told."""
    if not estimate.work:
        return
    hazards = hazards_of(sheet)
    for hazard in hazards:
        if hazard in CAUTIONS:
            code = f"caution-{hazard.replace('_', '-')}"
            sheet.remark(code, CAUTIONS[hazard].rstrip("."), at="hazards")
    if "flame" in hazards and sheet.risk is not Risk.FIRE:
        sheet.warn(
            "fire-not-in-risk",
            f"there is flame in it and its risk is {sheet.risk.value}",
            "write `risk: fire`, so that the bid carries the allowance for fire",
            at="risk",
        )


def check_learning(sheet: Worksheet, estimate: Estimate) -> None:
    """Hours to learn what is untried; missing where nobody has set any apart."""
    if not estimate.work:
        return
    learning = sheet.element.facts.group("learning")
    hours = sheet.positive(learning.number("hours"), "learning")
    if hours is not None:
        reason = sheet.reckon("hours to learn it", hours.value, "h", "as set apart", hours)
        certain = Hours(hours.value, hours.value, hours.value)
        craft = learning.word("craft", "supervision")
        sheet.do(Work("learn it", craft, Phase.PREPARE, certain, reason))
    elif sheet.risk is Risk.UNTRIED:
        sheet.miss("learning", rests="the days it takes to learn what nobody here has done")
