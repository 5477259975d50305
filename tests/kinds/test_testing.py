"""The conformance check finds what authors get wrong."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from planner.kinds import Charge, Estimate, Hours, Phase, ScaleBound, Work
from planner.kinds.testing import check_estimate, check_kind, check_schema, context_of
from planner.model.place import Place, Problem, Severity
from planner.model.quantity import Quantity

SCHEMA = {"type": "object", "properties": {"size": {"type": "string"}}}


class Good:
    """A kind that keeps to the door."""

    name = "good"
    door = 1
    section = "elements"

    def schema(self):
        return SCHEMA

    def estimate(self, context):
        return Estimate(context.element.id, work=(work(),))


def work(**changes):
    hours = Hours(1, 2, 3)
    made = Work("make", "model_making", Phase.BUILD, hours, Quantity("hours", 2, "h"))
    return replace(made, **changes)


@pytest.fixture
def context(make):
    return make("good", {})


def refused(estimate, context, match):
    with pytest.raises(AssertionError, match=match):
        check_estimate(estimate, context)


def test_a_kind_that_keeps_to_the_door_passes(context) -> None:
    check_kind(Good(), [context])


def test_a_kind_that_lacks_a_part_is_told_which_parts_there_are(context) -> None:
    with pytest.raises(AssertionError, match="name, door, section, schema and estimate"):
        check_kind(object(), [context])


def test_a_kind_that_answers_otherwise_the_second_time_is_not_pure(context) -> None:
    class Moody(Good):
        calls = 0

        def estimate(self, context):
            self.calls += 1
            return Estimate(context.element.id, work=(work(heads=self.calls),))

    with pytest.raises(AssertionError, match="not pure"):
        check_kind(Moody(), [context])


def test_a_kind_of_another_door_is_refused(context) -> None:
    class Old(Good):
        door = 0

    with pytest.raises(AssertionError, match="door 0"):
        check_kind(Old(), [context])


def test_a_schema_closes_its_nested_things_and_not_itself() -> None:
    check_schema("good", SCHEMA)
    with pytest.raises(AssertionError, match="additionalProperties"):
        check_schema("good", {**SCHEMA, "additionalProperties": False})
    nested = {"size": {"type": "object", "properties": {"width": {}}}}
    with pytest.raises(AssertionError, match="size would take any key"):
        check_schema("good", {"type": "object", "properties": nested})


def test_hours_rise(context) -> None:
    falling = work(hours=Hours(3, 2, 1))
    refused(Estimate("S010.it", work=(falling,)), context, "must rise")


def test_an_answer_about_something_else_is_refused(context) -> None:
    refused(Estimate("S010.other"), context, "answered with S010.other")


def test_work_follows_what_is_there(context) -> None:
    refused(Estimate("S010.it", work=(work(after=("dream",)),)), context, "dream")


def test_an_endless_number_is_refused_however_deep(context) -> None:
    deep = Quantity("depth", 1, inputs=(Quantity("far", math.inf),))
    refused(Estimate("S010.it", quantities={"depth": deep}), context, "far")


def test_a_scale_limit_is_above_zero(context) -> None:
    bound = ScaleBound("dam", "S010.it", at_least=True, limit=Quantity("room", 0.0), relax="")
    refused(Estimate("S010.it", bounds=(bound,)), context, "limits a scale to 0")


def test_a_charge_is_by_rate_or_by_sum(context) -> None:
    charge = Charge("paint", "", Quantity("tins", 2), Phase.BUILD)
    refused(Estimate("S010.it", charges=(charge,)), context, "neither or both")


def test_a_finding_prints_no_endless_number(context) -> None:
    told = Problem(Severity.ERROR, Place("a"), "too-far", "it is inf m away", "", "S010.it")
    refused(Estimate("S010.it", problems=(told,)), context, "endless")


def test_a_code_is_words_joined_by_hyphens(context) -> None:
    told = Problem(Severity.ERROR, Place("a"), "Too_Far", "it is far", "", "S010.it")
    refused(Estimate("S010.it", problems=(told,)), context, "Too_Far")


def test_a_context_is_made_of_facts_as_a_show_states_them() -> None:
    stated = {
        "line": (40_000, "mm"),
        "tails": 3,
        "colour": "red",
        "lit": True,
        "wind": None,
        "reel": {"width": (80, "mm")},
        "knots": [{"kind": "bowline"}],
    }
    facts = context_of("kite", stated).element.facts
    assert facts.number("line").text == "40000 mm"
    assert facts.number("tails").unit == "1"
    assert (facts.word("colour"), facts.flag("lit"), facts.is_unknown("wind")) == (
        "red",
        True,
        True,
    )
    assert facts.group("reel").number("width").value == 80
    assert facts.groups("knots")[0].word("kind") == "bowline"


def test_a_fact_that_no_show_can_state_is_refused() -> None:
    with pytest.raises(AssertionError, match="colour: <object"):
        context_of("kite", {"colour": object()})
