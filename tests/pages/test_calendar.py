"""Calendars read back: who is called when, and what changes on re-issue (RFC 5545)."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from planner.pages.calendar import Entry, Issue, calendar_bytes, checked

MONDAY = datetime(2027, 3, 1, 12, tzinfo=UTC)
TUESDAY = datetime(2027, 3, 2, 12, tzinfo=UTC)
FIRST = Issue(MONDAY, None, "Order 1")
SECOND = Issue(TUESDAY, None, "Order 2")
ENTRY = Entry(
    "uid-1", datetime(2027, 3, 1, 8), datetime(2027, 3, 1, 9), "A.town: set up", "North", "says"
)


def _read(data: bytes) -> list:
    return list(Calendar.from_ical(data).walk("VEVENT"))


def test_times_are_local_and_of_no_zone_where_the_show_states_none() -> None:
    data = calendar_bytes("North", (ENTRY,), FIRST)
    assert b"DTSTART:20270301T080000\r\n" in data
    assert b"VTIMEZONE" not in data


def test_a_zone_is_named_and_described() -> None:
    zoned = Issue(MONDAY, ZoneInfo("Europe/London"), "Order 1")
    data = calendar_bytes("North", (ENTRY,), zoned)
    assert b"DTSTART;TZID=Europe/London:20270301T080000\r\n" in data
    assert b"BEGIN:VTIMEZONE\r\nTZID:Europe/London" in data


def test_what_did_not_change_keeps_its_number_and_stamp() -> None:
    first = calendar_bytes("North", (ENTRY,), FIRST)
    (event,) = _read(calendar_bytes("North", (ENTRY,), SECOND, first))
    assert int(event["sequence"]) == 0
    assert event["dtstamp"].dt == MONDAY


def test_what_did_not_change_keeps_its_number_in_a_zone_too() -> None:
    zone = ZoneInfo("Europe/London")
    first = calendar_bytes("North", (ENTRY,), Issue(MONDAY, zone, "Order 1"))
    (event,) = _read(calendar_bytes("North", (ENTRY,), Issue(TUESDAY, zone, "Order 2"), first))
    assert int(event["sequence"]) == 0


def test_a_call_that_moves_keeps_its_uid_and_its_number_rises() -> None:
    first = calendar_bytes("North", (ENTRY,), FIRST)
    moved = replace(ENTRY, starts=datetime(2027, 3, 1, 10), ends=datetime(2027, 3, 1, 11))
    (event,) = _read(calendar_bytes("North", (moved,), SECOND, first))
    assert str(event["uid"]) == "uid-1"
    assert int(event["sequence"]) == 1
    assert event["dtstamp"].dt == TUESDAY


def test_a_call_that_is_gone_is_cancelled_once() -> None:
    first = calendar_bytes("North", (ENTRY,), FIRST)
    second = calendar_bytes("North", (), SECOND, first)
    (event,) = _read(calendar_bytes("North", (), SECOND, second))
    assert str(event["status"]) == "CANCELLED"
    assert int(event["sequence"]) == 1


def test_a_call_that_comes_back_is_confirmed_again() -> None:
    first = calendar_bytes("North", (ENTRY,), FIRST)
    second = calendar_bytes("North", (), SECOND, first)
    (event,) = _read(calendar_bytes("North", (ENTRY,), SECOND, second))
    assert str(event["status"]) == "CONFIRMED"
    assert int(event["sequence"]) == 2


def test_what_an_earlier_order_called_is_cancelled_in_a_new_folder_too() -> None:
    # Given out under number 3 or less wherever it was, so that 4 is higher.
    issue = replace(SECOND, number=3)
    tuesday = replace(
        ENTRY, uid="uid-2", starts=datetime(2027, 3, 2, 8), ends=datetime(2027, 3, 2, 9)
    )
    kept = replace(tuesday, uid="uid-3")
    data = calendar_bytes("North", (kept,), issue, None, (ENTRY, tuesday, kept))
    events = {str(each["uid"]): each for each in _read(data)}
    # What Monday held is past on Tuesday: it was worked or not, and nobody need be told.
    assert set(events) == {"uid-2", "uid-3"}
    assert (str(events["uid-2"]["status"]), int(events["uid-2"]["sequence"])) == ("CANCELLED", 4)
    assert str(events["uid-3"]["status"]) == "CONFIRMED"


def test_what_is_cancelled_already_is_not_cancelled_anew() -> None:
    entry = replace(ENTRY, ends=datetime(2027, 3, 2, 9))
    first = calendar_bytes("North", (), replace(SECOND, number=3), None, (entry,))
    assert calendar_bytes("North", (), replace(SECOND, number=9), first, (entry,)) == first


@pytest.mark.parametrize(
    "data", [b"a shopping list", b"BEGIN:VCALENDAR\r\nPRODID:x\r\nVERSION:2.0\r\nEND:VCALENDAR\r\n"]
)
def test_a_file_of_somebody_else_is_not_gone_on_from(data: bytes) -> None:
    assert checked(data)
    with pytest.raises(ValueError, match="calendar"):
        calendar_bytes("North", (), FIRST, data)


@given(st.text(st.characters(exclude_categories=("C", "Zl", "Zp")), min_size=1, max_size=300))
def test_any_name_comes_back_as_written_from_lines_of_75_octets(name: str) -> None:
    name = " ".join(name.split()) or "x"
    data = calendar_bytes("North", (replace(ENTRY, summary=name),), FIRST)
    # RFC 5545, 3.1: lines should not be longer than 75 octets, the line end left out.
    assert max(len(line) for line in data.split(b"\r\n")) <= 75
    (event,) = _read(data)
    assert str(event["summary"]) == name
