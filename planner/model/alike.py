"""Whether one thing can stand in for another because it is and can do the same.

Takes two things of resources.yaml, gives yes or no by what is stated of them. Knows nothing of when
either is there, or what it costs.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.facts import Facts
from planner.model.quantity import Quantity

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.model.facts import Value
    from planner.model.show import Resource

_WHEN = frozenset({"title", "notes", "notes_until", "from", "until", "away", "called_between"})
"""Facts that say when a thing is there and how it is called, and not what it can do."""


def is_like(one: Resource, other: Resource) -> bool:
    """Whether two things are of one sort and craft, and all is stated alike that they can do."""
    if one.id == other.id:
        return True
    return (one.sort, one.craft) == (other.sort, other.craft) and _same_values(
        _can(one.facts), _can(other.facts)
    )


def _can(facts: Facts) -> Mapping[str, Value]:
    return {name: value for name, value in facts.values.items() if name not in _WHEN}


def _same_values(one: Mapping[str, Value], other: Mapping[str, Value]) -> bool:
    return one.keys() == other.keys() and all(_same(value, other[k]) for k, value in one.items())


def _same(one: Value, other: Value) -> bool:
    """Whether two values are one, wherever and in whatever unit they are written."""
    match one, other:
        case Quantity(), Quantity():
            return (one.value, one.unit) == (other.value, other.unit)
        case Facts(), Facts():
            return _same_values(one.values, other.values)
        case tuple(), tuple():
            return len(one) == len(other) and all(map(_same, one, other))
    return one == other
