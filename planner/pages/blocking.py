"""What holds up composites, as a table of the show, the chain of one shot, and for machines.

Takes a `Blocking`, gives text of 80 columns or JSON. Works nothing out.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from planner.model.names import counted, day_words, in_names, name_of
from planner.pages.order_text import counted_days, dates_rule
from planner.pages.wording import columns, folded, inert, name_said, plain

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from datetime import datetime

    from planner.model.show import Show
    from planner.status.blocking import Blocked, Blocking, Link, Root, Unwanted
    from planner.status.causes import Cause

MOST_NAMED = 3
MOST_ROOTS = 12


def blocking_text(blocking: Blocking, show: Show | None = None) -> str:
    """The chain of one composite, or a table of several, then the roots.

    Args:
        blocking: of the composites asked about.
        show: whose things are called by name; None leaves them as ids in words.
    """
    unposted = _unposted(blocking, show)
    if not blocking.blocked:
        return "\n".join([*unposted, *_nothing(blocking)]) + "\n"
    if len(blocking.blocked) == 1 and not blocking.done:
        blocks = _one(blocking, blocking.blocked[0], show)
    else:
        blocks = _several(blocking, show)
    blocks = [unposted, *blocks] if unposted else blocks
    blocks.append(folded(f"Of dates: {dates_rule(blocking.order)}.", "", "  "))
    return "\n\n".join("\n".join(each) for each in blocks) + "\n"


def _unposted(blocking: Blocking, show: Show | None) -> list[str]:
    """Past calls of which nothing is known; no line where all is."""
    known = blocking.unposted
    said = f"{known.says}; {known.remedy}." if known else ""
    return folded(in_names(said, show), "", "  ") if said else []


def root_name(id_: str, show: Show | None) -> str:
    """What people call a root: a thing, maybe with days: ``Tank stage away 2027-05-10``."""
    thing, blank, days = id_.partition(" ")
    return f"{_name(thing, show)}{blank}{days}"


def _name(id_: str, show: Show | None) -> str:
    return name_said(id_) if show is None else name_of(id_, show)


def _nothing(blocking: Blocking) -> list[str]:
    said = [f"{counted(len(blocking.done), 'composite')} asked about, all approved"]
    if not blocking.done and blocking.unwanted:
        said = [_unwanted(each) for each in blocking.unwanted]
    return folded(f"Nothing is held up: {'; '.join(said)}".rstrip(".") + ".", "", "  ")


def _unwanted(each: Unwanted) -> str:
    """``NB130 is omitted, by the director since Thu 6 May 2027``."""
    by = f", by {each.by}" if each.by else ""
    why = f": {each.why.rstrip('.')}" if each.why else ""
    where = f" ({each.place})" if each.place else ""
    return f"{each.id} is {each.state}{by}{_since(each.at)}{why}{where}"


def _one(blocking: Blocking, blocked: Blocked, show: Show | None) -> list[list[str]]:
    roots = {each.id: each for each in blocking.roots}
    chain = [row for each in blocked.links for row in _link(each, show)]
    blocks = [_opening(blocked), chain, _roots_of(blocked, roots, show)]
    # What has room of its own may still hold the hands or the stage that others wait for.
    gaining = {id_ for id_ in blocked.roots if _gain(roots[id_], blocked)}
    if spare := [each for each in blocked.links if each.room_days and each.id not in gaining]:
        spare.sort(key=lambda each: each.room_days or 0)
        rows = [row for each in spare for row in folded(_room(each, show), "  ", "    ")]
        blocks.append(["What does not delay it", *rows])
    return blocks


def _opening(blocked: Blocked) -> list[str]:
    lines = folded(f"{blocked.composite}: {blocked.words}{_since(blocked.links[0].since)}")
    lines += folded(_final(blocked), "  ", "    ")
    return lines


def _final(blocked: Blocked) -> str:
    if blocked.final is None:
        return "no date: what is left cannot be ordered; `platewright order` says why"
    said = f"done on {day_words(blocked.final)}, everything going on from today"
    delivery = blocked.delivery
    if delivery is None:
        return f"{said}; no delivery wants it"
    name = delivery.id.replace("_", " ")
    if blocked.late_days:
        late = days_words(blocked.late_days)
        return f"{said}: {late} after the {name} delivery of {delivery.day}"
    return f"{said}: in time for the {name} delivery of {delivery.day}"


def _link(link: Link, show: Show | None) -> Iterator[str]:
    yield from folded(f"{_name(link.id, show)}: {link.words}{_since(link.since)}", "", "  ")
    for cause in link.causes:
        yield from folded(cause_words(cause), "  ", "    ")
    if link.waits_for:
        waits_for = _and(_name(each, show) for each in link.waits_for)
        yield from folded(f"waits for {waits_for}", "  ", "    ")


def cause_words(cause: Cause) -> str:
    """A cause with who has it, since when, and the next act, a clause."""
    if cause.sort == "work":
        craft = f"{cause.by}: " if cause.by else ""
        if cause.by == cause.act:
            return f"next: {cause.act}"
        return f"next, {craft}{cause.act}"
    if cause.sort == "limit":
        return f"{cause.says}; {cause.act}"
    by = f", with {cause.by}" if cause.by else ""
    return f"{cause.says}{by}{_since(cause.since)}; next: {cause.act}"


def _roots_of(blocked: Blocked, roots: dict[str, Root], show: Show | None) -> list[str]:
    lines = [f"It begins at {counted(len(blocked.roots), 'root')}"]
    for id_ in blocked.roots:
        root = roots[id_]
        gain = _gain(root, blocked)
        gains = f", {days_words(gain)} sooner without it" if gain else ""
        tried = "" if root.gained is not None else ", not worked out what it costs (--roots)"
        cause = root.causes[0]
        said = cause.says if cause.sort == "limit" else cause.act
        lines += folded(f"{root_name(id_, show)}: {said}{gains or tried}", "  ", "    ")
    if blocked.shortens is not None:
        id_, days = blocked.shortens
        said = f"What would shorten it most: {root_name(id_, show)}, by {days_words(days)}."
        lines += folded(said, "", "  ")
    elif blocked.final is not None:
        lines += folded("No single one of those tried would bring it forward.", "", "  ")
    return lines


def _gain(root: Root, blocked: Blocked) -> float:
    """Working days that a composite would be done sooner were a root done; 0 where not tried."""
    return (root.gained or {}).get(blocked.composite, 0.0)


def _room(link: Link, show: Show | None) -> str:
    return f"{_name(link.id, show)} has {days_words(link.room_days or 0)} of room"


def _several(blocking: Blocking, show: Show | None) -> list[list[str]]:
    late = sum(1 for each in blocking.blocked if each.late_days)
    opening = (
        f"{counted(len(blocking.blocked), 'composite')} held up on {day_words(blocking.today)},"
        f" {late} late; {len(blocking.done)} approved."
    )
    room = max(columns(inert(each.composite)) for each in blocking.blocked)
    heading = f"{'':<{room}}  {'done on':<15}  {'late':>7}  {'pieces':>6}  begins at"
    rows = [row for each in blocking.blocked for row in _row(each, room, show)]
    shown = blocking.roots[:MOST_ROOTS]
    roots = [row for each in shown for row in _root(each, show)]
    if more := len(blocking.roots) - len(shown):
        roots.append(f"  and {more} more")
    title = "Roots, the most costly first"
    return [folded(opening, "", "  "), [heading, *rows], [title, *roots]]


def _row(blocked: Blocked, room: int, show: Show | None) -> list[str]:
    final = day_words(blocked.final) if blocked.final else "no date"
    late = ""
    if blocked.late_days:
        late = f"{plain(blocked.late_days)} {'day' if blocked.late_days == 1 else 'days'}"
    undone = len(blocked.links) - 1
    first = f"{inert(blocked.composite):<{room}}  {final:<15}  {late:>7}  {undone:>6}  "
    names = [root_name(each, show) for each in blocked.roots[:MOST_NAMED]]
    if more := len(blocked.roots) - len(names):
        names.append(f"{more} more")
    return folded(", ".join(names), first)


def _root(root: Root, show: Show | None) -> Iterator[str]:
    cause = root.causes[0]
    behind = counted(len(root.behind), "composite")
    lost = (
        f"; without it, {days_words(root.days_lost)} sooner, their gains added up"
        if root.days_lost
        else ""
    )
    tried = "; not worked out what it costs (--roots)" if root.gained is None else ""
    weight = (
        ""
        if root.weight == len(root.behind)
        else f" (counted as {plain(root.weight)} by the weights of their deliveries)"
    )
    said = f"{root_name(root.id, show)}: {behind} behind it{weight}{lost or tried}"
    yield from folded(said, "  ", "    ")
    for each in root.causes:
        yield from folded(cause_words(each), "    ", "      ")
    if cause.sort == "work" and cause.since:
        yield from folded(f"now {cause.says}{_since(cause.since)}", "    ", "      ")


def _and(names: Iterable[str]) -> str:
    named = list(names)
    return ", ".join(named[:-1]) + (" and " if len(named) > 1 else "") + named[-1]


def days_words(days: float) -> str:
    """``1.5 working days``."""
    return counted_days(round(days, 1))


def _since(moment: datetime | None) -> str:
    return f" since {day_words(moment)}" if moment else ""


def blocking_json(blocking: Blocking) -> str:
    """Every composite with its chain, and every root."""
    value = {
        "today": blocking.today.isoformat(),
        "blocked": [_blocked_json(each) for each in blocking.blocked],
        "roots": [_root_json(each) for each in blocking.roots],
        "done": list(blocking.done),
        "unwanted": [_unwanted_json(each) for each in blocking.unwanted],
        "unposted": _unposted_json(blocking),
        "by_order": blocking.order,
    }
    return json.dumps(value, indent=2, ensure_ascii=False)


def _unposted_json(blocking: Blocking) -> dict[str, object] | None:
    known = blocking.unposted
    if known is None:
        return None
    return {
        "order": known.order,
        "before": known.day.isoformat(),
        "calls": list(known.calls),
        "taken_as_done": known.is_taken_as_done,
        "going_on": list(known.going_on),
    }


def _unwanted_json(each: Unwanted) -> dict[str, object]:
    return {
        "id": each.id,
        "state": each.state,
        "by": each.by,
        "since": _moment(each.at),
        "why": each.why,
        "place": each.place,
    }


def _blocked_json(blocked: Blocked) -> dict[str, object]:
    delivery, shortens = blocked.delivery, blocked.shortens
    return {
        "composite": blocked.composite,
        "shot": blocked.shot,
        "state": blocked.words,
        "final": _moment(blocked.final),
        "delivery": {"id": delivery.id, "day": delivery.day.isoformat()} if delivery else None,
        "late_working_days": blocked.late_days,
        "roots": list(blocked.roots),
        "shortens_most": {"root": shortens[0], "working_days": shortens[1]} if shortens else None,
        "chain": [_link_json(each) for each in blocked.links],
    }


def _link_json(link: Link) -> dict[str, object]:
    return {
        "id": link.id,
        "state": link.words,
        "since": _moment(link.since),
        "causes": [_cause_json(each) for each in link.causes],
        "waits_for": list(link.waits_for),
        "room_working_days": link.room_days,
    }


def _cause_json(cause: Cause) -> dict[str, object]:
    return {
        "sort": cause.sort,
        "says": cause.says,
        "by": cause.by,
        "since": _moment(cause.since),
        "next": cause.act,
    }


def _root_json(root: Root) -> dict[str, object]:
    return {
        "id": root.id,
        "causes": [_cause_json(each) for each in root.causes],
        "behind": list(root.behind),
        "weight": root.weight,
        "gained_working_days": dict(root.gained) if root.gained is not None else None,
    }


def _moment(moment: datetime | None) -> str | None:
    return moment.isoformat() if moment else None
