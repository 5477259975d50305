"""What can hurt someone is cautioned whatever the kind, and what is untried is learned first."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.craft.cautions import CAUTIONS
from planner.estimate.any_kind import reckon_shared
from planner.kinds import Estimate, Registry, Risk
from planner.kinds.strike import hazards_on_floor
from planner.kinds.testing import context_of
from planner.model.place import Place, Problem, Severity
from planner.text.show_folder import file_schemas

if TYPE_CHECKING:
    from collections.abc import Mapping

KINDS = Registry()
ENOUGH: Mapping[str, Mapping[str, object]] = {
    "build": {"makes": "miniature"},
    "drawn": {"sort": "hand_animated"},
    "effect": {"sort": "debris"},
    "plate": {"sort": "live"},
    "standing_set": {"measures": [{"what": "the sill"}]},
}
"""What a kind must be told before there is work of it."""


def told(kind: str, facts: Mapping[str, object]) -> Estimate:
    """What a kind says of an element, with what any element may state."""
    known = KINDS.get(kind, Place("show.yaml", 1, 1))
    assert not isinstance(known, Problem)
    context = context_of(kind, {**ENOUGH.get(kind, {}), **facts})
    return reckon_shared(context, known.estimate(context))


def cautions(estimate: Estimate) -> list[str]:
    """Hazards cautioned."""
    codes = [each.code for each in estimate.problems]
    return [each.removeprefix("caution-") for each in codes if each.startswith("caution-")]


def test_no_hazard_that_a_show_may_state_is_without_a_caution() -> None:
    stated = file_schemas()["element.json"]["properties"]["hazards"]["items"]["enum"]
    assert sorted(stated) == sorted(CAUTIONS)


@pytest.mark.parametrize("kind", KINDS.names)
def test_every_hazard_stated_of_any_kind_is_cautioned_once(kind: str) -> None:
    found = told(kind, {"hazards": list(CAUTIONS), "risk": "fire"})
    assert cautions(found) == [each.replace("_", "-") for each in CAUTIONS]
    for each in found.problems:
        if each.code.startswith("caution-"):
            assert each.severity is Severity.NOTE
            assert "local codes" in each.message


@pytest.mark.parametrize(
    ("kind", "facts", "hazard"),
    [
        # What carries the allowance for fire burns, whether or not the flame is listed.
        ("build", {"risk": "fire"}, "flame"),
        ("miniature", {"risk": "fire"}, "flame"),
        ("miniature", {"passes": ["beauty", "smoke"]}, "smoke"),
        ("miniature", {"haze": {"level": "card E read at 4 m"}}, "smoke"),
        ("plate", {"flame_distance": (3000, "mm")}, "flame"),
        ("effect", {"sort": "flame"}, "flame"),
        ("effect", {"sort": "dust"}, "smoke"),
        ("effect", {"sort": "water"}, "water"),
        ("miniature", {"passes": ["beauty", "water"]}, "water"),
        ("light_pass", {"sort": "fluorescent"}, "ultraviolet"),
    ],
)
def test_what_is_a_hazard_by_itself_is_cautioned_alike_in_findings_and_on_the_floor(
    kind: str, facts: Mapping[str, object], hazard: str
) -> None:
    found = told(kind, facts)
    assert cautions(found) == [hazard]
    assert hazards_on_floor(context_of(kind, facts), Estimate("S010.it")) == (hazard,)


def test_nothing_is_cautioned_where_no_work_is_left() -> None:
    facts = {"hazards": ["flame"], "risk": "untried", "learning": {"hours": (8, "h")}}
    done = told("test", {**facts, "result": "passed", "passes_when": "it reads as large"})
    assert (done.problems, done.work) == ((), ())


def test_flame_without_the_allowance_for_fire_is_told() -> None:
    codes = [each.code for each in told("composite", {"hazards": ["flame"]}).problems]
    assert "fire-not-in-risk" in codes
    safe = told("composite", {"hazards": ["flame"], "risk": "fire"})
    assert "fire-not-in-risk" not in [each.code for each in safe.problems]


@pytest.mark.parametrize("kind", ["roto", "puppet"])
def test_days_set_apart_to_learn_are_work_before_the_rest_whatever_the_kind(kind: str) -> None:
    facts = {"risk": "untried", "learning": {"craft": "camera", "hours": (16, "h")}}
    learn = told(kind, facts).work[0]
    assert (learn.name, learn.craft, learn.hours.likely) == ("learn it", "camera", 16)
    assert learn.risk is Risk.UNTRIED
    # Nothing else begins before it is learned.
    rest = [each for each in told(kind, facts).work[1:] if not each.after]
    assert rest == []
    assert told(kind, facts).work[1].after == ("learn it",)
    missing = [each.name for each in told(kind, {"risk": "untried"}).missing]
    assert "learning" in missing
