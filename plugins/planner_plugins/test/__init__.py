"""A trial that a method waits for.

Takes its purpose, its pass mark, its result and its hours, gives the work of running it and how
much of the show rests on it. Knows nothing of what is tried.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds import (
    DOOR,
    Charge,
    Effort,
    Estimate,
    Need,
    Phase,
    Risk,
    Rule,
    Work,
    Worksheet,
    packaged_schema,
)
from planner.kinds.sentences import listed
from planner.kinds.stated import stated_hours
from planner.kinds.waiting import resting_on, shots_of
from planner.model.names import counted
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.kinds import Context

RULES = (Rule("test.run", "hours to set up, run and judge a test", 4.0, 8.0, 20.0),)
(RUN,) = RULES
PASSED, FAILED, NOT_YET = "passed", "failed", "not yet"


class Test:
    """The kind ``test``."""

    name = "test"
    door = DOOR
    section = "tests"
    __test__ = False
    """Keeps test runners from taking the class for one of theirs."""

    def schema(self) -> Mapping[str, object]:
        """JSON Schema of one test."""
        return packaged_schema(__package__ or __name__)

    def estimate(self, context: Context) -> Estimate:
        """Work of running it, its cost, and what rests on it until it has passed."""
        sheet = Worksheet(context)
        facts = sheet.element.facts
        result = facts.word("result", NOT_YET)
        effort = _effort(sheet)
        _cost(sheet)
        if not facts.word("passes_when"):
            sheet.warn(
                "test-without-pass-mark",
                f"nothing says when the test has passed: {_purpose(sheet)}",
                "write what must be seen, and by whom, under passes_when",
                at="passes_when",
            )
        if result != PASSED:
            _run(sheet, effort)
            _tell(sheet, result)
        return sheet.estimate()


def _purpose(sheet: Worksheet) -> str:
    return sheet.element.facts.word("purpose", sheet.element.id)


def _effort(sheet: Worksheet) -> Effort:
    stated = sheet.element.facts.group("hours")
    likely, hours = stated.number("likely"), stated_hours(sheet, stated, "hours")
    if likely is None or hours is None:
        effort = sheet.effort("run the test", (RUN, 1))
        sheet.miss("hours", rests="how long the test takes", assumed="the rule test.run")
        return effort
    sheet.reckon("hours to run the test", hours.likely, "h", "as stated", likely)
    return Effort(hours, likely)


def _cost(sheet: Worksheet) -> None:
    cost = sheet.element.facts.money("cost")
    if cost is None:
        return
    once = Quantity("tests", 1, "item", Standing.GIVEN, reason="stated for this test")
    charge = Charge("materials of the test", "", once, Phase.PREPARE, cost, _risk(sheet))
    sheet.buy(charge)


def _risk(sheet: Worksheet) -> Risk:
    return Risk(sheet.element.facts.word("risk", Risk.UNTRIED.value))


def _run(sheet: Worksheet, effort: Effort) -> None:
    needs = tuple(
        Need(sort, options) for sort in ("stage", "rig") if (options := sheet.context.names(sort))
    )
    on_stage = any(need.sort == "stage" for need in needs)
    sheet.do(
        Work(
            "run the test",
            sheet.element.facts.word("craft", "stage" if on_stage else "supervision"),
            Phase.STAGE if on_stage else Phase.PREPARE,
            effort.hours,
            effort.reason,
            needs=needs,
            risk=_risk(sheet),
        )
    )


def _tell(sheet: Worksheet, result: str) -> None:
    waiting = resting_on(sheet.context)
    shots = shots_of(waiting)
    sheet.reckon(
        "live elements that rest on it",
        len(waiting),
        "1",
        "elements of live shots whose work follows it, directly or through others",
    )
    sheet.reckon("live shots that rest on it", len(shots), "1", "shots of those elements")
    state = "has failed" if result == FAILED else "has not been passed yet"
    rests = (
        f"{counted(len(waiting), 'live element rests', 'live elements rest')} on it in"
        f" {counted(len(shots), 'shot')} ({listed(shots)})"
        if waiting
        else "no live element rests on it"
    )
    again = "change the method or try again" if result == FAILED else "run it"
    sheet.warn(
        "test-not-passed",
        f"the test of {_purpose(sheet)} {state}; {rests}",
        f"{again} before stage time is booked on it, or price another way of making them",
        at="result",
    )
