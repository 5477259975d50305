"""Whatever any element may state, what is reckoned of it is finite and nothing is raised."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.estimate.any_kind import CHECKS, reckon_shared
from planner.kinds import Context, Estimate
from planner.kinds.testing import check_estimate
from planner.model.facts import Facts, FrameRange
from planner.model.place import Place
from planner.model.quantity import Quantity
from planner.model.show import Element, Move, MoveAxis, Reference, Resource
from planner.text.show_folder import file_schemas

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tests.estimate.conftest import OneShot

PLACE = Place("show.yaml", 1, 1)
NUMBERS = st.sampled_from([0.0, 1e-3, 1.0, 24.0, 1500.0, 4e7])
SIGNED = st.sampled_from([-4e7, -90.0, -0.5, 0.0, 0.5, 180.0, 4e7])
UNITS = {"length": "mm", "offset": "mm", "angle": "deg", "hours": "h", "count": "1"}
SORTS: dict[str, st.SearchStrategy[Any]] = {
    "frames": st.sampled_from([FrameRange(1, 1), FrameRange(1, 96), FrameRange(90, 5000)]),
    "date": st.sampled_from([date(2027, 3, 1), date(2099, 12, 31)]),
    "move": st.sampled_from(["walk", "turn", "nothing"]),
}
MOVES = {
    "walk": Move(
        "walk",
        1,
        {"track": MoveAxis("mm", (0.0, 4e6, 4e6)), "boom": MoveAxis("mm", (0.0, 1.0, -5.0))},
        PLACE,
    ),
    "turn": Move("turn", 90, {"pan": MoveAxis("deg", (0.0, 200.0, -400.0))}, PLACE),
}


def value_of(schema: Mapping[str, Any]) -> st.SearchStrategy[Any]:
    """Values of one property."""
    sort = str(schema.get("$ref", "")).rpartition("/")[2]
    if sort in SORTS:
        return SORTS[sort]
    if sort:
        numbers = SIGNED if sort in {"angle", "offset"} else NUMBERS
        return numbers.map(lambda value: Quantity(sort, value, UNITS.get(sort, "1")))
    if "enum" in schema:
        return st.sampled_from(schema["enum"])
    return _plain(schema)


def _plain(schema: Mapping[str, Any]) -> st.SearchStrategy[Any]:
    if schema.get("type") == "boolean":
        return st.booleans()
    if schema.get("type") == "array":
        least, most = schema.get("minItems", 0), schema.get("maxItems", 3)
        return st.lists(value_of(schema["items"]), min_size=least, max_size=most).map(tuple)
    if schema.get("type") == "object":
        return facts_of(schema["properties"])
    return st.sampled_from(["", "head", "pit"])


def facts_of(properties: Mapping[str, Any]) -> st.SearchStrategy[Facts]:
    stated = {name: value_of(each) for name, each in properties.items()}
    return st.fixed_dictionaries({}, optional=stated).map(lambda values: Facts(PLACE, values))


# What only kinds state and these checks read beside what every element may.
BESIDE = {
    "nearest": {"$ref": "facts.json#/$defs/length"},
    "camera_height": {"$ref": "facts.json#/$defs/length"},
    "scale": {"$ref": "facts.json#/$defs/count"},
    "focal_length": {"$ref": "facts.json#/$defs/length"},
    "tilt": {"$ref": "facts.json#/$defs/angle"},
}
RIG = Resource(
    "rail",
    "rig",
    "Rail",
    1,
    "",
    (),
    Facts(
        PLACE,
        {
            "below_lens": Quantity("below", 350.0, "mm"),
            "tail": Quantity("tail", 2400.0, "mm"),
            "pupil_offset": Quantity("offset", -30.0, "mm"),
            "axes": Facts(PLACE, {"track": Facts(PLACE, {"turn": Quantity("turn", 9.0, "deg")})}),
        },
    ),
    PLACE,
)
KIND = {
    "rate": Quantity("rate", 24.0, "fps", reason="shown"),
    "frames": Quantity("frames", 112.0, reason="cut"),
    "pass time": Quantity("pass time", 4.0, "s", reason="frames / rate"),
}

OTHERS = frozenset({"reach", "line_up", "in_frame", "free_sides"})
"""What the checks read beside the facts that ask for them."""


def test_nothing_that_any_element_may_state_upsets_it(one_shot: OneShot) -> None:
    one_shot.write(more="crane: {kind: camera_move, origin: recorded, travel: 1 m}\n")
    show = one_shot.load()
    shared = file_schemas()["element.json"]["properties"]
    mine = {name: each for name, each in shared.items() if name in CHECKS or name in OTHERS}
    assert set(CHECKS) - set(mine) == {"move_from", "camera"}

    @settings(max_examples=300, deadline=None)
    @given(facts_of({**mine, **BESIDE}), st.sampled_from(["walk", "turn", ""]))
    def check(facts: Facts, data: str) -> None:
        element = show.elements["HL010.town"]
        stated = {**facts.values, "rig": "rail", "camera": "cam"}
        crane = show.elements["HL010.crane"]
        followed = Facts(PLACE, {"data": data, "pupil_error": Quantity("error", 24.0, "mm")})
        reference = Reference("move_from", crane.id, PLACE, waits=True)
        made = Element(element.id, "miniature", "HL010", Facts(PLACE, stated), (reference,), PLACE)
        around = Element(crane.id, crane.kind, "HL010", followed, (), PLACE)
        changed = replace(
            show,
            elements={**show.elements, made.id: made, around.id: around},
            resources={**show.resources, "rail": RIG},
            moves=MOVES,
        )
        context = Context(changed, made, {})
        check_estimate(reckon_shared(context, Estimate(made.id, quantities=KIND)), context)

    check()
