"""What a lost stage, rig or person makes the bid dearer by.

Takes a show priced on an order that goes around what is posted as lost, plans again on alike with
it there, gives the difference of the two bids. Nothing is searched where nothing is lost.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planner.bid.lines import Losses
    from planner.cli.opening import Effort, Opened
    from planner.cli.pricing import Priced
    from planner.order import IssuedOrder, StageOrder


def losses_in(whole: Opened, known: Priced, effort: Effort) -> Losses | None:
    """What is lost of what is scarce, and what that costs; None where nothing is.

    Args:
        whole: the show, as its files have it.
        known: the same priced as it is wanted.
        effort: how `known` was ordered.
    """
    from planner.bid.lines import Losses
    from planner.cli.omitted import still_wanted
    from planner.cli.order_issuing import Again, order_again
    from planner.cli.pricing import priced

    show, order = whole.show, known.order
    lost = {
        id_: state.lost
        for id_, state in still_wanted(whole).states.items()
        if state.lost is not None and id_ in show.resources
    }
    if not lost:
        return None
    things = tuple(
        f"{show.resources[id_].called}, since {hold.since:%Y-%m-%d}"
        f"{f', back {hold.back} as posted' if hold.back else ', no day given'}"
        for id_, hold in lost.items()
    )
    before = _before(whole, order)
    if before is None:
        is_called = any(set(call.holds) & lost.keys() for call in order.calls if call.against)
        return Losses(things, None) if is_called else None
    again = Again(order.planned_from, None, asked_about=frozenset(lost))
    with_them = priced(whole, order_again(whole, before, again, effort)).bid
    return Losses(things, known.bid.total.likely - with_them.total.likely)


def _before(whole: Opened, order: StageOrder) -> IssuedOrder | None:
    """The issued order that one planned around a loss went on from; None where none was."""
    from planner.cli.order_issuing import issued_order
    from planner.pages.order_files import numbers

    issued = sorted(numbers(whole.folder))
    if order.planned_from is None or not issued:
        return None
    if not order.is_issued:
        return issued_order(whole.folder, issued[-1])
    return issued_order(whole.folder, issued[-2]) if len(issued) > 1 else None
