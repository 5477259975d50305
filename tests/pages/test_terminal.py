from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from planner.kinds import MissingFact
from planner.model.place import Place, Problem, Severity
from planner.model.quantity import Quantity, Standing
from planner.pages import terminal

HERE = Place("dam/sequences/a.yaml", 8, 12)
LINES = st.text(min_size=1, max_size=400)


def problem(severity: Severity, message: str, line: int = 8, about: str = "A_010.dam") -> Problem:
    return Problem(severity, Place("dam/a.yaml", line, 3), "some-rule", message, "mend it", about)


def test_errors_come_before_warnings_before_notes() -> None:
    text = terminal.problems_text(
        [
            problem(Severity.NOTE, "third"),
            problem(Severity.ERROR, "first"),
            problem(Severity.WARNING, "second"),
        ]
    )
    assert text.index("first") < text.index("second") < text.index("third")
    assert text.endswith("1 error, 1 warning, 1 note.\n")


def test_a_problem_shows_place_sentence_and_remedy() -> None:
    text = terminal.problems_text([problem(Severity.ERROR, "needs 96 fps")])
    assert text == (
        "1 error\n\n"
        "dam/a.yaml:8:3  A_010.dam\n"
        "  needs 96 fps [some-rule]\n"
        "  do: mend it\n\n"
        "1 error.\n"
    )


def test_one_sentence_about_several_places_is_said_once() -> None:
    text = terminal.problems_text(
        [problem(Severity.WARNING, "no rate for glue", line) for line in (5, 9)]
    )
    assert text.count("no rate for glue") == 1
    assert "dam/a.yaml:5:3" in text
    assert "dam/a.yaml:9:3" in text
    assert "2 warnings" in text


def test_colour_adds_nothing_but_colour() -> None:
    found = [problem(Severity.ERROR, "a"), problem(Severity.NOTE, "b")]
    tinted = terminal.problems_text(found, colour=True)
    assert "\x1b[31;1m1 error\x1b[0m" in tinted
    for code in ("\x1b[31;1m", "\x1b[36m", "\x1b[0m"):
        tinted = tinted.replace(code, "")
    assert tinted == terminal.problems_text(found)


def test_no_problem_is_said_in_words() -> None:
    assert terminal.problems_text([]) == "No problems.\n"


def test_a_terminal_command_in_a_name_is_spelled_out() -> None:
    text = terminal.problems_text([problem(Severity.ERROR, "bad \x1b[2J name\u202etxt")])
    assert "\x1b" not in text
    assert "\u202e" not in text
    assert "<U+001B>[2J name<U+202E>txt" in text


@given(LINES, LINES)
def test_every_line_of_a_problem_fits_the_width(message: str, about: str) -> None:
    text = terminal.problems_text([problem(Severity.ERROR, message, about=about)])
    assert max(terminal.columns(line) for line in text.split("\n")) <= 80


@given(st.text(max_size=300), st.integers(20, 120))
def test_folding_loses_nothing_but_spaces(text: str, width: int) -> None:
    lines = terminal.folded(text, "", width=width)
    assert "".join("".join(lines).split()) == "".join(terminal.inert(text).split())


def test_wide_characters_take_two_columns() -> None:
    assert terminal.columns("鷺") == 2
    assert terminal.columns("é") == 1
    assert terminal.columns("e\u0301") == 1
    # 10 columns hold five of them.
    assert terminal.folded("鷺" * 12, width=10) == ["鷺" * 5, "鷺" * 5, "鷺" * 2]


def test_missing_facts_stand_under_the_thing_they_belong_to() -> None:
    text = terminal.missing_text(
        [
            MissingFact("A_010.dam", "fall_height", HERE, "the rate cannot be checked", "2.4 m"),
            MissingFact("A_010.dam", "stop", HERE, "light cannot be reckoned"),
        ]
    )
    assert text == (
        "2 facts missing, 1 of them replaced by an assumption.\n\n"
        "A_010.dam\n"
        "  fall height  dam/sequences/a.yaml:8:12\n"
        "    without it: the rate cannot be checked\n"
        "    taken for it: 2.4 m\n"
        "  stop  dam/sequences/a.yaml:8:12\n"
        "    without it: light cannot be reckoned\n"
    )


def test_sizes_are_said_in_the_unit_people_use() -> None:
    assert terminal.figure(3600, "mm") == "3.6 m"
    assert terminal.figure(28, "mm") == "28 mm"
    assert terminal.figure(1500, "mm/s") == "1.5 m/s"
    assert terminal.figure(24, "1:N") == "1:24"
    assert terminal.figure(5.6, "f") == "f/5.6"
    assert terminal.figure(4, "T") == "T4"
    assert terminal.figure(96, "fps") == "96 fps"
    assert terminal.figure(12, "1") == "12"
    assert terminal.figure(600, "s") == "10 min"
    assert terminal.figure(1234.5, "GBP") == "1,234.50 GBP"
    assert terminal.figure(1 / 3, "h") == "0.3333 h"
    assert terminal.figure(123456, "1") == "123,456"


def test_light_is_also_said_in_foot_candles_when_asked() -> None:
    # 1 fc = 10.7639 lx, so 10,763.9 lx are 1,000 fc.
    assert terminal.figure(10763.9, "lx", foot_candles=True) == "10,764 lx (1,000 fc)"
    assert terminal.figure(10763.9, "lx") == "10,764 lx"


def test_a_reason_opens_to_its_arithmetic() -> None:
    takes = Quantity("takes", 6, "1", Standing.GIVEN, place=HERE, text="6", reason="supervisor")
    minutes = Quantity(
        "time for a take", 0.5, "h", Standing.ASSUMED, reason="stage.take", source="common practice"
    )
    hours = Quantity("hours to photograph", 3, "h", reason="takes x time", inputs=(takes, minutes))
    assert terminal.reason_text(hours) == (
        "hours to photograph = 3 h, reckoned\n"
        "  by takes x time\n"
        '  takes = 6, given, written "6"\n'
        "    supervisor\n"
        "    dam/sequences/a.yaml:8:12\n"
        "  time for a take = 0.5 h, assumed\n"
        "    stage.take; source: common practice\n"
        "Rests on something assumed.\n"
    )


def test_a_shared_part_is_opened_once() -> None:
    leaf = Quantity("leaf", 1)
    tree = leaf
    for level in range(40):  # as a tree 2^40 parts
        tree = Quantity(f"level {level}", level, inputs=(tree, tree))
    text = terminal.reason_text(tree)
    assert text.count("as above") == 39


def test_a_deep_reason_needs_no_recursion() -> None:
    tree = Quantity("leaf", 1)
    for _ in range(5000):
        tree = Quantity("sum", 1, inputs=(tree,))
    assert terminal.reason_text(tree).count("\n") == 5001
