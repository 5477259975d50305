from __future__ import annotations

from decimal import Decimal

import pytest

from planner.kinds import Phase, Risk
from planner.model.facts import Money
from planner.model.place import Severity
from planner_plugins.test import Test as Trial

HAZE = {"purpose": "haze over water at 1/24", "passes_when": "the director cannot tell the seam"}
USERS = {
    "town": ("build", {"needs_test": "haze"}),
    "S010.town": ("miniature", {"build": "town"}),
    "S020.town": ("miniature", {"build": "town"}),
    "S020.mist": ("plate", {"waits_for": "haze"}),
    "S020.sky": ("painting", {}),
}


def estimate(make, elements=None, **facts):
    return Trial().estimate(make("test", {**HAZE, **facts}, identity="haze", elements=elements))


@pytest.mark.parametrize(
    ("result", "says"), [("failed", "has failed"), ("not yet", "has not been passed yet")]
)
def test_a_test_not_passed_counts_the_live_elements_resting_on_it(
    make, finding, result, says
) -> None:
    told = finding(estimate(make, USERS, result=result), "test-not-passed")
    assert told.severity is Severity.WARNING
    assert says in told.message
    # town in two shots through the build, and the mist itself.
    assert "3 live elements rest on it in 2 shots (S010, S020)" in told.message


def test_a_passed_test_holds_nothing_and_needs_no_work(make) -> None:
    done = estimate(make, USERS, result="passed")
    assert done.problems == ()
    assert done.work == ()


def test_stated_hours_crew_and_stage_are_used(make, quantity) -> None:
    hours = {"low": quantity(4.0, "h"), "likely": quantity(6.0, "h"), "high": quantity(10.0, "h")}
    (work,) = estimate(make, hours=hours, craft="effects", stage="tank", rig=("a", "b")).work
    assert (work.hours.low, work.hours.likely, work.hours.high) == (4, 6, 10)
    assert work.craft == "effects"
    assert work.phase is Phase.STAGE
    assert [(each.sort, each.options) for each in work.needs] == [
        ("stage", ("tank",)),
        ("rig", ("a", "b")),
    ]
    assert work.risk is Risk.UNTRIED


def test_without_hours_a_rule_stands_in_and_is_listed(make) -> None:
    found = estimate(make)
    assert found.work[0].hours.likely == 8  # the rule test.run
    assert [(each.name, each.assumed) for each in found.missing] == [("hours", "the rule test.run")]


def test_hours_that_do_not_rise_are_told_and_put_in_order(make, finding, quantity) -> None:
    hours = {"low": quantity(9.0, "h"), "likely": quantity(6.0, "h")}
    found = estimate(make, hours=hours)
    assert finding(found, "hours-out-of-order").severity is Severity.ERROR
    # low 9, likely 6, high taken as likely: 6, 6, 9 once in order.
    hours_found = found.work[0].hours
    assert (hours_found.low, hours_found.likely, hours_found.high) == (6, 6, 9)


def test_a_test_without_a_pass_mark_is_told(make, finding) -> None:
    found = estimate(make, passes_when="")
    assert finding(found, "test-without-pass-mark").severity is Severity.WARNING


def test_its_cost_is_charged_whatever_the_result(make) -> None:
    cost = Money(Decimal(1200), "GBP")
    for result in ("passed", "failed"):
        (charge,) = estimate(make, cost=cost, result=result).charges
        assert charge.amount == cost
