"""What each candidate scale of a build costs.

Takes the desk and the ground to try scales on, gives the likely cost of the build and of all that
waits for it at each scale. Builds that change the cost of one and the same thing are tried
together, every scale of one with every scale of the others; all others by themselves.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import product
from math import prod
from typing import TYPE_CHECKING

from planner.bid.alternatives import lines_by_itself
from planner.bid.rollup import loaded
from planner.estimate.run import ask_kinds
from planner.estimate.scales import show_at
from planner.model.ratio import in_ratio

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from planner.bid.desk import Desk
    from planner.bid.lines import BidLine
    from planner.estimate.estimates import ScaleWindow
    from planner.estimate.scales import Ground
    from planner.model.quantity import Quantity

MOST_TOGETHER = 96
"""Sets of scales tried together; builds that would make more are tried by themselves."""


@dataclass(frozen=True, slots=True)
class ScaleCost:
    """Builds at one scale each.

    Attributes:
        name: ``dam 1:24``, or ``dam 1:24, town 1:48`` where they are tried together.
        parts: ``dam 1:24`` of each build.
        cost: likely, loads included, more than at the cheapest of these scales.
        broken: which limit the scales break, a clause; empty where they break none.
    """

    name: str
    parts: tuple[str, ...]
    cost: Decimal
    broken: str


def scale_options(desk: Desk, ground: Ground) -> dict[str, tuple[ScaleCost, ...]]:
    """Costs by build (or builds, ``dam, town``) whose scale is still to be chosen from several."""
    windows = {
        window.build: window
        for window in ground.estimates.windows.values()
        if window.chosen is None
        and len(window.candidates) > 1
        and desk.show.is_live(desk.show.elements[window.build])
    }
    found = {}
    for group in _together(desk, ground, windows):
        chosen = [windows[build] for build in group]
        sets = list(product(*(window.candidates for window in chosen)))
        sums = [loaded(_flat(_lines(desk, ground, group, each)), desk.show.loads) for each in sets]
        least = min(each.likely for each in sums)
        found[", ".join(group)] = tuple(
            _option(chosen, scales, each.likely - least)
            for scales, each in zip(sets, sums, strict=True)
        )
    return found


def _option(windows: Sequence[ScaleWindow], scales: Sequence[Quantity], cost: Decimal) -> ScaleCost:
    pairs = list(zip(windows, scales, strict=True))
    parts = tuple(f"{window.build} {in_ratio(scale.value)}" for window, scale in pairs)
    broken = (
        f"breaks the {bound.limit.name} of {bound.element}"
        for window, scale in pairs
        for bound in window.broken_by(scale.value)
    )
    return ScaleCost(", ".join(parts), parts, cost, next(broken, ""))


def _together(
    desk: Desk, ground: Ground, windows: Mapping[str, ScaleWindow]
) -> list[tuple[str, ...]]:
    """Builds in groups: one whose scale changes the cost of what another's reaches is with it."""
    reach = {build: set(_touched(ground, (build,))) for build in windows}
    varies = {build: _varying(desk, ground, window) for build, window in windows.items()}
    groups: list[list[str]] = []
    for build in windows:
        near = [
            group
            for group in groups
            if any(varies[build] & reach[each] or varies[each] & reach[build] for each in group)
        ]
        joined = [each for group in near for each in group] + [build]
        if prod(len(windows[each].candidates) for each in joined) > MOST_TOGETHER:
            groups.append([build])
            continue
        groups = [group for group in groups if group not in near] + [joined]
    place = {build: number for number, build in enumerate(windows)}
    ordered = [tuple(sorted(group, key=place.__getitem__)) for group in groups]
    return sorted(ordered, key=lambda group: place[group[0]])


def _varying(desk: Desk, ground: Ground, window: ScaleWindow) -> set[str]:
    """What does not cost the same at every scale of a build."""
    costs: dict[str, set[Decimal]] = {}
    for scale in window.candidates:
        for id_, lines in _lines(desk, ground, (window.build,), (scale,)).items():
            costs.setdefault(id_, set()).add(sum((e.figures.likely for e in lines), Decimal(0)))
    return {id_ for id_, sums in costs.items() if len(sums) > 1}


def _lines(
    desk: Desk, ground: Ground, builds: Sequence[str], scales: Sequence[Quantity]
) -> dict[str, tuple[BidLine, ...]]:
    """Lines of the builds and of all that waits for them, at these scales."""
    touched = _touched(ground, builds)
    show = ground.show
    for build, scale in zip(builds, scales, strict=True):
        show = show_at(show, build, scale)
    asked = ask_kinds(show, ground.kinds, touched, ground.estimates.by_element)
    estimates = replace(ground.estimates, by_element=asked)
    return {id_: lines_by_itself(desk, estimates, show.elements[id_]) for id_ in touched}


def _touched(ground: Ground, builds: Iterable[str]) -> tuple[str, ...]:
    """The builds, and every live element that waits for one, upstream first."""
    reach = {each for build in builds for each in (build, *ground.graph.downstream(build))}
    show = ground.show
    return tuple(
        id_ for id_ in ground.graph.order if id_ in reach and show.is_live(show.elements[id_])
    )


def _flat(lines: Mapping[str, tuple[BidLine, ...]]) -> list[BidLine]:
    return [line for each in lines.values() for line in each]
