"""The sheet a kind fills in while it estimates one element.

Takes questions, rules and answers as they come, gives one frozen `Estimate`. Each number written on
it keeps what it was reckoned from; each question without an answer is remembered as a missing fact.
Knows nothing of any particular kind.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.kinds.estimate import Charge, Estimate, Hours, MissingFact, Risk, ScaleBound, Work
from planner.model.facts import Facts, Missing
from planner.model.place import Problem, Severity
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds.context import Context


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule of thumb, with its range; a show may put its own figures in its place.

    Attributes:
        name: key under ``rules`` in show.yaml, ``kind.what``.
        says: what it is, in words.
        low: least, in `unit`.
        likely: most often, in `unit`.
        high: most, in `unit`.
        unit: usually ``h``.
        source: ``common practice`` or the name of a published source.
    """

    name: str
    says: str
    low: float
    likely: float
    high: float
    unit: str = "h"
    source: str = "common practice"


@dataclass(frozen=True, slots=True)
class Effort:
    """Hours with their arithmetic."""

    hours: Hours
    reason: Quantity


def _finders(context: Context, name: str) -> str:
    """Who is to find a fact or the parts of it, as `Context.look_up` looks; empty where nobody."""
    shot, show = context.shot, context.show
    levels = (context.element.facts, *((shot.camera,) if shot else ()), show.facts.group("camera"))
    written = next((v for each in levels if (v := each.values.get(name)) is not None), None)
    parts = written.values.values() if isinstance(written, Facts) else (written,)
    return " and ".join(dict.fromkeys(e.by for e in parts if isinstance(e, Missing) and e.by))


@cache
def _as_shipped(rule: Rule) -> tuple[Quantity, Hours]:
    says, source = rule.says, rule.source
    stated = Quantity(
        says, rule.likely, rule.unit, Standing.ASSUMED, reason=rule.name, source=source
    )
    return stated, Hours(rule.low, rule.likely, rule.high)


