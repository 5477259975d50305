"""Sheets set in type: what is written stays text, and every page can be read by a machine."""

from __future__ import annotations

import json
import re
import subprocess
from typing import TYPE_CHECKING

import pytest

from planner.pages.prints.sheet import (
    Listed,
    Rows,
    Said,
    Sheet,
    Table,
    Under,
    printable,
    sheets_json,
)
from planner.pages.prints.typeset import typeset

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from planner.pages.prints.sheet import Block

HOSTILE = '#panic("out") *bold* $x^2$ <b>\\ `raw` #let a = 1; "\'@ref //'
BACKWARDS = "שלום עולם, مرحبا"


def _text(pdf: bytes, tmp_path: Path, tool: str = "pdftotext") -> str:
    path = tmp_path / "a.pdf"
    path.write_bytes(pdf)
    words = [tool, str(path), "-"] if tool == "pdftotext" else [tool, str(path)]
    try:
        return subprocess.run(words, capture_output=True, text=True, check=True).stdout
    except FileNotFoundError:
        pytest.skip(f"{tool} is not on this machine")


def _sheet(text: str) -> Sheet:
    blocks = (
        Rows(((text, text), ("", (text, text)))),
        Table(("Head",), ((text,),), (1,)),
        Listed("Take care", (text,), "care"),
        Listed("Tick", (text,), "tick"),
        Said(text, text),
    )
    return Sheet("Day order", text, text, blocks, text)


def test_what_people_write_is_printed_letter_for_letter(tmp_path: Path) -> None:
    text = _text(typeset(HOSTILE, HOSTILE, [_sheet(HOSTILE)]), tmp_path)
    assert '#panic("out") *bold* $x^2$' in text.replace("\n", " ")


@pytest.mark.parametrize(
    ("lines", "fits", "pages"),
    [(64, False, 2), (64, True, 1), (20, True, 1), (76, True, 1), (90, True, 2)],
)
def test_a_sheet_a_little_too_long_is_set_smaller_where_that_makes_it_one_page(
    lines, fits, pages
) -> None:
    """Of 297 mm, 32 are margins and some 15 the head: 250 mm. A row of 10 pt is a capital's height
    of 6.6 pt and 5.5 pt of room, 4.3 mm: 64 take 275 mm and, set in 8.5 pt, 234. 76 take 277
    then, and 246 with 3.6 pt of room; 90 take 291 even so."""
    rows = Rows(tuple(("Row", "what it says") for _ in range(lines)))
    pdf = typeset("Show", "Title", [Sheet("Set-up card", "S1.a", "", (rows,), "", fits=fits)])
    assert len(re.findall(rb"/Type\s*/Page\b", pdf)) == pages


def test_text_from_right_to_left_is_set_from_the_bundled_fonts(tmp_path: Path) -> None:
    assert "שלום" in _text(typeset("Show", "Title", [_sheet(BACKWARDS)]), tmp_path)


def test_a_sign_that_no_font_has_is_spelled_out(tmp_path: Path) -> None:
    # U+E000 is for private use: no font of any machine need have it.
    said = "a \U000f1234 b"
    text = _text(typeset("Show", "Title", [_sheet(said)]), tmp_path)
    assert "<U+F1234>" in text


def test_marks_that_turn_text_round_are_spelled_out() -> None:
    assert printable("a\u202eb") == "a<U+202E>b"


def test_a_word_of_three_hundred_letters_may_be_broken_every_12() -> None:
    pieces = printable("x" * 300).split("\u200b")
    assert max(map(len, pieces)) == 12
    assert "".join(pieces) == "x" * 300


def test_a_name_is_broken_after_its_own_marks_first() -> None:
    assert printable("NB180.heron_walks_out_of_the_hall").split("\u200b")[0] == "NB180."


def test_short_words_are_left_as_they_are() -> None:
    assert printable("NB020.wet_town: set up") == "NB020.wet_town: set up"


def test_blocks_that_hold_nothing_are_left_out() -> None:
    empty = (Rows(()), Table(("A",), (), (1,)), Listed("None", ()), Said(""))
    (sheet,) = json.loads(sheets_json("S", "T", [Sheet("A", "", "", empty)]))["sheets"]
    assert sheet["blocks"] == []


def test_the_pdf_is_tagged_and_has_its_title(tmp_path: Path) -> None:
    told = _text(typeset("Show", "Day order: Monday", [_sheet("x")]), tmp_path, "pdfinfo")
    assert "Day order: Monday" in told
    assert told.split("Tagged:")[1].split()[0] == "yes"
    assert "(A4)" in told


def test_the_same_sheets_give_the_same_bytes() -> None:
    assert typeset("S", "T", [_sheet("x")]) == typeset("S", "T", [_sheet("x")])


def test_each_sheet_begins_a_page(tmp_path: Path) -> None:
    told = _text(typeset("S", "T", [_sheet("x"), _sheet("y")]), tmp_path, "pdfinfo")
    assert told.split("Pages:")[1].split()[0] == "2"


def test_long_names_are_cut_at_the_foot_and_whole_at_the_head() -> None:
    data = json.loads(sheets_json("S" * 300, "T", [Sheet("Card", "A" * 300, "", (), "Order 1.")]))
    (sheet,) = data["sheets"]
    foot = sheet["foot"].replace("\u200b", "")
    assert foot == f"{'S' * 59}… · Card, {'A' * 59}…. Order 1."
    assert data["show"].replace("\u200b", "") == "S" * 300


