"""What going on around a lost stage, rig or person makes the bid dearer by.

Takes a show priced on an order that goes around what is posted as lost, prices what was called
before it was lost, gives the difference of the two bids. Nothing is searched.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date
    from pathlib import Path

    from planner.bid.lines import Losses
    from planner.cli.opening import Opened
    from planner.cli.pricing import Priced
    from planner.order import IssuedOrder


def losses_in(whole: Opened, known: Priced) -> Losses | None:
    """What is lost of what is scarce, and what going on around it costs; None where nothing is.

    The sum is beside the last order from before it was lost, at what it called everybody for. Ways
    out are told beside that order planned again: where that moves nobody, the sum of the way that
    was taken is this one.

    Args:
        whole: the show, as its files have it.
        known: the same priced as it is wanted.
    """
    from planner.bid.lines import Losses
    from planner.cli.omitted import still_wanted
    from planner.cli.pricing import priced
    from planner.order.working import as_called, ask_since

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
    opened = wanted.opened
    question = ask_since(opened.show, opened.graph, opened.estimates, before)
    was = priced(whole, as_called(opened.show, question, before)).bid
    more = known.bid.total.likely - was.total.likely
    return Losses(things, more, before.stamp.number)


def _before(folder: Path, day: date) -> IssuedOrder | None:
    """The last issued order that was planned before a day; None where none was."""
    from planner.cli.order_issuing import issued_order
    from planner.pages.order_files import numbers

    issued = (issued_order(folder, each) for each in sorted(numbers(folder), reverse=True))
    planned = ((each, each.stamp.planned_from) for each in issued)
    return next((each for each, since in planned if since is None or since < day), None)
