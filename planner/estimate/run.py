"""Run the kinds over the graph.

Takes a show, its graph and the kinds, gives `Estimates`. Each kind is asked once per element,
upstream first. Knows nothing of schedules or money.
"""

from __future__ import annotations

from collections import defaultdict
from difflib import get_close_matches
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.estimate.agreement import disagreements, disagreements_again
from planner.estimate.any_kind import reckon_shared
from planner.estimate.estimates import Estimates, ScaleWindow
from planner.estimate.finish import finish_problems
from planner.estimate.intent import intent_problems
from planner.estimate.lights import light_problems
from planner.estimate.methods import method_problems
from planner.estimate.people import people_problems, unasked_problems, uncalled_problems
from planner.estimate.trials import trial_problems
from planner.estimate.working_day import meal_problems
from planner.kinds import (
    Context,
    Estimate,
    Registry,
    ScaleBound,
    estimate_safely,
    names_in,
    rules_of,
)
from planner.model.place import Place, Problem, Severity
from planner.model.ratio import in_ratio, in_ratio_within

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from typing import TypeAlias

    from planner.estimate.memory import Memory
    from planner.graph import ElementGraph
    from planner.kinds import ElementKind
    from planner.model.show import Element, Show

    _Surroundings: TypeAlias = tuple[Show, Mapping[str, Estimate], Mapping[str, tuple[str, ...]]]

SHARED = ("planner.kinds", "planner.estimate")
"""Where rules of thumb stand that no single kind owns."""


def estimate_show(
    show: Show, graph: ElementGraph, kinds: Registry, memory: Memory | None = None
) -> Estimates:
    """Ask every element's kind what it needs.

    Elements whose text could not be read get an empty estimate, so that what rests on them still
    plans. Elements of shots omitted or unplaced, and methods not taken, are estimated too (their
    cost is wanted apart), but their findings are left out.

    Args:
        show: the show.
        graph: its element graph.
        kinds: where kinds come from.
        memory: of the same show as it was; only what looked at something that has changed since
            is worked out again.
    """
    if memory is None:
        by_element = ask_kinds(show, kinds, graph.order)
        out_of_step = disagreements(show, graph, by_element)
    else:
        by_element = _ask_again(show, kinds, graph, memory)
        out_of_step = disagreements_again(show, graph, by_element, memory)
    live = [each for id_, each in by_element.items() if show.is_live(show.elements[id_])]
    windows = _scale_windows(show, live)
    return Estimates(
        MappingProxyType(by_element),
        MappingProxyType(windows),
        (
            *(problem for each in live for problem in each.problems),
            *_window_problems(show, windows),
            *out_of_step,
            *method_problems(show),
            *intent_problems(show),
            *finish_problems(show, by_element),
            *trial_problems(show),
            *light_problems(show, graph),
            *people_problems(show, by_element),
            *uncalled_problems(show, by_element),
            *unasked_problems(show, by_element),
            *meal_problems(show),
            *_unknown_rules(show, kinds),
        ),
        tuple(missing for each in live for missing in each.missing),
    )


def ask_kinds(
    show: Show,
    kinds: Registry,
    ids: Iterable[str],
    known: Mapping[str, Estimate] = MappingProxyType({}),
) -> dict[str, Estimate]:
    """What each element's kind says of it, each resting on what was said upstream.

    An element whose text or kind cannot be read gets an empty estimate.

    Args:
        show: the show.
        kinds: where kinds come from.
        ids: elements to ask about, upstream first.
        known: estimates of others, kept; those of `ids` are replaced.
    """
    by_element = dict(known)
    surroundings = show, by_element, names_in(show)
    for id_ in ids:
        element = show.elements[id_]
        kind = kinds.get(element.kind, element.place)
        if id_ in show.unreadable or isinstance(kind, Problem):
            by_element[id_] = Estimate(id_)
            continue
        by_element[id_] = _ask(id_, kind, kinds, surroundings)
    return by_element


def _ask(id_: str, kind: ElementKind, kinds: Registry, surroundings: _Surroundings) -> Estimate:
    show, by_element, named_by = surroundings
    element = show.elements[id_]
    upstream = {
        reference.target: by_element[reference.target]
        for reference in element.references
        if reference.waits and reference.target in by_element
    }
    context = Context(show, element, upstream, named_by)
    estimate = estimate_safely(kind, context, kinds.distribution(element.kind))
    return reckon_shared(context, estimate)


