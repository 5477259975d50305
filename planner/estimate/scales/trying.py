"""One scale of a build tried: what it asks of stage, lens, light and crews.

Takes a show as it stands and a scale, gives a `Trial`, by asking the kinds again of the build and
of all that waits for it. Knows nothing of windows, printing, dates or whole bids.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass, replace
from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.craft import exposure
from planner.estimate.run import ask_kinds
from planner.kinds import Estimate, Phase
from planner.model.place import Problem, Severity
from planner.model.quantity import Quantity, reckoned

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from planner.estimate.estimates import Estimates, ScaleWindow
    from planner.graph import ElementGraph
    from planner.kinds import Registry, ScaleBound, Work
    from planner.model.facts import Facts
    from planner.model.show import Element, Show


SIDES = ("width", "depth", "height")
UNFIT = frozenset({"stage-too-small", "stage-forbids", "not-on-that-stage"})
"""Findings after which the stages an estimate names are those that will not do."""


@dataclass(frozen=True, slots=True)
class Ground:
    """A show as it stands, to try scales on.

    Attributes:
        show: the show.
        graph: its element graph.
        kinds: where kinds come from.
        estimates: of the show as it stands.
    """

    show: Show
    graph: ElementGraph
    kinds: Registry
    estimates: Estimates


@dataclass(frozen=True, slots=True)
class Use:
    """What one element asks at one scale.

    Attributes:
        element: id.
        numbers: by what they are, such as ``stop to hold``; only those that can be told.
        stages: ids that take it; none where it fits nowhere.
    """

    element: str
    numbers: Mapping[str, Quantity]
    stages: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Trial:
    """The show with the build at one scale.

    Attributes:
        scale: N of 1:N.
        numbers: of the build and of everything that waits for it, summed.
        changes: what hours and charges are more (or less) than as the show stands; only where they
            differ.
        uses: by element that uses the build.
        broken: limits that this scale breaks.
        problems: errors and warnings raised at it, of the build and all that waits for it.
    """

    scale: Quantity
    numbers: Mapping[str, Quantity]
    changes: Mapping[str, Quantity]
    uses: tuple[Use, ...]
    broken: tuple[ScaleBound, ...]
    problems: tuple[Problem, ...]


def users_of(ground: Ground, build: str) -> tuple[str, ...]:
    """Ids of the live elements that photograph `build`, in the order written."""
    # What waits for it is in the graph; looking through the show would be done for every build.
    waiting = (ground.show.elements[each] for each in ground.graph.arrows.succ[build])
    return tuple(
        each.id for each in waiting if ground.show.is_live(each) and each.target("build") == build
    )


def show_at(show: Show, build: str, scale: Quantity) -> Show:
    """The show with `build` made at 1:N; an element that states a scale of its own keeps it.

    A mass found at the scale it stands at stays a mass of that scale.
    """
    element = show.elements[build]
    values = {**element.facts.values, "scale": scale}
    stands_at = element.facts.number("scale")
    if element.facts.number("mass_at") is None and stands_at is not None:
        values["mass_at"] = stands_at
    facts = replace(element.facts, values=MappingProxyType(values))
    elements = {**show.elements, build: replace(element, facts=facts)}
    return replace(show, elements=MappingProxyType(elements))


def try_scale(ground: Ground, window: ScaleWindow, scale: Quantity) -> Trial:
    """Ask the kinds again, of the build and all that waits for it."""
    build = window.build
    touched = _touched(ground, build)
    show = show_at(ground.show, build, scale)
    before = ground.estimates.by_element
    after = ask_kinds(show, ground.kinds, touched, before)
    numbers = _sums(show, build, [after[each] for each in touched])
    stood = _sums(ground.show, build, [before[each] for each in touched])
    problems = [each for id_ in touched for each in after[id_].problems]
    return Trial(
        scale=scale,
        numbers=MappingProxyType(numbers),
        changes=MappingProxyType(_changes(numbers, stood)),
        uses=tuple(_use(show, scale, after[user]) for user in users_of(ground, build)),
        broken=window.broken_by(scale.value),
        problems=tuple(each for each in problems if each.severity < Severity.NOTE),
    )


def _touched(ground: Ground, build: str) -> tuple[str, ...]:
    """The build, and every live element that waits for it, upstream first."""
    reach = {build, *ground.graph.downstream(build)}
    show = ground.show
    return tuple(
        id_ for id_ in ground.graph.order if id_ in reach and show.is_live(show.elements[id_])
    )


def _sums(show: Show, build: str, estimates: Sequence[Estimate]) -> dict[str, Quantity]:
    """Size and mass of the build; hours and charges of it and all that waits for it."""
    own = show.elements[build].facts
    made = next(each for each in estimates if each.element == build)
    work = [each for estimate in estimates for each in estimate.work]
    scale = own.number("scale")
    found = {} if scale is None else _sizes(own.group("full_size"), scale)
    if (mass := made.quantities.get("mass")) is not None:
        found["mass"] = mass
    found["hours to make it"] = _hours("hours to make it", made.work)
    found["stage hours"] = _hours("stage hours", (w for w in work if w.phase is Phase.STAGE))
    labour = sum(each.hours.likely * each.heads for each in work)
    found["labour in all"] = reckoned("labour in all", labour, "h", "likely hours x heads")
    return {**found, **_charges(show, estimates)}


def _sizes(full_size: Facts, scale: Quantity) -> dict[str, Quantity]:
    return {
        side: reckoned(side, story.value / scale.value, "mm", "full size / N", story, scale)
        for side in SIDES
        if (story := full_size.number(side)) is not None and scale.value > 0
    }


def _hours(name: str, work: Iterable[Work]) -> Quantity:
    parts = tuple(each.reason for each in work)
    return reckoned(name, math.fsum(each.value for each in parts), "h", "sum of the parts", *parts)


def _charges(show: Show, estimates: Iterable[Estimate]) -> dict[str, Quantity]:
    """What is bought by the unit, each summed, and the money of it all on the show's first day."""
    bought: dict[str, list[Quantity]] = defaultdict(list)
    for charge in (each for estimate in estimates for each in estimate.charges):
        if charge.rate:
            bought[charge.rate].append(charge.quantity)
    found = {}
    money = Decimal(0)
    for rate, parts in bought.items():
        price = show.rates.get(rate)
        name = f"{rate.replace('_', ' ')}, {price.per if price else 'units'}"
        total = math.fsum(each.value for each in parts)
        found[name] = reckoned(name, total, "1", "sum of the parts", *parts)
        each = price.on(show.calendar.starts) if price else None
        money += Decimal(str(total)) * each.amount if each else 0
    if money:
        name = "bought by the unit"
        reason = f"at the rates of {show.calendar.starts}"
        found[name] = reckoned(name, float(round(money, 2)), show.currency, reason)
    return found


