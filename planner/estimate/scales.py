"""Scales for a build, compared: what binds, what would give way, how few builds would do.

Takes a show with its estimates and one build, gives a `ScaleStudy`: the limits of every element
that uses the build, what would open an empty window, the fewest builds that serve every element,
and what each scale tried asks of stage, lens, light and crews, by asking the kinds again. Knows
nothing of printing, dates or whole bids.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass, replace
from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.craft import window as craft
from planner.estimate.estimates import ScaleWindow
from planner.kinds import Context, Estimate, Phase, estimate_safely, names_in
from planner.model.place import Problem, Severity
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    from planner.estimate.estimates import Estimates
    from planner.graph import ElementGraph
    from planner.kinds import Registry, ScaleBound, Work
    from planner.model.facts import Facts
    from planner.model.show import Element, Show

SIDES = ("width", "depth", "height")
UNFIT = frozenset({"stage-too-small", "stage-forbids", "not-on-that-stage"})
"""Findings after which the stages an estimate names are those that will not do."""


# What is told -------------------------------------------------------------------------------


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


def study_scale(ground: Ground, build: str, tried: Sequence[Quantity] = ()) -> ScaleStudy:
    """Everything about the scale of `build`.

    Args:
        ground: the show as it stands.
        build: id of an element of kind ``build``.
        tried: Ns to compare; the build's candidates, or what it is made at and the ends of its
            window, where none is given.
    """
    element = ground.show.elements[build]
    window = ground.estimates.windows.get(build) or ScaleWindow(
        build, None, None, (), element.facts.number("scale"), element.facts.numbers("candidates")
    )
    own = tuple(each for each in window.bounds if each.element == build)
    theirs = {user: _of(window.bounds, user) for user in users_of(ground.show, build)}
    by_element = {user: _meet((*own, *bounds)) for user, bounds in theirs.items()}
    by_element = by_element or ({build: _meet(own)} if own else {})
    common = _meet(window.bounds)
    covers = _covers(by_element)
    chosen = window.chosen
    broken = window.broken_by(chosen.value) if chosen is not None else ()
    return ScaleStudy(
        window=window,
        common=common,
        by_element=MappingProxyType(by_element),
        opening=_opening(ground.estimates, window, by_element) if common.is_empty else None,
        covers=covers,
        unserved=tuple(user for user, each in by_element.items() if each.is_empty),
        mends=tuple(_relax(ground.estimates, each, chosen.value) for each in broken if chosen),
        trials=tuple(_try(ground, window, n) for n in tried or scales_worth_trying(window, covers)),
    )


def users_of(show: Show, build: str) -> tuple[str, ...]:
    """Ids of the live elements that photograph `build`, in the order written."""
    return tuple(
        user
        for user in names_in(show).get(build, ())
        if show.is_live(show.elements[user]) and show.elements[user].target("build") == build
    )


def scales_worth_trying(window: ScaleWindow, covers: Sequence[Cover]) -> tuple[Quantity, ...]:
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


# Windows ------------------------------------------------------------------------------------


def _of(bounds: Iterable[ScaleBound], element: str) -> tuple[ScaleBound, ...]:
    return tuple(each for each in bounds if each.element == element)


def _meet(bounds: Iterable[ScaleBound]) -> craft.Window:
    return craft.intersect(
        craft.Bound(
            each.element, each.limit.name, "low" if each.at_least else "high", each.limit.value
        )
        for each in bounds
    )


def _covers(by_element: Mapping[str, craft.Window]) -> tuple[Cover, ...]:
    """The fewest builds, each with all the scales that would do for it."""
    served = {user: each for user, each in by_element.items() if not each.is_empty}
    return tuple(
        Cover(_shared(served[user] for user in build.shots), build.shots)
        for build in craft.fewest_builds(served)
    )


def _shared(windows: Iterable[craft.Window]) -> craft.Window:
    return craft.intersect(bound for each in windows for bound in (each.low, each.high))


def _opening(
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
        smaller=tuple(_relax(estimates, each, low) for each in _hardest(below)),
        larger=tuple(_relax(estimates, each, high) for each in _hardest(above)),
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


# Giving way ---------------------------------------------------------------------------------

_Law = tuple[Quantity, Quantity | None]


def _relax(estimates: Estimates, bound: ScaleBound, wanted: float) -> Relaxation:
    """How far `bound` must give way to allow 1:`wanted`."""
    law = next((law for name, law in _LAWS.items() if name in bound.limit.name), None)
    estimate = estimates.by_element.get(bound.element) or Estimate(bound.element)
    told = law(bound, wanted, estimate) if law else None
    if told is None:
        ratio = max(wanted / bound.limit.value, bound.limit.value / wanted)
        told = (_needed(bound.relax, ratio, "times", "limit / scale wanted", bound.limit), None)
    return Relaxation(bound, wanted, *told)


def _needed(name: str, value: float, unit: str, reason: str, *inputs: Quantity) -> Quantity:
    return Quantity(name, value, unit, reason=reason, inputs=inputs)


def _of_size(name: str) -> Callable[[ScaleBound, float, Estimate], _Law | None]:
    """A limit that is a size in the story, its first input, over one had on the stage."""

    def law(bound: ScaleBound, wanted: float, _estimate: Estimate) -> _Law | None:
        if not bound.limit.inputs:
            return None
        story = bound.limit.inputs[0]
        had = _needed(name, story.value / bound.limit.value, story.unit, "story size / limit")
        return _needed(name, story.value / wanted, story.unit, "story size / N", story), had

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
        return _needed(name, value, had.unit, reason, had, bound.limit), had

    return law


def _stage_room(bound: ScaleBound, wanted: float, _estimate: Estimate) -> _Law | None:
    """The side that binds is the one the limit's reason begins with."""
    for story in bound.limit.inputs:
        said = f"{story.value / 1000:g} m of "
        if bound.limit.reason.startswith(said):
            name = f"stage for its {bound.limit.reason.removeprefix(said).split(' ')[0]}"
            had = _needed(name, story.value / bound.limit.value, "mm", "story size / limit", story)
            return _needed(name, story.value / wanted, "mm", "story size / N", story), had
    return None


