"""The bid without what people posted as omitted: what is not spent leaves, what is spent stays.

Takes a show and what of it nobody wants any more, gives the show and estimates to price; of the
bid as it would be with all of it, and what was posted as spent, the bid that shows both. Knows
nothing of ledgers.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.bid.actuals import standing_of
from planner.bid.done import SPENT, with_done
from planner.bid.holding import DAYS_HELD
from planner.bid.lines import at_posted, total_of
from planner.bid.pricing import price
from planner.bid.rollup import with_lines
from planner.model.place import Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence
    from datetime import date

    from planner.bid.actuals import Posting
    from planner.bid.done import Done
    from planner.bid.lines import Bid, BidLine
    from planner.estimate import Estimates
    from planner.kinds import Estimate
    from planner.model.show import Show
    from planner.order import StageOrder

OMITTED, LIVE = "omitted", "live"
"""States of a shot, as its file says."""
SPENT_BEFORE = "spent by actuals.csv before it was omitted; nothing more is to come"


@dataclass(frozen=True, slots=True)
class Dropped:
    """A shot or piece posted as omitted.

    Attributes:
        id: of the shot or piece.
        says: by whom, when and why, a clause.
        pieces: ids of the elements that go with it.
    """

    id: str
    says: str
    pieces: tuple[str, ...]


def omitting(
    show: Show, estimates: Estimates, dropped: Sequence[Dropped]
) -> tuple[Show, Estimates]:
    """The show as if its files omitted those shots, and no work or purchase on those pieces."""
    shots = dict(show.shots)
    for each in dropped:
        if each.id in shots:
            shots[each.id] = replace(shots[each.id], state="omitted")
    by_element = dict(estimates.by_element)
    for id_ in (id_ for each in dropped for id_ in each.pieces):
        by_element[id_] = replace(by_element[id_], work=(), charges=())
    return (
        replace(show, shots=MappingProxyType(shots)),
        replace(estimates, by_element=MappingProxyType(by_element)),
    )


@dataclass(frozen=True, slots=True)
class Left:
    """What leaves a bid as posted, and what was spent, which stays.

    Attributes:
        dropped: what is omitted.
        postings: what was spent, in any order.
        done: makings that are over and count no more.
        in_hand: by id, estimates of what stands and was photographed for another cut, by which no
            film of it is bought again.
        over: by id, estimates of all that was photographed for another cut, for makings that count
            no more.
    """

    dropped: tuple[Dropped, ...] = ()
    postings: tuple[Posting, ...] = ()
    done: tuple[Done, ...] = ()
    in_hand: Mapping[str, Estimate] = field(default_factory=dict)
    over: Mapping[str, Estimate] = field(default_factory=dict)

    def within(self, show: Show) -> tuple[Dropped, ...]:
        """What of it a show has, that may be another than it was posted on."""
        kept = (
            replace(each, pieces=tuple(id_ for id_ in each.pieces if id_ in show.elements))
            for each in self.dropped
        )
        return tuple(each for each in kept if each.pieces)


def price_left(
    show: Show,
    estimates: Estimates,
    order: StageOrder,
    left: Left,
    *,
    rates_on: date | None = None,
) -> Bid:
    """The bid of what is wanted, with what was spent on the rest and on what is made again.

    Args:
        show: with all that its files have.
        estimates: of all of it.
        order: of what is wanted.
        left: what is not.
        rates_on: take every rate as it stands on this day, not on the day of the call.
    """
    ahead = estimates.replacing(left.in_hand)
    bid = whole = price(show, ahead, order, rates_on=rates_on)
    dropped = left.within(show)
    if dropped:
        without = price(*omitting(show, ahead, dropped), order, rates_on=rates_on)
        bid = with_spent(without, whole, dropped, left.postings)
    stated = _omitted_by_files(show, left.postings)
    if stated:
        as_if_live = price(_live(show, stated), ahead, order, rates_on=rates_on)
        bid = with_spent(bid, as_if_live, stated, left.postings)
    ground = show, estimates.replacing(left.over), order
    bid = with_done(bid, ground, left.done, left.postings, rates_on=rates_on)
    return replace(bid, problems=(*bid.problems, *_notes(dropped, whole, bid)))


def _omitted_by_files(show: Show, postings: Sequence[Posting]) -> tuple[Dropped, ...]:
    """Shots that the show's own files omit and that something was posted on."""
    posted = {each.element for each in postings if each.cost}
    return tuple(
        Dropped(shot.id, "by its file", shot.elements)
        for shot in show.shots.values()
        if shot.state == OMITTED and not posted.isdisjoint(shot.elements)
    )


def _live(show: Show, shots: Sequence[Dropped]) -> Show:
    """The show as if those shots were wanted."""
    live = {each.id: replace(show.shots[each.id], state=LIVE) for each in shots}
    return replace(show, shots=MappingProxyType({**show.shots, **live}))


