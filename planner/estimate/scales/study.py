"""Scales for a build, compared: what binds, what would give way, how few builds would do.

Takes a show with its estimates and one build, gives a `ScaleStudy`: the limits of every element
that uses the build, what would open an empty window, the fewest builds that serve every element,
and what each scale tried asks of stage, lens, light and crews. Knows nothing of printing, dates or
whole bids.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.estimate.estimates import ScaleWindow
from planner.estimate.scales.giving_way import Relaxation, relax
from planner.estimate.scales.trying import Ground, Trial, try_scale, users_of
from planner.estimate.scales.windows import Cover, Opening, covers_of, meet, opening_of
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from planner.craft import window as craft
    from planner.kinds import ScaleBound


@dataclass(frozen=True, slots=True)
class ScaleStudy:
    """Everything about the scale of one build.

    Attributes:
        window: every limit, and what is chosen or still to be chosen.
        common: scales that serve every element, with what binds at each end.
        by_element: each element's own scales, limits of the build itself included.
        opening: what would open an empty window; None where it is open.
        covers: the fewest builds that serve every element that any scale serves.
        unserved: elements that no scale serves.
        mends: how far each limit that the chosen scale breaks must give way.
        trials: one a scale tried.
    """

    window: ScaleWindow
    common: craft.Window
    by_element: Mapping[str, craft.Window]
    opening: Opening | None
    covers: tuple[Cover, ...]
    unserved: tuple[str, ...]
    mends: tuple[Relaxation, ...]
    trials: tuple[Trial, ...]


def study_scale(ground: Ground, build: str, tried: Sequence[Quantity] | None = ()) -> ScaleStudy:
    """Everything about the scale of `build`.

    Args:
        ground: the show as it stands.
        build: id of an element of kind ``build``.
        tried: Ns to compare; the build's candidates, or what it is made at and the ends of its
            window, where none is given; None to compare none.
    """
    element = ground.show.elements[build]
    window = ground.estimates.windows.get(build) or ScaleWindow(
        build, None, None, (), element.facts.number("scale"), element.facts.numbers("candidates")
    )
    own = tuple(each for each in window.bounds if each.element == build)
    theirs = {user: _of(window.bounds, user) for user in users_of(ground, build)}
    by_element = {user: meet((*own, *bounds)) for user, bounds in theirs.items()}
    by_element = by_element or ({build: meet(own)} if own else {})
    common = meet(window.bounds)
    covers = covers_of(by_element)
    chosen = window.chosen
    broken = window.broken_by(chosen.value) if chosen is not None else ()
    return ScaleStudy(
        window=window,
        common=common,
        by_element=MappingProxyType(by_element),
        opening=opening_of(ground.estimates, window, by_element) if common.is_empty else None,
        covers=covers,
        unserved=tuple(user for user, each in by_element.items() if each.is_empty),
        mends=tuple(relax(ground.estimates, each, chosen.value) for each in broken if chosen),
        trials=()
        if tried is None
        else tuple(
            try_scale(ground, window, n) for n in tried or _scales_worth_trying(window, covers)
        ),
    )


def _scales_worth_trying(window: ScaleWindow, covers: Sequence[Cover]) -> tuple[Quantity, ...]:
    """Candidates of a build not settled; else what it is made at, and whole Ns that would do.

    One build: the largest and the smallest model. Several: the largest of each.
    """
    if window.candidates and window.chosen is None:
        return window.candidates
    ns = [math.ceil(each.window.low.scale_denominator - 1e-9) for each in covers]
    if len(covers) == 1 and covers[0].window.is_bounded:
        ns.append(math.floor(covers[0].window.high.scale_denominator + 1e-9))
    does = [n for n in ns if any(each.window.admits(n) for each in covers)]
    found = {float(n): _tried(n, "an end of its window") for n in does}
    if window.chosen is not None:
        found[window.chosen.value] = window.chosen
    return tuple(found[n] for n in sorted(found))


def _tried(n: float, why: str) -> Quantity:
    return Quantity("scale", float(n), "1:N", Standing.ASSUMED, reason=why)


def _of(bounds: Iterable[ScaleBound], element: str) -> tuple[ScaleBound, ...]:
    return tuple(each for each in bounds if each.element == element)
