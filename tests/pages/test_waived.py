"""What is waived, as text."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from planner.estimate import Waived, mark_of
from planner.model.place import Place, Problem, Severity
from planner.pages.waived import waived_text

FINDING = Problem(
    Severity.WARNING,
    Place("dam/sequences/a.yaml", 20, 9),
    "screen-too-small",
    "the field is 9.22 m wide at 13 m and Large blue screen is 8.00 m: 1.22 m short",
    "hang a larger screen",
    "A_010.people",
)
WAIVED = Waived(
    FINDING,
    "the supervisor",
    date(2027, 3, 11),
    "the edge is garbage matted",
    Place("dam/sequences/a.yaml", 9, 7),
)


def test_a_waived_finding_shows_its_sentence_its_mark_and_who_when_and_why() -> None:
    text = waived_text([WAIVED])
    assert text == (
        "Waived: 1 finding\n\n"
        "dam/sequences/a.yaml:9:7\n"
        "  A_010.people\n"
        "  the field is 9.22 m wide at 13 m and Large blue screen is 8.00 m: 1.22 m short\n"
        f"  [screen-too-small {mark_of(FINDING)}]\n"
        "  waived by the supervisor, 2027-03-11: the edge is garbage matted\n"
    )


def test_nothing_waived_is_no_text() -> None:
    assert waived_text([]) == ""


def test_a_long_reason_is_folded() -> None:
    # "  waived by the supervisor, 2027-03-11: " is 40 columns; 30 words of 5 columns go on below.
    long = replace(WAIVED, why=" ".join(["matte"] * 30))
    lines = waived_text([long]).splitlines()
    assert max(map(len, lines)) <= 80
    assert lines[-1].startswith("      matte")
