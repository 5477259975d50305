"""The conformance check for authors of kinds.

Takes a kind and contexts to try it in, raises AssertionError with a sentence about the first thing
that is not as the door asks. Knows nothing of any particular kind.
"""

from __future__ import annotations

import math
import re
from datetime import date, time
from decimal import Decimal
from typing import TYPE_CHECKING

from planner.kinds.context import Context
from planner.kinds.estimate import Estimate
from planner.kinds.registry import DOOR, ElementKind
from planner.model.facts import Facts, FrameRange, Missing
from planner.model.place import Place
from planner.model.quantity import Quantity, Standing
from planner.model.show import Element, Loads, Sequence, Shot, Show, WorkCalendar

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from planner.model.facts import Value

NAME = re.compile(r"[a-z][a-z0-9_]*")
CODE = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")
SECTIONS = frozenset({"elements", "builds", "tests", "permits", "sets", "decisions"})
UNITS = {
    "length": "mm",
    "mass": "kg",
    "duration": "s",
    "hours": "h",
    "speed": "mm/s",
    "light": "lx",
    "count": "1",
    "number": "1",
    "angle": "deg",
}
"""Unit of each sort of number in facts.json of which there may be none at all."""


def context_of(kind: str, facts: Mapping[str, object]) -> Context:
    """One element, ``S010.it``, alone in a show of one shot of 100 frames.

    Args:
        kind: of the element.
        facts: by name, as a show states them: a number with its canonical unit ``(40_000, "mm")``,
            a plain count, a word, a truth, None for a ``?``, a mapping or a list of these.
    """
    here = Place("show.yaml", 1, 1)
    nothing = Facts(here)
    element = Element("S010.it", kind, "S010", _facts(facts, here), (), here)
    shot = Shot("S010", "S", "", FrameRange(1, 100), "live", nothing, (element.id,), here)
    show = Show(
        folder="tiny",
        title="Tiny",
        currency="GBP",
        calendar=WorkCalendar(date(2027, 1, 4), frozenset(range(5)), (), time(8), 10.0),
        sequences={"S": Sequence("S", "S", (shot.id,), nothing, here)},
        shots={shot.id: shot},
        elements={element.id: element},
        resources={},
        rates={},
        moves={},
        deliveries=(),
        loads=Loads(Decimal(0), {}, contingency_carries_overhead=False),
        facts=nothing,
    )
    return Context(show, element, {})


def _facts(stated: Mapping[str, object], here: Place) -> Facts:
    values = {name: _value(name, value, here) for name, value in stated.items()}
    return Facts(here, values, dict.fromkeys(values, here))


def _value(name: str, value: object, here: Place) -> Value:
    match value:
        case None:
            return Missing()
        case bool() | str():
            return value
        case int() | float():
            return Quantity(name, value, standing=Standing.GIVEN, place=here, text=f"{value:g}")
        case (int() | float() as number, str() as unit):
            text = f"{number:g} {unit}"
            return Quantity(name, number, unit, Standing.GIVEN, place=here, text=text)
        case dict():
            return _facts(value, here)
        case list() | tuple():
            return tuple(_value(name, each, here) for each in value)
    raise AssertionError(f"{name}: {value!r} is nothing that a show can state")


def check_kind(kind: object, contexts: Iterable[Context]) -> None:
    """Check that `kind` keeps to the door.

    Args:
        kind: an instance, made with no arguments.
        contexts: elements of that kind in their surroundings; the more unlike, the better.

    Raises:
        AssertionError: it does not; the message says where.
    """
    _demand(
        isinstance(kind, ElementKind),
        f"{type(kind).__name__} does not provide name, door, section, schema and estimate",
    )
    assert isinstance(kind, ElementKind)  # noqa: S101 - told above; this tells the type checker
    _demand(
        NAME.fullmatch(kind.name) is not None, f"{kind.name!r} is not a plain small-letter name"
    )
    _demand(kind.door == DOOR, f"{kind.name} was written for door {kind.door}, this is {DOOR}")
    _demand(kind.section in SECTIONS, f"{kind.name} lives in no section called {kind.section!r}")
    check_schema(kind.name, kind.schema())
    for context in contexts:
        first, again = kind.estimate(context), kind.estimate(context)
        _demand(first == again, f"two estimates of {context.element.id} differ: it is not pure")
        check_estimate(first, context)


def numbers_stated(kind: ElementKind) -> tuple[tuple[str, str], ...]:
    """Facts of a kind that are one number, each with its unit: to try what none of it does."""
    properties = kind.schema()["properties"]
    assert isinstance(properties, dict)  # noqa: S101 - check_schema demands it
    sorts = {
        name: str(stated.get("$ref", "")).rpartition("/")[2] for name, stated in properties.items()
    }
    return tuple((name, UNITS[sort]) for name, sort in sorts.items() if sort in UNITS)


