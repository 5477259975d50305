"""The door that plugins come through.

Takes the entry points of installed distributions, gives `Registry`: kinds by name, imported only
when a show names them. A kind that cannot be imported, claims another's name, raises, hangs or
returns nonsense becomes a `Problem` naming its distribution; the rest of the show still plans.
"""

from __future__ import annotations

import json
import logging
import math
import sys
from dataclasses import dataclass, field
from difflib import get_close_matches
from importlib.metadata import EntryPoint, entry_points
from importlib.resources import files
from itertools import chain
from typing import TYPE_CHECKING, Any, Protocol, runtime_checkable

from planner.kinds.estimate import Charge, Estimate, MissingFact, ScaleBound, Work
from planner.kinds.guard import (
    BUDGET_SECONDS,
    LOADING_SECONDS,
    Answered,
    Failed,
    door_refusal,
    door_remedy,
    held,
    origin_of,
)
from planner.kinds.worksheet import Rule
from planner.model.place import Place, Problem, Severity
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from planner.kinds.context import Context

log = logging.getLogger(__name__)

GROUP = "platewright.kinds"
DOOR = 1


@runtime_checkable
class ElementKind(Protocol):
    """What a plugin provides: one class per kind, made with no arguments.

    Attributes:
        name: the word written after ``kind:``.
        door: version of this door it was written for; see `DOOR`.
        section: where its things are written: ``elements`` (of a shot) or a section of
            builds.yaml such as ``builds`` or ``tests``.
    """

    name: str
    door: int
    section: str

    def schema(self) -> Mapping[str, object]:
        """JSON Schema (2020-12) of one element: an object with ``properties``."""
        ...

    def estimate(self, context: Context) -> Estimate:
        """Everything the element needs. Pure: the same context gives an equal estimate."""
        ...


@dataclass(slots=True)
class Registry:
    """Kinds by name, imported on first use.

    Attributes:
        chosen: distribution to take a kind from where several offer it (show.yaml ``kinds``).
        points: entry points found; a test may give its own.
    """

    chosen: Mapping[str, str] = field(default_factory=dict)
    points: tuple[EntryPoint, ...] = field(default_factory=lambda: tuple(entry_points(group=GROUP)))
    _loaded: dict[str, ElementKind | Problem] = field(default_factory=dict)
    _origins: dict[str, str] = field(default_factory=dict)

    @property
    def names(self) -> tuple[str, ...]:
        """Every kind offered, sorted; nothing is imported to tell."""
        return tuple(sorted({point.name for point in self.points}))

    def get(self, name: str, place: Place) -> ElementKind | Problem:
        """The kind called `name`, or what is wrong with it; `place` is where it was asked for."""
        known = self._loaded.get(name)
        if known is None or isinstance(known, Problem):
            known = self._loaded[name] = self._load(name, place)
        return known

    def choose(self, chosen: Mapping[str, str]) -> None:
        """Take each kind named from the distribution named, where several offer it."""
        self.chosen = dict(chosen)
        self._loaded.clear()
        self._origins.clear()

    def schema(self, name: str, place: Place) -> Mapping[str, object] | Problem:
        """Schema of one kind, its own ``$defs`` put in place; or what is wrong with the kind."""
        kind = self.get(name, place)
        if isinstance(kind, Problem):
            return kind
        answer = held(kind.schema)
        told = answer.how if isinstance(answer, Failed) else _fault_in_schema(answer.value)
        if not isinstance(answer, Failed) and not told:
            try:
                return _spelled_out(answer.value)
            except ValueError as error:
                told = str(error)
        says = f"the kind {name} of {self.distribution(name)} gave no schema: {told}"
        return Problem(Severity.ERROR, place, "kind-broken", says, "ask its author")

    def loaded(self) -> tuple[ElementKind, ...]:
        """Kinds that have been asked for and can be used."""
        return tuple(kind for kind in self._loaded.values() if not isinstance(kind, Problem))

    def distribution(self, name: str) -> str:
        """Distribution the kind comes from, for messages."""
        if name not in self._origins:
            origins = (origin_of(point) for point in self._offers(name))
            self._origins[name] = next(origins, "no distribution")
        return self._origins[name]

    def _offers(self, name: str) -> list[EntryPoint]:
        offers = [point for point in self.points if point.name == name]
        wanted = self.chosen.get(name)
        return [point for point in offers if origin_of(point) == wanted] if wanted else offers

    def _load(self, name: str, place: Place) -> ElementKind | Problem:
        offers = self._offers(name)
        if not offers:
            near = get_close_matches(name, self.names, n=1)
            hint = f"did you mean {near[0]}?" if near else f"kinds are {', '.join(self.names)}"
            says = f"no installed kind is called {name}"
            return Problem(Severity.ERROR, place, "kind-unknown", says, hint)
        if len({origin_of(point) for point in offers}) > 1:
            owners = " and ".join(sorted(origin_of(point) for point in offers))
            return Problem(
                Severity.ERROR,
                place,
                "kind-offered-twice",
                f"{owners} both offer the kind {name}",
                f"choose one in show.yaml: kinds: {{{name}: {origin_of(offers[0])}}}",
            )
        return _import(offers[0], place)


