"""What a shot's breakdown says of its findings: hazards apart, and what is alike once."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal

from planner.craft.cautions import CAUTIONS
from planner.kinds import Hours
from planner.model.facts import Facts
from planner.model.place import Place, Problem, Severity
from planner.model.show import Loads, Show, WorkCalendar
from planner.pages.prints.cautioned import cautions_about
from planner.pages.prints.shot import findings_about, span

PLACE = Place("shot.yaml")
SHOW = Show(
    "show",
    "A show",
    "GBP",
    WorkCalendar(date(2027, 3, 1), frozenset(range(5)), (), time(8), 10.0),
    *({}, {}, {}, {}, {}, {}),
    (),
    Loads(Decimal(0), {}, contingency_carries_overhead=False),
    Facts(PLACE),
)
FIRE = "flame is for licensed operators"


def _problem(about: str, code: str, says: str, severity: Severity = Severity.NOTE) -> Problem:
    return Problem(severity, PLACE, code, says, "do `so`", about=about)


FINDINGS = (
    _problem("S1.a", "unseen", "nothing says when it is seen"),
    _problem("S1.b", "unseen", "nothing says when it is seen"),
    _problem("S1.b", "short", "too short", Severity.ERROR),
    _problem("S1.a", "caution-flame", FIRE),
    _problem("S1.b", "caution-flame", FIRE),
    _problem("S2.a", "unseen", "nothing says when it is seen"),
)


def test_what_is_found_of_several_pieces_alike_is_said_once_errors_first() -> None:
    assert findings_about(SHOW, FINDINGS, {"S1.a", "S1.b"}) == (
        "S1.b: error: too short; do so",
        "S1.a, S1.b: nothing says when it is seen; do so",
    )


def test_each_hazard_is_said_once_with_the_pieces_that_bring_it() -> None:
    hazards = {"S1.a": ("flame", "height"), "S1.b": ("flame",), "S2.a": ()}
    assert cautions_about(SHOW, hazards, ("S1.a", "S1.b", "S1.a"), "Here") == (
        f"{CAUTIONS['flame']} Here: S1.a, S1.b.",
        f"{CAUTIONS['height']} Here: S1.a.",
    )
    assert cautions_about(SHOW, hazards, ("S2.a", "S3.a"), "Here") == ()


def test_hours_are_said_as_far_as_anybody_plans() -> None:
    # 0.07 h are 4.2 min; 41.7 h to the hour; 1.42 h to six minutes.
    assert span(Hours(0.07, 0.07, 0.13)) == "4 min (4 to 8)"
    assert span(Hours(25.02, 41.7, 91.73)) == "42 h (25 to 92)"
    assert span(Hours(0.85, 1.42, 2.27)) == "1.4 h (0.8 to 2.3)"
