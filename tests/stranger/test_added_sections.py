"""Report sections that others add: what they may say, and what becomes of those that fail."""

from __future__ import annotations

import re
from importlib.metadata import EntryPoint

import pytest

from planner.model.place import Severity
from planner.pages.report import SECTIONS, Matter, report_html, report_pages
from planner.pages.report.added import GROUP, About, Table, _table, with_added
from planner.pages.report.section import rendered
from tests.pages import report_shows


def point(target: str, name: str = "kites", module: str = "tests.stranger.broken_sections"):
    return EntryPoint(name, f"{module}:{target}", GROUP)


@pytest.fixture
def matter(show) -> Matter:
    return report_shows.matter_of_folder(show.path)


def part_of(page: str, name: str) -> str:
    match = re.search(rf'<section id="part:{name}".*?</section>', page, re.DOTALL)
    return match[0] if match else ""


def test_a_section_stands_under_its_title_on_the_page(matter) -> None:
    matter, tellers, problems = with_added(matter, [point("Sound")])
    page = report_html(matter, (*SECTIONS, *tellers))
    assert problems == ()
    assert '<a href="#part:added_kites">Kites</a>' in page
    assert "<p>1 shots</p>" in part_of(page, "added_kites")


def test_numbers_of_a_table_stand_right_under_their_heading(matter) -> None:
    rows = ((About("HL010"), 12, "a"), (About("HL010.town"), 3.5, 4))
    table = _table(Table("Lines", ("Kite", "Line", "Flown"), rows))
    # The second column is all numbers; the third has a word in it, and the first names the rows.
    assert table["numbers"] == {1}
    html = rendered("added.html", parts=(table,), link=str)
    assert html.count("class=num") == 3  # its heading and two cells


def test_a_section_that_has_nothing_to_say_is_not_there(matter) -> None:
    assert with_added(matter, [point("Silent")])[1:] == ((), ())


def test_a_report_without_added_sections_is_the_same(matter) -> None:
    again, tellers, problems = with_added(matter, [])
    assert (again, tellers, problems) == (matter, (), ())


def test_split_over_pages_it_stands_on_the_index_and_links_to_the_pages(matter) -> None:
    matter, tellers, _ = with_added(matter, [point("TriesMarks")])
    pages = dict(report_pages(matter, (*SECTIONS, *tellers)))
    assert [name for name, page in pages.items() if part_of(page, "added_kites")] == ["index.html"]
    assert '<a href="sequence_hill.html#HL010.town">' in part_of(pages["index.html"], "added_kites")


@pytest.mark.parametrize(
    ("target", "words"),
    [
        ("NoSuchClass", "cannot be loaded: AttributeError"),
        ("EndsWhenMade", "cannot be loaded: tried to end the program"),
        ("NotASection", "does not provide name, door, title and tell"),
        ("NewerDoor", "was written for door 2; this is door 1"),
        ("OlderDoor", "was written for door 0; this is door 1"),
        ("AnotherName", "calls itself 'dogs'; it must be 'kites'"),
        ("Raises", "failed: RuntimeError: no wind"),
        ("Hangs", "failed: took more than 0.2 s"),
        ("EndsTheProgram", "failed: tried to end the program"),
        ("GoesRoundForEver", "failed: RecursionError"),
        ("ReturnsHtml", "gave str as itself, not Told"),
        ("GivesMarkup", "gave Markup as a paragraph, not plain text"),
        ("MarkupForATitle", "gave Markup as its title, not plain text"),
        ("NotANumber", "gave nan as the number of a cell"),
        ("EndlessBar", "gave inf as the number of a bar"),
        ("BarBelowNothing", "gave -1 as the length of a bar"),
        ("RaggedTable", "gave 1 cells under 2 headings"),
        ("TooManyRows", "gave 2,001 rows; the most is 2,000"),
        ("TooLong", "gave 4,001 characters as a paragraph; the most is 4,000"),
        ("EndlessParts", "for its parts, not a tuple"),
        ("ForeignPart", "put dict where a Paragraph, Table or Bars is wanted"),
    ],
)
def test_a_section_that_fails_is_a_finding_and_the_report_still_prints(
    matter, target: str, words: str
) -> None:
    matter, tellers, problems = with_added(matter, [point(target)], seconds=0.2)
    (problem,) = problems
    assert (problem.code, problem.severity) == ("report-section-broken", Severity.ERROR)
    assert "the report section kites of tests.stranger.broken_sections" in problem.message
    assert words in problem.message
    page = report_html(matter, (*SECTIONS, *tellers))
    assert page.endswith("</html>")
    assert part_of(page, "added_kites") == ""
    assert "the report section kites of tests.stranger.broken" in part_of(page, "findings")


def test_who_can_mend_another_door_is_told(matter) -> None:
    _, _, (newer,) = with_added(matter, [point("NewerDoor")])
    _, _, (older,) = with_added(matter, [point("OlderDoor")])
    assert newer.remedy == "install a newer platewright"
    assert older.remedy == "ask its author for one written for door 1"


def test_two_of_one_name_are_both_told_and_neither_shown(matter) -> None:
    twice = [point("Sound"), point("Sound", module="another_house")]
    _, tellers, (problem,) = with_added(matter, twice)
    assert tellers == ()
    assert "another_house and tests.stranger.broken_sections both add" in problem.message


def test_what_a_section_prints_leaves_standard_output_alone(matter, capsys) -> None:
    with_added(matter, [point("Prints")])
    printed = capsys.readouterr()
    assert (printed.out, printed.err) == ("", "<b>out</b>\n")


def test_no_mark_of_an_author_becomes_a_mark_of_the_page(matter) -> None:
    plain = report_html(matter)
    matter, tellers, problems = with_added(matter, [point("TriesMarks")])
    assert problems == ()
    page = report_html(matter, (*SECTIONS, *tellers))
    section = part_of(page, "added_kites")
    assert "<img" not in page
    assert page.count("<script") == plain.count("<script")
    assert "&lt;img src=x" in section
    assert "{{ 7 * 7 }}" in section
    assert "\u202e" not in section
    assert "\x1b" not in section
    # Ours alone: one paragraph, one table of rows, one of bars, and one link that leads somewhere.
    assert re.findall(r'<a href="([^"]*)"', section) == ["#HL010.town"]
    assert set(re.findall(r"<(\w+)", section)) == {
        "section", "h2", "p", "div", "table", "caption", "thead", "tbody", "tr", "th", "td", "a",
    }  # fmt: skip
    # 1e308 of 1e308 is the whole width, 0 of it none.
    assert re.findall(r"--m:([\d.]+)", section) == ["100.0", "0.0"]