def _changes(now: Mapping[str, Quantity], stood: Mapping[str, Quantity]) -> dict[str, Quantity]:
    return {
        name: reckoned(name, each.value - stood[name].value, each.unit, "now - as it stands", each)
        for name, each in now.items()
        if each.unit not in {"mm", "kg"}
        and name in stood
        and not math.isclose(each.value, stood[name].value, rel_tol=1e-9)
    }


def _use(show: Show, scale: Quantity, estimate: Estimate) -> Use:
    element = show.elements[estimate.element]
    own = element.facts.number("scale") or scale
    stages = next((n.options for w in estimate.work for n in w.needs if n.sort == "stage"), ())
    unfit = any(each.code in UNFIT for each in estimate.problems)
    numbers = {each.name: each for each in _told(show, element, own, estimate)}
    return Use(element.id, MappingProxyType(numbers), () if unfit else stages)


_KEPT = {
    "holding stop": "stop to hold",
    "matching stop": "matching stop",
    "exposure of a frame": "exposure",
    "gravity rate": "gravity rate",
    "rate": "rate",
}


def _told(show: Show, element: Element, scale: Quantity, estimate: Estimate) -> Iterator[Quantity]:
    build = show.elements[element.target("build")]
    extent = element.facts.group("extent")
    yield from _sizes(extent if extent.values else build.facts.group("full_size"), scale).values()
    for name, said in _KEPT.items():
        if (found := estimate.quantities.get(name)) is not None:
            yield replace(found, name=said)
    yield from _light(element, estimate)
    yield from _closeness(element, scale, estimate)
    yield _hours("stage hours", (each for each in estimate.work if each.phase is Phase.STAGE))


def _light(element: Element, estimate: Estimate) -> Iterator[Quantity]:
    """Stops of light short (negative: to spare), and the light that would do."""
    wanted = estimate.quantities.get("exposure of a frame")
    had = estimate.quantities.get("exposure a frame has") or element.facts.number(
        "longest_exposure"
    )
    if wanted is None or had is None or min(wanted.value, had.value) <= 0:
        return
    stops = exposure.stops_short(wanted.value, had.value)
    yield reckoned("stops short", stops, "stops", "log2 exposure wanted / had", wanted, had)
    light = element.facts.number("light")
    if light is not None:
        value = light.value * 2**stops
        yield reckoned("light needed", value, "lx", "light x 2 to the stops short", light)


def _closeness(element: Element, scale: Quantity, estimate: Estimate) -> Iterator[Quantity]:
    """Nearest thing on the stage, and how near the lens focuses."""
    nearest = element.facts.number("nearest")
    if nearest is None or scale.value <= 0:
        return
    name = "nearest to lens"
    yield reckoned(name, nearest.value / scale.value, "mm", "nearest / N", nearest, scale)
    for bound in estimate.bounds:
        if bound.limit.name == "close focus":
            value = nearest.value / bound.limit.value
            yield reckoned("focuses from", value, "mm", "nearest / limit", nearest, bound.limit)
