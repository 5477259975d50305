"""What makes the difference between what two orders cost, from its parts down to its lines.

Takes two orders with their bids, gives parts that sum exactly to the difference of their likely
totals. Days that a thing is held are told of the thing, whose days are whole, not of the pieces
that share them. Knows nothing of how the orders came about.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from planner.bid.compare import line_changes
from planner.bid.holding import HELD
from planner.bid.overtime import OVERTIME
from planner.bid.pricing import DONE_AGAIN
from planner.bid.what_if import difference
from planner.model.names import noun

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from planner.bid.compare import Change
    from planner.bid.lines import Bid, BidLine
    from planner.bid.what_if import Costed

HIRE = "hire"
AGAIN = "done again"
LOADS = "overhead and contingency"
_NIL = Decimal(0)


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a bid that is different, or the days of one thing.

    Attributes:
        element: id; empty for what is told of a thing.
        says: what is paid for and how it differs, such as ``Table rig, 2027-04: 13 to 9 days``.
        likely: the difference before loads, in the bid's currency.
    """

    element: str
    says: str
    likely: Decimal


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a difference.

    Attributes:
        name: ``hire``, ``stage days``, ``overtime``, ``done again`` …
        likely: its sum, in the bid's currency.
        rows: what it is made of, the largest first; none for loads, which follow the rest.
    """

    name: str
    likely: Decimal
    rows: tuple[Row, ...] = ()


def made_of(base: Costed, other: Costed) -> tuple[Part, ...]:
    """What `other` costs beside `base`, part by part; parts that come to nothing are left out.

    Args:
        base: the order that is compared with.
        other: one of the same show, or of one changed a little.
    """
    rows: defaultdict[str, list[Row]] = defaultdict(list)
    for name, row in (*_held(base.bid, other.bid), *_others(base.bid, other.bid)):
        rows[name].append(row)
    parts = [
        Part(name, sum((row.likely for row in mine), _NIL), _largest_first(mine))
        for name, mine in rows.items()
    ]
    whole = difference(base, other).money.likely
    parts.append(Part(LOADS, whole - sum((part.likely for part in parts), _NIL)))
    return tuple(part for part in parts if part.likely or part.rows)


def _largest_first(rows: Sequence[Row]) -> tuple[Row, ...]:
    return tuple(sorted(rows, key=lambda row: -abs(row.likely)))


@dataclass(slots=True)
class _Spell:
    """Days of one thing in one month at one price, and what they come to."""

    days: Decimal = _NIL
    likely: Decimal = _NIL


def _held(before: Bid, after: Bid) -> Iterator[tuple[str, Row]]:
    """Days of stages, rigs and the like, by thing and month."""
    was, now = _spells(before), _spells(after)
    known = {rate for rate, _craft, _month, _price in was}
    nothing = _Spell()
    for key in dict.fromkeys((*was, *now)):
        first, second = was.get(key, nothing), now.get(key, nothing)
        rate, craft, month, price = key
        if first.likely == second.likely:
            continue
        said = f"{rate}, {month}: {_days(first.days, second.days)} at {price:,.2f}"
        name = f"{craft.removesuffix(HELD)} days" if rate in known else HIRE
        yield name, Row("", said, second.likely - first.likely)


def _spells(bid: Bid) -> Mapping[tuple[str, str, str, Decimal], _Spell]:
    spells: defaultdict[tuple[str, str, str, Decimal], _Spell] = defaultdict(_Spell)
    for line in bid.lines:
        if line.craft.endswith(HELD) and line.reckoning is not None:
            spell = spells[line.rate, line.craft, line.month, line.reckoning.each]
            # Every share of a spell tells of all its days.
            spell.days = line.reckoning.likely
            spell.likely += line.figures.likely
    return spells


def _days(was: Decimal, now: Decimal) -> str:
    if not was:
        return f"{now} {noun(float(now), 'day')}"
    return f"{was} to {now} {noun(float(now), 'day')}"


def _others(before: Bid, after: Bid) -> Iterator[tuple[str, Row]]:
    """Lines of all else: by the hour, bought, or of the whole show."""
    for change in line_changes(_without_held(before), _without_held(after)):
        says = f"{change.what}, {change.says}" if change.says else change.what
        yield _name(change), Row(change.element, says, change.difference)


def _without_held(bid: Bid) -> tuple[BidLine, ...]:
    return tuple(line for line in bid.lines if not line.craft.endswith(HELD))


def _name(change: Change) -> str:
    if change.what.startswith(OVERTIME):
        return "overtime"
    if change.what.endswith(DONE_AGAIN):
        return AGAIN
    return change.craft if change.craft in {"purchases", "show costs"} else "hands"
