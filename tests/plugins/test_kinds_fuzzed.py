"""Whatever their schemas let people state, kinds answer honestly and in finite numbers."""

from __future__ import annotations

from datetime import time
from decimal import Decimal
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.kinds.testing import check_estimate
from planner.model.facts import FrameRange, Money
from planner.model.quantity import Quantity
from planner_plugins.check_composite import CheckComposite
from planner_plugins.derived_matte import DerivedMatte
from planner_plugins.drawn import Drawn
from planner_plugins.effect import Effect
from planner_plugins.light_pass import LightPass
from planner_plugins.performer import Performer
from planner_plugins.projected_people import ProjectedPeople
from planner_plugins.record_out import RecordOut
from planner_plugins.set_piece import SetPiece
from planner_plugins.stock import Stock

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from planner.kinds import Context, ElementKind

KINDS = (
    CheckComposite,
    DerivedMatte,
    Drawn,
    Effect,
    LightPass,
    Performer,
    ProjectedPeople,
    RecordOut,
    SetPiece,
    Stock,
)
UNITS = {
    "length": "mm",
    "angle": "deg",
    "duration": "s",
    "hours": "h",
    "rate": "fps",
    "speed": "mm/s",
    "light": "lx",
    "stop": "f",
    "scale": "1:N",
    "pixels": "px",
    "power": "W",
}
NUMBERS = st.sampled_from([0.0, 1e-3, 1.0, 24.0, 1500.0, 4e7])
# The reader refuses what is below nought, except angles; a stop and a scale begin at 1.
LEAST = {"stop": 0.5, "scale": 1.0, "rate": 0.01}


NAMES = st.sampled_from(["S010.other", "S010.model"])
SORTS: dict[str, st.SearchStrategy[Any]] = {
    "reference": NAMES,
    "references": NAMES,
    "resource": st.just("north"),
    "resources": st.just("north"),
    "frames": st.sampled_from([FrameRange(1, 1), FrameRange(1, 100), FrameRange(90, 5000)]),
    "money": st.sampled_from([Money(Decimal(0), "GBP"), Money(Decimal(10**7), "EUR")]),
    "clock": st.sampled_from([time(0, 0), time(23, 59)]),
}


def value_of(schema: Mapping[str, Any]) -> st.SearchStrategy[Any]:
    """Values of one property; references name what stands in the tiny show."""
    sort = str(schema.get("$ref", "")).rpartition("/")[2]
    if sort in SORTS:
        return SORTS[sort]
    if sort:
        least, unit = LEAST.get(sort, 0.0), UNITS.get(sort, "1")
        return NUMBERS.map(lambda n: Quantity(sort, max(n, least), unit))
    return st.sampled_from(schema["enum"]) if "enum" in schema else _plain(schema)


def _plain(schema: Mapping[str, Any]) -> st.SearchStrategy[Any]:
    if schema.get("type") == "boolean":
        return st.booleans()
    if schema.get("type") == "array":
        return st.lists(value_of(schema["items"]), max_size=3).map(tuple)
    if schema.get("type") == "object":
        return facts_of(schema)
    return st.sampled_from(["", "take 3"])


def facts_of(schema: Mapping[str, Any]) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries(
        {}, optional={name: value_of(each) for name, each in schema["properties"].items()}
    )


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_anything_it_may_state_gives_finite_numbers(
    kind: Callable[[], ElementKind], make: Callable[..., Context]
) -> None:
    made = kind()

    @settings(
        max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
    )
    @given(facts=facts_of(made.schema()), camera=facts_of(CAMERA))
    def check(facts: dict[str, Any], camera: dict[str, Any]) -> None:
        others = {
            "S010.other": ("plate", {"revision": "take 4"}),
            "S010.model": ("miniature", {"build": "town"}),
            "town": ("build", {"scale": Quantity("scale", 24.0, "1:N")}),
        }
        north = {"north": {"sort": "stage"}}
        context = make(made.name, facts, shot_camera=camera, elements=others, resources=north)
        check_estimate(made.estimate(context), context)

    check()


CAMERA = {
    "properties": {
        "focal_length": {"$ref": "#/$defs/length"},
        "height": {"$ref": "#/$defs/length"},
        "stop": {"$ref": "#/$defs/stop"},
        "exposure_index": {"$ref": "#/$defs/number"},
        "shutter": {"$ref": "#/$defs/angle"},
        "image_width": {"$ref": "#/$defs/pixels"},
        "frame_rate": {"$ref": "#/$defs/rate"},
    }
}
