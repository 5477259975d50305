"""What a bid rests on beside its sums: what is assumed, missing, left out, supplied and promised.

Takes the show, its estimates and its bid, gives `Conditions`. What people wrote is taken from
show.yaml; what is assumed or missing is found by itself, since every number knows its standing.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from datetime import date

    from planner.bid.lines import Bid, BidLine
    from planner.estimate.estimates import Estimates
    from planner.model.show import Show


@dataclass(frozen=True, slots=True)
class Assumed:
    """A number that nobody gave.

    Attributes:
        quantity: as it stands in the arithmetic of the lines.
        lines: how many of the bid's lines rest on it.
        cost: likely sum of those lines.
    """

    quantity: Quantity
    lines: int
    cost: Decimal


@dataclass(frozen=True, slots=True)
class MissingFrom:
    """A fact that elements lack.

    Attributes:
        name: of the fact.
        rests: what cannot be said, or is said on an assumption, without it.
        assumed: what stands in for it; empty where nothing does.
        elements: ids of those in the bid that lack it.
        by: who is to find it; empty where nobody is named.
    """

    name: str
    rests: str
    assumed: str
    elements: tuple[str, ...]
    by: str = ""


@dataclass(frozen=True, slots=True)
class Conditions:
    """What a bid is given on.

    Attributes:
        assumes: sentences of show.yaml.
        assumed: numbers nobody gave, those with most money on them first.
        missing: facts nobody has, those lacking in most elements first.
        excludes: sentences of show.yaml.
        unpriced: what stands at nothing for want of a rate, and why it is in nobody's sum.
        supplied: by the production; sentences of show.yaml.
        versions: of a composite, included; None where show.yaml does not say.
        retakes: of an element, included; None where show.yaml does not say.
        valid_until: last day on which it may be accepted; None where show.yaml does not say.
        payment: terms; may be empty.
        insurance: builds with a spare, which is not waste when it is never used.
        escalation: how prices rise; empty where they do not.
    """

    assumes: tuple[str, ...]
    assumed: tuple[Assumed, ...]
    missing: tuple[MissingFrom, ...]
    excludes: tuple[str, ...]
    unpriced: tuple[str, ...]
    supplied: tuple[str, ...]
    versions: int | None
    retakes: int | None
    valid_until: date | None
    payment: str
    insurance: tuple[str, ...]
    escalation: str


def conditions_of(show: Show, estimates: Estimates, bid: Bid) -> Conditions:
    """Everything the bid rests on.

    Args:
        show: with what its people wrote under ``bid``.
        estimates: with the facts nobody has.
        bid: priced from them. Cost linear in the arithmetic of its lines.
    """
    stated = show.facts.group("bid")
    return Conditions(
        assumes=stated.words("assumes"),
        assumed=tuple(_assumed(bid.lines)),
        missing=tuple(_missing(show, estimates)),
        excludes=stated.words("excludes"),
        unpriced=tuple(
            f"{line.element}: {line.what}" if line.element else line.what for line in bid.unpriced
        ),
        supplied=stated.words("supplied_by_production"),
        versions=_whole(stated.number("versions")),
        retakes=_whole(stated.number("retakes")),
        valid_until=stated.day("valid_until"),
        payment=stated.word("payment"),
        insurance=tuple(_spares(show)),
        escalation=_escalation(show),
    )


def _whole(number: Quantity | None) -> int | None:
    return None if number is None else round(number.value)


def _assumed(lines: Iterable[BidLine]) -> list[Assumed]:
    found: dict[tuple[str, float, str], Quantity] = {}
    costs: defaultdict[tuple[str, float, str], list[Decimal]] = defaultdict(list)
    for line in lines:
        mine = {
            (part.name, part.value, part.unit): part
            for part in line.reason.parts()
            if part.standing is Standing.ASSUMED
        }
        for key, part in mine.items():
            found.setdefault(key, part)
            costs[key].append(line.figures.likely)
    listed = (
        Assumed(part, len(costs[key]), sum(costs[key], Decimal(0))) for key, part in found.items()
    )
    return sorted(listed, key=lambda each: (-each.cost, each.quantity.name))


def _missing(show: Show, estimates: Estimates) -> list[MissingFrom]:
    groups: defaultdict[tuple[str, str, str, str], list[str]] = defaultdict(list)
    for fact in estimates.missing:
        element = show.elements.get(fact.about)
        if element is not None and show.is_live(element):
            groups[fact.name, fact.rests, fact.assumed, fact.by].append(fact.about)
    listed = (
        MissingFrom(name, rests, assumed, tuple(found), by)
        for (name, rests, assumed, by), found in groups.items()
    )
    return sorted(listed, key=lambda each: (-len(each.elements), each.name))


def _spares(show: Show) -> Iterator[str]:
    for element in show.elements.values():
        if element.facts.values.get("spare") is True and show.is_live(element):
            yield element.id


def _escalation(show: Show) -> str:
    stated = show.facts.group("escalation")
    share = stated.number("share")
    if share is None or not share.value:
        return ""
    base = stated.day("base") or show.calendar.starts
    return (
        f"prices rise {share.value * 100:g} % a year from {base}, or from the day a rate was last"
        " stated if later, to the month of spending"
    )
