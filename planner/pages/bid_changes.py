"""Two revisions side by side, and a change order, as text or JSON.

Takes comparisons and change orders, gives text of 80 columns. Works nothing out.
"""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING

from planner.bid.compare import NIL
from planner.model.names import counted
from planner.pages.held_days import apart, held_rows
from planner.pages.wording import folded, name_said

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import date
    from decimal import Decimal

    from planner.bid.change_order import ChangeOrder, Dead, Lost
    from planner.bid.compare import Cause, Change, Comparison
    from planner.bid.outlook import Moved
    from planner.bid.revision import Issued

_FIRST = 12
_FEW = 3
CAUSES_SAID: dict[Cause, str] = {
    "quantity": "more or less of it",
    "rate": "dearer or cheaper",
    "new": "new",
    "gone": "gone",
    "method": "made another way",
    "load": "overhead and contingency",
}


def comparison_text(found: Comparison, *, every: bool = False) -> str:
    """The totals of both, and what made the difference, by cause.

    Args:
        found: two revisions compared.
        every: every change, not the largest of each cause alone.
    """
    before, after = found.before, found.after
    currency = after.bid.currency
    lines = [f"{after.bid.title}: {before.stamp.name} and {after.stamp.name}, in {currency}", ""]
    lines += [*_stamp(before), *_stamp(after), ""]
    lines.append(f"{'':20}{'low':>20}{'likely':>20}{'high':>20}")
    for each in (before, after):
        total = each.bid.total
        lines.append(
            f"{each.stamp.name:20}{total.low:>20,.2f}{total.likely:>20,.2f}{total.high:>20,.2f}"
        )
    lines += [f"{'difference':40}{found.difference:>+20,.2f}", ""]
    if not found.changes and not found.terms:
        lines.append("Nothing differs.")
    held, others = ((), found.changes) if every else apart(found)
    lines += held_rows(found, held)
    for cause, group in groupby(others, key=lambda change: change.cause):
        told = list(group)
        lines.append(f"{CAUSES_SAID[cause]:40}{sum(e.difference for e in told):>+20,.2f}")
        lines += _largest(told, every=every)
    lines += _terms(found)
    return "".join(f"{line}\n" for line in lines)


def _terms(found: Comparison) -> Iterator[str]:
    if found.terms:
        yield "said otherwise beside the sums"
        for each in found.terms:
            yield from folded(each, "  ", "    ")


def stamp_text(issued: Issued) -> str:
    """Which revision it is, issued when, by whom, and what they said of it."""
    return "".join(f"{row}\n" for row in _stamp(issued))


def _stamp(issued: Issued) -> Iterator[str]:
    stamp = issued.stamp
    if stamp.number:
        by = f" by {stamp.by}" if stamp.by else ""
        note = f": {stamp.note}" if stamp.note else ""
        yield from folded(f"{stamp.name}, issued {stamp.on}{by}{note}", "", "  ")


def _largest(changes: Sequence[Change], *, every: bool) -> Iterator[str]:
    ranked = sorted(changes, key=lambda change: -abs(change.difference))
    for change in ranked if every else ranked[:_FIRST]:
        who = name_said(change.element) or change.shot
        says = f"{who}: {change.what}" if who else change.what
        says += f", {change.says}" if change.says else ""
        head, *rest = folded(says, "  ", "    ", width=59)
        yield f"{head:60}{change.difference:>+20,.2f}"
        yield from rest
    left = ranked[_FIRST:]
    if left and not every:
        rest_ = sum((change.difference for change in left[1:]), left[0].difference)
        yield f"  {'and ' + counted(len(left), 'smaller one'):58}{rest_:>+20,.2f}"


