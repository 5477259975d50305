"""Problems and missing facts as text."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from planner.estimate import mark_of
from planner.kinds import MissingFact
from planner.model.place import Place, Problem, Severity
from planner.pages.problems import missing_text, problems_text
from planner.pages.wording import columns

HERE = Place("dam/sequences/a.yaml", 8, 12)

LINES = st.text(min_size=1, max_size=400)


def problem(severity: Severity, message: str, line: int = 8, about: str = "A_010.dam") -> Problem:
    return Problem(severity, Place("dam/a.yaml", line, 3), "some-rule", message, "mend it", about)


def test_errors_come_before_warnings_before_notes() -> None:
    text = problems_text(
        [
            problem(Severity.NOTE, "third"),
            problem(Severity.ERROR, "first"),
            problem(Severity.WARNING, "second"),
        ]
    )
    assert text.index("first") < text.index("second") < text.index("third")
    assert text.endswith("1 error, 1 warning, 1 note.\n")


def test_a_count_is_not_said_again_where_it_is_the_only_one() -> None:
    text = problems_text([problem(Severity.ERROR, "first"), problem(Severity.ERROR, "second")])
    assert text.startswith("2 errors\n")
    assert text.count("2 errors") == 1


def test_a_problem_shows_place_sentence_mark_and_remedy() -> None:
    found = problem(Severity.WARNING, "needs 96 fps")
    text = problems_text([found])
    assert text == (
        "1 warning\n\n"
        "dam/a.yaml:8:3  A_010.dam\n"
        f"  needs 96 fps [some-rule {mark_of(found)}]\n"
        "  do: mend it\n"
    )


def test_an_error_carries_no_mark_as_it_cannot_be_waived() -> None:
    assert "needs 96 fps [some-rule]\n" in problems_text([problem(Severity.ERROR, "needs 96 fps")])


def test_several_places_share_a_sentence_and_keep_their_marks() -> None:
    found = [problem(Severity.WARNING, "no rate", about=about) for about in ("A_010", "A_020")]
    text = problems_text(found)
    assert "no rate [some-rule]" in text
    assert all(f"{each.about}  {mark_of(each)}\n" in text for each in found)


def test_one_sentence_about_several_places_is_said_once() -> None:
    text = problems_text([problem(Severity.WARNING, "no rate for glue", line) for line in (5, 9)])
    assert text.count("no rate for glue") == 1
    assert "dam/a.yaml:5:3" in text
    assert "dam/a.yaml:9:3" in text
    assert "2 warnings" in text


def test_colour_adds_nothing_but_colour() -> None:
    found = [problem(Severity.ERROR, "a"), problem(Severity.NOTE, "b")]
    tinted = problems_text(found, colour=True)
    assert "\x1b[31;1m1 error\x1b[0m" in tinted
    for code in ("\x1b[31;1m", "\x1b[36m", "\x1b[0m"):
        tinted = tinted.replace(code, "")
    assert tinted == problems_text(found)


def test_no_problem_is_said_in_words() -> None:
    assert problems_text([]) == "No problems.\n"


def test_a_terminal_command_in_a_name_is_spelled_out() -> None:
    text = problems_text([problem(Severity.ERROR, "bad \x1b[2J name\u202etxt")])
    assert "\x1b" not in text
    assert "\u202e" not in text
    assert "<U+001B>[2J name<U+202E>txt" in text


@given(LINES, LINES)
def test_every_line_of_a_problem_fits_the_width(message: str, about: str) -> None:
    text = problems_text([problem(Severity.ERROR, message, about=about)])
    assert max(columns(line) for line in text.split("\n")) <= 80


def test_missing_facts_stand_under_the_thing_they_belong_to() -> None:
    text = missing_text(
        [
            MissingFact("A_010.dam", "fall_height", HERE, "the rate cannot be checked", "2.4 m"),
            MissingFact("A_010.dam", "stop", HERE, "light cannot be reckoned", by="Ada"),
        ]
    )
    assert text == (
        "2 facts missing, 1 of them replaced by an assumption.\n\n"
        "A_010.dam\n"
        "  fall height  dam/sequences/a.yaml:8:12\n"
        "    without it: the rate cannot be checked\n"
        "    taken for it: 2.4 m\n"
        "  stop  dam/sequences/a.yaml:8:12\n"
        "    to be found by: Ada\n"
        "    without it: light cannot be reckoned\n"
    )
