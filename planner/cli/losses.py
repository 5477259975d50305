"""What an order planned again makes the bid dearer by: around what is lost, or for want of posts.

Takes a show priced on an order that was planned again, prices what was called before, gives the
difference of the two bids, once: where several things make it, none has a sum of its own. Nothing
is searched.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date
    from decimal import Decimal
    from pathlib import Path

    from planner.bid.lines import Bid, CalledAgain, Losses
    from planner.cli.opening import Opened
    from planner.cli.pricing import Priced
    from planner.order import IssuedOrder, StageOrder
    from planner.order.question import Question


def with_losses(whole: Opened, known: Priced) -> Bid:
    """The bid with what planning again made dearer, and with what.

    Where one thing alone did, the sum stands with it. Else it stands once, beside the earliest of
    the orders that each would be held against, and what may all be in it is named.

    Args:
        whole: the show, as its files have it.
        known: the same priced as it is wanted.
    """
    from planner.bid.lines import Dearer

    called = _Called(whole)
    lost, again = _lost(whole, known, called), _called_again(whole, known, called)
    bid = replace(known.bid, losses=lost, called_again=again)
    met = lost if lost is not None and lost.cost is not None else None
    beside = [each.beside for each in (met, again) if each is not None]
    if not beside:
        return bid
    before = _issued(whole.folder, min(beside))
    was = called.bid(before)
    changed = (*_made_again(whole, known, was), *_changed(whole, called.question(before), before))
    if len(beside) + bool(changed) < 2:
        return bid
    dearer = Dearer(min(beside), called.more(known, before), met is not None, changed)
    return replace(
        bid,
        losses=lost if met is None else replace(met, cost=None),
        called_again=again and replace(again, more=None),
        dearer=dearer,
    )


class _Called:
    """What issued orders called everybody for, as the show asks and prices it now; each once."""

    def __init__(self, whole: Opened) -> None:
        """Work out nothing yet; `whole` is the show as its files have it."""
        self._whole = whole
        self._known: dict[int, tuple[Question, Bid]] = {}

    def question(self, before: IssuedOrder) -> Question:
        """What the show asks since an order was issued."""
        return self._of(before)[0]

    def bid(self, before: IssuedOrder) -> Bid:
        """The bid on what an order called everybody for."""
        return self._of(before)[1]

    def more(self, known: Priced, before: IssuedOrder) -> Decimal:
        """By how much a bid is dearer than that; below nought, cheaper."""
        return known.bid.total.likely - self.bid(before).total.likely

    def _of(self, before: IssuedOrder) -> tuple[Question, Bid]:
        from planner.cli.omitted import still_wanted
        from planner.cli.pricing import priced
        from planner.order.working import as_called, ask_since

        number = before.stamp.number
        if number not in self._known:
            opened = still_wanted(self._whole).opened
            question = ask_since(opened.show, opened.graph, opened.estimates, before)
            bid = priced(self._whole, as_called(opened.show, question, before)).bid
            self._known[number] = question, bid
        return self._known[number]


def _lost(whole: Opened, known: Priced, called: _Called) -> Losses | None:
    """What is lost of what is scarce, and what going on around it costs; None where nothing is.

    The sum is beside the last order from before it was lost, at what it called everybody for. Ways
    out are told beside that order planned again: where that moves nobody, the sum of the way that
    was taken is this one.

    Args:
        whole: the show, as its files have it.
        known: the same priced as it is wanted.
        called: what issued orders called.
    """
    from planner.bid.lines import Losses
    from planner.cli.omitted import still_wanted

    show, order = whole.show, known.order
    wanted = still_wanted(whole)
    lost = {
        id_: state.lost
        for id_, state in wanted.states.items()
        if state.lost is not None and id_ in show.resources
    }
    if not lost:
        return None
    things = tuple(
        f"{show.resources[id_].called}, since {hold.since:%Y-%m-%d}"
        f"{f', back {hold.back} as posted' if hold.back else ', no day given'}"
        for id_, hold in lost.items()
    )
    if any(set(call.holds) & lost.keys() for call in order.calls if call.against):
        return Losses(things)
    before = _before(whole.folder, min(hold.since.date() for hold in lost.values()))
    if before is None or order.planned_from is None:
        return None
    return Losses(things, called.more(known, before), before.stamp.number)


def _called_again(whole: Opened, known: Priced, called: _Called) -> CalledAgain | None:
    """What is past and called again by the order for want of posts; None where nothing is.

    It stays called, and paid, once that is posted, until somebody plans again.

    Args:
        whole: the show, as its files have it.
        known: the same priced as it is wanted.
        called: what issued orders called.
    """
    from planner.bid.lines import CalledAgain
    from planner.cli.told import judged_standing, told_of_opened
    from planner.status.unposted import unposted, wanting

    day, told = known.order.planned_from, told_of_opened(whole, None)
    if day is None or not told.events:
        return None
    before = _went_on_from(whole.folder, known.order)
    if before is None:
        return None
    _judged, stands = judged_standing(whole, told)
    past = unposted(before, day, whole.estimates, stands)
    if past is not None and past.is_taken_as_done:
        return None
    posted = len(_posted_since(whole, known.order, before, day))
    if past is None and not posted:
        return None
    more = called.more(known, before)
    if past is None and more <= 0:
        return None
    wanted = wanting(past, before, stands.outline) if past else ()
    posts = tuple(each.posts[-1] for each in wanted)
    last = max(each.at.date() for each in told.events)
    return CalledAgain(
        len(past.calls) if past else 0,
        before.stamp.number,
        day,
        more,
        posts,
        posted,
        max(day, last) if posted else None,
    )


def _posted_since(
    whole: Opened, order: StageOrder, before: IssuedOrder, day: date
) -> tuple[str, ...]:
    """Ids of calls that an order makes once more, and that are posted as over before its day."""
    from planner.cli.told import judged_standing, told_of_opened, until
    from planner.status.posted_since import posted_since

    told = until(told_of_opened(whole, None), day - timedelta(days=1))
    if not told.events:
        return ()
    _judged, stands = judged_standing(whole, told)
    return posted_since(before, order, day, (whole.estimates, stands))


def _made_again(whole: Opened, known: Priced, was: Bid) -> tuple[str, ...]:
    """Names of pieces made again, as a take refused is, whose first making costs other than it did.

    Of what is lost, that is told by itself.
    """
    from planner.cli.omitted import still_wanted
    from planner.model.names import name_of

    states = still_wanted(whole).states
    costs = {(each.element, each.why): each.cost for each in was.past}
    again = (
        each.element
        for each in known.bid.past
        if each.is_again and costs.get((each.element, each.why)) != each.cost
    )
    kept = (id_ for id_ in dict.fromkeys(again) if id_ not in states or states[id_].lost is None)
    return tuple(f"{name_of(id_, whole.show)}, made again" for id_ in kept)


def _changed(whole: Opened, question: Question, before: IssuedOrder) -> tuple[str, ...]:
    """Names of what else is other than when an order was issued: by its facts, or by being lost."""
    from planner.cli.omitted import still_wanted
    from planner.model.names import name_of
    from planner.order.changed_since import changed_since

    wanted = still_wanted(whole)
    opened, show = wanted.opened, whole.show
    lost = {id_ for id_, state in wanted.states.items() if state.lost is not None}
    facts = changed_since(question, before, lost & show.resources.keys())
    since = before.stamp.planned_from
    made_anew = (
        id_
        for id_, state in sorted(wanted.states.items())
        if state.lost is not None and id_ in opened.estimates.by_element
        # What was lost by then is called again by that order too.
        if since is None or state.lost.since.date() > since
    )
    named = [f"{name_of(id_, show)}, lost" for id_ in made_anew]
    return (*named, *(name_of(id_, show) for id_ in facts if id_ not in lost))


def _issued(folder: Path, number: int) -> IssuedOrder:
    from planner.cli.order_issuing import issued_order

    return issued_order(folder, number)


def _went_on_from(folder: Path, order: StageOrder) -> IssuedOrder | None:
    """The issued order that one planned again went on from; None where there is none."""
    from planner.cli.order_issuing import issued_order
    from planner.pages.order_files import numbers

    known = sorted(numbers(folder))
    if order.is_issued:
        known = known[:-1]
    return issued_order(folder, known[-1]) if known else None


def _before(folder: Path, day: date) -> IssuedOrder | None:
    """The last issued order that was planned before a day; None where none was."""
    from planner.cli.order_issuing import issued_order
    from planner.pages.order_files import numbers

    issued = (issued_order(folder, each) for each in sorted(numbers(folder), reverse=True))
    planned = ((each, each.stamp.planned_from) for each in issued)
    return next((each for each, since in planned if since is None or since < day), None)
