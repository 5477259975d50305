"""What a bid comes to and when its composites are done, one order beside another.

Takes a bid and the order it is priced on, gives an `Outlook`; of two of them, what moves. Two that
are planned on alike from one day differ by what differs in their shows, not by what is past.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date
    from decimal import Decimal

    from planner.bid.lines import Bid
    from planner.order.stage_order import StageOrder


class Moved(NamedTuple):
    """A shot whose composite is done on another day; None where it is on none."""

    shot: str
    before: date | None
    after: date | None


@dataclass(frozen=True, slots=True)
class Outlook:
    """What comes of a show.

    Attributes:
        total: likely, loads included, in the show's currency.
        finals: per live shot, the day its composite is done.
        last: day of the last call; None without calls.
    """

    total: Decimal
    finals: Mapping[str, date]
    last: date | None


def outlook(bid: Bid, order: StageOrder) -> Outlook:
    """What a bid comes to, and the days of the order it is priced on."""
    finals = {shot: final.date() for shot, final in order.finals.items()}
    last = max((call.ends.date() for call in order.calls), default=None)
    return Outlook(bid.total.likely, MappingProxyType(finals), last)


def moved(before: Mapping[str, date], after: Mapping[str, date]) -> tuple[Moved, ...]:
    """Shots that are final on another day, in the order of the first."""
    return tuple(
        Moved(shot, before.get(shot), after.get(shot))
        for shot in dict.fromkeys((*before, *after))
        if before.get(shot) != after.get(shot)
    )