def _ask_again(
    show: Show, kinds: Registry, graph: ElementGraph, memory: Memory
) -> dict[str, Estimate]:
    """The same as `ask_kinds`, by asking only where something looked at has changed."""
    by_element: dict[str, Estimate] = {}
    # A kind that cannot be used may be mended, and one that could may be lost, between two saves.
    names = sorted({each.kind for each in show.elements.values()})
    unusable = [each for each in names if isinstance(kinds.get(each, Place(show.folder)), Problem)]
    # The arrows are made anew wherever anything names anything else than it did.
    named_by = memory.names(graph.arrows, lambda: names_in(show))
    memory.begin(show, named_by, (dict(kinds.chosen), unusable))
    noting = memory.show
    surroundings = noting, memory.estimates(by_element), memory.named_by
    doubtful: list[str] = []

    def ask(id_: str) -> Estimate:
        element = noting.elements[id_]
        kind = kinds.get(element.kind, element.place)
        if id_ in noting.unreadable or isinstance(kind, Problem):
            return Estimate(id_)
        estimate = _ask(id_, kind, kinds, surroundings)
        if any(each.code == "kind-broken" for each in estimate.problems):
            doubtful.append(id_)
        return estimate

    # Grows as it is filled, and is looked at by those further down the graph.
    by_element.update(memory.answers("estimate", graph.order, ask))
    for id_ in doubtful:
        memory.doubt("estimate", id_)
    return by_element


def _unknown_rules(show: Show, kinds: Registry) -> Iterable[Problem]:
    """Figures under ``rules`` in show.yaml that no kind of the show asks for."""
    stated = show.facts.named("rules")
    if not stated:
        return
    used = {type(kind).__module__ for kind in kinds.loaded()}
    known = {rule.name for package in (*used, *SHARED) for rule in rules_of(package)}
    for name in stated:
        if name not in known:
            near = get_close_matches(name, sorted(known), n=1)
            remedy = f"did you mean {near[0]}?" if near else "`platewright rules` lists them"
            place = show.facts.group("rules").place_of(name)
            message = f"no kind of this show reckons by a rule called {name}"
            yield Problem(Severity.WARNING, place, "rule-unknown", message, remedy)


def _scale_windows(show: Show, estimates: Iterable[Estimate]) -> Mapping[str, ScaleWindow]:
    """Per build, the scales that serve every element using it."""
    bounds: dict[str, list[ScaleBound]] = defaultdict(list)
    for estimate in estimates:
        for bound in estimate.bounds:
            bounds[bound.build].append(bound)
    return {
        build: _window(show.elements[build], tuple(found))
        for build, found in bounds.items()
        if build in show.elements
    }


def _window(build: Element, bounds: tuple[ScaleBound, ...]) -> ScaleWindow:
    lows = [bound for bound in bounds if bound.at_least]
    highs = [bound for bound in bounds if not bound.at_least]
    return ScaleWindow(
        build.id,
        max(lows, key=lambda bound: bound.limit.value, default=None),
        min(highs, key=lambda bound: bound.limit.value, default=None),
        bounds,
        build.facts.number("scale"),
        build.facts.numbers("candidates"),
    )


def _window_problems(show: Show, windows: Mapping[str, ScaleWindow]) -> Iterable[Problem]:
    for window in windows.values():
        build = show.elements[window.build]
        if window.is_empty and window.at_least and window.at_most:
            low, high = window.at_least, window.at_most
            yield Problem(
                Severity.WARNING,
                build.place,
                "no-single-scale",
                f"no single scale serves every shot: {low.element} needs {_wanted(low)},"
                f" {high.element} needs {_wanted(high)}",
                f"{low.relax}, or {high.relax}, or make two",
                build.id,
            )
        if window.chosen is not None:
            yield from _broken_bounds(build, window, window.chosen.value)


def _broken_bounds(build: Element, window: ScaleWindow, chosen: float) -> Iterable[Problem]:
    for bound in window.broken_by(chosen):
        yield Problem(
            Severity.WARNING,
            build.facts.place_of("scale"),
            "scale-outside-window",
            f"{build.id} at {in_ratio(chosen)} does not serve {bound.element}, which needs"
            f" {_wanted(bound)}",
            bound.relax,
            build.id,
        )


def _wanted(bound: ScaleBound) -> str:
    """``1:3.11 or larger (room on the stage)``: a scale that serves, when built as written."""
    side = "or smaller" if bound.at_least else "or larger"
    said = in_ratio_within(bound.limit.value, at_least=bound.at_least)
    return f"{said} {side} ({bound.limit.name})"