def with_spent(
    bid: Bid, whole: Bid, dropped: Sequence[Dropped], postings: Sequence[Posting]
) -> Bid:
    """The bid with what was spent on what is omitted.

    Args:
        bid: without what is omitted.
        whole: the same with it.
        dropped: what is omitted.
        postings: what was spent, in any order.
    """
    gone = {id_ for each in dropped for id_ in each.pieces}
    of_gone = [line for line in whole.lines if line.element in gone]
    kept = tuple(_spent(of_gone, postings, bid.currency))
    return replace(
        with_lines(bid, (*bid.lines, *kept)),
        problems=(*bid.problems, *_shares(gone, postings, whole)),
    )


def unposted_notes(
    show: Show, made: Collection[str], postings: Sequence[Posting]
) -> Iterator[Problem]:
    """Of each shot, or thing in none, what was made of it, is omitted, and has no sum posted.

    Args:
        show: for its places.
        made: ids of what was made and is omitted since, in the order they are told in.
        postings: what was spent, in any order.
    """
    posted = {each.element for each in postings}
    together: dict[str, list[str]] = {}
    for id_ in made:
        if id_ not in posted:
            together.setdefault(show.elements[id_].shot or id_, []).append(id_)
    for about, ids in together.items():
        thing = show.shots.get(about) or show.elements[about]
        yield Problem(
            Severity.NOTE,
            thing.place,
            "made-and-omitted",
            f"made before it was omitted: {', '.join(ids)}; nobody posted what that took, so that"
            " the bid has it at what its work and purchases are reckoned at",
            "write what it took into actuals.csv",
            about,
        )


def _spent(
    lines: Sequence[BidLine], postings: Sequence[Posting], currency: str
) -> Iterator[BidLine]:
    """One line for each thing that something was posted on, at what was posted."""
    firsts: dict[tuple[str, str], BidLine] = {}
    for line in lines:
        firsts.setdefault((line.element, line.what), line)
    mine = [each for each in postings if (each.element, each.what) in firsts]
    standing, _strays = standing_of(lines, mine)
    for row in standing.rows:
        if not row.cost:
            continue
        line = at_posted(firsts[row.element, row.what], row.cost, currency, SPENT_BEFORE)
        yield replace(line, is_dead=True)


def _shares(gone: Collection[str], postings: Sequence[Posting], whole: Bid) -> Iterator[Problem]:
    """What was posted on shares of days held by what is omitted, which no line is made of.

    Days that others hold are whole in the lines of those others, so that a line beside them would
    count the share twice.
    """
    held = {(line.element, line.what) for line in whole.lines}
    posted = [
        each
        for each in postings
        if each.element in gone
        and each.what.endswith(DAYS_HELD)
        and (each.element, each.what) not in held
    ]
    for element, what in dict.fromkeys((each.element, each.what) for each in posted):
        mine = [each for each in posted if (each.element, each.what) == (element, what)]
        cost = sum((each.cost or Decimal(0) for each in mine), Decimal(0))
        yield Problem(
            Severity.WARNING,
            mine[0].place,
            "spent-share-not-its-own",
            f"{cost:,.2f} {whole.currency} is posted on {what}: of days that others hold, those"
            " others now pay the whole in this bid; days that nobody else holds are not in it",
            "see the change order since the issued bid, which tells what is spent on it",
            element,
        )


def _notes(dropped: Sequence[Dropped], whole: Bid, bid: Bid) -> Iterator[Problem]:
    """Of each thing omitted, how much left the likely figure, and how much of it is spent.

    Args:
        dropped: what is omitted.
        whole: the bid with it.
        bid: the same without it, with what was spent on it.
    """
    for each in dropped:
        was = [line for line in whole.lines if line.element in each.pieces]
        if not was:
            continue
        likely = total_of(line.figures for line in was).likely
        spent = [line for line in bid.lines if line.element in each.pieces]
        yield Problem(
            Severity.NOTE,
            was[0].place,
            "omitted-left-bid",
            f"omitted {each.says}: {likely:,.2f} {bid.currency} likely, before loads, is not in the"
            f" bid any more; {_stays(spent, bid.currency)}",
            "state it in the show's files too, or post it as un-omitted",
            each.id,
        )


def _stays(lines: Sequence[BidLine], currency: str) -> str:
    """How much was spent by then, as posted or as what was made is reckoned; a clause."""
    posted = [line for line in lines if line.reason.reason in {SPENT_BEFORE, SPENT}]
    made = [line for line in lines if line.is_spent and line not in posted]
    sums = [total_of(line.figures for line in each).likely for each in (posted, made)]
    said = f"{sum(sums):,.2f} {currency} of it is spent and stays"
    if not any(sums):
        return "nothing of it is posted as made or spent"
    if not sums[1]:
        return said
    of_it = f"{sums[1]:,.2f} of that " if sums[0] else ""
    return f"{said}, {of_it}reckoned by what was made before"
