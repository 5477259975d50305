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
    from planner.cli.opening import Opened
    from planner.estimate import Estimates
    from planner.model.place import Problem
    from planner.order import StageOrder
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
    from planner.bid.done import with_done
    from planner.bid.omitted import Dropped, Left, omitting, price_left
    from planner.cli.progress import going_on
    from planner.pages.bid_files import fetch_actuals

    postings, faults = fetch_actuals(opened.folder)
    past = _past(opened, order)
    with going_on("pricing"):
        omitted = still_wanted(opened).omitted
        dropped = tuple(Dropped(each.id, each.says, each.pieces) for each in omitted)
        left = Left(dropped, postings)
        bid = price_left(opened.show, past.ahead, order, left, rates_on=rates_on)
        ground = opened.show, past.over, order
        bid = with_done(bid, ground, past.done, postings, rates_on=rates_on)
        told = _notes(opened, past.judged, postings)
        bid = replace(bid, problems=(*bid.problems, *faults, *told))
        if dropped:
            show, estimates = omitting(opened.show, opened.estimates, dropped)
            opened = replace(opened, show=show, estimates=estimates)
    gone = frozenset(id_ for each in dropped for id_ in each.pieces)
    return Priced(opened, order, bid, past.judged, gone, past.done)


@dataclass(frozen=True, slots=True)
class _Past:
    """What was made of a show.

    Attributes:
        judged: what became of it; None where the ledger cannot be read.
        done: makings that count no more.
        ahead: estimates by which what counts and what is ahead are priced.
        over: estimates by which what counts no more is.
    """

    judged: Judged | None
    done: tuple[Done, ...]
    ahead: Estimates
    over: Estimates


def _past(opened: Opened, order: StageOrder) -> _Past:
    """What was made; who looks for what is omitted says why a ledger cannot be read."""
    from planner.cli.done import done_of, film_in_hand
    from planner.cli.told import judged_standing, read_told
    from planner.ledger.store import LedgerError
    from planner.status.staleness import Judged

    told, estimates = opened.told, opened.estimates
    try:
        if told is None:
            told = read_told(opened.folder, opened.show.facts.word("ledger"), None)
    except LedgerError:
        return _Past(None, (), estimates, estimates)
    if not told.events:
        return _Past(Judged(), (), estimates, estimates)
    judged, standing = judged_standing(opened, told)
    done = done_of(opened, told, standing, order)
    return _Past(judged, done, *film_in_hand(opened, told, judged, standing))


def _notes(
    opened: Opened, judged: Judged | None, postings: Sequence[Posting]
) -> tuple[Problem, ...]:
    """What was made and omitted without a sum posted."""
    from planner.bid.omitted import unposted_notes

    if judged is None:
        return ()
    return tuple(unposted_notes(opened.show, judged.unwanted.keys(), postings))
