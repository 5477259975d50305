"""How far a limit of scale must give way, and what must then be had.

Takes a limit and the scale wanted, gives a `Relaxation` in people's units: metres of track, stops
of light, a top rate; each by the law its limit follows. Knows nothing of windows or prices.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.kinds import Estimate
from planner.model.quantity import Quantity, reckoned

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from planner.estimate.estimates import Estimates
    from planner.kinds import ScaleBound


@dataclass(frozen=True, slots=True)
class Relaxation:
    """How far one limit must give way.

    Attributes:
        bound: the limit.
        wanted: N it would have to allow.
        needed: what must then be had, such as ``width of stage, 17 m`` or ``more light, 1.3
            stops``; the times it must give where nothing better is known of the limit.
        had: what there is of it now; None where `needed` is a difference.
    """

    bound: ScaleBound
    wanted: float
    needed: Quantity
    had: Quantity | None


_Law = tuple[Quantity, Quantity | None]


def relax(estimates: Estimates, bound: ScaleBound, wanted: float) -> Relaxation:
    """How far `bound` must give way to allow 1:`wanted`."""
    law = next((law for name, law in _LAWS.items() if name in bound.limit.name), None)
    estimate = estimates.by_element.get(bound.element) or Estimate(bound.element)
    told = law(bound, wanted, estimate) if law else None
    if told is None:
        ratio = max(wanted / bound.limit.value, bound.limit.value / wanted)
        told = (reckoned(bound.relax, ratio, "times", "limit / scale wanted", bound.limit), None)
    return Relaxation(bound, wanted, *told)


def _of_size(name: str) -> Callable[[ScaleBound, float, Estimate], _Law | None]:
    """A limit that is a size in the story, its first input, over one had on the stage."""

    def law(bound: ScaleBound, wanted: float, _estimate: Estimate) -> _Law | None:
        if not bound.limit.inputs:
            return None
        story = bound.limit.inputs[0]
        had = reckoned(name, story.value / bound.limit.value, story.unit, "story size / limit")
        return reckoned(name, story.value / wanted, story.unit, "story size / N", story), had

    return law


def _of_power(
    name: str, index: int, power: float
) -> Callable[[ScaleBound, float, Estimate], _Law | None]:
    """A limit that moves as its input number `index` to the power ``1 / power``."""

    def law(bound: ScaleBound, wanted: float, _estimate: Estimate) -> _Law | None:
        if len(bound.limit.inputs) <= index:
            return None
        had = bound.limit.inputs[index]
        value = had.value * math.pow(wanted / bound.limit.value, power)
        reason = f"what there is x (N wanted / limit) to the power {power:g}"
        return reckoned(name, value, had.unit, reason, had, bound.limit), had

    return law


def _stage_room(bound: ScaleBound, wanted: float, _estimate: Estimate) -> _Law | None:
    """The side that binds is the one the limit's reason begins with."""
    for story in bound.limit.inputs:
        said = f"{story.value / 1000:g} m of "
        if bound.limit.reason.startswith(said):
            name = f"stage for its {bound.limit.reason.removeprefix(said).split(' ')[0]}"
            had = reckoned(name, story.value / bound.limit.value, "mm", "story size / limit", story)
            return reckoned(name, story.value / wanted, "mm", "story size / N", story), had
    return None


def _rig_speed(bound: ScaleBound, wanted: float, _estimate: Estimate) -> _Law | None:
    """Inputs: what the axis must do, what it does, and the power of N it falls or grows by."""
    if len(bound.limit.inputs) != 3:
        return None
    _demand, had, power = bound.limit.inputs
    value = had.value * math.pow(wanted / bound.limit.value, power.value)
    name = "top " + had.name
    return reckoned(name, value, had.unit, "what it does x (N wanted / limit) to a power", had), had


def _smaller_stop(bound: ScaleBound, wanted: float, _estimate: Estimate) -> _Law:
    stops = 2 * math.log2(wanted / bound.limit.value)
    reason = "2 log2 (N wanted / limit)"
    return reckoned("a lens that stops down further", stops, "stops", reason, bound.limit), None


def _more_light(bound: ScaleBound, wanted: float, estimate: Estimate) -> _Law:
    """Depth costs 2 log2 N stops, and the gravity rate half of log2 N more."""
    per = 2.5 if "gravity rate" in estimate.quantities else 2.0
    stops = per * math.log2(wanted / bound.limit.value)
    reason = f"{per:g} log2 (N wanted / limit)"
    return reckoned("more light", stops, "stops", reason, bound.limit), None


def _top_rate(bound: ScaleBound, wanted: float, estimate: Estimate) -> _Law | None:
    gravity = estimate.quantities.get("gravity rate")
    scales = [each for each in gravity.inputs if each.unit == "1:N"] if gravity else []
    if gravity is None or not scales:
        return None
    at_full_size = gravity.value / math.sqrt(scales[0].value)
    name = "top rate of the camera"
    had = reckoned(name, at_full_size * math.sqrt(bound.limit.value), "fps", "rate at the limit")
    reason = "rate shown x sqrt N"
    return reckoned(name, at_full_size * math.sqrt(wanted), "fps", reason, gravity), had


_LAWS: Mapping[str, Callable[[ScaleBound, float, Estimate], _Law | None]] = MappingProxyType(
    {
        "room on the stage": _stage_room,
        "travel of the rig": _of_size("track free of run-up"),
        "speed of the rig": _rig_speed,
        "mass on its rods": _of_power("mass borne by its rods", 2, -3.0),
        "close focus": _of_size("close focus from the lens"),
        "room before the lens": _of_size("lens to what touches first"),
        "lowest lens": _of_size("lowest lens"),
        "head through the opening": _of_size("width of the head"),
        "mechanism inside": _of_size("mechanism"),
        "detail": _of_power("finest mark", 3, -1.0),
        "top rate of the camera": _top_rate,
        "sharp at f/": _smaller_stop,
        "in the light there is": _more_light,
    }
)
"""By words in the names that the rooms upstream give their limits."""
