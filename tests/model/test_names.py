"""How people call the things of a show, alone, in set-ups and in sentences."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time
from decimal import Decimal

import pytest

from planner.estimate import mark_of
from planner.model.facts import Facts
from planner.model.names import (
    counted,
    day_words,
    in_names,
    in_tenths,
    name_of,
    noun,
    set_up_words,
)
from planner.model.place import Place, Problem, Severity
from planner.model.show import Element, Loads, Move, Resource, Show, WorkCalendar

HERE = Place("show/show.yaml", 1, 1)
FACTS = Facts(HERE)
BARE = Show(
    "show",
    "A show",
    "GBP",
    WorkCalendar(date(2027, 3, 1), frozenset(range(5)), (), time(8), 10.0),
    *({}, {}, {}, {}, {}, {}),
    (),
    Loads(Decimal(0), {}, contingency_carries_overhead=False),
    FACTS,
)


def _resource(id_: str, sort: str, title: str = "") -> Resource:
    return Resource(id_, sort, title, 1, "", (), FACTS, HERE)


RESOURCES = (
    _resource("stage_2", "stage", "The old stage"),
    _resource("prime_35", "lens"),
    _resource("long_rig", "rig", "Long track rig"),
    _resource("table_rig", "rig", "Table rig"),
    _resource("crane", "rig", "Nine-metre crane"),
)
BUILDS = ("town", "mud_flat")
SHOW = replace(
    BARE,
    elements={each: Element(each, "build", "", FACTS, (), HERE) for each in BUILDS},
    resources={each.id: each for each in RESOURCES},
    moves={"nb180_pan": Move("nb180_pan", 1, {}, HERE)},
)


@pytest.mark.parametrize(
    ("id_", "name"),
    [
        ("stage_2", "The old stage"),  # its title
        ("prime_35", "prime 35"),  # it has none
        ("mud_flat", "mud flat"),
        ("gone_since", "gone since"),  # an issued order may name what the show no longer has
        ("NB080.raft_people", "NB080.raft_people"),  # so it is slated
    ],
)
def test_a_thing_is_called_by_its_title_or_by_its_id_in_words(id_: str, name: str) -> None:
    assert name_of(id_, SHOW) == name


@pytest.mark.parametrize(
    ("set_up", "said"),
    [
        ("town 1/24 prime_35", "town at 1:24, prime 35"),
        ("mud_flat 1/0.5 prime_35 long_rig", "mud flat at 2:1, prime 35, Long track rig"),
        ("town 1/24 28 mm", "town at 1:24, 28 mm"),  # a stated focal length is one part
        (
            "NB160.shadow 1/4 long_rig or table_rig",
            "NB160.shadow at 1:4, Long track rig or Table rig",
        ),
        ("gone_since 1/8", "gone since at 1:8"),
        # Of a plugin: words, not a row of things.
        ("wet deck, swung on long_rig", "wet deck, swung on Long track rig"),
        ("", ""),
    ],
)
def test_a_set_up_is_said_by_names(set_up: str, said: str) -> None:
    assert set_up_words(set_up, SHOW) == said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("mud_flat starts; stage_2 is away.", "mud flat starts; The old stage is away."),
        ("over 3 frames of nb180_pan", "over 3 frames of nb180 pan"),
        ("write `stand_in: long_rig` in long_rig", "write `stand_in: long_rig` in Long track rig"),
        ("name it under held_out_by", "name it under held_out_by"),  # a fact, no thing
        ("NB150.mud_flat and moves/nb180_pan.csv", "NB150.mud_flat and moves/nb180_pan.csv"),
        ("crane the neck", "crane the neck"),  # a word like any other
    ],
)
def test_a_sentence_calls_the_things_of_the_show_by_name(text: str, said: str) -> None:
    assert in_names(text, SHOW) == said


def test_a_sentence_stays_as_it_is_where_the_show_cannot_be_read() -> None:
    assert in_names("mud_flat starts", None) == "mud_flat starts"


def test_a_mark_would_not_survive_a_title_so_findings_keep_their_ids() -> None:
    # The mark is of the numbers in a sentence: stage_2 has a 2, its title has none.
    found = Problem(Severity.NOTE, HERE, "full", "stage_2 has no room", about="town")
    named = replace(found, message=in_names(found.message, SHOW))
    assert named.message == "The old stage has no room"
    assert mark_of(named) != mark_of(found)


def test_days_are_written_without_a_nought_before_them() -> None:
    # 1 March 2027 is a Monday; 31 December 2028 a Sunday.
    assert day_words(date(2027, 3, 1)) == "Mon 1 Mar 2027"
    assert day_words(datetime(2028, 12, 31, 8, tzinfo=UTC), year=False) == "Sun 31 Dec"


def test_one_of_a_thing_is_told_in_the_singular() -> None:
    assert [counted(n, "shot") for n in (0, 1, 2, 1200)] == [
        "0 shots",
        "1 shot",
        "2 shots",
        "1,200 shots",
    ]
    # Of a measured count one whole is one; less than one, or more, is not.
    assert [noun(n, "frame") for n in (0.5, 1.0, 1.5)] == ["frames", "frame", "frames"]
    assert noun(1, "rod is", "rods are") == "rod is"


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (1.0, "1 day"),
        (0.96, "1 day"),
        (1.04, "1 day"),
        (1.1, "1.1 days"),
        (0.0, "0 days"),
        (12.0, "12 days"),
        (1234.56, "1,234.6 days"),
    ],
)
def test_a_whole_measure_is_told_without_a_tenth(value: float, said: str) -> None:
    assert in_tenths(value, "day") == said
