"""Calendars to subscribe to: RFC 5545 files per stage, per crew and per person.

Takes dated calls and the calendar as last given out, gives text of calendar files. An event keeps
its UID for as long as its element and work keep their names, and its SEQUENCE rises each time it
is given out changed; one that is gone is kept as cancelled, so that it leaves people's
calendars too. Knows nothing of files or clocks.

Source:
    RFC 5545, sections 3.1 (folding), 3.3.11 (escaping), 3.8.1.11 (STATUS), 3.8.4.7 (UID),
    3.8.7.4 (SEQUENCE).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING
from uuid import NAMESPACE_URL, uuid5

from planner.model.names import counted, name_of, set_up_words, title_of
from planner.pages.order_text import held_names
from planner.pages.prints.dated import stretches
from planner.pages.wording import figure, inert

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from datetime import datetime
    from zoneinfo import ZoneInfo

    from icalendar import Calendar, Event

    from planner.model.show import Show
    from planner.pages.prints.dated import Dated, Stretch

PRODUCT = "-//Platewright//Stage order//EN"
OURS = "platewright:calls"
"""Begins every UID's name, before it is hashed."""
FILED = ("stage", "crew", "person")


@dataclass(frozen=True, slots=True)
class Entry:
    """One day of one call, as it stands in one calendar.

    Attributes:
        uid: the same whenever it is given out.
        starts: wall clock.
        ends: wall clock.
        summary: element and work.
        place: where; may be empty.
        says: set-up, hands and what is held.
        is_doubted: whether something posted stands against it.
    """

    uid: str
    starts: datetime
    ends: datetime
    summary: str
    place: str
    says: str
    is_doubted: bool = False


@dataclass(frozen=True, slots=True)
class Issue:
    """What holds for all calendars given out at once.

    Attributes:
        stamp: when, with its zone; the clock of whoever gives them out.
        zone: of the show's wall clock; None where it states none, and times float.
        source: which order they are of.
        number: least SEQUENCE of what is new or changed; higher whenever an order was issued or
            something posted since, so that numbers rise in whatever folder they are written to.
    """

    stamp: datetime
    zone: ZoneInfo | None
    source: str
    number: int = 0


def calendars(show: Show, dated: Dated) -> dict[str, tuple[str, tuple[Entry, ...]]]:
    """Entries by name of their file, with the calendar's title.

    Every stage, crew and person of the show has one, with no entries where nothing calls them, so
    that whoever subscribed sees that.

    Args:
        show: for names.
        dated: the order.
    """
    return {
        f"{resource.sort}_{resource.id}.ics": (
            f"{show.title}: {title_of(resource.id, show)}",
            tuple(_entries(show, dated, resource.id)),
        )
        for sort in FILED
        for resource in show.resources_of(sort)
    }


def _entries(show: Show, dated: Dated, id_: str) -> Iterator[Entry]:
    mine = [call for call in dated.calls if id_ in call.holds or id_ == call.stage]
    # Hands beside a camera are called for their own part in it, where the camera is.
    told = {call.during for call in mine if call.work.beside}
    stages = {call.id: call.stage for call in dated.calls} if told else {}
    for call in mine:
        if call.id not in told:
            there = replace(call, stage=stages[call.during]) if call.work.beside else call
            for each in stretches(there, show.calendar):
                yield _entry(show, each, id_)


def _entry(show: Show, stretch: Stretch, id_: str) -> Entry:
    call = stretch.call
    name = "\n".join((OURS, show.title, id_, call.element, call.work.name, str(stretch.number)))
    place = title_of(call.stage, show) if call.stage else ""
    says = [f"Set-up: {set_up_words(call.work.set_up, show)}"] if call.work.set_up else []
    says.append(f"{call.work.craft.replace('_', ' ')}, {counted(call.work.heads, 'hand')}")
    says.append(f"{figure(call.hours, 'h')} in all, until {call.ends:%Y-%m-%d %H:%M}")
    says += [f"With {', '.join(names)}"] if (names := held_names(call, show)) else []
    says[:0] = call.against
    return Entry(
        str(uuid5(NAMESPACE_URL, name)),
        stretch.starts,
        stretch.ends,
        inert(f"{name_of(call.element, show)}: {call.work.name}"),
        inert(place),
        "\n".join(map(inert, says)),
        bool(call.against),
    )


