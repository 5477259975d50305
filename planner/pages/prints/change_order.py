"""A change order on paper: what a change costs, what moves, and who signs by when.

Takes a priced change, gives a sheet. Works nothing out.
"""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from planner.model.names import counted, day_words
from planner.pages.bid_changes import (
    BY_CUT,
    CAUSES_SAID,
    LOST,
    SINCE,
    cause_words,
    dates_said,
    lost_day,
    lost_words,
)
from planner.pages.prints.sheet import Listed, Rows, Said, Sheet, Table

if TYPE_CHECKING:
    from collections.abc import Iterator
    from decimal import Decimal

    from planner.bid.change_order import ChangeOrder
    from planner.bid.compare import Change
    from planner.bid.outlook import Moved
    from planner.pages.prints.sheet import Cell

BLANK = "____________________"
MOST = 15
"""Changes told one by one, the largest; the rest are one row."""


def change_order_sheet(order: ChangeOrder) -> Sheet:
    """What somebody signs: the sum, what it is made of, what is dead, what moves, until when.

    Args:
        order: priced.
    """
    found = order.comparison
    bid = found.after.bid
    stamp = found.before.stamp
    by = f" by {stamp.by}" if stamp.by else ""
    says = f"Changes {stamp.name}, issued {day_words(stamp.on)}{by}. Sums in {bid.currency}."
    blocks = (
        Rows(tuple(_facts(order))),
        _sums(order),
        _dead(order),
        *_lost(order),
        Listed("What moves", tuple(_moves(order))),
        Listed("Said otherwise beside the sums", order.comparison.terms),
        # Beside the sum, not behind pages of what it is made of.
        _signatures(order),
        Said(
            "Work on it begins once it is signed, unless a named person says otherwise in writing."
        ),
        _changes(order),
        *_finals(order),
    )
    return Sheet("Change order", f"to {stamp.name}", says, blocks, "")


def _facts(order: ChangeOrder) -> Iterator[tuple[str, Cell]]:
    yield "Cause", cause_words(order)
    until = order.valid_until
    yield "Valid until", day_words(until) if until else f"{BLANK} (no day is stated)"
    yield "Spent", "nothing posted" if order.spent is None else f"{order.spent:,.2f} on everything"


def _sums(order: ChangeOrder) -> Table:
    before, after = (each.bid.total for each in (order.comparison.before, order.comparison.after))
    rows = (
        ("Likely total before", f"{before.likely:,.2f}"),
        ("Added", _signed(order.added)),
        ("Saved", _signed(-order.saved)),
        *([("Spent, and counting no more", _signed(order.lost_cost))] if order.lost else []),
        ("Overhead and contingency", _signed(order.loads)),
        _net(order.net),
        ("Likely total after", f"{after.likely:,.2f}"),
    )
    return Table(("What it costs", "Likely"), rows, (1, 0), "", right=(1,), sums=2)


def _net(amount: Decimal) -> tuple[Cell, Cell]:
    if amount < 0:
        return "Net, less to pay", f"{-amount:,.2f}"
    return "Net, more to pay" if amount else "Net, nothing to pay", _signed(amount)


def _dead(order: ChangeOrder) -> Table:
    rows = tuple(
        (each.what, "still in the bid, unused" if each.is_in_bid else "spent", f"{each.cost:,.2f}")
        for each in order.dead
    )
    title = "No longer wanted, and not in what is saved"
    return Table(("What", "Where it stands", "Cost"), rows, (1, 0, 0), title, right=(2,))


def _lost(order: ChangeOrder) -> Iterator[Said | Table | Listed]:
    """What is paid and counts no more, row by row."""
    if not order.lost:
        return
    yield Said(LOST)
    rows = [(lost_words(each), f"{each.whole:,.2f}") for each in order.lost]
    table = (*rows, ("Together", f"{order.lost_cost:,.2f}"))
    yield Table(("What", "Cost"), table, (1, 0), "Spent, and counting no more", right=(1,), sums=1)
    if order.lost_days:
        yield Listed("Days held for it", tuple(lost_day(*each) for each in order.lost_days))


def _moves(order: ChangeOrder) -> Iterator[str]:
    yield from dates_said(order)
    if order.finals:
        yield f"{counted(len(order.finals), 'shot')} final on another day, as listed below."
    for name in order.insurance:
        yield f"Insurance, not waste: the spare of {name}."


def _finals(order: ChangeOrder) -> Iterator[Table]:
    """Days of finals; where what the cut moves is known, that first and the rest apart."""
    if order.without is None:
        yield _moved("Final on another day", ("Was final", "Now"), order.finals)
        return
    yield _moved(BY_CUT.removesuffix(":"), ("Without it", "Now"), order.finals_by_cut)
    yield _moved(SINCE.removesuffix(":"), ("Was final", "Planned on"), order.finals_since)


def _moved(title: str, heads: tuple[str, str], moves: tuple[Moved, ...]) -> Table:
    rows = tuple(
        (
            shot,
            day_words(before) if before else "not planned",
            day_words(after) if after else "wanted no more",
        )
        for shot, before, after in moves
    )
    return Table(("Shot", *heads), rows, (1, 1, 1), title)


def _changes(order: ChangeOrder) -> Table:
    """The largest changes, those of one cause together, and the rest as one."""
    found = order.comparison
    ranked = sorted(found.changes, key=lambda each: -abs(each.difference))
    kept, left = ranked[:MOST], ranked[MOST:]
    told = [each for each in found.changes if any(each is one for one in kept)]
    rows = [
        row
        for cause, group in groupby(told, key=lambda each: each.cause)
        for row in _of_cause(CAUSES_SAID[cause], list(group))
    ]
    if left:
        rest = sum((each.difference for each in left[1:]), left[0].difference)
        rows.append(("", f"and {counted(len(left), 'smaller one')}", "", _signed(rest)))
    heads = ("Cause", "What", "How", "Difference")
    title = "What it is made of" if rows else ""
    return Table(heads, tuple(rows), (1, 2, 1.4, 0), title, right=(3,))


def _of_cause(name: str, changes: list[Change]) -> Iterator[tuple[Cell, ...]]:
    for number, each in enumerate(changes):
        about = each.element or each.shot
        what = f"{about}: {each.what}" if about else each.what
        yield "" if number else name.capitalize(), what, each.says, _signed(each.difference)


def _signatures(order: ChangeOrder) -> Table | Said:
    if not order.signatures:
        return Said("Nobody is named to sign it: state them under bid: signatures in show.yaml.")
    # Two lines high, as people write larger than type.
    rows = tuple((("", name), ("", BLANK), ("", "______________")) for name in order.signatures)
    # The sum again: the table may stand on a page of its own.
    title = f"Signatures, to {_signed(order.net)} {order.comparison.after.bid.currency} likely"
    return Table(("Signed by", "Signature", "Date"), rows, (1, 0, 0), title)


def _signed(amount: Decimal) -> str:
    return f"{amount:+,.2f}" if amount else "0.00"
