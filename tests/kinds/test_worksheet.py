"""What a worksheet keeps of one element."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.kinds import Context, Registry, Rule, Worksheet
from planner.model.quantity import Quantity
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from tests.conftest import ShowFolder


def test_a_fact_asked_for_twice_is_missing_once(show: ShowFolder) -> None:
    read, _problems = load_show(show.path, Registry())
    assert read is not None
    sheet = Worksheet(Context(read, read.elements["HL010.town"], {}))
    sheet.miss("light", rests="exposure")
    sheet.miss("light", rests="exposure")
    sheet.miss("light", rests="hours")
    told = [(each.name, each.rests) for each in sheet.estimate().missing]
    assert told == [("light", "exposure"), ("light", "hours")]


def test_a_sum_of_hours_says_what_is_summed_and_lists_nothing_else(show: ShowFolder) -> None:
    read, _problems = load_show(show.path, Registry())
    assert read is not None
    sheet = Worksheet(Context(read, read.elements["HL010.town"], {}))
    once, each, never = (
        Rule(f"kite.{name}", name, 0.5, likely, 4)
        for name, likely in (("tests", 1.0), ("a layer", 0.5), ("a cue", 2.0))
    )
    ran = Quantity("running time", 3.004, "h")
    found = sheet.effort("photograph", (once, 1), (each, 3), (never, 0), ran).reason
    # 1 + 3 x 0.5 + 3.004 = 5.504; a cue is given no times.
    assert found.reason == "sum of the parts: 1 + 0.5 x 3 + 3.004"
    assert found.value == pytest.approx(5.504)
    assert [part.name for part in found.inputs] == ["tests", "a layer", "running time"]
