"""What a kind says of one element: the only thing later rooms read of it.

Takes nothing, gives `Estimate` and its parts. Knows nothing of plugins, schedules or money sums.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.model.facts import Money
    from planner.model.place import Place, Problem
    from planner.model.quantity import Quantity


class Phase(Enum):
    """When in a show's life work falls."""

    PREPARE = "prepare"
    BUILD = "build"
    LOCATION = "location"
    STAGE = "stage"
    LAB = "lab"
    FINISH = "finish"


FLOOR = frozenset({Phase.STAGE, Phase.LOCATION})
"""Phases in which people stand at a set-up, before a camera."""


class Risk(Enum):
    """Class of contingency a piece of work carries; names match show.yaml's ``contingency``."""

    ORDINARY = "ordinary"
    UNTRIED = "untried"
    FIRE = "fire"


@dataclass(frozen=True, slots=True)
class Hours:
    """Elapsed hours, three figures: 0 <= low <= likely <= high."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True, slots=True)
class Need:
    """A scarce thing held while work goes on.

    Attributes:
        sort: ``stage``, ``rig``, ``camera``, ``lens``, ``screen``, ``person`` or ``build``.
        options: ids that would do, best first; one is chosen by the stage order. None may be
            listed only together with a finding that says why nothing fits.
        units: how many of it; heads for a crew.
    """

    sort: str
    options: tuple[str, ...]
    units: int = 1


@dataclass(frozen=True, slots=True)
class Work:
    """One stretch of work by one craft.

    Attributes:
        name: what is done, a verb phrase unique in its element.
        craft: who does it, as named in the show's crews and rates.
        phase: when in a show's life it falls.
        hours: elapsed hours, for the heads given.
        reason: the likely hours with their arithmetic.
        heads: hands at once; labour is hours x heads.
        needs: scarce things held throughout.
        set_up: state of the stage it is done in; equal texts share a set-up.
        after: names of work of the same element it follows; empty for the first.
        beside: name of work of the same element and hours during which it is done: its hands are
            held with that work, and have no time of their own. Empty for all other work.
        wait_hours: time that passes unattended before what follows may begin (drying, lab).
        day_sized: whether it must not be cut by a night where it fits in a day.
        risk: class of contingency.
    """

    name: str
    craft: str
    phase: Phase
    hours: Hours
    reason: Quantity
    heads: int = 1
    needs: tuple[Need, ...] = ()
    set_up: str = ""
    after: tuple[str, ...] = ()
    beside: str = ""
    wait_hours: float = 0.0
    day_sized: bool = False
    risk: Risk = Risk.ORDINARY


def waited_for(before: Work, then: Work) -> float:
    """Hours that work of one element waits for what it follows, beside that work itself.

    Film leaves a location for the laboratory, and whoever measures there does not wait for it.
    """
    is_there = before.phase is then.phase is Phase.LOCATION
    return 0.0 if is_there else before.wait_hours


@dataclass(frozen=True, slots=True)
class Charge:
    """Money that is not labour: a quantity at a rate, or a sum stated outright.

    Attributes:
        name: what is bought.
        rate: id in rates.yaml; empty when `amount` is given.
        quantity: how many of the rate's unit.
        phase: when it falls.
        amount: a stated sum.
        risk: class of contingency.
    """

    name: str
    rate: str
    quantity: Quantity
    phase: Phase
    amount: Money | None = None
    risk: Risk = Risk.ORDINARY


@dataclass(frozen=True, slots=True)
class ScaleBound:
    """One limit on the denominator N of a 1:N build, from one element.

    Attributes:
        build: id of the build bounded.
        element: id of the element that bounds it.
        at_least: whether N must be at least (True) or at most (False) the limit.
        limit: N, with its arithmetic.
        relax: what would move the limit, a clause.
    """

    build: str
    element: str
    at_least: bool
    limit: Quantity
    relax: str


@dataclass(frozen=True, slots=True)
class MissingFact:
    """A fact nobody has yet.

    Attributes:
        about: id of the element.
        name: of the fact.
        place: where it would be written.
        rests: what cannot be said, or is said on an assumption, without it.
        assumed: what stands in for it; empty where nothing does.
        by: who is to find it; empty where nobody is named.
    """

    about: str
    name: str
    place: Place
    rests: str
    assumed: str = ""
    by: str = ""


@dataclass(frozen=True, slots=True)
class Estimate:
    """What one element needs, weighs and risks.

    Attributes:
        element: id.
        work: stretches of work; within the element they follow ``Work.after``.
        quantities: numbers by name, each with its reason.
        charges: money that is not labour.
        bounds: limits on builds' scales.
        problems: findings; they never stop the plan.
        missing: facts nobody has.
        unwritten: what the report of its day should hold and does not, in words; to be measured
            while its set stands.
    """

    element: str
    work: tuple[Work, ...] = ()
    quantities: Mapping[str, Quantity] = field(default_factory=dict)
    charges: tuple[Charge, ...] = ()
    bounds: tuple[ScaleBound, ...] = ()
    problems: tuple[Problem, ...] = ()
    missing: tuple[MissingFact, ...] = ()
    unwritten: tuple[str, ...] = ()
