"""Edits in place: one value other, a key or a shot put in, and all else to the letter as it was."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.model.facts import Facts, FrameRange, Missing, Money
from planner.model.place import Place
from planner.model.quantity import Quantity
from planner.text.cut_edit import NoPlaceError, edited, with_shot, written_value
from planner.text.located import read_yaml

if TYPE_CHECKING:
    from planner.model.facts import Value

TEXT = """\
# The hill.
sequence: hill
shots:
  HL010:   # at dusk
    says: >-
      The town
      below.
    cut: 1-96   # locked by the editor
    light: ?
    elements:
      sky: {kind: plate, in_frame: 1-96}   # thin
      heron:
        kind: puppet
        rods:
          - {name: neck, frames: 1-96}
          - name: waist
            frames: 20-96

  # The last one.
  HL020:
    says: Nothing.
    cut: "1-48"
"""
CUT = ("shots", "HL010", "cut")


def test_a_value_is_exchanged_and_its_comment_stays() -> None:
    found = edited(TEXT, [(CUT, FrameRange(1, 108))])
    assert found == TEXT.replace("cut: 1-96   #", "cut: 1-108   #")


def test_values_in_braces_and_in_lists_are_exchanged() -> None:
    rods = ("shots", "HL010", "elements", "heron", "rods")
    found = edited(
        TEXT,
        [
            (("shots", "HL010", "elements", "sky", "in_frame"), FrameRange(1, 108)),
            ((*rods, 0, "frames"), FrameRange(1, 108)),
            ((*rods, 1, "frames"), FrameRange(20, 108)),
        ],
    )
    wanted = TEXT.replace("in_frame: 1-96", "in_frame: 1-108").replace("20-96", "20-108")
    assert found == wanted.replace("neck, frames: 1-96", "neck, frames: 1-108")


def test_new_keys_of_one_group_are_put_in_together() -> None:
    recut = ("shots", "HL010", "recut")
    values = [((*recut, "was"), FrameRange(1, 96)), ((*recut, "by"), "the editor: anna")]
    found = edited(TEXT, values)
    line = '    recut: {was: 1-96, by: "the editor: anna"}\n'
    assert found == TEXT.replace("by the editor\n", f"by the editor\n{line}", 1)


def test_a_new_key_goes_into_braces_and_after_a_block_of_text() -> None:
    sky = edited(TEXT, [(("shots", "HL010", "elements", "sky", "frames_in_hand"), "9-9")])
    assert 'sky: {kind: plate, in_frame: 1-96, frames_in_hand: "9-9"}   # thin' in sky
    bare = TEXT.replace("    cut: 1-96   # locked by the editor\n", "")
    assert "      below.\n    cut: 1-9\n    light: ?" in edited(bare, [(CUT, FrameRange(1, 9))])


def test_line_ends_and_a_file_without_the_last_one_stay() -> None:
    windows = TEXT.replace("\n", "\r\n")
    found = edited(windows, [(CUT, FrameRange(1, 9)), (("shots", "HL010", "flop"), True)])
    assert found.count("\n") == found.count("\r\n") == TEXT.count("\n") + 1
    bare = TEXT.removesuffix("\n")
    assert edited(bare, [(("shots", "HL020", "state"), "omitted")]).endswith("\n    state: omitted")


def test_a_shot_is_put_in_after_another_or_last() -> None:
    found = with_shot(TEXT, "HL010", "HL015", ["says: ?", "cut: 1-8"])
    new = "\n  HL015:\n    says: ?\n    cut: 1-8\n"
    assert found == TEXT.replace("frames: 20-96\n", f"frames: 20-96\n{new}")
    last = with_shot(TEXT, "HL020", "HL030", ["says: ?"])
    assert last == f"{TEXT}\n  HL030:\n    says: ?\n"


def test_what_has_no_place_is_told() -> None:
    with pytest.raises(NoPlaceError, match="one under the other"):
        with_shot("shots: {A1: {says: a}}", "A1", "A2", ["says: ?"])
    with pytest.raises(NoPlaceError, match="standing"):
        edited("shots: {A1: {cut: {is: 1, standing: given}}}", [(("shots", "A1", "cut"), "2")])


FRAMES = st.tuples(st.integers(0, 999), st.integers(0, 999)).map(
    lambda pair: FrameRange(min(pair), max(pair))
)


@given(FRAMES, FRAMES)
def test_an_edit_and_its_inverse_leave_the_file_to_the_letter(one: FrameRange, two: FrameRange):
    start = edited(TEXT, [(CUT, one)])
    assert edited(edited(start, [(CUT, two)]), [(CUT, one)]) == start


@given(st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=40))
def test_any_line_of_text_reads_back(text: str) -> None:
    found = edited(TEXT, [(("shots", "HL010", "why"), text)])
    node, problems = read_yaml(found.encode(), "a.yaml")
    assert problems == ()
    assert node is not None
    assert node.down(("shots", "HL010", "why")).value == text


def test_values_are_written_as_a_show_has_them() -> None:
    assert written_value(FrameRange(3, 4)) == "3-4"
    assert written_value("no") == '"no"'
    assert written_value("5") == '"5"'
    assert written_value("omitted") == "omitted"


@pytest.mark.parametrize(
    ("value", "written"),
    [
        ((), "[]"),
        (("beauty", "smoke, thin"), '[beauty, "smoke, thin"]'),
        ((FrameRange(1, 9), Missing()), "[1-9, ?]"),
        ((Facts(Place("a.yaml"), {"name": "neck", "wide": True}),), "[{name: neck, wide: true}]"),
        ((Quantity("nearest", 40_000, "mm", text="40 m"), Quantity("rods", 3)), "[40 m, 3]"),
        (Missing("the surveyor"), "{is: ?, by: the surveyor}"),
        ((Money(Decimal("4200.5"), "GBP"),), "[4200.50 GBP]"),
        (time(8, 5), "08:05"),
        (date(2027, 3, 1), "2027-03-01"),
    ],
)
def test_lists_and_what_has_a_spelling_of_its_own_are_written_so_that_they_read_back(
    value: Value, written: str
) -> None:
    assert written_value(value) == written
    node, problems = read_yaml(f"value: {written}\n".encode(), "a.yaml")
    assert problems == ()
    found = node.get("value") if node is not None else None
    assert found is not None
    # What stands in brackets is a list of as many, and what is no list is no text with brackets.
    assert len(list(found)) == len(value) if isinstance(value, tuple) else found.value
