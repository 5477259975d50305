"""A revision of the bid: everything that was offered, frozen on the day it was.

Takes a show with its order and bid, gives `Issued`; and prices one again at rates of another day.
Knows nothing of files: `planner.bid.frozen` writes and reads them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.bid.alternatives import Taken, taken
from planner.bid.conditions import conditions_of
from planner.bid.rollup import with_lines
from planner.bid.spread import Chances, chances
from planner.model.names import counted
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import date

    from planner.bid.conditions import Conditions
    from planner.bid.escalation import Escalation
    from planner.bid.lines import Bid, BidLine
    from planner.estimate.estimates import Estimates
    from planner.model.show import Rate, Show
    from planner.order.stage_order import StageOrder


@dataclass(frozen=True, slots=True)
class Stamp:
    """Who issued what, and when.

    Attributes:
        number: of the revision, from 1; 0 for the bid as it stands.
        on: day of issue.
        by: who issues it; may be empty.
        note: what they say of it; may be empty.
        tool: version of the planner.
        fingerprint: of the show's files.
    """

    number: int
    on: date
    by: str = ""
    note: str = ""
    tool: str = ""
    fingerprint: str = ""

    @property
    def name(self) -> str:
        """``revision 3``, or ``now``."""
        return f"revision {self.number}" if self.number else "now"


@dataclass(frozen=True, slots=True)
class Said:
    """What a revision says beside its sums, as sentences.

    Attributes:
        assumes: what is taken for granted, and what was assumed or missing.
        excludes: what is not in it.
        supplied: by the production.
        terms: versions, retakes, payment, escalation.
        valid_until: last day on which it may be accepted.
    """

    assumes: tuple[str, ...]
    excludes: tuple[str, ...]
    supplied: tuple[str, ...]
    terms: tuple[str, ...]
    valid_until: date | None


@dataclass(frozen=True, slots=True)
class ShotSaid:
    """A shot as the bid was given on it.

    Attributes:
        frames: of its cut; None where it has none yet.
        state: ``live``, ``omitted`` …
        says: what is seen.
    """

    frames: int | None
    state: str
    says: str


@dataclass(frozen=True, slots=True)
class Issued:
    """One revision.

    Attributes:
        stamp: its number, day and origin.
        bid: lines, loads and totals; reasons of a reopened one hold the last step alone.
        conditions: what it is given on.
        rates: those its lines use, with their dates.
        methods: which way of making each thing is in it.
        first: day of the first call; None without calls.
        last: day of the last.
        stage_days: days stages are held.
        finals: per live shot, the day its composite is done.
        shots: by id, in story order.
        chances: of keeping the cost; None until they are drawn.
    """

    stamp: Stamp
    bid: Bid
    conditions: Conditions
    rates: Mapping[str, Rate]
    methods: tuple[Taken, ...]
    first: date | None
    last: date | None
    stage_days: int
    finals: Mapping[str, date]
    shots: Mapping[str, ShotSaid]
    chances: Chances | None = None

    @property
    def said(self) -> Said:
        """Its conditions as sentences."""
        return said(self.conditions)


def freeze(show: Show, estimates: Estimates, order: StageOrder, bid: Bid, stamp: Stamp) -> Issued:
    """The bid as a revision.

    Args:
        show: whose bid it is.
        estimates: behind it.
        order: behind it.
        bid: priced from them.
        stamp: who issues it, and when.
    """
    used = dict.fromkeys(line.rate for line in bid.lines if line.rate in show.rates)
    days = [(call.starts.date(), call.ends.date()) for call in order.calls]
    return Issued(
        stamp,
        bid,
        conditions_of(show, estimates, bid),
        MappingProxyType({name: show.rates[name] for name in used}),
        taken(show),
        min((first for first, _ in days), default=None),
        max((last for _, last in days), default=None),
        sum(len(held) for held in order.days_held.values()),
        MappingProxyType({shot: final.date() for shot, final in order.finals.items()}),
        MappingProxyType(
            {
                shot.id: ShotSaid(shot.cut.count if shot.cut else None, shot.state, shot.says)
                for shot in show.shots.values()
            }
        ),
    )


def drawn(issued: Issued, correlation: float | None = None) -> Issued:
    """The revision with its chances; those it was issued with stay.

    Args:
        issued: a revision, or the bid as it stands.
        correlation: between costs of one craft, 0 to 1; the usual one unless said.
    """
    if issued.chances is not None:
        return issued
    lines = issued.bid.lines
    if correlation is None:
        return replace(issued, chances=chances(lines))
    return replace(issued, chances=chances(lines, correlation=min(max(correlation, 0.0), 1.0)))


def said(conditions: Conditions) -> Said:
    """Conditions as sentences that stay when the show's files change."""
    assumes = [
        *conditions.assumes,
        *(
            f"{each.quantity.name}: {each.quantity.value:g}"
            f"{'' if each.quantity.unit == '1' else f' {each.quantity.unit}'}, under"
            f" {counted(each.lines, 'line')}"
            for each in conditions.assumed
        ),
        *(
            f"{each.name.replace('_', ' ')} is not known of"
            f" {counted(len(each.elements), 'element')}; on it rests {each.rests}"
            for each in conditions.missing
        ),
        *(f"a spare of {name} is included, as insurance" for name in conditions.insurance),
    ]
    terms = [
        *(
            f"{counted(number, name)} included"
            for number, name in ((conditions.versions, "version"), (conditions.retakes, "retake"))
            if number is not None
        ),
        *([f"payment: {conditions.payment}"] if conditions.payment else []),
        *([conditions.escalation] if conditions.escalation else []),
    ]
    excludes = (*conditions.excludes, *(f"not priced: {each}" for each in conditions.unpriced))
    return Said(tuple(assumes), excludes, conditions.supplied, tuple(terms), conditions.valid_until)


