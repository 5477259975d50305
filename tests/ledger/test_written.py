"""Events as plain values: nothing is lost on the way, what does not read is told."""

from __future__ import annotations

import json
from importlib.resources import files

import pytest
from hypothesis import given, settings
from jsonschema import Draft202012Validator

from planner.ledger import Event, UnreadableError, What, plain, read_event
from planner.ledger.event import NEEDED
from planner.ledger.written import kept_details, plain_details
from planner.model.facts import FrameRange
from tests.ledger.told import EVENTS, event

SCHEMA = Draft202012Validator(
    json.loads(files("planner_schemas").joinpath("ledger.json").read_text(encoding="utf-8"))
)
TAKE = {
    "client": "floor 12",
    "at": "2027-03-17T14:20:00+01:00",
    "author": "anna",
    "what": "take",
    "about": "NB110.heron",
    "take": 4,
}


@settings(max_examples=60)
@given(EVENTS)
def test_an_event_comes_back_as_it_was(told: Event) -> None:
    values = plain(told)
    assert read_event(json.loads(json.dumps(values))) == told
    assert kept_details(plain_details(told.details)) == told.details


@settings(max_examples=60)
@given(EVENTS)
def test_the_published_schema_knows_every_event(told: Event) -> None:
    assert [each.message for each in SCHEMA.iter_errors(plain(told))] == []


def test_the_published_schema_asks_for_what_an_event_must_say() -> None:
    for what, names in NEEDED.items():
        bare = {**TAKE, "what": what.value}
        bare.pop("take")
        told = dict.fromkeys(names, "x")
        assert not SCHEMA.is_valid(bare), what
        assert SCHEMA.is_valid({**bare, **told}), what
    assert {each.value for each in What} == set(SCHEMA.schema["properties"]["what"]["enum"])


def test_words_may_be_joined_and_numbers_bare() -> None:
    read = read_event({**TAKE, "what": "In-The_Can", "frames": "93-248"})
    assert read.what is What.IN_THE_CAN
    assert read.details.take == "4"
    assert read.details.frames == FrameRange(93, 248)


def test_a_note_may_be_a_bare_sentence() -> None:
    slides = {"says": "the toe slides", "frames": "60-72", "direction": "left", "amount": "3 px"}
    read = read_event({**TAKE, "notes": ["too dark", slides]})
    bare, full = read.details.notes
    assert (bare.says, bare.frames) == ("too dark", None)
    assert (full.frames, full.direction, full.amount) == (FrameRange(60, 72), "left", "3 px")


@pytest.mark.parametrize(
    ("spoiled", "told"),
    [
        ({"what": "aproved"}, "did you mean approved?"),
        ({"what": "xyzzy"}, "it is one of measured"),
        ({"at": "2027-03-17T14:20:00"}, "has no zone"),
        ({"at": "yesterday"}, "a time is wanted"),
        ({"at": "9999-12-31T23:59:59-14:00"}, "a time is wanted"),
        ({"frames": "72-60"}, "did you mean 60-72?"),
        ({"circled": "yes"}, "wants true or false"),
        ({"takes": "4"}, "did you mean take?"),
        ({"smell": "4"}, "a newer version"),
        ({"about": ""}, "one line of text"),
        ({"about": "a\x00b"}, "U+0000"),
        ({"words": "\ud800"}, "U+D800"),
        ({"words": "x" * 4001}, "4,001 characters"),
        ({"notes": [{"direction": "left"}]}, "says nothing"),
        ({"notes": "dark"}, "a list of notes"),
        ({"values": ["1 m"]}, "by name"),
        ({"take": None}, "wants text"),
        ({"what": "held"}, "says by"),
        ({"id": "0" * 16}, "the id of client floor 12"),
    ],
)
def test_what_does_not_read_is_told(spoiled: dict[str, object], told: str) -> None:
    with pytest.raises(UnreadableError, match=r".") as fault:
        read_event({**TAKE, **spoiled})
    assert told in str(fault.value)


def test_all_that_is_missing_is_told_at_once() -> None:
    with pytest.raises(UnreadableError, match="no about is given; no at is given"):
        read_event({"client": "1", "author": "anna", "what": "built"})


def test_one_client_has_one_id_everywhere() -> None:
    # sha256 of the client's word, by `printf 'client 1' | sha256sum`.
    assert event(1).id == event(1, What.LOST, "other").id == "5404442a4fab01df"