def _import(point: EntryPoint, place: Place) -> ElementKind | Problem:
    def refuse(message: str, remedy: str = "ask its author") -> Problem:
        says = f"the kind {point.name} of {origin_of(point)} {message}"
        return Problem(Severity.ERROR, place, "kind-broken", says, remedy)

    answer = held(lambda: _made(point), LOADING_SECONDS)
    if isinstance(answer, Failed):
        return refuse(f"cannot be loaded: {answer.how}")
    kind, door = answer.value
    if not isinstance(kind, ElementKind):
        return refuse("does not provide name, door, section, schema and estimate")
    if refusal := door_refusal(door, DOOR):
        return refuse(refusal, door_remedy(door, DOOR))
    log.debug("element kind %s comes from %s", point.name, origin_of(point))
    return kind


def _made(point: EntryPoint) -> tuple[object, object]:
    """What an entry point names, made, and its door number if it has one."""
    kind = point.load()()
    return kind, getattr(kind, "door", None)


def rules_of(package: str) -> tuple[Rule, ...]:
    """Rules of thumb that stand as constants in a package's modules, each once, by name.

    Args:
        package: a kind's module, or ``planner.kinds`` for the rules that kinds share.
    """
    modules = [
        module
        for name, module in sorted(sys.modules.items())
        if name == package or name.startswith(f"{package}.")
    ]
    values = (value for module in modules for value in vars(module).values())
    found = {rule.name: rule for value in values for rule in _rules_in(value)}
    return tuple(found[name] for name in sorted(found))


def _rules_in(value: object) -> tuple[Rule, ...]:
    """A rule itself, and rules kept together in a table or a row."""
    if isinstance(value, dict):
        value = tuple(value.values())
    rows = value if isinstance(value, tuple) else (value,)
    return tuple(each for each in rows if isinstance(each, Rule))


def packaged_schema(package: str) -> Mapping[str, object]:
    """The ``schema.json`` that lies beside a kind's module.

    Args:
        package: the module's ``__package__``.

    Raises:
        FileNotFoundError: there is none; the plugin's mistake, told by the registry.
    """
    text = files(package).joinpath("schema.json").read_text(encoding="utf-8")
    schema: Mapping[str, object] = json.loads(text)
    return schema


def estimate_safely(
    kind: ElementKind, context: Context, origin: str, *, seconds: float = BUDGET_SECONDS
) -> Estimate:
    """What `kind` says of the element, or an empty estimate with the problem of the plugin in it.

    Args:
        kind: a kind from the registry.
        context: the element and its surroundings.
        origin: distribution of the kind, for the message.
        seconds: time allowed; enforced where the platform has interval timers (not on Windows,
            and only on the main thread).
    """
    element = context.element

    def ask() -> tuple[Estimate, str]:
        estimate = kind.estimate(context)
        return estimate, _nonsense_in(estimate, element.id)

    match held(ask, seconds):
        case Answered((estimate, "")):
            return estimate
        case Answered((_, fault)):
            told = fault
        case Failed(how):
            told = f"failed on {element.id}: {how}"
    says = f"the kind {kind.name} of {origin} {told}"
    problem = Problem(
        Severity.ERROR, element.place, "kind-broken", says, "ask its author", element.id
    )
    return Estimate(element.id, problems=(problem,))