def change_order_text(order: ChangeOrder) -> str:
    """What a change costs, with the days, who signs, and until when."""
    found = order.comparison
    bid = found.after.bid
    lines = [
        *folded(f"{bid.title}: change to {found.before.stamp.name}, in {bid.currency}"),
        *folded(f"cause: {cause_words(order)}", "", "  "),
        "",
    ]
    if order.spent is None:
        lines.append(NO_COSTS)
    else:
        lines.append(f"{'spent to date, on everything, by actuals.csv':58}{order.spent:>20,.2f}")
    lines += [
        _sum("added", order.added),
        _sum("saved", -order.saved),
        *([_sum("spent, and counting no more", order.lost_cost)] if order.lost else []),
        _sum("overhead and contingency", order.loads),
        _net(order.net),
        *_net_apart(order),
        "",
    ]
    spent_on = [each for each in order.dead if not each.is_in_bid]
    unused = [each for each in order.dead if each.is_in_bid]
    lines += _dead("Dead: spent on what is no longer wanted, and not in what is saved:", spent_on)
    lines += _dead("Still in the bid, though nobody uses it now; not in what is saved:", unused)
    lines += _lost(order)
    lines += (f"Insurance, not waste: the spare of {name}." for name in order.insurance)
    lines += _terms(found)
    lines += _dates(order)
    lines.append("")
    lines += _signatures(order)
    return "".join(f"{line}\n" for line in lines)


def cause_words(order: ChangeOrder) -> str:
    """Whose the change is; else what was posted of what is made again, as far as it is."""
    if order.cause:
        return order.cause
    posted = [lost_words(replace(each, held=NIL)) for each in order.lost if not each.is_omitted]
    more = f"; and {len(posted) - _FEW} more" if len(posted) > _FEW else ""
    return f"as posted: {'; '.join(posted[:_FEW])}{more}" if posted else "not stated"


def _sum(name: str, amount: Decimal) -> str:
    return f"{name:58}{amount:>+20,.2f}"


def _net(amount: Decimal) -> str:
    if amount < 0:
        return f"{'net, less to pay':58}{-amount:>20,.2f}"
    return _sum("net, more to pay" if amount else "net, nothing to pay", amount)


def _net_apart(order: ChangeOrder) -> Iterator[str]:
    """What of the net comes of the cut, and of planning alone."""
    if order.without is not None:
        yield _sum("  of it made by the cut, the order planned on alike", order.net_by_cut)
        yield _sum("  of it come of all else since, the order planned on", order.net_since)
    if order.by_planning:
        # Of both parts above, so that it is no third one beside them.
        whose = "within both" if order.without is not None else "of it"
        said = f"  {whose}, before loads: days held and overtime"
        yield _sum(said, order.by_planning)


def _dead(heading: str, things: Sequence[Dead]) -> Iterator[str]:
    if things:
        yield heading
    for each in things:
        head, *rest = folded(each.what, "  ", "    ", width=57)
        yield f"{head:58}{each.cost:>20,.2f}"
        yield from rest


NO_COSTS = "no costs are posted (actuals.csv), so what is made is taken as bid"

LOST = (
    "Made, and counting no more: lost, refused, dead since facts changed, or omitted. It was paid,"
    " as posted, else as priced, and what is made again is paid once more. Before loads:"
)


def _lost(order: ChangeOrder) -> Iterator[str]:
    if not order.lost:
        return
    yield from folded(LOST, "", "  ")
    for each in order.lost:
        head, *rest = folded(lost_words(each), "  ", "    ", width=57)
        yield f"{head:58}{each.whole:>20,.2f}"
        yield from rest
    if len(order.lost) > 1:
        yield f"{'  together':58}{order.lost_cost:>20,.2f}"
    for stage, day in order.lost_days:
        yield from folded(lost_day(stage, day), "  ", "    ")


def lost_words(lost: Lost) -> str:
    """What it is, why it counts no more, and how much of its cost it is held by the day."""
    held = f", {lost.held:,.2f} of it days held" if lost.held else ""
    return f"{name_said(lost.element)}, {lost.why}{held}"


def lost_day(stage: str, day: date) -> str:
    """That a day was held for what counts no more."""
    return f"{name_said(stage)} on {day}: held for it, and by no order now; in the sum above"


def _dates(order: ChangeOrder) -> Iterator[str]:
    for said in dates_said(order):
        yield from folded(said)
    if order.without is None:
        for shot, before, after in order.finals:
            was = f"was final {before}" if before else "was not planned"
            yield f"  {shot} {was}, now {after or 'wanted no more'}"
        return
    if order.finals_by_cut:
        yield BY_CUT
    for shot, before, after in order.finals_by_cut:
        yield f"  {shot} final {after or 'no more'}, without it {before or 'not wanted'}"
    if order.finals_since:
        yield SINCE
    for shot, before, after in order.finals_since:
        yield f"  {shot} was final {before or 'on no day'}, planned on {after or 'on none'}"


BY_CUT = "Moved by the cut, the order searched for with it and without it:"
SINCE = "Moved since, with the cut or without it:"