def calendar_bytes(
    title: str,
    entries: tuple[Entry, ...],
    issue: Issue,
    before: bytes | None = None,
    earlier: Iterable[Entry] = (),
) -> bytes:
    """A calendar file.

    Args:
        title: of the calendar.
        entries: in it.
        issue: stamp, zone and source.
        before: the file as last given out; None the first time.
        earlier: what issued orders called, oldest first; those of a day not past that are neither
            called now nor in `before` are cancelled too, wherever they were given out.

    Raises:
        ValueError: `before` is no calendar of ours.
    """
    from icalendar import Calendar

    old = _events(before) if before is not None else {}
    made = Calendar()
    for name, value in (
        ("prodid", PRODUCT),
        ("version", "2.0"),
        ("calscale", "GREGORIAN"),
        ("method", "PUBLISH"),
        ("x-wr-calname", inert(title)),
        ("x-wr-caldesc", inert(issue.source)),
    ):
        made.add(name, value)
    current = {each.uid: _event(each, issue) for each in entries}
    for uid, event in current.items():
        made.add_component(_numbered(event, old.get(uid), issue))
    called = {each.uid: each for each in earlier if each.ends.date() >= issue.stamp.date()}
    withdrawn = {uid: _once_given_out(each, issue) for uid, each in called.items()}
    for uid, event in {**withdrawn, **old}.items():
        if uid not in current:
            made.add_component(_cancelled(event, issue))
    if issue.zone is not None:
        made.add_missing_timezones()
    data: bytes = made.to_ical()
    return data


def checked(data: bytes) -> str:
    """Why a file cannot be gone on from, a clause; empty where it can."""
    try:
        _read(data)
    except ValueError as error:
        return str(error)
    return ""


def _events(data: bytes) -> Mapping[str, Event]:
    from icalendar import Event

    found = _read(data).walk("VEVENT")
    return {str(each["uid"]): each for each in found if isinstance(each, Event)}


def _read(data: bytes) -> Calendar:
    from icalendar import Calendar

    try:
        read = Calendar.from_ical(data)
    except (ValueError, KeyError, IndexError) as error:
        raise ValueError(f"it is no calendar: {error}") from error
    if str(read.get("prodid")) != PRODUCT:
        raise ValueError(f"it is a calendar of another program: {read.get('prodid')}")
    return read


def _event(entry: Entry, issue: Issue) -> Event:
    from icalendar import Event

    made = Event()
    made.add("uid", entry.uid)
    made.add("summary", entry.summary)
    made.add("dtstart", entry.starts.replace(tzinfo=issue.zone))
    made.add("dtend", entry.ends.replace(tzinfo=issue.zone))
    if entry.place:
        made.add("location", entry.place)
    made.add("description", entry.says)
    made.add("status", "TENTATIVE" if entry.is_doubted else "CONFIRMED")
    return made


def _numbered(event: Event, before: Event | None, issue: Issue) -> Event:
    """With its SEQUENCE and stamp: as before where nothing changed, else a higher one and now."""
    if before is not None and _said(event) == _said(before):
        event.add("sequence", _sequence(before))
        event["dtstamp"] = before["dtstamp"]
        return event
    event.add("sequence", _next(before, issue))
    event.add("dtstamp", issue.stamp)
    return event


def _once_given_out(entry: Entry, issue: Issue) -> Event:
    """As it stood in some calendar, numbered as high as any until now can have been."""
    event = _event(entry, issue)
    event.add("sequence", issue.number)
    return event


def _next(before: Event | None, issue: Issue) -> int:
    return max(issue.number, 0 if before is None else _sequence(before) + 1)


def _sequence(event: Event) -> int:
    return int(str(event.get("sequence", 0)))


def _cancelled(before: Event, issue: Issue) -> Event:
    if str(before.get("status")) == "CANCELLED":
        return before
    event = before.copy()
    event["sequence"] = _next(before, issue)
    for name, value in (("status", "CANCELLED"), ("dtstamp", issue.stamp)):
        event.pop(name, None)
        event.add(name, value)
    return event


def _said(event: Event) -> bytes:
    """All that would make people look again."""
    bare = event.copy()
    for name in ("sequence", "dtstamp"):
        bare.pop(name, None)
    said: bytes = bare.to_ical()
    return said
