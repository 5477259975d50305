"""What is photographed: the build and its scale, and what can hurt someone.

Takes what the element and its build state, gives `Subject` and the hazards, stated and implied.
Knows nothing of cameras, stages or hours.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.kinds.estimate import Risk, ScaleBound
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
TOLD_OF = {"haze": "smoke", "flame_distance": "flame"}
"""Hazard that a fact tells of by being stated at all."""


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


FULL_SIZE = Subject(Quantity("scale", 1.0, "1:N", reason="full size: nothing makes it smaller"))


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
    """Hazards stated and implied, each once, in the order told; findings and cards go by these.

    A pass or a sort may be one by itself, haze is smoke, what people stand so far from is flame,
    and what carries the allowance for fire burns.
    """
    named = (*facts.words("passes"), facts.word("sort"))
    implied = [IMPLIED[each] for each in named if each in IMPLIED]
    implied += [hazard for name, hazard in TOLD_OF.items() if facts.has(name)]
    implied += ["flame"] if facts.word("risk") == Risk.FIRE.value else []
    return tuple(dict.fromkeys([*facts.words("hazards"), *implied]))