def test_what_rows_share_is_said_again_on_each_page_they_run_over(tmp_path: Path) -> None:
    # A line of 10 points and its inset take some 6 mm: 60 rows fill more than a page of 297 mm.
    rows = tuple((f"take {number}", "") for number in range(60))
    table = Table(("Work", "Ended"), (Under("Set-up: town", "With prime 35."), *rows), (1, 1))
    text = _text(typeset("Show", "Title", [Sheet("Day order", "", "", (table,))]), tmp_path)
    assert text.count("\f") == 2
    assert text.count("Set-up: town") == text.count("With prime 35.") == 2


def test_each_page_says_at_its_foot_what_its_own_sheet_is(tmp_path: Path) -> None:
    # 60 rows run over a page, as above: sheet A has pages 1 and 2, sheet B page 3, of 3 in all.
    long = Table(("Work",), tuple((f"take {number}",) for number in range(60)), (1,))
    sheets = [Sheet("Day order", "A", "", (long,), "Order 1."), Sheet("Day order", "B", "", ())]
    pages = _text(typeset("Show", "Title", sheets), tmp_path).split("\f")[:3]
    feet = [tuple(each.split("Show · ")[1].split("\n\n")[:2]) for each in pages]
    assert feet == [
        ("Day order, A. Order 1.", "1 of 3"),
        ("Day order, A. Order 1.", "2 of 3"),
        ("Day order, B.", "3 of 3"),
    ]


def test_what_is_ticked_off_stands_two_abreast_where_that_brings_it_onto_one_page() -> None:
    # 70 ticks and their gaps of 10 points take some 70 x 4.6 = 320 mm, of 8.5 points 270 mm, and
    # 250 mm are free; 35 rows of two take 160 mm.
    def pages(*, fits: bool) -> int:
        ticks = Listed("Tick", tuple(f"tick {n}" for n in range(70)), "tick")
        pdf = typeset("Show", "Title", [Sheet("Set-up card", "S1.a", "", (ticks,), "", fits=fits)])
        return len(re.findall(rb"/Type\s*/Page\b", pdf))

    assert (pages(fits=False), pages(fits=True)) == (2, 1)


def test_a_row_is_not_split_over_two_pages(tmp_path: Path) -> None:
    # A row of 7 lines takes some 30 mm: 8 of them fill a page of 297 mm but for a rest.
    rows = tuple(
        (f"piece {n}", tuple(f"work {n} of line {k}" for k in range(7))) for n in range(20)
    )
    sheet = Sheet("Shot breakdown", "", "", (Table(("Piece", "Work"), rows, (1, 1)),))
    pages = _text(typeset("Show", "Title", [sheet]), tmp_path).split("\f")
    for n in range(20):
        (on,) = [page for page in pages if f"work {n} of line 0" in page]
        assert f"work {n} of line 6" in on


def test_a_row_higher_than_a_page_runs_on_over_the_next(tmp_path: Path) -> None:
    # 100 lines of 10 points take some 460 mm, more than a page.
    row = ("piece", tuple(f"line {k} of it" for k in range(100)))
    sheet = Sheet("Shot breakdown", "", "", (Table(("Piece", "Work"), (row,), (1, 1)),))
    text = _text(typeset("Show", "Title", [sheet]), tmp_path)
    assert text.count("\f") == 2
    assert all(f"line {k} of it" in text for k in range(100))


def test_columns_of_all_set_ups_of_a_day_are_one_grid() -> None:
    rows = (Under("One"), ("a", "b"), Under("Two"), ("a longer word", "b"))
    (block,) = json.loads(
        sheets_json("Show", "Title", [Sheet("Day", "", "", (Table(("A", "B"), rows, (0, 1)),))])
    )["sheets"][0]["blocks"]
    assert [each if isinstance(each, dict) else len(each) for each in block["rows"]] == [
        {"title": "One", "says": ""},
        2,
        {"title": "Two", "says": ""},
        2,
    ]


def test_the_longest_usual_title_keeps_to_one_line(tmp_path: Path) -> None:
    about = "NB180.townsfolk, projected people"
    text = _text(typeset("Nine Bells Under", "T", [Sheet("Set-up card", about, "", ())]), tmp_path)
    assert f"Set-up card: {about}" in text.splitlines()
    week = Sheet("Week order", "Mon 28 Sep to Sun 4 Oct 2027", "", ())
    assert f"Week order: {week.about}" in _text(typeset("Dam", "T", [week]), tmp_path).splitlines()


def _pages(blocks: Iterable[Block], tmp_path: Path) -> list[str]:
    """Text of each page but those that are empty; a form feed ends a page."""
    pdf = typeset("Show", "Title", [Sheet("Bid", "", "", tuple(blocks), "")])
    return [each for each in _text(pdf, tmp_path).split("\f") if each.strip()]


def test_a_sum_never_stands_on_a_page_without_a_row_above_it(tmp_path: Path) -> None:
    # Somewhere among these lengths the sum is the first line that no longer fits the page.
    lengths = range(48, 60)
    for length in lengths:
        rows = tuple((f"row {n}.",) for n in range(1, length + 1))
        pages = _pages([Table(("What",), (*rows, ("in all",)), (1,), sums=1)], tmp_path)
        assert "in all" in pages[-1]
        assert f"row {length}." in pages[-1]
    assert len(_pages([Table(("What",), rows, (1,))], tmp_path)) == 2


def test_what_is_ticked_off_stands_on_one_page(tmp_path: Path) -> None:
    ticks = Listed("Tick", tuple(f"tick {n}." for n in range(1, 11)), "tick")
    split = 0
    for length in range(38, 60, 2):
        above = Rows(tuple(("Row", f"above {n}.") for n in range(length)))
        pages = _pages([above, ticks], tmp_path)
        assert sum("tick " in page for page in pages) == 1
        split += len(pages) - 1
    assert split  # of some lengths the list went overleaf, whole
