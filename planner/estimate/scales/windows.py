"""Windows of one build: what serves each element, what opens an empty one, how few builds would do.

Takes the limits of the elements that use a build, gives windows of scales with what binds at each
end. Knows nothing of what a scale costs.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.craft import window as craft
from planner.estimate.scales.giving_way import Relaxation, relax

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from planner.estimate.estimates import Estimates, ScaleWindow
    from planner.kinds import ScaleBound


@dataclass(frozen=True, slots=True)
class Cover:
    """One build among the fewest.

    Attributes:
        window: scales that serve all its elements, with what binds at each end.
        elements: ids it serves.
    """

    window: craft.Window
    elements: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Opening:
    """Ways to one scale for all, where none serves every element.

    Attributes:
        smaller: limits that must let the model be smaller, so that the smallest is reached; all
            of them together are one way.
        larger: limits that must let it be larger; another way.
        left_out: fewest elements without which the rest share a scale; a third.
        rest: scales the rest then share.
    """

    smaller: tuple[Relaxation, ...]
    larger: tuple[Relaxation, ...]
    left_out: tuple[str, ...]
    rest: craft.Window


def meet(bounds: Iterable[ScaleBound]) -> craft.Window:
    """Scales that keep all of `bounds`."""
    return craft.intersect(
        craft.Bound(
            each.element, each.limit.name, "low" if each.at_least else "high", each.limit.value
        )
        for each in bounds
    )


def covers_of(by_element: Mapping[str, craft.Window]) -> tuple[Cover, ...]:
    """The fewest builds, each with all the scales that would do for it."""
    served = {user: each for user, each in by_element.items() if not each.is_empty}
    return tuple(
        Cover(_shared(served[user] for user in build.shots), build.shots)
        for build in craft.fewest_builds(served)
    )


def _shared(windows: Iterable[craft.Window]) -> craft.Window:
    return craft.intersect(bound for each in windows for bound in (each.low, each.high))


def opening_of(
    estimates: Estimates, window: ScaleWindow, by_element: Mapping[str, craft.Window]
) -> Opening:
    """What would open a window that is empty."""
    low = max(each.limit.value for each in window.bounds if each.at_least)
    high = min(each.limit.value for each in window.bounds if not each.at_least)
    above = [b for b in window.bounds if b.at_least and b.limit.value > high]
    below = [b for b in window.bounds if not b.at_least and b.limit.value < low]
    ends = [n for w in by_element.values() for n in (w.low, w.high)]
    best = max(
        (each.scale_denominator for each in ends if each.scale_denominator < math.inf),
        key=lambda n: sum(each.admits(n) for each in by_element.values()),
    )
    rest = {user: each for user, each in by_element.items() if each.admits(best)}
    return Opening(
        smaller=tuple(relax(estimates, each, low) for each in _hardest(below)),
        larger=tuple(relax(estimates, each, high) for each in _hardest(above)),
        left_out=tuple(user for user in by_element if user not in rest),
        rest=_shared(rest.values()),
    )


def _hardest(bounds: Iterable[ScaleBound]) -> tuple[ScaleBound, ...]:
    """Of limits that an element has under one name, the one that must give most."""
    worst: dict[tuple[str, str], ScaleBound] = {}
    for each in sorted(bounds, key=lambda b: b.limit.value, reverse=True):
        if each.at_least:
            worst.setdefault((each.element, each.limit.name), each)
        else:
            worst[each.element, each.limit.name] = each
    return tuple(worst.values())
