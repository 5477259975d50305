"""A ledger as text: one event a line, the same text for the same events, merges and damage."""

from __future__ import annotations

import subprocess
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.ledger import Basis, Details, Event, What, read_lines, write_lines
from planner.model.place import Severity
from tests.ledger.told import BASES, EVENTS, event

if TYPE_CHECKING:
    from pathlib import Path


@settings(max_examples=40)
@given(
    st.lists(EVENTS, max_size=5, unique_by=lambda each: each.client), st.lists(BASES, max_size=2)
)
def test_text_holds_everything_and_is_the_same_in_any_order(
    told: list[Event], bases: list[Basis]
) -> None:
    text = write_lines(told, bases)
    assert write_lines(reversed(told), reversed(bases)) == text
    read = read_lines(text.encode(), "ledger.jsonl")
    assert read.problems == ()
    assert sorted(read.events, key=lambda each: each.client) == sorted(
        told, key=lambda each: each.client
    )
    assert {each.mark for each in read.bases} == {each.mark for each in bases}


def test_one_event_stands_on_one_line() -> None:
    text = write_lines([event(2, words="two\nlines"), event(1)], [])
    version, first, second = text.splitlines()
    assert version == '{"ledger": 1}'
    assert '"client 1"' in first
    assert "two\\nlines" in second


def git(folder: Path, *words: str, code: int = 0) -> None:
    name = ("-c", "user.name=a", "-c", "user.email=a@example.com")
    done = subprocess.run(["git", *name, *words], cwd=folder, capture_output=True, check=False)
    assert done.returncode == code, done.stderr


def two_branches(folder: Path) -> None:
    """One branch adds events 2 and 4 to event 1, another 3 and 4."""
    git(folder, "init", "-q", "-b", "main")
    file = folder / "ledger.jsonl"

    def commit(*numbers: int) -> None:
        file.write_text(write_lines([event(n) for n in numbers], []), encoding="utf-8")
        git(folder, "add", ".")
        git(folder, "commit", "-q", "-m", "post")

    commit(1)
    git(folder, "checkout", "-q", "-b", "floor")
    commit(1, 2, 4)
    git(folder, "checkout", "-q", "main")
    commit(1, 3, 4)


def test_a_union_merge_holds_what_both_sides_told(tmp_path: Path) -> None:
    (tmp_path / ".gitattributes").write_text("ledger.jsonl merge=union\n", encoding="utf-8")
    two_branches(tmp_path)
    git(tmp_path, "merge", "-q", "-m", "both", "floor")
    read = read_lines((tmp_path / "ledger.jsonl").read_bytes(), "ledger.jsonl")
    assert read.problems == ()
    assert read.events == tuple(event(n) for n in (1, 2, 3, 4))


def test_marks_of_a_merge_are_passed_over_and_told(tmp_path: Path) -> None:
    two_branches(tmp_path)
    git(tmp_path, "merge", "-q", "-m", "both", "floor", code=1)
    text = (tmp_path / "ledger.jsonl").read_bytes()
    assert b"<<<<<<<" in text
    read = read_lines(text, "ledger.jsonl")
    assert read.events == tuple(event(n) for n in (1, 2, 3, 4))
    assert {each.severity for each in read.problems} == {Severity.NOTE}


def test_each_bad_line_is_told_with_its_place_and_the_rest_is_read() -> None:
    good = write_lines([event(1), event(2)], []).splitlines()
    text = "\n".join(
        [
            *good,
            '{"client": "3", ',
            "[1]",
            good[1].replace('"built"', '"bilt"'),
            good[1].replace('"hill_town"', '"elsewhere"'),
            '{"facts": {"a": "1"}, "mark": "0"}',
            '{"facts": {"a": 1}, "mark": "0"}',
            '{"ledger": 2}',
        ]
    )
    read = read_lines(text.encode() + b"\n\xff\n", "x.jsonl")
    assert read.events == (event(1), event(2))
    assert [(each.place.line, each.code) for each in read.problems] == [
        (4, "line-unreadable"),
        (5, "line-unreadable"),
        (6, "event-unreadable"),
        (7, "told-otherwise"),
        (8, "event-unreadable"),
        (9, "event-unreadable"),
        (10, "ledger-newer"),
        (11, "line-unreadable"),
    ]
    assert str(read.problems[0]) == (
        "x.jsonl:4:1: error: this is not one whole JSON object: it breaks after 16 characters;"
        " mend or remove the line [line-unreadable]"
    )


