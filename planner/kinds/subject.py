"""What is photographed: the build and its scale, and what can hurt someone.

Takes what the element and its build state, gives `Subject` and the hazards, stated and implied.
Knows nothing of cameras, stages or hours.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.craft.cautions import CAUTIONS
from planner.kinds.estimate import Hours, Phase, Risk, ScaleBound, Work
from planner.kinds.worksheet import Rule
from planner.model.quantity import Quantity, Standing
from planner.model.ratio import in_ratio

if TYPE_CHECKING:
    from planner.kinds.worksheet import Worksheet
    from planner.model.facts import Facts

SCALE = Rule("subject.scale", "N of a model nobody has sized", 6, 12, 24, "1:N")
IMPLIED = {
    "smoke": "smoke",
    "flame": "flame",
    "water": "water",
    "dust": "smoke",
    "fluorescent": "ultraviolet",
}
"""Hazard that a pass or a sort is by itself; dust in the air is cautioned as smoke is."""


@dataclass(frozen=True, slots=True)
class Subject:
    """What stands before the lens.

    Attributes:
        scale: N of 1:N; 1 for full size.
        build: id of the build whose scale it limits; empty where none is.
    """

    scale: Quantity
    build: str = ""

    def bound_scale(
        self, sheet: Worksheet, limit: Quantity, relax: str, *, at_least: bool = False
    ) -> None:
        """Limit the scale of the build, for the sheet's element; where there is none, nothing.

        Args:
            sheet: of the element that needs it.
            limit: N of 1:N, named after what limits it.
            relax: what would let it give way.
            at_least: whether N is the least that will do, rather than the most.
        """
        if self.build:
            sheet.limit(ScaleBound(self.build, sheet.element.id, at_least, limit, relax))


FULL_SIZE = Subject(Quantity("scale", 1.0, "1:N", Standing.GIVEN, reason="full size"))


def subject_of(sheet: Worksheet) -> Subject:
    """The element's build at its scale; while nobody has settled it, at one assumed and listed."""
    context = sheet.context
    build = context.target("build")
    name = build.id if build else ""
    scale = context.scale()
    if scale is not None and scale.value > 0:
        return Subject(scale, name)
    candidates = build.facts.numbers("candidates") if build else ()
    if candidates:
        first = candidates[0]
        sheet.miss(
            "scale",
            rests="stage room, rate, depth and hours",
            assumed=f"{in_ratio(first.value)}, the first candidate",
        )
        taken = Quantity(
            "scale", first.value, "1:N", Standing.ASSUMED, reason="first candidate", inputs=(first,)
        )
        return Subject(sheet.note(taken), name)
    assumed = sheet.rule(SCALE)[0]
    said = in_ratio(assumed.value)
    sheet.miss("scale", rests="stage room, rate, depth and hours", assumed=said)
    sheet.error(
        "scale-missing",
        f"nothing says at what scale it is made; reckoned at {said} meanwhile",
        f"state `scale: 1/N`, or `candidates`, for {name or 'it'}",
        at="scale",
    )
    return Subject(assumed, name)


def hazards_of(sheet: Worksheet) -> tuple[str, ...]:
    """Hazards of the sheet's element, as `hazards_in` has them."""
    return hazards_in(sheet.element.facts)


def hazards_in(facts: Facts) -> tuple[str, ...]:
    """Hazards stated and implied, each once, in the order told; findings and cards go by these."""
    named = (*facts.words("passes"), facts.word("sort"))
    implied = [IMPLIED[each] for each in named if each in IMPLIED]
    return tuple(dict.fromkeys([*facts.words("hazards"), *implied]))


def caution(sheet: Worksheet) -> None:
    """Note, for each hazard, whose decision it is; nothing here says what is safe.

    Flame without the allowance for fire is a warning. What is untried is learned first, where days
    are set apart for that.
    """
    _learn(sheet)
    for hazard in hazards_of(sheet):
        if hazard in CAUTIONS:
            code = f"caution-{hazard.replace('_', '-')}"
            sheet.remark(code, CAUTIONS[hazard].rstrip("."), at="hazards")
    if "flame" in hazards_of(sheet) and sheet.risk is not Risk.FIRE:
        sheet.warn(
            "fire-not-in-risk",
            f"there is flame in it and its risk is {sheet.risk.value}",
            "write `risk: fire`, so that the bid carries the allowance for fire",
            at="risk",
        )


def _learn(sheet: Worksheet) -> None:
    """Hours to learn what is untried; missing where nobody has set any apart."""
    learning = sheet.element.facts.group("learning")
    hours = sheet.positive(learning.number("hours"), "learning")
    if hours is not None:
        reason = sheet.reckon("hours to learn it", hours.value, "h", "as set apart", hours)
        certain = Hours(hours.value, hours.value, hours.value)
        craft = learning.word("craft", "supervision")
        sheet.do(Work("learn it", craft, Phase.PREPARE, certain, reason))
    elif sheet.risk is Risk.UNTRIED:
        sheet.miss("learning", rests="the days it takes to learn what nobody here has done")
