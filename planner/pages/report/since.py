"""What changed since the last issue: calls and dates of the order, sums of the bid.

Takes the matter of a page, gives a section. Works nothing out but counts.
"""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from planner.model.names import counted
from planner.pages.bid_changes import CAUSES_SAID
from planner.pages.order_changes import shift_words, stamp_words
from planner.pages.report.matter import short_day
from planner.pages.report.section import Section, rendered

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.bid.compare import Change, Comparison
    from planner.bid.revision import Issued
    from planner.order.changes import Changes, Moved
    from planner.pages.report.matter import Matter

_MOST_MOVED, _MOST_FINALS, _MOST_SUMS = 20, 20, 12
_MOST_NAMED = 12


def since(matter: Matter) -> Section | None:
    """What moved since the order people have, and what became of the bid they were given."""
    changes, compared = matter.followed.changes, matter.followed.compared
    if not matter.is_first or (changes is None and compared is None):
        return None
    html = rendered(
        "since.html",
        order=_order(matter, changes) if changes is not None else None,
        bid=_bid(matter, compared) if compared is not None else None,
    )
    return Section("since", "Since the last issue", html, "Since the last issue")


def _order(matter: Matter, changes: Changes) -> dict[str, object]:
    moved = list(_moved(matter, changes.moved))
    finals = sorted(changes.finals, key=lambda each: (-each.days, each.shot))
    return {
        "says": _opening(changes),
        "moved": moved[:_MOST_MOVED],
        "moved_more": max(len(moved) - _MOST_MOVED, 0),
        "finals": [
            (
                each.shot,
                matter.link(each.shot),
                short_day(each.was),
                short_day(each.now),
                shift_words(each.days),
            )
            for each in finals[:_MOST_FINALS]
        ],
        "finals_more": max(len(finals) - _MOST_FINALS, 0),
        "lists": [
            (name, _named([each.element for each in calls]))
            for name, calls in (("New calls of", changes.new), ("No longer called", changes.gone))
            if calls
        ]
        + [
            (name, _named(shots))
            for name, shots in (
                ("Composites dated now, not then", changes.gained),
                ("Composites dated then, not now", changes.lost),
            )
            if shots
        ],
    }


def _opening(changes: Changes) -> str:
    stamp = stamp_words(changes.since)
    said = f"{stamp[:1].upper()}{stamp[1:]}"
    if changes.is_nothing:
        return f"{said}: nothing has moved; {counted(changes.standing, 'call')} as issued."
    return (
        f"{said}: since then {counted(len(changes.moved), 'call')} moved,"
        f" {len(changes.new):,} new, {len(changes.gone):,} gone, {changes.standing:,} on their day."
    )


def _moved(matter: Matter, moved: Sequence[Moved]) -> Iterator[dict[str, str]]:
    """Calls of one element that moved alike are one row."""
    alike: dict[tuple[str, int, bool], list[Moved]] = {}
    for each in moved:
        alike.setdefault((each.call.element, each.days, each.is_elsewhere), []).append(each)
    for (element, days, elsewhere), held in alike.items():
        first = held[0]
        yield {
            "name": element,
            "link": matter.link(element) if matter.is_known(element) else "",
            "calls": counted(len(held), "call"),
            "was": short_day(first.was.starts),
            "now": short_day(first.call.starts),
            "shift": f"{shift_words(days)}{', with other things' if elsewhere else ''}",
            "because": first.because,
        }


def _named(names: Sequence[str]) -> str:
    known = list(dict.fromkeys(names))
    more = len(known) - _MOST_NAMED
    return ", ".join(known[:_MOST_NAMED]) + (f" and {more:,} more" if more > 0 else "")


def _bid(matter: Matter, found: Comparison) -> dict[str, object]:
    before, after = found.before, found.after
    sums = found.by_cause()
    causes = [
        (CAUSES_SAID[cause], _signed(sums[cause]), counted(len(list(group)), "line"))
        for cause, group in groupby(found.changes, key=lambda change: change.cause)
    ]
    ranked = sorted(found.changes, key=lambda change: -abs(change.difference))
    return {
        "currency": after.bid.currency,
        "totals": [
            (_stamped(before), before.bid.total),
            ("As it stands in this plan", after.bid.total),
        ],
        "difference": _signed(found.difference),
        "causes": causes,
        "largest": [_change(matter, each) for each in ranked[:_MOST_SUMS]],
        "more": max(len(ranked) - _MOST_SUMS, 0),
    }


def _stamped(issued: Issued) -> str:
    stamp = issued.stamp
    by = f" by {stamp.by}" if stamp.by else ""
    return f"{stamp.name[:1].upper()}{stamp.name[1:]}, issued {short_day(stamp.on)}{by}"


def _change(matter: Matter, change: Change) -> dict[str, str]:
    about = change.element or change.shot
    return {
        "name": about,
        "link": matter.link(about) if matter.is_known(about) else "",
        "what": change.what,
        "says": change.says or CAUSES_SAID[change.cause],
        "difference": _signed(change.difference),
    }


def _signed(amount: object) -> str:
    return f"{amount:+,.2f}"
