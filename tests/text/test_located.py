"""The strict YAML subset: what is read, where it stood, and each refusal at its exact place.

Expected positions are counted by hand in the text beside them.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pytest
import yaml

from planner.model.place import Place, Problem
from planner.text import located
from planner.text.located import MAX_BYTES, MAX_DEPTH, MAX_PROBLEMS, read_yaml

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.text.node import Node, Value


def read(text: str) -> Node:
    node, problems = read_yaml(text.encode(), "f.yaml")
    assert problems == ()
    assert node is not None
    return node


def refusals(text: str | bytes) -> list[tuple[str, int, int]]:
    data = text.encode() if isinstance(text, str) else text
    _, problems = read_yaml(data, "f.yaml")
    return [(problem.code, problem.place.line, problem.place.column) for problem in problems]


def only_problem(text: str) -> Problem:
    _, problems = read_yaml(text.encode(), "f.yaml")
    (problem,) = problems
    return problem


TRAPS: list[tuple[str, Value]] = [
    ("no", "no"),
    ("yes", "yes"),
    ("on", "on"),
    ("off", "off"),
    ("y", "y"),
    ("1:24", "1:24"),
    ("12:30", "12:30"),
    ("1/4", "1/4"),
    ("2026-03-01", "2026-03-01"),
    ("1_000", "1_000"),
    ("28 mm", "28 mm"),
    ("60-112", "60-112"),
    ("f/8", "f/8"),
    ("1e3", 1000.0),
    ("1.5E-2", 0.015),
    ("010", 10),
    ("08", 8),
    ("-3", -3),
    ("+3", 3),
    (".5", 0.5),
    ("1.", 1.0),
    ("0x1F", 31),
    ("0o17", 15),
    ("-0x1F", "-0x1F"),
    ("0b11", "0b11"),
    ("~", None),
    ("null", None),
    ("NULL", None),
    ("", None),
    ("nUll", "nUll"),
    ("true", True),
    ("FALSE", False),
    ("tRue", "tRue"),
    ("?", "?"),
    ("? # not yet measured", "?"),
    ("?x", "?x"),
    ("what ?", "what ?"),
    ('"?"', "?"),
    ('"010"', "010"),
    ("'null'", "null"),
    ("=", "="),
    ("<<", "<<"),
]


@pytest.mark.parametrize(("written", "value"), TRAPS)
def test_a_plain_scalar_means_what_a_person_means(written: str, value: Value) -> None:
    found = read(f"a: {written}\n").get("a")
    assert found is not None
    assert found.value == value
    assert type(found.value) is type(value)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("{is: ?}", {"is": "?"}),
        ("{is: ?, by: Ada}", {"is": "?", "by": "Ada"}),
        ("{is: ? }", {"is": "?"}),
        ("[?, 3 m, ?]", ["?", "3 m", "?"]),
        ("- ?\n- ?", ["?", "?"]),
        ("a:\n  ?\n", {"a": "?"}),
        ("a: ?\r\nb: ?", {"a": "?", "b": "?"}),
        ("a: |\n  which ?\n  ?\nb: ?\n", {"a": "which ?\n?\n", "b": "?"}),
        ('a: "is it, ?"\nb: ? # ?\n', {"a": "is it, ?", "b": "?"}),
        ("\ue000: ?\n", {"\ue000": "?"}),
    ],
)
def test_a_lone_question_mark_is_text_wherever_a_value_stands(text: str, value: Value) -> None:
    assert read(text).value == value


def test_a_lone_question_mark_moves_no_position() -> None:
    node = read("é: {is: ?, by: Ada}\nb: 1\n")
    # é=1 :=2 space=3 {=4 is=5,6 :=7 space=8 ?=9 ,=10 space=11 by=12
    assert node.at(["é", "is"]) == Place("f.yaml", 1, 9)
    assert node.at(["é", "by"]) == Place("f.yaml", 1, 16)
    assert node.at(["b"]) == Place("f.yaml", 2, 4)


@pytest.mark.parametrize(
    "key", ["010", "1:24", "no", "null", "~", "1e3", "true", "a b", "2026-03-01"]
)
def test_a_key_stays_the_text_that_was_written(key: str) -> None:
    assert read(f"{key}: 1\n").value == {key: 1}


@pytest.mark.parametrize("written", ["010", "0x1F", "1e3", "~", "true", "null", "", "28 mm"])
def test_a_scalar_can_be_had_as_it_was_written(written: str) -> None:
    for text in (f"a: {written}\nb: 1", f"{{a: {written}, b: 1}}"):
        node = read(text).get("a")
        assert node is not None
        assert node.written == written


def test_what_follows_a_key_written_twice_can_be_had_as_it_was_written() -> None:
    node, problems = read_yaml(b"a: {b: 01, b: 02, c: 03}\na: {d: 04}\ne: 05\n", "f.yaml")
    assert [problem.code for problem in problems] == ["yaml-duplicate-key"] * 2
    assert node is not None
    # The first of each stands: b is 01, a is the mapping of line 1.
    assert node.value == {"a": {"b": 1, "c": 3}, "e": 5}
    assert [node.down(path).written for path in (["a", "b"], ["a", "c"], ["e"])] == [
        "01",
        "03",
        "05",
    ]


def test_mappings_and_lists_have_no_written_form() -> None:
    assert read("{a: 1}").written == ""


SHOW = """\
# a comment
shots:
  BEL010:
    frames: 60-112
    elements: [plate, {kind: puppet, rods: 6}]
  BEL020: {}
