"""Which sort of thing an element is where facts change after it was made.

Takes facts, gives a `Sort`. Knows nothing of what follows from it.
"""

from __future__ import annotations

from enum import Enum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping


class Sort(Enum):
    """Sorts of things, by what makes them go stale."""

    PICTURE = "photographed"
    HAND = "made by hand or machine from pictures, frame by frame"
    JOIN = "joined from pieces"
    MOVE = "the path of a camera"
    THING = "a thing, or leave or a word about one"


_SORTS = {
    "roto": Sort.HAND,
    "derived_matte": Sort.HAND,
    "drawn": Sort.HAND,
    "record_out": Sort.JOIN,
    "composite": Sort.JOIN,
    "check_composite": Sort.JOIN,
    "camera_move": Sort.MOVE,
}


def sort_of(facts: Mapping[str, str]) -> Sort:
    """The sort of an element; kinds that are not known here and stand in a shot are pictures."""
    kind = facts.get("kind", "")
    if kind == "shadow" and facts.get("sort", "") in {"drawn", "computer"}:
        return Sort.HAND
    if kind in _SORTS:
        return _SORTS[kind]
    return Sort.PICTURE if "shot cut" in facts or "shot state" in facts else Sort.THING
