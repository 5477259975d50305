"""Which shots use what is made outside them.

Takes the show, gives shots by build, test, permit or set. Use is waiting: a shot uses a thing when
one of its elements waits for it, or for another such thing that does. Knows nothing of money.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.model.show import Show


def users_of(show: Show) -> dict[str, tuple[str, ...]]:
    """Shots in any state that use each thing outside shots, in story order.

    Things that no shot uses are left out; methods not taken use nothing.
    """
    direct: defaultdict[str, set[str]] = defaultdict(set)
    waits: dict[str, list[str]] = {}
    outside = {each.id for each in show.elements.values() if not each.shot}
    for element in show.elements.values():
        if element.id in show.aside:
            continue
        targets = [
            each.target for each in element.references if each.waits and each.target in outside
        ]
        if element.shot:
            for target in targets:
                direct[target].add(element.shot)
        else:
            waits[element.id] = targets
    found: defaultdict[str, set[str]] = defaultdict(set)
    for thing, shots in direct.items():
        for each in _reached(thing, waits):
            found[each] |= shots
    story = {shot: position for position, shot in enumerate(show.shots)}
    return {thing: tuple(sorted(shots, key=story.__getitem__)) for thing, shots in found.items()}


def _reached(thing: str, waits: Mapping[str, list[str]]) -> set[str]:
    """`thing` and everything outside shots that it waits for, near or far."""
    seen = {thing}
    ahead = [thing]
    while ahead:
        for target in waits.get(ahead.pop(), ()):
            if target not in seen:
                seen.add(target)
                ahead.append(target)
    return seen