def _rig_speed(bound: ScaleBound, wanted: float, _estimate: Estimate) -> _Law | None:
    """Inputs: what the axis must do, what it does, and the power of N it falls or grows by."""
    if len(bound.limit.inputs) != 3:
        return None
    _demand, had, power = bound.limit.inputs
    value = had.value * math.pow(wanted / bound.limit.value, power.value)
    name = "top " + had.name
    return _needed(name, value, had.unit, "what it does x (N wanted / limit) to a power", had), had


def _smaller_stop(bound: ScaleBound, wanted: float, _estimate: Estimate) -> _Law:
    stops = 2 * math.log2(wanted / bound.limit.value)
    reason = "2 log2 (N wanted / limit)"
    return _needed("a lens that stops down further", stops, "stops", reason, bound.limit), None


def _more_light(bound: ScaleBound, wanted: float, estimate: Estimate) -> _Law:
    """Depth costs 2 log2 N stops, and the gravity rate half of log2 N more."""
    per = 2.5 if "gravity rate" in estimate.quantities else 2.0
    stops = per * math.log2(wanted / bound.limit.value)
    reason = f"{per:g} log2 (N wanted / limit)"
    return _needed("more light", stops, "stops", reason, bound.limit), None


def _top_rate(bound: ScaleBound, wanted: float, estimate: Estimate) -> _Law | None:
    gravity = estimate.quantities.get("gravity rate")
    scales = [each for each in gravity.inputs if each.unit == "1:N"] if gravity else []
    if gravity is None or not scales:
        return None
    at_full_size = gravity.value / math.sqrt(scales[0].value)
    name = "top rate of the camera"
    had = _needed(name, at_full_size * math.sqrt(bound.limit.value), "fps", "rate at the limit")
    reason = "rate shown x sqrt N"
    return _needed(name, at_full_size * math.sqrt(wanted), "fps", reason, gravity), had


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


