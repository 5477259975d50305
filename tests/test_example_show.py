"""The example show against its own answer key: every planted trouble is found, and nothing else.

The key is the table in the show's README: code, what it is about, and the number the finding must
say.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import pytest

from planner.cli.opening import Effort, open_sound, plan_opened
from planner.model.place import Problem, Severity
from planner.pages.why import why_text

if TYPE_CHECKING:
    from planner.pages.plan import Plan

SHOW = Path(__file__).parents[1] / "example_shows" / "nine_bells_under"
ROW = re.compile(r"^\| (?P<n>\d+) \| (?P<code>\S+) \| (?P<about>.+?) \| (?P<number>.+?) \| .+ \|$")


class Row(NamedTuple):
    n: str
    code: str
    about: str
    number: str


def answer_key() -> list[Row]:
    lines = (SHOW / "README.md").read_text(encoding="utf-8").splitlines()
    matches = [match for line in lines if (match := ROW.match(line))]
    return [Row(*(match[name].strip() for name in Row._fields)) for match in matches]


KEY = answer_key()


@pytest.fixture(scope="module")
def plan() -> Plan:
    return plan_opened(open_sound(SHOW), Effort(seconds=None, tries=50, seed=0))


def test_the_key_holds_at_least_twenty_troubles() -> None:
    assert len(KEY) >= 20


def test_the_key_is_numbered_without_gaps() -> None:
    assert [row.n for row in KEY] == [str(n) for n in range(1, len(KEY) + 1)]


def test_every_likely_figure_lies_in_its_own_range_and_is_shown_so(plan: Plan) -> None:
    shown = 0
    for id_, estimate in plan.estimates.by_element.items():
        for work in estimate.work:
            assert 0 <= work.hours.low <= work.hours.likely <= work.hours.high, (id_, work.name)
        # 0.03 h of a recorder are called for as a quarter hour; that is no estimate of it.
        for told in re.finditer(
            r": ([\d,.]+) h \(([\d,.]+) h to ([\d,.]+) h\)", why_text(plan, id_)
        ):
            likely, low, high = (float(each.replace(",", "")) for each in told.groups())
            assert low <= likely <= high, (id_, told[0])
            shown += 1
    for line in plan.bid.lines:
        assert line.figures.low <= line.figures.likely <= line.figures.high, line.what
    assert shown > len(plan.estimates.by_element)
    assert "called for 0.25 h" in why_text(plan, "NB130.comp")


def test_what_is_waived_is_set_aside_and_kept(plan: Plan) -> None:
    assert {(each.problem.code, each.problem.about) for each in plan.estimates.waived} == {
        ("move-not-shared", "NB020.sky"),
        ("move-not-shared", "NB230.spray"),
    }


@pytest.mark.parametrize("row", KEY, ids=lambda row: f"{row.n}-{row.code}")
def test_a_planted_trouble_is_found_with_its_number(plan: Plan, row: Row) -> None:
    mine = [each for each in plan.findings if (each.code, each.about) == (row.code, row.about)]
    assert mine, f"{row.code} is not found about {row.about}"
    assert row.number == "—" or any(row.number in each.message for each in mine), [
        each.message for each in mine
    ]


def test_nothing_is_found_that_was_not_planted(plan: Plan) -> None:
    planted = {(row.code, row.about) for row in KEY}

    def is_surprise(each: Problem) -> bool:
        return each.severity < Severity.NOTE and (each.code, each.about) not in planted

    assert [str(each) for each in plan.findings if is_surprise(each)] == []
