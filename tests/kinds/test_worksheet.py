"""What a worksheet keeps of one element."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.kinds import Charge, Context, Hours, Phase, Registry, Risk, Rule, Work, Worksheet
from planner.kinds.testing import context_of
from planner.model.place import Place, Problem
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


def test_a_missing_fact_keeps_who_is_to_find_it(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", "light: 250 fc", "light: {is: ?, by: the gaffer}")
    read, _problems = load_show(show.path, Registry())
    assert read is not None
    sheet = Worksheet(Context(read, read.elements["HL010.town"], {}))
    sheet.miss("light", rests="exposure")
    sheet.miss("volume", rests="hours")
    found = [(each.name, each.by) for each in sheet.estimate().missing]
    assert found == [("light", "the gaffer"), ("volume", "")]


def test_who_is_to_find_it_is_kept_of_the_shot_s_camera_and_of_parts(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", "stop: f/8", "stop: {is: ?, by: the supervisor}")
    show.replace(
        "sequences/hill.yaml",
        "holds: {from: 40 m, to: 90 m}",
        "holds: {from: {is: ?, by: Ada}, to: {is: ?, by: Ben}}",
    )
    read, _problems = load_show(show.path, Registry())
    assert read is not None
    sheet = Worksheet(Context(read, read.elements["HL010.town"], {}))
    sheet.miss("stop", rests="depth")
    sheet.miss("holds", rests="depth")
    found = [(each.name, each.by) for each in sheet.estimate().missing]
    assert found == [("stop", "the supervisor"), ("holds", "Ada and Ben")]


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


def test_work_and_money_carry_the_class_of_contingency_that_the_element_states() -> None:
    sheet = Worksheet(context_of("kite", {"risk": "untried"}))
    hours, one = Hours(1, 2, 3), Quantity("hours to fly it", 2, "h")
    sheet.do(Work("fly it", "effects", Phase.STAGE, hours, one))
    sheet.do(Work("burn it", "effects", Phase.STAGE, hours, one, risk=Risk.FIRE))
    sheet.buy(Charge("line", "line", Quantity("line", 40, "m"), Phase.STAGE))
    found = sheet.estimate()
    # What says a class of its own keeps it.
    assert [each.risk for each in found.work] == [Risk.UNTRIED, Risk.FIRE]
    assert [each.risk for each in found.charges] == [Risk.UNTRIED]


@pytest.mark.parametrize("name", Registry().names)
def test_nothing_of_an_untried_element_is_priced_as_ordinary(name: str) -> None:
    registry = Registry()
    kind = registry.get(name, Place("show.yaml", 1, 1))
    assert not isinstance(kind, Problem)
    sorts = {"drawn": {"sort": "hand_animated"}, "plate": {"sort": "live"}}
    facts = {"risk": "untried", "makes": "miniature", "on_film": True, "measures": [{"what": "a"}]}
    found = kind.estimate(context_of(name, facts | sorts.get(name, {})))
    assert found.work
    assert {each.risk for each in (*found.work, *found.charges)} == {Risk.UNTRIED}