def check_schema(name: str, schema: Mapping[str, object]) -> None:
    """Check a kind's schema: an object whose unknown keys are refused.

    What every element may state is joined to ``properties`` and unknown keys are refused by the
    reader, so a schema must not open or close itself with ``additionalProperties``.

    Raises:
        AssertionError: it is not so.
    """
    _demand(schema.get("type") == "object", f"the schema of {name} is not of an object")
    properties = schema.get("properties")
    _demand(isinstance(properties, dict), f"the schema of {name} has no properties")
    _demand(
        "additionalProperties" not in schema,
        f"the schema of {name} says additionalProperties; the reader refuses unknown keys itself",
    )
    assert isinstance(properties, dict)  # noqa: S101 - told above; this tells the type checker
    for key, value in properties.items():
        _check_closed(f"{name}.{key}", value)


def check_estimate(estimate: object, context: Context) -> None:
    """Check one estimate.

    Raises:
        AssertionError: it is not as the door asks.
    """
    element = context.element.id
    _demand(isinstance(estimate, Estimate), f"the estimate of {element} is no Estimate")
    assert isinstance(estimate, Estimate)  # noqa: S101 - told above; this tells the type checker
    _demand(estimate.element == element, f"{element} was answered with {estimate.element}")
    _check_work(estimate)
    for name, quantity in estimate.quantities.items():
        _demand(name == quantity.name, f"{element} keeps {quantity.name!r} under {name!r}")
        _check_number(element, quantity)
    for charge in estimate.charges:
        _check_number(element, charge.quantity)
        _demand(
            bool(charge.rate) != (charge.amount is not None),
            f"{element} charges {charge.name!r} neither or both by rate and by sum",
        )
    for bound in estimate.bounds:
        _check_number(element, bound.limit)
        _demand(bound.limit.value > 0, f"{element} limits a scale to {bound.limit.value:g}")
    _check_findings(estimate)


def _check_work(estimate: Estimate) -> None:
    element = estimate.element
    names = [work.name for work in estimate.work]
    _demand(len(set(names)) == len(names), f"{element} names two stretches of work alike: {names}")
    own = [(work.name, work.hours) for work in estimate.work if not work.beside]
    for work in estimate.work:
        hours = work.hours
        _demand(
            0 <= hours.low <= hours.likely <= hours.high < math.inf,
            f"{work.name} of {element} takes {hours}: low, likely, high must rise from 0",
        )
        _demand(work.heads >= 1, f"{work.name} of {element} has {work.heads} hands")
        _demand(bool(work.craft), f"{work.name} of {element} is nobody's craft")
        _demand(work.wait_hours >= 0, f"{work.name} of {element} waits {work.wait_hours} h")
        strangers = [name for name in work.after if name not in names]
        _demand(not strangers, f"{work.name} of {element} follows {strangers}, which is not there")
        _demand(
            not work.beside or (work.beside, hours) in own,
            f"{work.name} of {element} goes on beside {work.beside!r}, which has other hours or"
            " no time of its own",
        )
        bare = [need.sort for need in work.needs if not need.options]
        told = estimate.problems or estimate.missing
        _demand(
            not bare or bool(told),
            f"{work.name} of {element} needs a {bare} of which it says no more",
        )


def _check_findings(estimate: Estimate) -> None:
    for problem in estimate.problems:
        _demand(
            CODE.fullmatch(problem.code) is not None,
            f"{problem.code!r} is not lower-case words joined by hyphens",
        )
        _demand(bool(problem.message), f"{problem.code} says nothing")
        _demand(
            problem.about == estimate.element, f"{problem.code} is told about {problem.about!r}"
        )
        unprintable = re.search(r"\b(inf|nan)\b", f"{problem.message} {problem.remedy}")
        _demand(unprintable is None, f"{problem.code} prints an endless number: {problem.message}")
    for missing in estimate.missing:
        _demand(bool(missing.rests), f"nothing rests on the missing {missing.name}")


def _check_number(element: str, quantity: Quantity) -> None:
    for part in quantity.parts():
        _demand(math.isfinite(part.value), f"{element} reckons {part.name!r} to be {part.value}")


def _check_closed(where: str, schema: object) -> None:
    """An object with properties of its own must refuse others, at any depth."""
    if isinstance(schema, list):
        for item in schema:
            _check_closed(where, item)
    if not isinstance(schema, dict):
        return
    if "properties" in schema:
        _demand(schema.get("additionalProperties") is False, f"{where} would take any key at all")
    for value in schema.values():
        _check_closed(where, value)


def _demand(holds: bool, otherwise: str) -> None:  # noqa: FBT001 - reads as a sentence
    if not holds:
        raise AssertionError(otherwise)