class Worksheet:
    """Fill it in, then take `estimate()`.

    The sheet is local to one call of a kind's ``estimate``; nothing outside sees it change.

    Attributes:
        context: surroundings of the element.
        element: whose sheet it is.
        risk: class of contingency the element states, ordinary where it states none.
    """

    def __init__(self, context: Context) -> None:
        self.context = context
        self.element = context.element
        self.risk = Risk(context.element.facts.word("risk") or Risk.ORDINARY.value)
        self._work: list[Work] = []
        self._quantities: dict[str, Quantity] = {}
        self._charges: list[Charge] = []
        self._bounds: list[ScaleBound] = []
        self._problems: list[Problem] = []
        self._missing: list[MissingFact] = []

    def ask(self, name: str, *, rests: str) -> Quantity | None:
        """A stated number, looked up from the element outward.

        Args:
            name: of the fact.
            rests: what cannot be said without it, a clause for the list of missing facts.
        """
        found = self.context.look_up(name)
        if found is None:
            self.miss(name, rests=rests)
        return found

    def positive(self, found: Quantity | None, at: str) -> Quantity | None:
        """A number that means nothing at zero or below: an error there, and None.

        Args:
            found: the number, or None, which is given back.
            at: name of the fact, for the finding's place.
        """
        if found is None or found.value > 0:
            return found
        words = at.replace("_", " ")
        self.error(
            "not-above-zero",
            f"{words} cannot be {found.text or f'{found.value:g} {found.unit}'}",
            "state what it is, or write `?` while nobody knows",
            at=at,
        )
        return None

    def assume(self, name: str, value: float, unit: str, *, because: str) -> Quantity:
        """A stated number, or `value` as an assumption that the bid will list.

        Args:
            name: of the fact.
            value: stands in for it, in `unit`.
            unit: canonical unit.
            because: why this value, a clause.
        """
        found = self.context.look_up(name)
        if found is not None:
            return found
        words = name.replace("_", " ")
        return self.note(
            Quantity(words, value, unit, Standing.ASSUMED, reason=because, source="common practice")
        )

    def miss(self, name: str, *, rests: str, assumed: str = "") -> None:
        """Remember that `name` is not known; asked for twice, it is missing once."""
        facts = self.element.facts
        by = _finders(self.context, name)
        missing = MissingFact(self.element.id, name, facts.place_of(name), rests, assumed, by)
        if missing not in self._missing:
            self._missing.append(missing)

    def rule(self, rule: Rule) -> tuple[Quantity, Hours]:
        """A rule of thumb as the show has it: its own figures where show.yaml states them."""
        rules = self.context.show.facts.values.get("rules")
        own = rules.values.get(rule.name) if isinstance(rules, Facts) else None
        if not isinstance(own, Facts) or not own.has("likely"):
            return _as_shipped(rule)
        likely = own.amount("likely", rule.likely)
        hours = Hours(own.amount("low", likely), likely, own.amount("high", likely))
        by = own.word("by") or "this show's own"
        place = own.place_of("likely")
        return Quantity(rule.says, likely, rule.unit, Standing.GIVEN, place=place, reason=by), hours

    def note(self, quantity: Quantity) -> Quantity:
        """Keep a number under its name, so that pages and ``why`` can show it."""
        self._quantities[quantity.name] = quantity
        return quantity

    def reckon(
        self, name: str, value: float, unit: str, reason: str, *inputs: Quantity, source: str = ""
    ) -> Quantity:
        """Keep a number worked out from `inputs`; `reason` is the formula in words."""
        return self.note(Quantity(name, value, unit, reason=reason, source=source, inputs=inputs))

    def effort(self, name: str, *terms: tuple[Rule, Quantity | float] | Quantity) -> Effort:
        """Hours as a sum of rules times counts and of hours already reckoned.

        What is done no times is no part of it.

        Args:
            name: of the work.
            terms: ``(rule in hours, how many)`` or a quantity in hours, taken as certain.
        """
        low = likely = high = 0.0
        inputs: list[Quantity] = []
        summed: list[str] = []
        for term in terms:
            if isinstance(term, Quantity):
                summed.append(f"{term.value:.4g}")
                low, likely, high = low + term.value, likely + term.value, high + term.value
                inputs.append(term)
                continue
            rule, count = term
            if count == 0:
                continue
            stated, hours = self.rule(rule)
            times = count.value if isinstance(count, Quantity) else count
            one = f"{stated.value:.4g}"
            summed.append(one if count == 1 else f"{one} x {times:.4g}")
            low += hours.low * times
            likely += hours.likely * times
            high += hours.high * times
            inputs.append(stated)
            if isinstance(count, Quantity):
                inputs.append(count)
        said = f"sum of the parts: {' + '.join(summed) or 'none'}"
        reason = Quantity(f"hours to {name}", likely, "h", reason=said, inputs=tuple(inputs))
        return Effort(Hours(low, likely, high), self.note(reason))

    def do(self, work: Work) -> Work:
        """Add a stretch of work; gives it back so that what follows can name it.

        Work that states no class of contingency of its own carries the element's.
        """
        if work.risk is Risk.ORDINARY and self.risk is not Risk.ORDINARY:
            work = replace(work, risk=self.risk)
        self._work.append(work)
        return work

    def buy(self, charge: Charge) -> None:
        """Add money that is not labour; as work, it carries the element's class of contingency."""
        if charge.risk is Risk.ORDINARY and self.risk is not Risk.ORDINARY:
            charge = replace(charge, risk=self.risk)
        self._charges.append(charge)

    def limit(self, bound: ScaleBound) -> None:
        """Add a limit on a build's scale."""
        self._bounds.append(bound)

    def error(self, code: str, message: str, remedy: str, *, at: str = "") -> None:
        """Report what stops the element from being made as stated."""
        self._find(Severity.ERROR, code, message, remedy, at)

    def warn(self, code: str, message: str, remedy: str, *, at: str = "") -> None:
        """Report what a supervisor may knowingly accept."""
        self._find(Severity.WARNING, code, message, remedy, at)

    def remark(self, code: str, message: str, remedy: str = "", *, at: str = "") -> None:
        """Report what is worth knowing."""
        self._find(Severity.NOTE, code, message, remedy, at)

    def _find(self, severity: Severity, code: str, message: str, remedy: str, at: str) -> None:
        place = self.element.facts.place_of(at)
        problem = Problem(severity, place, code, message, remedy, self.element.id)
        if problem not in self._problems:  # a fact asked for twice is wrong once
            self._problems.append(problem)

    @property
    def quantities(self) -> Mapping[str, Quantity]:
        """Numbers kept so far, by name."""
        return MappingProxyType(self._quantities)

    def estimate(self) -> Estimate:
        """Everything on the sheet, frozen."""
        return Estimate(
            element=self.element.id,
            work=tuple(self._work),
            quantities=MappingProxyType(dict(self._quantities)),
            charges=tuple(self._charges),
            bounds=tuple(self._bounds),
            problems=tuple(self._problems),
            missing=tuple(self._missing),
        )
