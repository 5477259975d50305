"""A show priced as it is wanted: what is posted as omitted leaves the bid, but for what is spent.

Takes an opened show and its order, gives the bid and the show it is of.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.cli.omitted import still_wanted

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence
    from datetime import date

    from planner.bid import Bid
    from planner.bid.actuals import Posting
    from planner.cli.opening import Opened
    from planner.model.place import Problem
    from planner.order import StageOrder


@dataclass(frozen=True, slots=True)
class Priced:
    """A bid.

    Attributes:
        opened: the show it is of: where anything is posted as omitted, as if its files said so.
        order: gives each line its day.
        bid: the bid.
        omitted: ids of the elements that are not wanted by what is posted.
    """

    opened: Opened
    order: StageOrder
    bid: Bid
    omitted: frozenset[str] = frozenset()


def priced(opened: Opened, order: StageOrder, *, rates_on: date | None = None) -> Priced:
    """Price a show that may have more in its files than is still wanted.

    Args:
        opened: the show, as its files have it.
        order: of what is wanted.
        rates_on: take every rate as it stands on this day, not on the day of the call.
    """
    from planner.bid.omitted import Dropped, Left, omitting, price_left
    from planner.cli.progress import going_on
    from planner.pages.bid_files import fetch_actuals

    with going_on("pricing"):
        postings, _problems = fetch_actuals(opened.folder)
        omitted = still_wanted(opened).omitted
        dropped = tuple(Dropped(each.id, each.says, each.pieces) for each in omitted)
        left = Left(dropped, postings)
        bid = price_left(opened.show, opened.estimates, order, left, rates_on=rates_on)
        gone = frozenset(id_ for each in dropped for id_ in each.pieces)
        told = _dead_notes(opened, bid, postings, gone)
        bid = replace(bid, problems=(*bid.problems, *told))
        if dropped:
            show, estimates = omitting(opened.show, opened.estimates, dropped)
            opened = replace(opened, show=show, estimates=estimates)
    return Priced(opened, order, bid, gone)


def _dead_notes(
    opened: Opened, bid: Bid, postings: Sequence[Posting], gone: Collection[str]
) -> Iterator[Problem]:
    """Of what was made and is dead, what was spent on it; a ledger that is not read tells none.

    What is gone is told by the lines that stay of it.
    """
    from planner.bid.omitted import dead_notes
    from planner.cli.told import judged_standing, read_told
    from planner.ledger.store import LedgerError

    if not postings:
        return
    try:
        told = read_told(opened.folder, opened.show.facts.word("ledger"), None)
    except LedgerError:
        return
    if told.events:
        judged, _standing = judged_standing(opened, told)
        dead = [id_ for id_, each in judged.judgements.items() if each.is_dead and id_ not in gone]
        yield from dead_notes(opened.show, bid, dead, postings)
