"""Questions in which only hands and the finish count, as arrays that compiled code can read.

Takes an `Indexed`, says whether it is plain and gives its `Net`. Knows nothing of search.

What is free in one quarter is one word of 64 bits: each resource has a lane with one bit to spare,
so that a single subtraction tells whether an activity's needs fit all resources at once.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy.typing as npt

    from planner.schedule.indexed import Indexed, Way

    Whole = npt.NDArray[np.int64]
    Word = npt.NDArray[np.uint64]
    Share = npt.NDArray[np.float64]

WORD_BITS = 64
MOST_QUARTERS = 200_000
"""Longest axis, all work laid end to end, that is kept as an array."""


class Net(NamedTuple):
    """Activities in topological order.

    Attributes:
        duration: quarters.
        need: units of each resource, in its lane.
        share: of each resource the part of its capacity held, summed.
        before_at: where the list of each activity in `before` begins; one more at the end.
        before: activities waited for.
        before_lag: quarters after each.
        spare: the spare bit of every lane.
        free: every lane full, spare bits set.
    """

    duration: Whole
    need: Word
    share: Share
    before_at: Whole
    before: Whole
    before_lag: Whole
    spare: np.uint64
    free: np.uint64


def is_plain(indexed: Indexed) -> bool:
    """Whether one way each, precedences, hands and the finish are all there is to it."""
    instance = indexed.instance
    weights = instance.weights
    return (
        instance.calendar is None
        and not indexed.locks
        and not indexed.states
        and not any(indexed.spells)
        and weights.finish > 0
        and all(len(ways) == 1 and _is_bare(ways[0]) for ways in indexed.ways)
        and all(
            a.due is None and a.preference is None and a.release == 0 for a in instance.activities
        )
        and not any(r.held_day_cost or r.waiting_cost for r in instance.resources)
        and sum(_lane(r.capacity) for r in instance.resources) <= WORD_BITS
        and _length(indexed) <= MOST_QUARTERS
    )


def _is_bare(way: Way) -> bool:
    return way.cost == 0 and not way.overtime and not way.states


def _lane(capacity: int) -> int:
    return capacity.bit_length() + 1


def _length(indexed: Indexed) -> int:
    """Quarters that everything takes, one after the other."""
    waits = sum(lag + clock for waits in indexed.before for _, lag, clock in waits)
    return waits + sum(ways[0].duration for ways in indexed.ways)


def nets(indexed: Indexed) -> tuple[Net, Net]:
    """A plain question, and the same with time running backwards; both numbered forwards."""
    shifts, shift, spare, free = [], 0, 0, 0
    for resource in indexed.instance.resources:
        shifts.append(shift)
        free |= resource.capacity << shift
        shift += _lane(resource.capacity)
        spare |= 1 << (shift - 1)
    order = indexed.topological
    need, share = [], []
    for i in order:
        way = indexed.ways[i][0]
        held = [(r, 1) for r in way.single] + [(r, units) for r, units, _ in way.shared]
        # What takes no time holds nothing, and would only be looked for a place.
        need.append(sum(units << shifts[r] for r, units in held) if way.duration else 0)
        share.append(sum(units / indexed.instance.resources[r].capacity for r, units in held))
    common = (
        np.array([indexed.ways[i][0].duration for i in order], np.int64),
        np.array(need, np.uint64),
        np.array(share, np.float64),
    )
    lanes = (np.uint64(spare), np.uint64(spare | free))
    forwards = Net(*common, *_links(indexed.before, order), *lanes)
    return forwards, Net(*common, *_links(indexed.follow, order), *lanes)


def _links(
    links: Sequence[Sequence[tuple[int, int, int]]], order: Sequence[int]
) -> tuple[Whole, Whole, Whole]:
    place = {i: at for at, i in enumerate(order)}
    ends, others, lags = [0], [], []
    for i in order:
        for j, lag, clock in links[i]:
            others.append(place[j])
            lags.append(lag + clock)
        ends.append(len(others))
    return np.array(ends, np.int64), np.array(others, np.int64), np.array(lags, np.int64)
