"""The show at a glance, and the list of sequences of a report on several pages.

Takes the matter of a page, gives sections. Works nothing out but counts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.names import counted
from planner.pages.order_text import counted_days
from planner.pages.plan import SETTLED
from planner.pages.problems import severities_said
from planner.pages.report.matter import day_span, short_day
from planner.pages.report.section import Section, rendered
from planner.pages.wording import inert

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.model.show import Delivery
    from planner.pages.report.matter import Matter

_LATEST = 20  # shots late that are named at once; every shot says it of itself


def glance(matter: Matter) -> Section | None:
    """Size, dates, cost, deliveries, and what is wrong, in a screenful."""
    if not matter.is_first:
        return None
    late = list(_late(matter))
    html = rendered(
        "glance.html",
        facts=list(_facts(matter)),
        deliveries=[_delivery(matter, each) for each in matter.plan.show.deliveries],
        late=[(shot, matter.link(shot), said) for shot, said in late[:_LATEST]],
        later=len(late[_LATEST:]),
    )
    return Section("glance", "The show at a glance", html, "At a glance")


def _facts(matter: Matter) -> Iterator[tuple[str, str]]:
    show, order, bid = matter.plan.show, matter.plan.order, matter.plan.bid
    live = sum(1 for shot in show.shots.values() if shot.is_live)
    pieces = sum(1 for element in show.elements.values() if element.shot)
    yield (
        "Shots",
        f"{live:,} live of {len(show.shots):,}, in {counted(len(show.sequences), 'sequence')}",
    )
    others = len(show.elements) - pieces
    yield "Made of", f"{counted(pieces, 'element')}, and {counted(others, *SETTLED)}"
    if order.calls:
        last = max(call.ends for call in order.calls)
        held = sum(len(days) for days in order.days_held.values())
        yield (
            "Work",
            f"{counted(len(order.calls), 'call')}, {day_span(order.calls[0].starts, last)}",
        )
        yield "Stages", f"{counted(held, 'day')} held on {counted(len(order.days_held), 'stage')}"
    total = bid.total
    yield (
        f"Cost, {bid.currency}",
        f"{total.likely:,.0f} likely, {total.low:,.0f} to {total.high:,.0f}, loads included",
    )
    missing = counted(len(matter.plan.estimates.missing), "fact")
    yield "Found", f"{severities_said(matter.plan.findings)}; {missing} missing"


def _delivery(matter: Matter, delivery: Delivery) -> dict[str, str]:
    plan = matter.plan
    wanted = [shot for shot in delivery.shots if plan.show.shots[shot].is_live]
    finals = [plan.order.finals[shot] for shot in wanted if shot in plan.order.finals]
    late = sum(1 for each in finals if each.date() > delivery.day)
    undated = len(wanted) - len(finals)
    said = counted(late, "shot") + " late" if late else "in time"
    if undated:
        said = f"{counted(undated, 'shot')} without a date{f', {said}' if finals else ''}"
    return {
        "name": delivery.id.replace("_", " "),
        "day": short_day(delivery.day),
        "shots": f"{len(wanted):,}",
        "done": short_day(max(finals)) if finals else "",
        "said": said,
    }


def _late(matter: Matter) -> Iterator[tuple[str, str]]:
    order = matter.plan.order
    for shot, days in sorted(order.late.items(), key=lambda each: (-each[1], each[0])):
        final = order.finals.get(shot)
        done = f", done on {short_day(final)}" if final else ""
        yield shot, f"is late by {counted_days(days)}{done}"


def _in_words(late: int, errors: int, *, is_dated: bool) -> str:
    in_time = "in time" if is_dated else "without a date"
    said = f"{counted(late, 'shot')} late" if late else in_time
    return f"{said}, {counted(errors, 'error')}" if errors else said


def sequences(matter: Matter) -> Section | None:
    """The pages of the sequences, with what stands in each."""
    if not matter.is_split or not matter.is_first:
        return None
    show, order = matter.plan.show, matter.plan.order
    rows = []
    for sequence in show.sequences.values():
        live = [shot for shot in sequence.shots if show.shots[shot].is_live]
        finals = [order.finals[shot] for shot in live if shot in order.finals]
        ids = [id_ for shot in live for id_ in (shot, *show.shots[shot].elements)]
        rows.append(
            {
                "title": inert(sequence.called),
                "link": matter.home(sequence.id),
                "shots": f"{len(live):,} of {len(sequence.shots):,}",
                "done": short_day(max(finals)) if finals else "",
                "said": _in_words(
                    sum(1 for shot in live if shot in order.late),
                    len(matter.errors(ids)),
                    is_dated=bool(finals),
                ),
            }
        )
    html = rendered("sequences.html", rows=rows)
    return Section("sequences", "Sequences", html, "Sequences")
