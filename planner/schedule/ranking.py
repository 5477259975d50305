"""First orders: which activity is placed before which, from urgency and shared set-ups.

Takes an `Indexed`, gives orders that break no precedence. Knows nothing of dates on the axis.
"""

from __future__ import annotations

from collections import defaultdict
from statistics import fmean
from typing import TYPE_CHECKING

from planner.schedule.indexed import BARE

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from planner.schedule.indexed import Indexed


def latest_starts(indexed: Indexed) -> list[int]:
    """Latest start of each activity that makes nothing late, were resources without end.

    What nothing due or locked waits for may wait for the last of what is due or for the end of the
    longest chain, whichever is later.
    """
    dues = [activity.due for activity in indexed.activities if activity.due is not None]
    last = max(max(earliest_finishes(indexed), default=0), max(dues, default=0))
    latest = [last] * len(indexed.ids)
    for i in reversed(indexed.topological):
        due = indexed.activities[i].due
        held = [latest[j] - lag - clock for j, lag, clock in indexed.follow[i]]
        end = min([last if due is None else due, *held])
        latest[i] = end - shortest(indexed, i)
        if i in indexed.locks:
            latest[i] = min(latest[i], indexed.locks[i][0])
    return latest


def weighed_starts(indexed: Indexed, latest: Sequence[int], haste: float) -> list[float]:
    """Latest starts, put off by how little an activity helps for the time that it takes.

    Where not everything can be in time, what is short and waited for by much weight goes first.
    Where all can, a little of it costs nothing.

    Args:
        indexed: the instance.
        latest: the latest starts.
        haste: quarters put off for one quarter of work per mean weight of what is due.

    Source:
        The rule of W. E. Smith, "Various optimizers for single-stage production", Naval Research
        Logistics Quarterly 3 (1956), pp. 59-66, added to slack as weighted-tardiness rules do.
    """
    weights = [a.weight for a in indexed.activities if a.due is not None and a.weight > 0]
    mean = fmean(weights) if weights else 1.0
    waiting = weights_waiting(indexed)
    return [
        latest[i] + haste * mean * shortest(indexed, i) / max(waiting[i], 0.2)
        for i in range(len(latest))
    ]


def weights_waiting(indexed: Indexed) -> list[int]:
    """The weight of all that is due and is an activity or waits for it, each counted once."""
    weights = [activity.weight for activity in indexed.activities if activity.due is not None]
    known: dict[int, int] = {}
    return [_weight(weights, each, known) for each in due_waiting(indexed)]


def due_waiting(indexed: Indexed) -> list[int]:
    """What is due and is an activity or waits for it: bits, the first due activity the lowest."""
    due, bit = [0] * len(indexed.ids), 1
    for i, activity in enumerate(indexed.activities):
        if activity.due is not None:
            due[i], bit = bit, bit << 1
    for i in reversed(indexed.topological):
        for j, _, _ in indexed.follow[i]:
            due[i] |= due[j]
    return due


def _weight(weights: Sequence[int], due: int, known: dict[int, int]) -> int:
    if due not in known:
        total, left = 0, due
        while left:
            lowest = left & -left
            total += weights[lowest.bit_length() - 1]
            left ^= lowest
        known[due] = total
    return known[due]


def earliest_finishes(indexed: Indexed) -> list[int]:
    """Earliest finish of each activity, were resources without end and without blocked spells."""
    finishes = [0] * len(indexed.ids)
    for i in indexed.topological:
        ready = indexed.activities[i].release
        for j, lag, clock in indexed.before[i]:
            ready = max(ready, indexed.ready(finishes[j], lag, clock))
        if i in indexed.locks:
            ready = max(ready, indexed.locks[i][0])
        finishes[i] = ready + shortest(indexed, i)
    return finishes


def shortest(indexed: Indexed, i: int) -> int:
    """Shortest duration over the modes of an activity, quarters."""
    return min(way.duration for way in indexed.ways[i])