def repriced(
    issued: Issued, rates: Mapping[str, Rate], day: date, escalation: Escalation
) -> Issued:
    """A revision with its quantities kept, priced at the rates of one day.

    A line stays as it was where `kept_as_issued` says why. Chances are drawn anew.

    Args:
        issued: the revision.
        rates: by id.
        day: on which they are read.
        escalation: of rates up to that day.
    """
    kept = kept_as_issued(issued, rates, day)
    usable = {name: rates[name] for name in issued.rates if name not in kept}
    lines = tuple(_line_on(line, usable, day, escalation) for line in issued.bid.lines)
    again = replace(issued, bid=with_lines(issued.bid, lines), chances=None)
    return again if issued.chances is None else drawn(again, issued.chances.correlation)


def kept_as_issued(issued: Issued, rates: Mapping[str, Rate], day: date) -> Mapping[str, str]:
    """Why lines of a rate stay as they were when priced again, a clause, by rate.

    Args:
        issued: the revision.
        rates: by id.
        day: on which they are read.
    """
    return MappingProxyType(dict(_kept(issued, rates, day)))


def _kept(issued: Issued, rates: Mapping[str, Rate], day: date) -> Iterator[tuple[str, str]]:
    for name, old in issued.rates.items():
        new = rates.get(name)
        if new is None:
            yield name, "rates.yaml has no such rate"
        elif new.per != old.per:
            yield name, f"it is per {new.per} now, and was per {old.per}"
        elif (money := new.on(day)) is None:
            yield name, f"it is not in force on {day}"
        elif money.currency != issued.bid.currency:
            yield name, f"it is {money} now, and the bid is in {issued.bid.currency}"
        elif money.amount < 0:
            yield name, f"it is {money} now, below nothing"


def _line_on(
    line: BidLine, rates: Mapping[str, Rate], day: date, escalation: Escalation
) -> BidLine:
    rate, counted = rates.get(line.rate), line.reckoning
    money = rate.on(day) if rate is not None else None
    if rate is None or money is None or counted is None:
        return line
    since = max(first for first, _ in rate.amounts if first <= day)
    months = escalation.months(since, day)
    counted = replace(
        counted,
        stated=money.amount,
        since=since,
        months=months,
        growth=escalation.growth(months),
    )
    figures = counted.figures()
    if figures == line.figures:
        return replace(line, reckoning=counted)
    price = Quantity(
        f"rate for {rate.id}",
        float(counted.stated * counted.growth),
        f"{money.currency}/{rate.per.replace('_', ' ')}",
        reason=f"in force on {day}",
    )
    inputs = (*(each for each in line.reason.inputs if "/" not in each.unit), price)
    reason = replace(line.reason, value=float(figures.likely), inputs=inputs)
    return replace(line, reckoning=counted, figures=figures, reason=reason)