def test_lines_nested_too_deep_are_a_problem_and_no_fault() -> None:
    (problem,) = read_lines(b"[" * 100_000, "x.jsonl").problems
    assert problem.code == "line-unreadable"


def test_a_number_of_more_digits_than_python_reads_is_a_problem_and_no_fault() -> None:
    (problem,) = read_lines(b'{"client": ' + b"1" * 5000 + b"}", "l.jsonl").problems
    assert problem.code == "line-unreadable"


@pytest.mark.parametrize("facts", ['{"a": "\\ud800"}', '{"\\ud800": "a"}', '{"a": 1}', "[]"])
def test_facts_are_text_that_can_be_written(facts: str) -> None:
    (problem,) = read_lines(f'{{"facts": {facts}}}'.encode(), "l.jsonl").problems
    assert problem.message == "facts want names with text"


def test_line_ends_of_another_system_read_alike() -> None:
    text = write_lines([event(1)], []).replace("\n", "\r\n")
    assert read_lines(text.encode(), "x.jsonl").events == (event(1),)


def test_a_mark_that_an_editor_puts_first_is_passed_over_and_utf_16_told_once() -> None:
    text = write_lines([event(1), event(2)], [])
    marked = read_lines(text.encode("utf-8-sig"), "x.jsonl")
    assert (marked.events, marked.problems) == ((event(1), event(2)), ())
    wide = read_lines(text.encode("utf-16"), "x.jsonl")
    assert wide.events == ()
    assert [str(each) for each in wide.problems] == [
        "x.jsonl:1:1: error: the file is in UTF-16; save it as UTF-8 [line-unreadable]"
    ]


def test_events_of_one_moment_stand_in_the_same_order_everywhere() -> None:
    told = [Event(f"c{n}", What.BUILT, "hill_town", event(1).at, "anna") for n in range(5)]
    read = read_lines(write_lines(told, []).encode(), "x.jsonl")
    assert [each.id for each in read.events] == sorted(each.id for each in told)


def test_what_happened_in_one_moment_stands_as_it_was_told() -> None:
    at = event(1).at
    later, sooner = at + timedelta(hours=2), at + timedelta(hours=1)
    told = [
        Event("a", What.IN_THE_CAN, "hill_town", at, "anna", told=later),
        Event("b", What.TAKE, "hill_town", at, "anna", Details(take="1"), told=sooner),
    ]
    read = read_lines(write_lines(told, []).encode(), "x.jsonl")
    assert [each.client for each in read.events] == ["b", "a"]


def test_of_one_event_told_twice_the_first_telling_stands() -> None:
    first, again = event(1), replace(event(1), at=event(9).at)
    for text in ([first, again], [again, first]):
        lines = "".join(write_lines([each], []) for each in text)
        read = read_lines(lines.encode(), "x.jsonl")
        assert (read.events, read.problems) == ((first,), ())


def test_two_branches_merged_by_git_hold_everything_once_and_in_order(tmp_path: Path) -> None:
    def tell(*told: Event, **bases: str) -> None:
        rested = [Basis({name: value}) for name, value in bases.items()]
        (tmp_path / "ledger.jsonl").write_text(write_lines(told, rested), encoding="utf-8")
        git(tmp_path, "add", ".")
        git(tmp_path, "commit", "-q", "-m", "told")

    git(tmp_path, "init", "-q", "-b", "office")
    (tmp_path / ".gitattributes").write_text("ledger.jsonl merge=union\n", encoding="utf-8")
    tell(event(1), event(5), lens="35 mm")
    git(tmp_path, "checkout", "-q", "-b", "floor")
    # Both tell 3, one between the two that were there and one with others around it.
    tell(event(1), event(2), event(3), event(5), event(7), lens="35 mm", stop="f/8")
    git(tmp_path, "checkout", "-q", "office")
    tell(event(1), event(3), event(4), event(5), event(6), lens="35 mm", scale="1/24")
    git(tmp_path, "merge", "-q", "--no-edit", "floor")

    pages = read_lines((tmp_path / "ledger.jsonl").read_bytes(), "ledger.jsonl")
    assert pages.problems == ()
    assert pages.events == tuple(event(n) for n in range(1, 8))
    assert sorted(name for each in pages.bases for name in each.facts) == ["lens", "scale", "stop"]
    # Written again it is what a ledger that held all of it from the start would write.
    rested = [Basis({"scale": "1/24"}), Basis({"stop": "f/8"}), Basis({"lens": "35 mm"})]
    whole = write_lines([event(n) for n in range(1, 8)], rested)
    assert write_lines(pages.events, pages.bases) == whole
