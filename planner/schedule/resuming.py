"""Wishes that go on from an answer: in its order and modes, or with everything where it was.

Takes an indexed question and an answer to it, or to one much like it, gives a `Wish`. What the
answer does not know goes just before what waits for it. Nothing is placed.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner.schedule.decode import Wish
from planner.schedule.indexed import topological_order
from planner.schedule.worktime import finish_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.schedule.answer import Answer
    from planner.schedule.indexed import Indexed


def previous_wish(indexed: Indexed, previous: Answer) -> Wish:
    """The order and modes of an answer, nothing held back."""
    order, modes = _order(indexed, previous), _modes(indexed, previous)
    return Wish(order, modes, previous.changeover_patience)


def issued_wish(indexed: Indexed, previous: Answer) -> Wish:
    """The order and modes of an answer, nothing sooner than it was."""
    not_before = tuple(
        max(activity.release, previous.starts.get(activity.id, 0))
        for activity in indexed.activities
    )
    return replace(previous_wish(indexed, previous), not_before=not_before)


def standing_wish(indexed: Indexed, previous: Answer) -> Wish:
    """All where it was, or as soon after as it then fits; nothing sooner than it was.

    What still can stay has its place before what cannot, so that what has become late pushes
    nothing that it does not hold up. Linear in the work.
    """
    issued = issued_wish(indexed, previous)
    was = [previous.starts.get(name) for name in indexed.ids]
    staying = _staying(indexed, issued, was)
    late = max(previous.starts.values(), default=0) + 1
    rank = [float(late)] * len(was)
    for at, i in enumerate(issued.order):
        start = was[i]
        rank[i] = start if i in staying and start is not None else late + at
    order = topological_order(indexed.before, indexed.follow, rank)
    return replace(issued, order=order, price=0.0)


def _order(indexed: Indexed, previous: Answer) -> tuple[int, ...]:
    """By the ranks of the previous answer."""
    last = float(len(previous.priorities))
    rank = [float(previous.priorities.get(name, -1)) for name in indexed.ids]
    for i in reversed(indexed.topological):
        if rank[i] < 0:
            rank[i] = min((rank[j] for j, _, _ in indexed.follow[i]), default=last) - 0.5
    return topological_order(indexed.before, indexed.follow, rank)


def _modes(indexed: Indexed, previous: Answer) -> tuple[int, ...]:
    modes = (previous.modes.get(name, -1) for name in indexed.ids)
    return tuple(
        mode if mode < len(ways) else -1 for mode, ways in zip(modes, indexed.ways, strict=True)
    )


def _staying(indexed: Indexed, wish: Wish, was: Sequence[int | None]) -> frozenset[int]:
    """What may begin when it was to, as far as its release and what it waits for let it.

    What takes turns at a thing was in turn before, and still is where all of it stays.
    """
    staying: set[int] = set()
    finishes = [0] * len(was)
    for i in indexed.topological:
        waits = (indexed.ready(finishes[j], lag, clock) for j, lag, clock in indexed.before[i])
        ready = max(indexed.activities[i].release, *waits, 0)
        start, mode = was[i], wish.modes[i]
        if start is not None and mode >= 0 and ready <= start:
            staying.add(i)
            ready = start
        way = indexed.ways[i][max(mode, 0)]
        spells = way.spells if way.pauses else ()
        finishes[i] = finish_of(ready, way.duration, spells)
    return frozenset(staying)
