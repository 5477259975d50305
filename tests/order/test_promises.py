"""What was promised against the days work is called, by hand.

The small show works Monday to Friday, ten hours from 08:00, from Monday 1 March 2027.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING

import pytest

from planner.kinds import Hours, Phase, Registry, Work
from planner.model.place import Severity
from planner.model.quantity import Quantity
from planner.order.promises import (
    by_element,
    look_test_days,
    must_pass_by,
    presence,
    promise_problems,
)
from planner.order.stage_order import Call
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from planner.model.place import Problem
    from planner.model.show import Show
    from tests.conftest import ShowFolder

TESTS = """\
tests:
  look: {purpose: the look of wet stone, passes_when: the director says so}
"""
WAITS = ("town:\n", "town:\n        waits_for: look\n")


def call(
    element: str, day: int, hours: float = 5, stage: str = "", who: tuple[str, ...] = ()
) -> Call:
    reason = Quantity("hours", hours, "h")
    phase = Phase.STAGE if stage else Phase.PREPARE
    work = Work("photograph", "camera", phase, Hours(hours, hours, hours), reason)
    starts, ends = datetime(2027, 3, day, 8), datetime(2027, 3, day, 8 + int(hours))
    return Call(element, work, starts, ends, hours, (stage, *who), stage)


def read(show: ShowFolder) -> Show:
    found, problems = load_show(show.path, Registry())
    assert [str(each) for each in problems if each.severity == 0] == []
    assert found is not None
    return found


def with_look(show: ShowFolder, look: str) -> Show:
    show.write("builds.yaml", (show.path / "builds.yaml").read_text(encoding="utf-8") + TESTS)
    old = "title: On the hill\n"
    show.replace("sequences/hill.yaml", old, f"{old}look: {{{look}}}\n")
    return read(show)


def only(problems: list[Problem], code: str) -> Problem:
    mine = [each for each in problems if each.code == code]
    assert len(mine) == 1, [each.code for each in problems]
    return mine[0]


def test_a_principal_set_up_before_its_look_is_tested_is_told(show: ShowFolder) -> None:
    # the test runs 9 h of a 10 h day on 4 March: 0.9 days; the town is called on the 2nd
    made = with_look(show, "by: the director, approved_when: three frames pass, tests: [look]")
    calls = (call("HL010.town", 2, stage="north"), call("look", 4, hours=9))
    days = look_test_days(made, by_element(calls), made.sequences["hill"])
    assert days.value == pytest.approx(0.9)
    told = only(list(promise_problems(made, calls)), "set-up-before-look")
    assert "called on 2027-03-02 (HL010.town)" in told.message
    assert "until 2027-03-04 (0.9 days)" in told.message
    assert "not_before: 2027-03-04" in told.remedy


def test_a_day_of_tests_is_one_day(show: ShowFolder) -> None:
    # 10 h of a 10 h day: one day.
    made = with_look(show, "by: the director, approved_when: three frames pass, tests: [look]")
    calls = (call("HL010.town", 2, stage="north"), call("look", 4, hours=10))
    told = only(list(promise_problems(made, calls)), "set-up-before-look")
    assert "until 2027-03-04 (1 day)" in told.message


def test_a_look_approved_before_the_first_set_up_is_sound(show: ShowFolder) -> None:
    made = with_look(show, "by: the director, approved: 2027-03-01")
    assert list(promise_problems(made, (call("HL010.town", 2, stage="north"),))) == []


def test_a_set_up_before_its_negative_arrives_is_told(show: ShowFolder) -> None:
    # 12 h of line-up in days of 10 h: arrival on the 10th, set-up on the 11th
    held = "line_up: 12 h\n        custody: [{what: negative, arrives: 2027-03-10}]"
    show.replace("sequences/hill.yaml", "nearest: 40 m", f"nearest: 40 m\n        {held}")
    made = read(show)
    early = list(promise_problems(made, (call("HL010.town", 10, stage="north"),)))
    told = only(early, "set-up-before-arrival")
    assert "arrives on 2027-03-10, with 12 h of line-up" in told.message
    assert "not_before: 2027-03-11" in told.remedy
    assert list(promise_problems(made, (call("HL010.town", 11, stage="north"),))) == []


def test_a_test_must_pass_before_the_first_work_that_rests_on_it(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", *WAITS)
    show.write("builds.yaml", (show.path / "builds.yaml").read_text(encoding="utf-8") + TESTS)
    made = read(show)
    calls = (call("look", 3), call("HL010.town", 9, stage="north"), call("HL010.final", 16))
    assert must_pass_by(made, by_element(calls)) == {"look": date(2027, 3, 9)}
    told = only(list(promise_problems(made, calls)), "test-holds-stage")
    assert told.severity is Severity.NOTE
    assert "passed by 2027-03-09" in told.message
    assert "called until 2027-03-03" in told.message


def test_a_test_passed_holds_nothing(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", *WAITS)
    passed = TESTS.replace("}", ", result: passed}")
    show.write("builds.yaml", (show.path / "builds.yaml").read_text(encoding="utf-8") + passed)
    assert must_pass_by(read(show), by_element((call("HL010.town", 9, stage="north"),))) == {}


def test_somebody_wanted_past_their_hours_and_on_two_stages_is_told(show: ShowFolder) -> None:
    # 5 h on the north stage and 4 h on the south one make 9 h on 2 March, of 6 h; 4 h on the 3rd
    boss = "boss: {title: The director, craft: direction, hours: 6 h, learning: 20 h}"
    show.replace("resources.yaml", "crews:\n", f"people:\n  {boss}\ncrews:\n")
    show.replace(
        "resources.yaml", "cameras:\n", "  south: {width: 9 m, depth: 9 m, height: 5 m}\ncameras:\n"
    )
    made = read(show)
    calls = (
        call("HL010.town", 2, 5, "north", ("boss",)),
        call("HL010.sky", 2, 4, "south", ("boss",)),
        call("HL010.sky", 3, 4, "south", ("boss",)),
    )
    hours = {
        day.day: [each for _call, each in rows]
        for day, rows in presence(made, calls, "boss").items()
    }
    assert hours == {2: [5, 4], 3: [4]}
    problems = list(promise_problems(made, calls))
    told = only(problems, "presence-past-hours")
    assert "wanted 9.0 h on 2027-03-02" in told.message
    assert "3.0 h" in told.remedy
    both = only(problems, "wanted-on-two-stages")
    assert "north and south on 2027-03-02" in both.message
    assert "20 h of learning" in both.remedy
