"""Reading line by line gives what the parser gives, or nothing.

The oracle is the reader by the parser's events, whose places `test_located` counts by hand.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.model.place import Place
from planner.text import located
from planner.text.by_lines import read_by_lines
from planner.text.node import Source

EXAMPLES = Path(__file__).parents[2] / "example_shows"
PIECES = (
    "a", "b", "key", "1", "-3", "0x1F", ".5", "1e999", "null", "~", "true", "12:30", "6 m", "é",
    "x" * 120, ": ", ":", " ", "  ", "\n", "\n  ", "\n    ", "\n\n", "\n  \n", "- ", "-", "? ",
    "?", "\na: ", "\nb: ", "\n  a: ", "\n    a: ", "\n  - ", "\n- ", "- - ", '"on": ', "'k': ",
    "a: ", "b: ", "[", "]", "{", "}", ", ", ",", "[a, b]", "{a: b}",
    '{a: [b, {c: 1}], "d": \'x\'}', "[]", "{}", "#", " # c", "\n  # d\n", '"', "'", '""', "''",
    "|", ">", "|-\n    ", ">+\n   ", "\n    text", "\\", "&x ", "*x", "!t ", "%", "@", "`", "=",
    "<<", "...", "---", "\n---\n", "\t", "\r\n", "\u2028", "\x85", "\ufeff", "\xa0", "\x07",
    "\x7f",
)  # fmt: skip


def check_alike(text: str) -> bool:
    """Whether the text is read by lines; what is then read is what the parser leads to."""
    by_lines, by_parser = Source("f.yaml", text), Source("f.yaml", text)
    found = read_by_lines(by_lines)
    if found is None:
        return False
    builder = located._Builder(by_parser)
    expected = builder.read()
    assert builder.problems == []
    assert expected is not None
    assert repr(found.value) == repr(expected.value)  # which tells 1 from true and from 1.0
    assert by_lines.positions == by_parser.positions
    assert by_lines.sizes == by_parser.sizes
    assert by_lines.spelled == by_parser.spelled
    return True


@given(st.lists(st.sampled_from(PIECES), max_size=24))
@settings(max_examples=500)
def test_any_text_is_read_as_the_parser_reads_it_or_left_to_it(pieces: list[str]) -> None:
    check_alike("".join(pieces))


LINES = [
    line
    for path in sorted(EXAMPLES.rglob("*.yaml"))
    for line in path.read_text(encoding="utf-8").splitlines()
]


@given(
    st.integers(0, len(LINES) - 1), st.integers(1, 12), st.integers(0, 400), st.sampled_from(PIECES)
)
@settings(max_examples=500)
def test_lines_of_a_show_with_a_slip_are_read_alike(
    first: int, count: int, spot: int, slip: str
) -> None:
    lines = LINES[first : first + count]
    indent = min((len(each) - len(each.lstrip()) for each in lines if each.strip()), default=0)
    text = "\n".join(each[indent:] for each in lines)
    check_alike(text[:spot] + slip + text[spot:])


@pytest.mark.parametrize(
    "path", sorted(EXAMPLES.glob("*/sequences/*.yaml")), ids=lambda it: it.name
)
def test_sequences_as_people_write_them_are_read_by_lines(path: Path) -> None:
    assert check_alike(path.read_text(encoding="utf-8"))


def test_places_are_counted_in_characters() -> None:
    text = """\
# é
shots:
  - "é": {a: [é, 3 m]}   # c
    why: >-
      two: lines

      of text
    then: ?
end:
"""
    node = read_by_lines(Source("f.yaml", text))
    assert node is not None
    why = "two: lines\nof text"  # folded: the empty line is the one break that is left
    assert node.value == {
        "shots": [{"é": {"a": ["é", "3 m"]}, "why": why, "then": "?"}],
        "end": None,
    }
    # Line 3: two blanks, dash, blank, so the key is at 5; "é" and : end at 8, a blank, { at 10.
    assert node.at(["shots"]) == Place("f.yaml", 3, 3)
    assert node.at(["shots", 0]) == Place("f.yaml", 3, 5)
    assert node.at(["shots", 0, "é"]) == Place("f.yaml", 3, 10)
    # { 10, a 11, : 12, [ 14, é 15, comma 16, 3 at 18.
    assert node.at(["shots", 0, "é", "a", 1]) == Place("f.yaml", 3, 18)
    assert node.at(["shots", 0, "why"]) == Place("f.yaml", 4, 10)
    # The text takes lines 5 to 7.
    assert node.at(["shots", 0, "then"]) == Place("f.yaml", 8, 11)
    # Nothing is written after the colon in column 4.
    assert node.at(["end"]) == Place("f.yaml", 9, 5)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "# nothing\n",
        "a: 1\na: 2\n",
        "a: 1\n  b: 2\n",
        "a:\n    b: 1\n  c: 2\n",
        "- a\n  b: 1\n",
        "a: b: c\n",
        "a: two\n  lines\n",
        'a: "\\n"\n',
        "a: 'it''s'\n",
        "a: &x 1\n",
        "a: !t 1\n",
        "a: *x\n",
        "a:\tb\n",
        "a: 1\r\n",
        "a: 1e999\n",
        "a: [b,\n  c]\n",
        "a: [b, ]\n",
        "a: [b: c]\n",
        "a: {b}\n",
        "a: {b: 1, b: 2}\n",
        "a: [b] c\n",
        "a: [b\n",
        "a: b]\n---\nc: 1\n",
        "a: \x07\n",
        "a: " + "[" * 40 + "]" * 40 + "\n",
        "- " * 40 + "a\n",
        "just text\n",
    ],
)
def test_whatever_is_wrong_or_rare_is_left_to_the_parser(text: str) -> None:
    assert read_by_lines(Source("f.yaml", text)) is None
