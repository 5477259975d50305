"""The bid as frozen values: lines, loads and totals in three figures.

Takes nothing, gives `Bid` and its parts. Knows nothing of how a line is priced. Sums are exact
decimals in the show's one currency; every line is rounded once, to the cent, halves away from zero,
and every total is a sum of rounded lines.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache
from typing import TYPE_CHECKING

from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date

    from planner.kinds import Phase, Risk
    from planner.model.place import Place, Problem
    from planner.model.show import Loads

CENT = Decimal("0.01")
ONE = Decimal(1)
SHOW_COST = "show cost"
"""Kind of the lines that no element has."""


def to_the_cent(amount: Decimal) -> Decimal:
    """`amount` rounded to the cent, halves away from zero."""
    return amount.quantize(CENT, ROUND_HALF_UP)


@lru_cache(maxsize=1 << 16)
def exact(value: float) -> Decimal:
    """The decimal a person would write for `value`."""
    return Decimal(repr(float(value)))


@dataclass(frozen=True, slots=True)
class Figures:
    """One sum of money three ways, in the bid's currency: low <= likely <= high."""

    low: Decimal
    likely: Decimal
    high: Decimal

    @classmethod
    def certain(cls, amount: Decimal) -> Figures:
        """The same sum three times, rounded to the cent."""
        cents = to_the_cent(amount)
        return cls(cents, cents, cents)

    def __add__(self, other: Figures) -> Figures:
        return Figures(self.low + other.low, self.likely + other.likely, self.high + other.high)

    def times(self, factor: Decimal) -> Figures:
        """Each figure times `factor`, rounded to the cent."""
        return Figures(
            to_the_cent(self.low * factor),
            to_the_cent(self.likely * factor),
            to_the_cent(self.high * factor),
        )


NOTHING = Figures(Decimal("0.00"), Decimal("0.00"), Decimal("0.00"))


def total_of(figures: Iterable[Figures]) -> Figures:
    """Sum of any number of figures."""
    low = likely = high = NOTHING.low
    for each in figures:
        low += each.low
        likely += each.likely
        high += each.high
    return Figures(low, likely, high)


@dataclass(frozen=True, slots=True)
class Reckoning:
    """The arithmetic of a line: a quantity, three ways, times the price of one.

    Attributes:
        low: quantity, in `unit`.
        likely: the same.
        high: the same.
        unit: ``h`` for labour (clock hours x heads), else the unit of the rate.
        stated: what one of the rate's unit costs, as written.
        growth: factor of escalation on it; 1 for none.
        months: months of escalation.
        in_one: how many of `unit` one of the rate's unit holds; 10 where a day of 10 h is paid.
        since: day from which the sum stated holds; None where it was stated outright.
        cut: where the sum is shared, weights of those before this line, of those up to its own end,
            and of all; None where all of it is its own.
    """

    low: Decimal
    likely: Decimal
    high: Decimal
    unit: str
    stated: Decimal
    growth: Decimal = ONE
    months: int = 0
    in_one: Decimal = ONE
    since: date | None = None
    cut: tuple[Decimal, Decimal, Decimal] | None = None

    @property
    def each(self) -> Decimal:
        """Price of one of `unit`, escalation included."""
        return self.stated * self.growth / self.in_one

    def figures(self) -> Figures:
        """What it comes to, to the cent; a share is what its whole comes to, cut in turn."""
        # A long bid comes here hundreds of thousands of times: nothing is multiplied by one.
        price = self.stated * self.growth if self.months else self.stated
        likely = low = high = self._comes_to(self.likely, price)
        if self.low != self.high:
            low, high = self._comes_to(self.low, price), self._comes_to(self.high, price)
        if self.cut is None:
            return Figures(low, likely, high)
        before, until, whole = self.cut
        return Figures(
            *(
                to_the_cent(each * until / whole) - to_the_cent(each * before / whole)
                for each in (low, likely, high)
            )
        )

    def _comes_to(self, many: Decimal, price: Decimal) -> Decimal:
        whole = many * price
        return (whole if self.in_one is ONE else whole / self.in_one).quantize(CENT, ROUND_HALF_UP)


@dataclass(frozen=True, slots=True)
class BidLine:
    """One thing paid for.

    Attributes:
        element: id of the element it is for; empty for a stage held for no call.
        shot: id; empty for what is shared between shots.
        sequence: id; empty for what is shared.
        kind: of the element; ``show cost`` for what no element has.
        what: what is paid for, in words.
        craft: who is paid: the craft for labour; the sort of resource (``stage``, ``rig`` …) for
            what is held; ``purchases`` for anything bought; ``show costs`` for those.
        phase: when in the show's life it falls; None for what runs all through it.
        month: ``2026-03``; empty where no call dates it.
        account: the production's own account text; may be empty.
        risk: class of contingency it carries.
        rate: id of its rate; empty for a stated sum.
        figures: what it costs; nothing while it is unpriced.
        reason: the likely figure with its arithmetic.
        place: where the element is written.
        is_priced: False where no rate could be had, and the line stands at 0.
        is_dead: whether it is for a build that only omitted shots use.
        reckoning: quantity and price; None where it is unpriced.
        is_spent: whether it is of a making that is over and counts no more; see `PastMaking`.
    """

    element: str
    shot: str
    sequence: str
    kind: str
    what: str
    craft: str
    phase: Phase | None
    month: str
    account: str
    risk: Risk
    rate: str
    figures: Figures
    reason: Quantity
    place: Place
    is_priced: bool = True
    is_dead: bool = False
    reckoning: Reckoning | None = None
    is_spent: bool = False

    @property
    def phase_name(self) -> str:
        """The phase as one word, ``throughout`` where it has none."""
        return "throughout" if self.phase is None else self.phase.value