def campaigns(indexed: Indexed) -> list[list[int]]:
    """Activities that are better done together: by group, else by set-up; the rest alone."""
    found: dict[tuple[str, object], list[int]] = defaultdict(list)
    for i, activity in enumerate(indexed.activities):
        states = tuple(state for _, state in indexed.ways[i][0].states)
        if activity.group is not None:
            found["group", activity.group].append(i)
        elif states:
            found["states", states].append(i)
        else:
            found["alone", i].append(i)
    return list(found.values())


def gathered(
    indexed: Indexed,
    urgency: Callable[[Sequence[float]], float] = min,
    latest: Sequence[float] | None = None,
) -> tuple[int, ...]:
    """An order with campaigns kept together, the most urgent first, each after what it waits for.

    Args:
        indexed: the instance.
        urgency: of a campaign, from the latest starts of its members; `min` or `fmean`.
        latest: latest starts, if already known.
    """
    latest = latest_starts(indexed) if latest is None else latest
    groups = [sorted(group, key=lambda i: (latest[i], i)) for group in campaigns(indexed)]
    groups.sort(key=lambda group: (urgency([latest[i] for i in group]), group[0]))
    return with_ancestors(indexed, [i for group in groups for i in group], latest)


def families(indexed: Indexed) -> list[list[int]]:
    """Campaigns between whose states changing over is an exception, together; the rest alone."""
    root = list(range(len(indexed.states)))

    def first_of(state: int) -> int:
        while root[state] != state:
            state = root[state]
        return state

    for _, before, after in indexed.odd:
        one, other = sorted((first_of(before), first_of(after)))
        root[other] = one
    found: dict[tuple[str, int], list[int]] = defaultdict(list)
    for party in campaigns(indexed):
        states = indexed.ways[party[0]][0].states
        kin = ("states", first_of(states[0][1])) if states else ("alone", party[0])
        found[kin] += party
    return list(found.values())


def by_family(indexed: Indexed, latest: Sequence[float]) -> tuple[int, ...]:
    """An order with families kept together, the most urgent first.

    In each it goes by state, so that something is changed only once; then by how many an activity
    waits for one after the other, so that no chain is left over for the end; then the longest
    first, so that what is short fills up the days.

    Args:
        indexed: the instance.
        latest: latest starts.
    """
    waits = steps(indexed)

    def place(i: int) -> tuple[int, int, int, int]:
        way = indexed.ways[i][0]
        return way.states[0][1] if way.states else BARE, waits[i], -way.duration, i

    groups = [sorted(family, key=place) for family in families(indexed)]
    groups.sort(key=lambda group: (min(latest[i] for i in group), group[0]))
    return with_ancestors(indexed, [i for group in groups for i in group], latest)


def steps(indexed: Indexed) -> list[int]:
    """How many each activity waits for one after the other, at the most."""
    found = [0] * len(indexed.ids)
    for i in indexed.topological:
        found[i] = max((found[j] + 1 for j, _, _ in indexed.before[i]), default=0)
    return found


def by_latest_start(indexed: Indexed, latest: Sequence[float]) -> tuple[int, ...]:
    """The plain order: whichever must start first is placed first."""
    return with_ancestors(indexed, sorted(range(len(latest)), key=lambda i: (latest[i], i)), latest)


def with_ancestors(
    indexed: Indexed, wanted: Sequence[int], latest: Sequence[float]
) -> tuple[int, ...]:
    """The wanted order made possible: what an activity waits for goes just before it."""
    placed = [False] * len(indexed.ids)
    order: list[int] = []
    for root in wanted:
        stack = [root]
        while stack:
            i = stack[-1]
            if placed[i]:
                stack.pop()
                continue
            missing = [j for j, _, _ in indexed.before[i] if not placed[j]]
            if missing:
                missing.sort(key=lambda j: (-latest[j], -j))
                stack.extend(missing)
            else:
                placed[i] = True
                order.append(i)
                stack.pop()
    return tuple(order)
