"""What all the kinds together say of a show.

Takes nothing, gives `Estimates` and `ScaleWindow`. Knows nothing of schedules or money.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from planner.kinds import Estimate, MissingFact, ScaleBound
    from planner.model.place import Place, Problem
    from planner.model.quantity import Quantity


@dataclass(frozen=True, slots=True)
class ScaleWindow:
    """The scales at which one build serves every shot that uses it.

    Attributes:
        build: id.
        at_least: the bound that sets the smallest N (the largest model); None where nothing does.
        at_most: the bound that sets the largest N (the smallest model); None where nothing does.
        bounds: every bound, from every element that uses the build.
        chosen: N it is made at; None while undecided.
        candidates: Ns still to be chosen from.
    """

    build: str
    at_least: ScaleBound | None
    at_most: ScaleBound | None
    bounds: tuple[ScaleBound, ...]
    chosen: Quantity | None
    candidates: tuple[Quantity, ...]

    @property
    def is_empty(self) -> bool:
        """Whether no single scale serves every shot."""
        return (
            self.at_least is not None
            and self.at_most is not None
            and self.at_least.limit.value > self.at_most.limit.value
        )

    def broken_by(self, denominator: float) -> tuple[ScaleBound, ...]:
        """Bounds that a model at 1:`denominator` breaks."""
        return tuple(
            bound
            for bound in self.bounds
            if (
                denominator < bound.limit.value
                if bound.at_least
                else denominator > bound.limit.value
            )
        )


@dataclass(frozen=True, slots=True)
class Waived:
    """A finding that somebody knowingly accepts.

    Attributes:
        problem: the finding.
        by: who accepts it.
        on: the day they did.
        why: their reason.
        place: where the waiver is written.
    """

    problem: Problem
    by: str
    on: date
    why: str
    place: Place


@dataclass(frozen=True, slots=True)
class Estimates:
    """Estimates by element, scale windows by build, and what is wrong or missing in them.

    Attributes:
        by_element: by id.
        windows: by id of the build.
        problems: findings that stand.
        missing: facts nobody has.
        waived: findings set aside, with who did and why.
    """

    by_element: Mapping[str, Estimate]
    windows: Mapping[str, ScaleWindow]
    problems: tuple[Problem, ...]
    missing: tuple[MissingFact, ...]
    waived: tuple[Waived, ...] = ()

    def replacing(self, others: Mapping[str, Estimate]) -> Estimates:
        """The same with others in place of some by id; ids that it does not have are left aside."""
        known = {id_: each for id_, each in others.items() if id_ in self.by_element}
        if not known:
            return self
        return replace(self, by_element=MappingProxyType({**self.by_element, **known}))