def dates_said(order: ChangeOrder) -> Iterator[str]:
    """By how much the last call and the days held move, and how much of that is the cut's."""
    if order.as_issued:
        said = (
            f"Days are those of {order.as_issued}, not planned again since: what is made again has"
            " none yet, and moves nobody; `platewright order SHOW --from DAY` gives it some"
        )
    elif not order.days:
        said = "The last call stays on its day"
    else:
        later = "later" if order.days > 0 else "earlier"
        said = f"The last call is {counted(abs(order.days), 'working day')} {later}"
    if order.days_by_cut and order.days_by_cut != order.days:
        later = "later" if order.days_by_cut > 0 else "earlier"
        own = counted(abs(order.days_by_cut), "working day")
        said = f"{said}, {own} {later} than without the cut"
    elif order.days and order.without is not None and not order.days_by_cut:
        said = f"{said}, with the cut or without it"
    yield f"{said}."
    if order.stage_days:
        more = "more" if order.stage_days > 0 else "fewer"
        yield f"{counted(abs(order.stage_days), 'stage day')} {more} held."


def _signatures(order: ChangeOrder) -> Iterator[str]:
    if not order.signatures:
        yield "Nobody is named to sign it; show.yaml, bid: signatures."
    for name in order.signatures:
        yield f"  {name:30}______________________________  date __________"
    until = order.valid_until
    yield f"Valid until {until or '____ (no day is stated)'}."
    yield from folded(
        "Work on it begins once it is signed, unless a named person says otherwise in writing."
    )


def comparison_json(found: Comparison) -> str:
    """Both totals and every change; sums are text, so that no cent is lost."""
    return json.dumps(_comparison(found), indent=2, ensure_ascii=False)


def change_order_json(order: ChangeOrder) -> str:
    """The order with its comparison."""
    return json.dumps(
        {
            "cause": order.cause,
            "spent": None if order.spent is None else str(order.spent),
            "added": str(order.added),
            "saved": str(order.saved),
            "loads": str(order.loads),
            "net": str(order.net),
            "spent_again": str(order.lost_cost),
            "by_planning": str(order.by_planning),
            "dead": [
                {"what": each.what, "cost": str(each.cost), "in_bid": each.is_in_bid}
                for each in order.dead
            ],
            "lost": [
                {
                    "element": each.element,
                    "cost": str(each.cost),
                    "days_held": str(each.held),
                    "why": each.why,
                    "is_omitted": each.is_omitted,
                }
                for each in order.lost
            ],
            "days_lost": [[stage, day.isoformat()] for stage, day in order.lost_days],
            "insurance": list(order.insurance),
            "working_days": order.days,
            "stage_days": order.stage_days,
            "finals": _finals(order.finals),
            **(_apart(order) if order.without is not None else {}),
            "signatures": list(order.signatures),
            "valid_until": _day(order.valid_until),
            "comparison": _comparison(order.comparison),
        },
        indent=2,
        ensure_ascii=False,
    )


def _apart(order: ChangeOrder) -> dict[str, object]:
    """What the cut makes, and what would have come without it."""
    return {
        "net_since": str(order.net_since),
        "working_days_by_cut": order.days_by_cut,
        "finals_by_cut": _finals(order.finals_by_cut),
        "finals_since": _finals(order.finals_since),
    }


def _finals(moves: Iterable[Moved]) -> list[dict[str, str | None]]:
    return [
        {"shot": shot, "before": _day(before), "after": _day(after)}
        for shot, before, after in moves
    ]


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _comparison(found: Comparison) -> dict[str, object]:
    return {
        "before": _total(found.before),
        "after": _total(found.after),
        "difference": str(found.difference),
        "by_cause": {cause: str(each) for cause, each in found.by_cause().items()},
        "changes": [
            {
                "cause": change.cause,
                "element": change.element,
                "shot": change.shot,
                "what": change.what,
                "craft": change.craft,
                "before": None if change.before is None else str(change.before),
                "after": None if change.after is None else str(change.after),
                "difference": str(change.difference),
                "says": change.says,
            }
            for change in found.changes
        ],
        "terms": list(found.terms),
    }


def _total(issued: Issued) -> dict[str, object]:
    total = issued.bid.total
    return {
        "revision": issued.stamp.number or None,
        "low": str(total.low),
        "likely": str(total.likely),
        "high": str(total.high),
    }