@dataclass(frozen=True, slots=True)
class LoadLine:
    """Overhead or contingency on the lines.

    Attributes:
        name: ``overhead``, ``contingency, fire`` …
        share: of `base`; 0.12 is twelve per cent.
        base: what it is taken on.
        figures: what it comes to.
        reason: the likely figure with its arithmetic.
    """

    name: str
    share: Decimal
    base: Figures
    figures: Figures
    reason: Quantity


@dataclass(frozen=True, slots=True)
class PastMaking:
    """A making that is over and counts no more, which was paid all the same.

    Attributes:
        element: id.
        why: it counts no more, a few words.
        is_again: whether it is made again; else nobody wants it.
        cost: likely, before loads; the sum of its lines, which are in the bid.
        days: id of a stage, and a day that was held for it and that the order holds no more.
        held: of the cost, what it held by the day on days that no call holds now; days that others
            hold are whole in the lines of those.
    """

    element: str
    why: str
    is_again: bool
    cost: Decimal
    days: tuple[tuple[str, date], ...] = ()
    held: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class Losses:
    """Stages, rigs and the like that are lost, and what going on around them costs.

    Attributes:
        things: names, each with since when and until when, in words.
        cost: likely, loads included, beside what was called before they were lost; None where the
            order calls them all the same, so that nobody knows yet, or where `Bid.dearer` has it
            with what else is in it.
        beside: number of the issued order that called it; 0 where it is called all the same.
    """

    things: tuple[str, ...]
    cost: Decimal | None = None
    beside: int = 0


@dataclass(frozen=True, slots=True)
class CalledAgain:
    """Calls that were past and not posted, and that the order calls once more.

    Attributes:
        calls: how many are not posted yet.
        beside: number of the issued order that called them first.
        day: that they were to be over by, and from which on they are called again.
        more: likely, loads included, by which the bid is dearer than what that order called; None
            where `Bid.dearer` has it with what else is in it.
        posts: what to type for each piece of which it was done.
        posted: how many more were posted since as over by then, and are called all the same.
        plan_from: the day from which planning again leaves those out; None where there are none.
    """

    calls: int
    beside: int
    day: date
    more: Decimal | None
    posts: tuple[str, ...] = ()
    posted: int = 0
    plan_from: date | None = None


@dataclass(frozen=True, slots=True)
class Dearer:
    """The one sum that several things make, none of which has a part of its own.

    Attributes:
        beside: number of the issued order that the bid is held against.
        more: likely, loads included, by which the bid is dearer than what that order called; below
            nought, cheaper.
        is_around: whether going on around what is lost is in it.
        changed: names of pieces that are other than they were then, by their facts or as lost.
    """

    beside: int
    more: Decimal
    is_around: bool
    changed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Bid:
    """What the show costs, line by line.

    Attributes:
        title: of the show.
        currency: ISO 4217 code of every sum.
        lines: what is paid for, in story order, then what is held.
        loads: overhead and contingency, apart from the lines.
        cost: sum of the lines.
        total: sum of the lines and the loads.
        problems: rates that are missing or do not fit, and caps passed.
        unpriced: lines that stand at 0 for want of a rate.
        not_in_bid: lines of shots on hold and of unplaced ones, priced but left out of every sum.
        users: per thing outside shots, the live shots that use it, in story order.
        terms: the shares behind `loads`, and whether contingency carries overhead.
        past: makings that are paid and count no more; their lines stand last.
        losses: what is lost of what is scarce; None where nothing is, or nobody asked.
        called_again: what is past, not posted and called again; None likewise.
        dearer: what several things make it dearer by; None where one alone does.
    """

    title: str
    currency: str
    lines: tuple[BidLine, ...]
    loads: tuple[LoadLine, ...]
    cost: Figures
    total: Figures
    problems: tuple[Problem, ...]
    unpriced: tuple[BidLine, ...]
    not_in_bid: tuple[BidLine, ...]
    users: Mapping[str, tuple[str, ...]]
    terms: Loads
    past: tuple[PastMaking, ...] = ()
    losses: Losses | None = None
    called_again: CalledAgain | None = None
    dearer: Dearer | None = None


def at_posted(line: BidLine, cost: Decimal, currency: str, reason: str) -> BidLine:
    """A line at what was posted as spent on it, in place of what it is priced at."""
    return replace(
        line,
        figures=Figures.certain(cost),
        reason=Quantity(line.what, float(cost), currency, Standing.GIVEN, reason=reason),
        rate="",
        is_priced=True,
        reckoning=Reckoning(ONE, ONE, ONE, "item", cost),
    )
