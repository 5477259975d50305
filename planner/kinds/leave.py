"""The written leave that work on the floor goes by.

Takes a show and an element, gives the permits it may be done under. Knows nothing of the law: what
each asks is as written in the show, and licensed people decide what it means on the day.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.model.show import Element, Show

KIND = "permit"


def permits_of(show: Show, id_: str) -> tuple[Element, ...]:
    """Permits an element waits for, itself or through what is settled outside shots.

    A permit of another photographed piece is that piece's own: a model that waits for a plate is
    not done under the leave for the plate's boat.

    Args:
        show: with the element.
        id_: of the element; one the show no longer has goes by none.
    """
    return tuple(_found(show, id_, set())) if id_ in show.elements else ()


def _found(show: Show, id_: str, seen: set[str]) -> Iterator[Element]:
    for each in show.elements[id_].references:
        target = show.elements.get(each.target)
        if target is None or not each.waits or target.shot or target.id in seen:
            continue
        seen.add(target.id)
        if target.kind == KIND:
            yield target
        yield from _found(show, target.id, seen)
