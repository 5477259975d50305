"""What each candidate scale of a build costs.

Takes the desk and the ground to try scales on, gives the likely cost of the build and of all that
waits for it at each scale. Each build is tried by itself, the others as they stand.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.bid.alternatives import lines_by_itself
from planner.bid.rollup import loaded
from planner.estimate.run import ask_kinds
from planner.estimate.scales import show_at

if TYPE_CHECKING:
    from decimal import Decimal

    from planner.bid.desk import Desk
    from planner.estimate.scales import Ground
    from planner.model.quantity import Quantity


@dataclass(frozen=True, slots=True)
class ScaleCost:
    """A build at one scale.

    Attributes:
        name: ``dam 1:24``.
        cost: likely, loads included, more than at the cheapest of its scales.
        broken: which limit the scale breaks, a clause; empty where it breaks none.
    """

    name: str
    cost: Decimal
    broken: str


def scale_options(desk: Desk, ground: Ground) -> dict[str, tuple[ScaleCost, ...]]:
    """Costs by build, of builds whose scale is still to be chosen from several."""
    found = {}
    for window in ground.estimates.windows.values():
        build = desk.show.elements[window.build]
        if window.chosen is None and len(window.candidates) > 1 and desk.show.is_live(build):
            sums = [_cost(desk, ground, window.build, scale) for scale in window.candidates]
            least = min(sums)
            found[window.build] = tuple(
                ScaleCost(
                    f"{window.build} 1:{scale.value:g}",
                    cost - least,
                    next(
                        (
                            f"breaks the {bound.limit.name} of {bound.element}"
                            for bound in window.broken_by(scale.value)
                        ),
                        "",
                    ),
                )
                for scale, cost in zip(window.candidates, sums, strict=True)
            )
    return found


def _cost(desk: Desk, ground: Ground, build: str, scale: Quantity) -> Decimal:
    reach = {build, *ground.graph.downstream(build)}
    live = ground.show.elements
    touched = tuple(
        id_ for id_ in ground.graph.order if id_ in reach and desk.show.is_live(live[id_])
    )
    show = show_at(ground.show, build, scale)
    asked = ask_kinds(show, ground.kinds, touched, ground.estimates.by_element)
    estimates = replace(ground.estimates, by_element=asked)
    lines = [
        line for id_ in touched for line in lines_by_itself(desk, estimates, show.elements[id_])
    ]
    return loaded(lines, desk.show.loads).likely