def _nonsense_in(estimate: object, element: str) -> str:
    """What is wrong with an estimate; empty when nothing is."""
    if not isinstance(estimate, Estimate):
        return f"returned {type(estimate).__name__} for {element}, not an Estimate"
    if estimate.element != element:
        return f"returned an estimate of {estimate.element} for {element}"
    faults = chain(_foreign(estimate), _faults_in_work(estimate), _faults_in_numbers(estimate))
    return next(faults, "")


_PARTS = {
    "work": Work,
    "charges": Charge,
    "bounds": ScaleBound,
    "problems": Problem,
    "missing": MissingFact,
    "unwritten": str,
}
"""What each tuple of an estimate holds."""


def _foreign(estimate: Estimate) -> Iterator[str]:
    """Things of a sort that later rooms cannot read."""
    for name, sort in _PARTS.items():
        for each in getattr(estimate, name):
            if not isinstance(each, sort):
                yield f"put {type(each).__name__} among the {name} of {estimate.element}"
    for name, each in estimate.quantities.items():
        if not isinstance(each, Quantity):
            yield f"gave {type(each).__name__} for {name} of {estimate.element}"


def _fault_in_schema(schema: object) -> str:
    """What keeps a schema from being joined to what every element may state."""
    if not isinstance(schema, dict):
        return f"{type(schema).__name__} is no JSON Schema object"
    if not isinstance(schema.get("properties"), dict):
        return "it has no properties"
    answer = held(lambda: json.dumps(schema, allow_nan=False))
    return f"it is not JSON: {answer.how}" if isinstance(answer, Failed) else ""


def _spelled_out(schema: Mapping[str, Any]) -> Mapping[str, Any]:
    """A schema with what its ``#/…`` references name in their place, so that none needs a home.

    Raises:
        ValueError: a reference names nothing, or holds itself.
    """
    whole: Mapping[str, Any] = _in_place(schema, schema, ())
    return {name: each for name, each in whole.items() if name != "$defs"}


def _in_place(part: Any, home: Mapping[str, Any], above: tuple[str, ...]) -> Any:
    if isinstance(part, list):
        return [_in_place(each, home, above) for each in part]
    if not isinstance(part, dict):
        return part
    own = {name: _in_place(each, home, above) for name, each in part.items() if name != "$defs"}
    reference = part.get("$ref")
    if not isinstance(reference, str) or not reference.startswith("#"):
        return own
    if reference in above:
        raise ValueError(f"{reference} holds itself")
    found: Any = home
    for step in filter(None, reference[1:].split("/")):
        found = found.get(step) if isinstance(found, dict) else None
    found = found if isinstance(found, dict) else None
    if found is None:
        raise ValueError(f"{reference} names nothing in it")
    del own["$ref"]
    return {**_in_place(found, home, (*above, reference)), **own}


def _faults_in_work(estimate: Estimate) -> Iterator[str]:
    names = [work.name for work in estimate.work]
    own = {work.name for work in estimate.work if not work.beside}
    if len(set(names)) != len(names):
        yield f"named two stretches of work of {estimate.element} alike"
    for work in estimate.work:
        hours = work.hours
        if not 0 <= hours.low <= hours.likely <= hours.high < math.inf:
            yield (
                f"gave hours {hours.low:g}, {hours.likely:g}, {hours.high:g} for {work.name} of"
                f" {estimate.element}; low, likely, high must rise from 0 and be finite"
            )
        if not (0 <= work.wait_hours < math.inf and math.isfinite(work.reason.value)):
            yield f"gave a wait or a reason without end to {work.name} of {estimate.element}"
        yield from (
            f"lets {work.name} of {estimate.element} follow {name}, which it does not name"
            for name in work.after
            if name not in names
        )
        if work.beside and work.beside not in own:
            yield (
                f"does {work.name} of {estimate.element} beside {work.beside},"
                " which has no time of its own"
            )


def _faults_in_numbers(estimate: Estimate) -> Iterator[str]:
    for name, quantity in estimate.quantities.items():
        if not math.isfinite(quantity.value):
            yield f"gave {quantity.value} for {name} of {estimate.element}"
    for charge in estimate.charges:
        if not math.isfinite(charge.quantity.value):
            yield f"charges {charge.quantity.value} of {charge.name} for {estimate.element}"
    for bound in estimate.bounds:
        if not 0 < bound.limit.value < math.inf:
            yield f"gave {bound.limit.value} as a scale limit for {bound.build}"
