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
    """The sort of an element by its facts as text."""
    is_in_shot = "shot cut" in facts or "shot state" in facts
    return sort_of_kind(facts.get("kind", ""), facts.get("sort", ""), is_in_shot=is_in_shot)


def sort_of_kind(kind: str, sort: str, *, is_in_shot: bool) -> Sort:
    """The sort of an element; kinds that are not known here and stand in a shot are pictures.

    Args:
        kind: of the element.
        sort: as it states under that name; empty where it does not.
        is_in_shot: whether it belongs to a shot.
    """
    if kind == "shadow" and sort in {"drawn", "computer"}:
        return Sort.HAND
    if kind in _SORTS:
        return _SORTS[kind]
    return Sort.PICTURE if is_in_shot else Sort.THING
