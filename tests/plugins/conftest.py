"""Tiny shows built in code, for trying one kind at a time."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import pytest

from planner.kinds import Context
from planner.model.facts import Facts, FrameRange
from planner.model.methods import stand_aside
from planner.model.place import Place
from planner.model.quantity import Quantity, Standing
from planner.model.show import (
    Element,
    Loads,
    Reference,
    Resource,
    Sequence,
    Shot,
    Show,
    WorkCalendar,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from planner.kinds import Estimate
    from planner.model.place import Problem
    from planner.model.show import Move

PLACE = Place("show.yaml", 1, 1)
CUT = FrameRange(1, 100)
ROLES = frozenset(
    [
        "alternative_to",
        "between",
        "against",
        "build",
        "builds",
        "clean_of",
        "clean_plate",
        "colour_from",
        "derived_from",
        "falls_on",
        "hands_over_to",
        "held_out_by",
        "hides",
        "in_front_of",
        "in_plate",
        "into",
        "joins",
        "lit_with",
        "made_for",
        "move_from",
        "needs_test",
        "of",
        "pass_of",
        "people_plate",
        "records",
        "removes_rods_of",
        "replaced_by",
        "roto_of",
        "set",
        "shadow_of",
        "size_of",
        "waits_for",
    ]
)


def given(value: float, unit: str = "1") -> Quantity:
    """A number as a show states it."""
    return Quantity("stated", value, unit, Standing.GIVEN, place=PLACE)


def facts_of(values: Mapping[str, Any]) -> Facts:
    """Facts of plain values: numbers become counts, dicts groups, lists tuples."""
    made: dict[str, Any] = {}
    for name, value in values.items():
        if isinstance(value, dict):
            made[name] = facts_of(value)
        elif isinstance(value, (list, tuple)):
            made[name] = tuple(facts_of(v) if isinstance(v, dict) else v for v in value)
        elif isinstance(value, (int, float)) and not isinstance(value, bool):
            made[name] = given(float(value))
        else:
            made[name] = value
    return Facts(PLACE, MappingProxyType(made), MappingProxyType(dict.fromkeys(made, PLACE)))


def element_of(identity: str, kind: str, shot: str, facts: Mapping[str, Any]) -> Element:
    """An element; facts under a role's name become references."""
    references = tuple(
        Reference(role, target, PLACE, waits=role != "in_front_of")
        for role, named in facts.items()
        if role in ROLES
        for target in ((named,) if isinstance(named, str) else named)
    )
    plain = {name: value for name, value in facts.items() if name not in ROLES}
    return Element(identity, kind, shot, facts_of(plain), references, PLACE)


def context_for(
    kind: str,
    facts: Mapping[str, Any],
    *,
    shot_camera: Mapping[str, Any] | None = None,
    builds: Mapping[str, Mapping[str, Any]] | None = None,
    resources: Mapping[str, Mapping[str, Any]] | None = None,
    elements: Mapping[str, tuple[str, Mapping[str, Any]]] | None = None,
    moves: Mapping[str, Move] | None = None,
    upstream: Mapping[str, Estimate] | None = None,
    show_facts: Mapping[str, Any] | None = None,
    shot_facts: Mapping[str, Any] | None = None,
    cut: FrameRange | None = CUT,
    state: str = "live",
    identity: str = "S010.it",
) -> Context:
    """One element in a show of one shot.

    Args:
        kind: of the element.
        facts: of the element; names of roles become references.
        shot_camera: camera facts of the shot.
        builds: facts of builds by id.
        resources: by id: ``sort`` and facts.
        elements: others of the show by id: kind and facts; ``SHOT.name`` puts one in the shot.
        moves: by id.
        upstream: estimates by id.
        show_facts: the rest of show.yaml.
        shot_facts: the rest of the shot.
        cut: of the shot.
        state: of the shot.
        identity: of the element; without a dot it stands outside shots.
    """
    shot_id = identity.rpartition(".")[0]
    all_elements = {identity: element_of(identity, kind, shot_id, facts)}
    for name, build in (builds or {}).items():
        all_elements.setdefault(name, element_of(name, "build", "", build))
    for name, (other, other_facts) in (elements or {}).items():
        shot_of_other = name.rpartition(".")[0]
        all_elements[name] = element_of(name, other, shot_of_other, other_facts)
    made_resources = {
        name: Resource(
            id=name,
            sort=str(each["sort"]),
            title=name,
            capacity=int(each.get("capacity", 1)),
            craft=str(each.get("craft", "")),
            away=(),
            facts=facts_of(
                {k: v for k, v in each.items() if k not in {"sort", "craft", "capacity"}}
            ),
            place=PLACE,
        )
        for name, each in (resources or {}).items()
    }
    shots = sorted({each.shot for each in all_elements.values() if each.shot} | {"S010"})
    show = Show(
        folder="tiny",
        title="Tiny",
        currency="GBP",
        calendar=WorkCalendar(date(2027, 1, 4), frozenset({0, 1, 2, 3, 4}), (), time(8, 0), 10.0),
        sequences={"S": Sequence("S", "S", tuple(shots), facts_of({}), PLACE)},
        shots={
            each: Shot(
                id=each,
                sequence="S",
                says="",
                cut=cut,
                state=state,
                facts=facts_of({"camera": dict(shot_camera or {}), **(shot_facts or {})}),
                elements=tuple(e.id for e in all_elements.values() if e.shot == each),
                place=PLACE,
            )
            for each in shots
        },
        elements=all_elements,
        resources=made_resources,
        rates={},
        moves=moves or {},
        deliveries=(),
        loads=Loads(Decimal("0.1"), {}, contingency_carries_overhead=False),
        facts=facts_of(show_facts or {}),
        aside=stand_aside(all_elements),
    )
    return Context(show, all_elements[identity], upstream or {})


@pytest.fixture
def make() -> Callable[..., Context]:
    """The builder of tiny shows."""
    return context_for


@pytest.fixture
def quantity() -> Callable[..., Quantity]:
    """The maker of stated numbers."""
    return given


@pytest.fixture
def finding() -> Callable[[Estimate, str], Problem]:
    """The one finding of an estimate with a code; fails, listing the codes found, without it."""

    def find(estimate: Estimate, code: str) -> Problem:
        found = [each for each in estimate.problems if each.code == code]
        assert len(found) == 1, (
            f"{code} found {len(found)} times in {[p.code for p in estimate.problems]}"
        )
        return found[0]

    return find
