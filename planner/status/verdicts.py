"""What is said of something made when facts changed after it, in values.

Takes nothing, gives `Verdict`, `Finding`, and `Thumb`, which reads rules of thumb with a show's own
figures in their place. Knows nothing of how anything is judged.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING

from planner.kinds import Hours
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from planner.kinds import Rule
    from planner.model.facts import Facts, FrameRange


class Verdict(Enum):
    """Whether what was made still serves."""

    GOOD = "still good"
    WORK = "good with work"
    DEAD = "dead"

    def __str__(self) -> str:
        return self.value

    @property
    def weight(self) -> int:
        """0 for good, 2 for dead."""
        return _WEIGHTS[self]


_WEIGHTS = {Verdict.GOOD: 0, Verdict.WORK: 1, Verdict.DEAD: 2}


@dataclass(frozen=True, slots=True)
class Change:
    """A fact that is not what it was; empty text where it was not known."""

    name: str
    was: str
    now: str


@dataclass(frozen=True, slots=True)
class Made:
    """What exists of an element, beside the facts it rested on.

    Attributes:
        frames: those that exist, where somebody said; None where the facts must tell.
        hours: what making all of it took; None where nobody reckoned that.
        takes: of what it was made from, the take that was in use then, by id.
        checked_against: of plates it was checked against before it was kept, the take, by id.
    """

    frames: FrameRange | None = None
    hours: Hours | None = None
    takes: Mapping[str, str] = field(default_factory=dict)
    checked_against: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that is to be said of what was made.

    Attributes:
        verdict: what it would come to by this alone.
        short: what is wrong, a few words: ``12 frames short at the tail``.
        says: why, a sentence without its stop.
        hours: of work that would mend it; None where there is none.
        numbers: what it rests on.
        because: ids upstream that made it so.
    """

    verdict: Verdict
    short: str
    says: str
    hours: Hours | None = None
    numbers: tuple[Quantity, ...] = ()
    because: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Thumb:
    """Rules of thumb, a show's own figures before those that are shipped.

    Attributes:
        own: figures of a show, by the name of their rule.
    """

    own: Mapping[str, Hours] = field(default_factory=dict)

    def of(self, rule: Rule) -> Hours:
        """Least, likely and most, in the rule's unit."""
        return self.own.get(rule.name) or Hours(rule.low, rule.likely, rule.high)

    def likely(self, rule: Rule) -> Quantity:
        """The likely figure, with where it comes from."""
        value = self.of(rule).likely
        if rule.name in self.own:
            given, by = Standing.GIVEN, "this show's own"
            return Quantity(rule.says, value, rule.unit, given, reason=f"{rule.name}, {by}")
        assumed = Standing.ASSUMED
        return Quantity(rule.says, value, rule.unit, assumed, reason=rule.name, source=rule.source)


def own_rules(facts: Facts) -> dict[str, Hours]:
    """A show's own figures for rules of thumb, from the facts of its show.yaml."""
    found = {}
    for name, own in facts.named("rules").items():
        if own.has("likely"):
            likely = own.amount("likely", 0)
            found[name] = Hours(own.amount("low", likely), likely, own.amount("high", likely))
    return found


def times(hours: Hours, count: float) -> Hours:
    """So many times the hours."""
    return Hours(hours.low * count, hours.likely * count, hours.high * count)


def product(one: Hours, other: Hours) -> Hours:
    """Low by low, likely by likely, high by high: hours times a part of them."""
    return Hours(one.low * other.low, one.likely * other.likely, one.high * other.high)


def added(all_of: Iterable[Hours | None]) -> Hours | None:
    """The sum of those there are; None where there are none."""
    there = [each for each in all_of if each is not None]
    if not there:
        return None
    return Hours(
        sum(each.low for each in there),
        sum(each.likely for each in there),
        sum(each.high for each in there),
    )
