"""The promise to authors: what a door shows stays while its number stays.

``RENEW=1 pytest tests/kinds/test_door.py`` writes down what is new, and refuses to drop anything.
"""

from __future__ import annotations

import dataclasses
import enum
import inspect
import json
import os
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING

import planner.kinds
import planner.kinds.testing
import planner_schemas
from planner.model import facts, place, quantity, show
from planner.pages.report import added

if TYPE_CHECKING:
    from collections.abc import Iterator

FROZEN = Path(__file__).parent / f"door_{planner.kinds.DOOR}.txt"
MADE_BY_AUTHORS = frozenset(["Quantity", "Place", "Problem", "Money"])
"""Of the model's values; the others are handed out only, and may grow."""
HANDED_OUT = frozenset(["Context", "Registry", "Seen"])
"""Made by the planner only: they may gain parts that are not given by default."""
NEEDED = "needed"


def listing() -> list[str]:
    """A line a promise: each name, field, parameter and member, with its type and default."""
    lines = [f"kinds door {planner.kinds.DOOR}", f"report section door {added.DOOR}"]
    doors = {
        "kinds": [getattr(planner.kinds, name) for name in planner.kinds.__all__],
        "kinds.testing": own(planner.kinds.testing),
        "report.added": own(added),
        "model": [each for module in (facts, place, quantity, show) for each in own(module)],
    }
    for door, things in doors.items():
        for thing in things:
            if callable(thing):
                lines += (f"{door} {line}" for line in described(thing))
    schema = json.loads(files(planner_schemas).joinpath("facts.json").read_text(encoding="utf-8"))
    lines += (f"facts.json {name}" for name in schema["$defs"])
    return sorted(set(lines))


def own(module) -> list[object]:
    """What is public in a module and made there."""
    return [
        each
        for name, each in vars(module).items()
        if not name.startswith("_") and getattr(each, "__module__", "") == module.__name__
    ]


def described(thing) -> Iterator[str]:
    name = thing.__name__
    if not inspect.isclass(thing):
        yield name
        yield from parameters(name, thing)
        return
    yield name
    if issubclass(thing, enum.Enum):
        yield from (f"{name}.{each.name} = {each.value!r}" for each in thing)
        return
    if dataclasses.is_dataclass(thing):
        for each in dataclasses.fields(thing):
            yield f"{name}.{each.name}: {each.type} {default_of(each)}"
    else:
        notes = vars(thing).get("__annotations__", {})
        yield from (f"{name}.{each}: {sort} part" for each, sort in notes.items())
    yield from methods(thing)


def methods(thing) -> Iterator[str]:
    for part, value in vars(thing).items():
        whole = f"{thing.__name__}.{part}"
        if part.startswith("_"):
            continue
        if inspect.isfunction(value):
            yield f"{whole}()"
            yield from parameters(whole, value)
        elif isinstance(value, property):
            yield f"{whole} property"


def default_of(field) -> str:
    if field.default is not dataclasses.MISSING:
        return f"= {field.default!r}"
    return "made" if field.default_factory is not dataclasses.MISSING else NEEDED


def parameters(name: str, function) -> Iterator[str]:
    signature = inspect.signature(function)
    yield f"{name} gives {signature.return_annotation}"
    for place_, each in enumerate(signature.parameters.values()):
        where = "by name" if each.kind is each.KEYWORD_ONLY else f"at {place_}"
        default = NEEDED if each.default is each.empty else f"= {each.default!r}"
        yield f"{name}({each.name}) {where}: {each.annotation} {default}"


def broken(frozen: list[str], now: list[str]) -> list[str]:
    """What of the promise is not kept."""
    names = {owner(line) for line in frozen}
    lost = [f"gone: {line}" for line in frozen if line not in now]
    asked = [
        f"newly asked for: {line}"
        for line in now
        if line not in frozen
        and line.endswith((NEEDED, "part"))
        and owner(line) in names - HANDED_OUT
        and (not line.startswith("model ") or owner(line) in MADE_BY_AUTHORS)
    ]
    return lost + asked


def owner(line: str) -> str:
    return line.split()[1].partition(".")[0].partition("(")[0]


def test_every_promise_is_kept() -> None:
    now = listing()
    frozen = FROZEN.read_text(encoding="utf-8").splitlines() if FROZEN.exists() else []
    assert broken(frozen, now) == []
    if os.environ.get("RENEW"):
        FROZEN.write_text("".join(f"{line}\n" for line in now), encoding="utf-8")
        return
    # What was added is promised from now on, except of the values handed out, which grow freely.
    new = [line for line in now if line not in frozen and not line.startswith("model ")]
    assert new == [], "RENEW=1 writes these down"


def test_a_lost_field_a_changed_default_and_a_new_demand_are_breaks() -> None:
    frozen = ["kinds Work", "kinds Work.heads: int = 1", "kinds Work.name: str needed"]
    assert broken(frozen, frozen) == []
    assert broken(frozen, frozen[:2]) == ["gone: kinds Work.name: str needed"]
    changed = ["kinds Work", "kinds Work.heads: int = 2", "kinds Work.name: str needed"]
    assert broken(frozen, changed) == ["gone: kinds Work.heads: int = 1"]
    more = [*frozen, "kinds Work.lamps: int needed"]
    assert broken(frozen, more) == ["newly asked for: kinds Work.lamps: int needed"]
    assert broken(frozen, [*frozen, "kinds Work.lamps: int = 0"]) == []


def test_a_new_name_may_ask_for_what_it_likes() -> None:
    assert broken(["kinds Work"], ["kinds Work", "kinds Lamp", "kinds Lamp.lux: int needed"]) == []


def test_what_is_only_handed_out_may_grow() -> None:
    frozen = ["report.added Seen", "report.added Seen.show: Show needed"]
    assert broken(frozen, [*frozen, "report.added Seen.loads: Loads needed"]) == []


def test_of_the_models_values_only_those_that_authors_make_must_not_ask_for_more() -> None:
    frozen = ["model Show", "model Place"]
    assert broken(frozen, [*frozen, "model Show.loads: Loads needed"]) == []
    asked = "model Place.page: int needed"
    assert broken(frozen, [*frozen, asked]) == [f"newly asked for: {asked}"]
