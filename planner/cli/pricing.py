"""A show priced as it is wanted: what is posted as omitted leaves the bid, but for what is spent.

Takes an opened show and its order, gives the bid, the show it is of, and what became of what was
made of it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.cli.omitted import still_wanted

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from planner.bid import Bid
    from planner.bid.actuals import Posting
    from planner.bid.done import Done
    from planner.bid.omitted import Left
    from planner.cli.opening import Opened
    from planner.model.place import Problem
    from planner.order import StageOrder
    from planner.status.left_out import LeftOut
    from planner.status.staleness import Judged


@dataclass(frozen=True, slots=True)
class Priced:
    """A bid.

    Attributes:
        opened: the show it is of: where anything is posted as omitted, as if its files said so.
        order: gives each line its day.
        bid: the bid.
        judged: what became of what was made; None where the ledger cannot be read.
        done: makings that are over and count no more, which the bid holds too.
        omitted: ids of the elements that are not wanted by what is posted.
    """

    opened: Opened
    order: StageOrder
    bid: Bid
    judged: Judged | None
    omitted: frozenset[str] = frozenset()
    done: tuple[Done, ...] = ()


def priced(opened: Opened, order: StageOrder, *, rates_on: date | None = None) -> Priced:
    """Price a show that may have more in its files than is still wanted.

    Args:
        opened: the show, as its files have it.
        order: of what is wanted.
        rates_on: take every rate as it stands on this day, not on the day of the call.
    """
    from planner.bid.omitted import omitting, price_left
    from planner.cli.progress import going_on
    from planner.pages.bid_files import fetch_actuals

    postings, faults = fetch_actuals(opened.folder)
    with going_on("pricing"):
        omitted = still_wanted(opened).omitted
        judged, left = left_of(opened, order, omitted, postings)
        bid = price_left(opened.show, opened.estimates, order, left, rates_on=rates_on)
        told = _notes(opened, judged, postings)
        bid = replace(bid, problems=(*bid.problems, *faults, *told))
        if left.dropped:
            show, estimates = omitting(opened.show, opened.estimates, left.dropped)
            opened = replace(opened, show=show, estimates=estimates)
    gone = frozenset(id_ for each in left.dropped for id_ in each.pieces)
    return Priced(opened, order, bid, judged, gone, left.done)


def left_of(
    opened: Opened, order: StageOrder, omitted: Sequence[LeftOut], postings: Sequence[Posting]
) -> tuple[Judged | None, Left]:
    """What became of what was made, and what leaves the bid or stays in it by that.

    Who looks for what is omitted says why a ledger cannot be read; nothing is judged then.

    Args:
        opened: the show, with the work of what is omitted.
        order: that it is priced on.
        omitted: as posted.
        postings: what was spent.
    """
    from planner.bid.omitted import Dropped, Left
    from planner.cli.done import done_of, film_in_hand
    from planner.cli.told import judged_standing, read_told
    from planner.ledger.store import LedgerError
    from planner.status.staleness import Judged

    told = opened.told
    dropped = tuple(Dropped(each.id, each.says, each.pieces) for each in omitted)
    left = Left(dropped, tuple(postings))
    try:
        if told is None:
            told = read_told(opened.folder, opened.show.facts.word("ledger"), None)
    except LedgerError:
        return None, left
    if not told.events:
        return Judged(), left
    judged, standing = judged_standing(opened, told)
    in_hand, over = film_in_hand(opened, told, judged, standing)
    done = done_of(opened, told, standing, order)
    return judged, replace(left, done=done, in_hand=in_hand, over=over)


def _notes(
    opened: Opened, judged: Judged | None, postings: Sequence[Posting]
) -> tuple[Problem, ...]:
    """What was made and omitted without a sum posted."""
    from planner.bid.omitted import unposted_notes

    if judged is None:
        return ()
    return tuple(unposted_notes(opened.show, judged.unwanted.keys(), postings))