notes: |
  two
  lines
dates:
- 2027-03-01
-
"""


def test_every_key_and_value_knows_its_line_and_column() -> None:
    node = read(SHOW)
    assert node.place == Place("f.yaml", 2, 1)
    assert [(key, place.line, place.column) for key, place, _ in node.items()] == [
        ("shots", 2, 1),
        ("notes", 7, 1),
        ("dates", 10, 1),
    ]
    expected = {
        ("shots",): (3, 3),  # a block mapping begins at its first key
        ("shots", "BEL010", "frames"): (4, 13),
        ("shots", "BEL010", "elements"): (5, 15),
        ("shots", "BEL010", "elements", 1): (5, 23),
        ("shots", "BEL010", "elements", 1, "rods"): (5, 44),
        ("shots", "BEL020"): (6, 11),
        ("notes",): (7, 8),
        ("dates", 0): (11, 3),
        ("dates", 1): (12, 2),  # nothing stands just after the dash
    }
    for path, (line, column) in expected.items():
        assert node.at(path) == Place("f.yaml", line, column), path


def test_a_path_that_leads_nowhere_gives_the_deepest_place_there_is() -> None:
    node = read("a: {b: [1, 2]}")
    assert node.at(["a", "b", 7]) == node.at(["a", "b"]) == Place("f.yaml", 1, 8)
    assert node.at(["a", "x", "y"]) == Place("f.yaml", 1, 4)
    assert node.at(["a", 0]) == Place("f.yaml", 1, 4)


def test_the_place_of_a_key_can_be_asked_for() -> None:
    node = read("a: 1\nlense: 2\n")
    assert node.key_place("lense") == Place("f.yaml", 2, 1)
    assert node.key_place("camera") == node.place


def test_asking_a_value_for_what_it_is_not_finds_nothing() -> None:
    node = read("a: 1\nb: [2]\n")
    a, b = node.get("a"), node.get("b")
    assert a is not None
    assert b is not None
    assert list(a.items()) == list(a) == list(b.items()) == list(node) == []
    assert a.get("x") is b.get("x") is node.get("x") is None


def leaves(node: Node) -> Iterator[tuple[str, int]]:
    """Each scalar as written and the offset its place stands for, walking the whole tree."""
    for _, _, child in node.items():
        yield from leaves(child)
    for child in node:
        yield from leaves(child)
    if not isinstance(node.value, dict | list):
        yield node.written, node.place.line


def test_a_walk_meets_the_same_places_as_paths_do() -> None:
    node = read(SHOW)
    assert list(leaves(node)) == [
        ("60-112", 4),
        ("plate", 5),
        ("puppet", 5),
        ("6", 5),
        ("two\nlines\n", 7),
        ("2027-03-01", 11),
        ("", 12),
    ]


@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_every_line_end_counts_as_one_line(line_end: str) -> None:
    assert read(f"a: 1{line_end}{line_end}b:{line_end}  c: 2").at(["b", "c"]) == Place(
        "f.yaml", 4, 6
    )


def test_a_byte_order_mark_takes_no_column() -> None:
    node, problems = read_yaml(b"\xef\xbb\xbfa: 1", "f.yaml")
    assert node is not None
    assert (node.value, node.place, problems) == ({"a": 1}, Place("f.yaml", 1, 1), ())


def test_columns_count_characters_and_not_bytes() -> None:
    assert read("œuvre: {naïve: ü, b: 1}").at(["œuvre", "b"]) == Place("f.yaml", 1, 22)


def test_a_very_long_text_is_read() -> None:
    long = "rain " * 200_000
    assert read(f'a: "{long}"\nb: 2').value == {"a": long, "b": 2}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a: 1\nb: 2\na: 3\n", [("yaml-duplicate-key", 3, 1)]),
        ("a: {b: 1, b: 2}\n", [("yaml-duplicate-key", 1, 11)]),
        ("a: *x\nb: [*x]\n", [("yaml-alias", 1, 4), ("yaml-alias", 2, 5)]),
        ("*x : 1\n", [("yaml-alias", 1, 1)]),
        ("a: &x 1\n", [("yaml-anchor", 1, 4)]),
        ("a: &x {b: 1}\n", [("yaml-anchor", 1, 4)]),
        ("a: !!str 1\nb: ! 2\n", [("yaml-tag", 1, 4), ("yaml-tag", 2, 4)]),
        ("a: !thing [1]\n", [("yaml-tag", 1, 4)]),
        ("a: 1\n---\nb: 1\n", [("yaml-second-document", 2, 1)]),
        ("[1]: 2\n", [("yaml-key-not-text", 1, 1)]),
        ("? {a: 1}\n: 2\n", [("yaml-key-not-text", 1, 3)]),
        ("a: {? : 1}\n", [("yaml-key-not-text", 1, 7)]),
        ("a: {: 1}\n", [("yaml-syntax", 1, 5)]),
        ("a:\n\tb: 1\n\tc: 1\n", [("yaml-tab", 2, 1), ("yaml-tab", 3, 1)]),
        ("a:\tb\n", [("yaml-tab", 1, 3)]),
        ("a: 28\tmm\n", [("yaml-tab", 1, 6)]),
        (
            "a: .inf\nb: -.INF\n",
            [("yaml-number-not-finite", 1, 4), ("yaml-number-not-finite", 2, 4)],
        ),
        ("[.nan, 1e999]\n", [("yaml-number-not-finite", 1, 2), ("yaml-number-not-finite", 1, 8)]),
        ("a: " + "9" * 5000, [("yaml-number-not-finite", 1, 4)]),
        ("", [("yaml-empty", 0, 0)]),
        ("# only a comment\n", [("yaml-empty", 0, 0)]),
        ("---\n...\n", [("yaml-empty", 0, 0)]),
        ("a: x\x07y\n", [("yaml-control-character", 1, 5)]),
        (
            "a: x\x00\nb: \x1b\n",
            [("yaml-control-character", 1, 5), ("yaml-control-character", 2, 4)],
        ),
        (b"a: 1\nb: caf\xe9 noir\n", [("yaml-not-utf8", 2, 7)]),
        (b"\xff\xfea\x00", [("yaml-not-utf8", 1, 1)]),
        (b"a: " + b"x" * MAX_BYTES, [("yaml-too-large", 0, 0)]),
        ("[" * (MAX_DEPTH + 1), [("yaml-too-deep", 1, MAX_DEPTH + 1)]),
        ("[" * 100_000, [("yaml-too-deep", 1, 1001)]),  # where the parser itself gave up
        ("a: b: c\n", [("yaml-syntax", 1, 5)]),
        ("a: 1\n  b: 2\n", [("yaml-syntax", 2, 4)]),
        ("a: ? not known\n", [("yaml-syntax", 1, 4)]),
        ("a: 'never closed\nb: 1\n", [("yaml-syntax", 1, 4)]),
        ("a: {b: 1\nc: 2\n", [("yaml-syntax", 1, 4)]),
        ("a: [1, 2\n", [("yaml-syntax", 1, 4)]),
        ("- a\nb: 1\n", [("yaml-syntax", 2, 1)]),
        ("a: @home\n", [("yaml-syntax", 1, 4)]),
        ("a: - b\n", [("yaml-syntax", 1, 4)]),
        ('a: "c:\\qumran"\n', [("yaml-syntax", 1, 7)]),
        ("a: 1\nb\nc: 1\n", [("yaml-syntax", 2, 1)]),
    ],
)
def test_a_refusal_stands_at_its_exact_place(
    text: str | bytes, expected: list[tuple[str, int, int]]
) -> None:
    assert refusals(text) == expected


@pytest.mark.parametrize(
    "text",
    ["a: 'x\ty'\n", 'a: "x\ty"\n', "a: |\n  x\ty\n  \tz\n", "a: 1 # x\ty\n", "#\tx\na: 1\n"],
)
def test_a_tab_inside_quotes_block_text_or_a_comment_is_kept(text: str) -> None:
    assert refusals(text) == []


def test_what_is_wrong_is_told_in_plain_words_with_what_would_do() -> None:
    assert str(only_problem("a:\n\tb: 1")) == (
        "f.yaml:2:1: error: a tab stands where spaces must; use two spaces [yaml-tab]"
    )
    assert str(only_problem("lens: 1\nlens: 2\n")) == (
        "f.yaml:2:1: error: `lens` is written twice in one mapping, first on line 1; "
        "keep one of them [yaml-duplicate-key]"
    )
    assert only_problem("a: `x`").message == "a value cannot begin with `"
    assert only_problem("a: 1\x07").message == (
        "an invisible control character (code 7) stands here"
    )


def test_several_kinds_of_trouble_are_told_at_once_in_the_order_of_the_file() -> None:
    text = "a: !t 1\nb: &n 2\nb: .inf\nc: {d: 1, d: 2}\ne: *n\n"
    assert refusals(text) == [
        ("yaml-tag", 1, 4),
        ("yaml-anchor", 2, 4),
        ("yaml-duplicate-key", 3, 1),
        ("yaml-number-not-finite", 3, 4),
        ("yaml-duplicate-key", 4, 11),
        ("yaml-alias", 5, 4),
    ]


def test_what_was_found_before_a_syntax_error_is_told_with_it() -> None:
    assert refusals("a: &n 1\nb: c: d\n") == [("yaml-anchor", 1, 4), ("yaml-syntax", 2, 5)]


def test_of_a_key_written_twice_the_first_stands_and_places_stay_right() -> None:
    text = "a: {x: [1, 2], x: {y: [3]}, z: 4}\nb: 5\na: [6, {q: 7}]\nc: {d: [8]}\n"
    node, problems = read_yaml(text.encode(), "f.yaml")
    assert [problem.place.line for problem in problems] == [1, 3]
    assert node is not None
    assert node.value == {"a": {"x": [1, 2], "z": 4}, "b": 5, "c": {"d": [8]}}
    assert node.at(["a", "x", 1]) == Place("f.yaml", 1, 12)
    assert node.at(["a", "z"]) == Place("f.yaml", 1, 32)
    assert node.at(["b"]) == Place("f.yaml", 2, 4)
    assert node.at(["c", "d", 0]) == Place("f.yaml", 4, 9)
    assert node.key_place("c") == Place("f.yaml", 4, 1)


@pytest.mark.parametrize("text", ["a: *x", "[1]: 2", "a: b: c", "a:\tb", "a: \x07", "[" * 99])
def test_a_file_that_could_not_be_read_whole_gives_no_node(text: str) -> None:
    assert read_yaml(text.encode(), "f.yaml")[0] is None


def test_no_more_problems_are_told_than_a_person_would_read() -> None:
    assert len(refusals("- *x\n" * 1000)) == MAX_PROBLEMS


def test_forty_levels_are_allowed() -> None:
    value = read("[" * MAX_DEPTH + "]" * MAX_DEPTH).value
    for _ in range(MAX_DEPTH - 1):
        assert isinstance(value, list)
        (value,) = value
    assert value == []


@pytest.mark.parametrize(
    "text",
    [
        SHOW,
        "a: ?\nb: {is: ?}\nc: [?, ?]\n",
        "é: 010\nb: 1:24\n",
        "a: 1\na: 2\n",
        "a: &x !t *y\n",
        "a: b: c\n",
        "a: 'x\n",
        "a: {b: 1\n",
        "a:\n\tb: 1\n\tc: 1\n",
        "a: x\x07\n",
        "a: @x\n",
        "- a\nb: 1\n",
        "a: 1\n---\nb: 1\n",
        "",
    ],
)
def test_the_parser_without_libyaml_reads_the_same(
    text: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    node, problems = read_yaml(text.encode(), "f.yaml")
    monkeypatch.setattr(located, "_Parser", yaml.SafeLoader)
    slow, slow_problems = read_yaml(text.encode(), "f.yaml")
    assert slow_problems == problems
    assert (node and node.value) == (slow and slow.value)
    if node is not None and slow is not None:
        assert list(leaves(slow)) == list(leaves(node))


def test_infinity_never_reaches_a_value() -> None:
    node, _ = read_yaml(b"[.inf, -.inf, .nan, 1e400, -1e400]", "f.yaml")
    assert node is not None
    assert not any(isinstance(v.value, float) and not math.isfinite(v.value) for v in node)


@pytest.mark.parametrize(
    ("text", "place", "says"),
    [
        ("builds: [\n", (1, 9), "the [ opened here is not closed before the file ends"),
        ("a: {b: [1,\n", (1, 8), "the [ opened here is not closed before the file ends"),
        ("a: {b: 'x\n", (1, 8), "the quote opened here is never closed"),
        ("a: [1, 2]]\n", (1, 10), "this ] closes what was never opened"),
        ("a: }\n", (1, 4), "this } closes what was never opened"),
        ("a: |x\n  y\n", (1, 5), "nothing but a line end may follow a `|` or `>`"),
    ],
)
def test_a_bracket_too_few_or_too_many_is_told_where_it_is(
    text: str, place: tuple[int, int], says: str
) -> None:
    problem = only_problem(text)
    assert (problem.message, (problem.place.line, problem.place.column)) == (says, place)


def test_a_tab_behind_a_quote_is_told_by_either_parser(monkeypatch: pytest.MonkeyPatch) -> None:
    # The parser stops at the tab before it has told of the quoted text, in which a # is no comment.
    assert refusals("' #'\t") == [("yaml-tab", 1, 5)]
    monkeypatch.setattr(located, "_Parser", yaml.SafeLoader)
    assert refusals("' #'\t") == [("yaml-tab", 1, 5)]
