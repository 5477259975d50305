"""Days held, thing by thing, where two bids are compared.

Takes a comparison, gives text of 80 columns. A day that is held is shared by the pieces called on
it, so that piece by piece only parts of days move; of the thing itself they are whole days. Works
nothing out but sums.
"""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal
from typing import TYPE_CHECKING

from planner.bid.holding import DAYS_HELD
from planner.model.names import noun
from planner.pages.wording import folded, plain

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.bid import Bid
    from planner.bid.compare import Change, Comparison

_MOVED = frozenset({"quantity", "new", "gone"})


def apart(found: Comparison) -> tuple[tuple[Change, ...], tuple[Change, ...]]:
    """Changes of the days that things are held, and all others; what a day costs is another."""
    parts: dict[bool, list[Change]] = {True: [], False: []}
    for each in found.changes:
        parts[each.what.endswith(DAYS_HELD) and each.cause in _MOVED].append(each)
    return tuple(parts[True]), tuple(parts[False])


def held_rows(found: Comparison, held: Sequence[Change]) -> Iterator[str]:
    """A heading with their sum, then each thing with its days before and after."""
    if not held:
        return
    sums: defaultdict[str, Decimal] = defaultdict(Decimal)
    for each in held:
        sums[each.what] += each.difference
    before, after = _days(found.before.bid), _days(found.after.bid)
    yield f"{'days held':40}{sum(sums.values(), Decimal(0)):>+20,.2f}"
    for what in sorted(sums, key=lambda each: (-abs(sums[each]), each)):
        was, now = (plain(round(float(days.get(what, 0)), 2)) for days in (before, after))
        if was == now and not sums[what]:
            continue
        moved = "shared out anew" if was == now else f"{was} to {now} {noun(float(now), 'day')}"
        says = f"{what.removesuffix(DAYS_HELD)}, {moved}"
        head, *rest = folded(says, "  ", "    ", width=59)
        yield f"{head:60}{sums[what]:>+20,.2f}"
        yield from rest


def _days(bid: Bid) -> dict[str, Decimal]:
    """Days held by what is paid for; a line that is shared has its part of them."""
    days: defaultdict[str, Decimal] = defaultdict(Decimal)
    for line in bid.lines:
        if line.what.endswith(DAYS_HELD) and line.reckoning is not None:
            before, until, whole = line.reckoning.cut or (Decimal(0), Decimal(1), Decimal(1))
            days[line.what] += line.reckoning.likely * (until - before) / whole
    return days