# Trying -------------------------------------------------------------------------------------


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


def _try(ground: Ground, window: ScaleWindow, scale: Quantity) -> Trial:
    """Ask the kinds again, of the build and all that waits for it."""
    build = window.build
    touched = _touched(ground, build)
    show = show_at(ground.show, build, scale)
    before = ground.estimates.by_element
    after = _asked_again(ground, show, touched)
    numbers = _sums(show, build, [after[each] for each in touched])
    stood = _sums(ground.show, build, [before[each] for each in touched])
    problems = [each for id_ in touched for each in after[id_].problems]
    return Trial(
        scale=scale,
        numbers=MappingProxyType(numbers),
        changes=MappingProxyType(_changes(numbers, stood)),
        uses=tuple(_use(show, scale, after[user]) for user in users_of(show, build)),
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


def _asked_again(ground: Ground, show: Show, touched: Iterable[str]) -> dict[str, Estimate]:
    estimates = dict(ground.estimates.by_element)
    named_by = names_in(show)
    for id_ in touched:
        element = show.elements[id_]
        kind = ground.kinds.get(element.kind, element.place)
        if id_ in show.unreadable or isinstance(kind, Problem):
            continue
        upstream = {
            each.target: estimates[each.target]
            for each in element.references
            if each.waits and each.target in estimates
        }
        context = Context(show, element, upstream, named_by)
        estimates[id_] = estimate_safely(kind, context, ground.kinds.distribution(element.kind))
    return estimates


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
    found["labour in all"] = _needed("labour in all", labour, "h", "likely hours x heads")
    return {**found, **_charges(show, estimates)}


def _sizes(full_size: Facts, scale: Quantity) -> dict[str, Quantity]:
    return {
        side: _needed(side, story.value / scale.value, "mm", "full size / N", story, scale)
        for side in SIDES
        if (story := full_size.number(side)) is not None and scale.value > 0
    }


def _hours(name: str, work: Iterable[Work]) -> Quantity:
    parts = tuple(each.reason for each in work)
    return _needed(name, math.fsum(each.value for each in parts), "h", "sum of the parts", *parts)


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
        found[name] = _needed(name, total, "1", "sum of the parts", *parts)
        each = price.on(show.calendar.starts) if price else None
        money += Decimal(str(total)) * each.amount if each else 0
    if money:
        name = "bought by the unit"
        reason = f"at the rates of {show.calendar.starts}"
        found[name] = _needed(name, float(round(money, 2)), show.currency, reason)
    return found


def _changes(now: Mapping[str, Quantity], stood: Mapping[str, Quantity]) -> dict[str, Quantity]:
    return {
        name: _needed(name, each.value - stood[name].value, each.unit, "now - as it stands", each)
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
    stops = math.log2(wanted.value / had.value)
    yield _needed("stops short", stops, "stops", "log2 exposure wanted / had", wanted, had)
    light = element.facts.number("light")
    if light is not None:
        value = light.value * 2**stops
        yield _needed("light needed", value, "lx", "light x 2 to the stops short", light)


def _closeness(element: Element, scale: Quantity, estimate: Estimate) -> Iterator[Quantity]:
    """Nearest thing on the stage, and how near the lens focuses."""
    nearest = element.facts.number("nearest")
    if nearest is None or scale.value <= 0:
        return
    name = "nearest to lens"
    yield _needed(name, nearest.value / scale.value, "mm", "nearest / N", nearest, scale)
    for bound in estimate.bounds:
        if bound.limit.name == "close focus":
            value = nearest.value / bound.limit.value
            yield _needed("focuses from", value, "mm", "nearest / limit", nearest, bound.limit)
