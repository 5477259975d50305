"""What no order can beat: bounds from the longest chains and from the work each resource must do.

Takes an `Indexed`, gives bounds on finish and on weighted lateness. Knows nothing of any answer.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.schedule.decode import Decoder
from planner.schedule.indexed import index
from planner.schedule.pools import pooled_finish
from planner.schedule.worktime import finish_of

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from planner.schedule.indexed import Indexed, Way
    from planner.schedule.instance import Instance


@dataclass(frozen=True, slots=True)
class Bounds:
    """Lower bounds.

    Attributes:
        chain_finish: on the finish of all, from the longest chain with its calendars, quarters.
        finish: on the finish of all, from chains and from resource work, quarters.
        lateness: on the weighted lateness.
        total: on the total that `appraise` gives.
    """

    chain_finish: int
    finish: int
    lateness: int
    total: int


def bounds(indexed: Indexed) -> Bounds:
    """Bound finish, weighted lateness and total from below."""
    chains = _chain_finishes(indexed)
    work = _Work(indexed, _starts(indexed, chains))
    tails = _tails(indexed, None)
    pooled = pooled_finish(indexed, work.heads, tails)
    finish = max([*chains, pooled, work.finish(range(len(chains)), tails)])
    lateness = 0
    for i, activity in enumerate(indexed.activities):
        if activity.due is not None and activity.weight > 0:
            above = _ancestors(indexed, i)
            end = max(chains[i], work.finish(above, _tails(indexed, i, above)))
            lateness += activity.weight * max(0, end - activity.due)
    weights = indexed.instance.weights
    costs = sum(min(way.cost for way in ways) for ways in indexed.ways)
    total = weights.late * lateness + weights.finish * finish + weights.cost * costs
    return Bounds(max(chains, default=0), finish, lateness, total)


def bounds_of(instance: Instance) -> Bounds:
    """Bound an instance from below.

    Raises:
        ValueError: it names unknown things or its precedences form a ring.
    """
    return bounds(without_undercut(index(instance)))


def without_undercut(indexed: Indexed) -> Indexed:
    """The question to bound: no state dearer than by a detour, or else no changeovers at all."""
    if indexed.keeps_triangle_rule():
        return indexed
    set_up = list(indexed.set_up)
    for (_, before, after), quarters in indexed.odd.items():
        set_up[after] = min(set_up[after], indexed.set_up[before] + quarters)
    lowered = replace(indexed, set_up=tuple(set_up))
    if lowered.keeps_triangle_rule():
        return lowered
    nothing = (0,) * len(indexed.states)
    return replace(indexed, set_up=nothing, strike=nothing, odd={})


class DueProbe:
    """When some activities can be finished at the earliest, however they are ordered."""

    def __init__(self, indexed: Indexed) -> None:
        """Work out chains once; locks are not asked of anything."""
        indexed = without_undercut(indexed.without_locks(tuple(indexed.locks)))
        self._indexed = indexed
        self._chains = _chain_finishes(indexed)
        self._work = _Work(indexed, _starts(indexed, self._chains))

    def above(self, *ends: int) -> list[int]:
        """The activities and all that they wait for."""
        return sorted({j for i in ends for j in _ancestors(self._indexed, i)})

    def earliest(self, ends: Sequence[int]) -> int:
        """A quarter before which the last of `ends` cannot be finished."""
        members = self.above(*ends)
        tails = dict.fromkeys(members, 10**9)
        for end in ends:
            tails[end] = 0
        for i in reversed(_sorted_by(self._indexed, set(members))):
            for j, lag, _ in self._indexed.follow[i]:
                if j in tails:
                    shortest = min(way.duration for way in self._indexed.ways[j])
                    tails[i] = min(tails[i], tails[j] + shortest + lag)
        chain = max(self._chains[end] for end in ends)
        return max(chain, self._work.finish(members, tails))


def _chain_finishes(indexed: Indexed) -> list[int]:
    """Earliest finish of each activity if it had every resource to itself."""
    decoder = Decoder(indexed.without_locks(tuple(indexed.locks)))
    empty = decoder.blank()
    finishes = [0] * len(indexed.ids)
    for i in indexed.topological:
        ready = indexed.activities[i].release
        for j, lag, clock in indexed.before[i]:
            ready = max(ready, indexed.ready(finishes[j], lag, clock))
        if i in indexed.locks:
            start, mode = indexed.locks[i]
            finishes[i] = indexed.finish(i, mode, start)
        else:
            finishes[i] = min(
                indexed.finish(i, mode, decoder.earliest(empty, way, ready))
                for mode, way in enumerate(indexed.ways[i])
            )
    return finishes


def chain_starts(indexed: Indexed) -> list[int]:
    """A time before which each activity cannot start, whatever else is done."""
    return _starts(indexed, _chain_finishes(indexed))


def _starts(indexed: Indexed, finishes: Sequence[int]) -> list[int]:
    heads = []
    for i, waits in enumerate(indexed.before):
        ready = indexed.activities[i].release
        for j, lag, clock in waits:
            ready = max(ready, indexed.ready(finishes[j], lag, clock))
        heads.append(ready)
    return heads


def _ancestors(indexed: Indexed, i: int) -> list[int]:
    seen, stack = {i}, [i]
    while stack:
        for j, _, _ in indexed.before[stack.pop()]:
            if j not in seen:
                seen.add(j)
                stack.append(j)
    return sorted(seen)


def _tails(
    indexed: Indexed, end: int | None, members: Collection[int] | None = None
) -> Mapping[int, int]:
    """Least working time from the finish of each member to the finish of `end`, or of all."""
    inside = range(len(indexed.ids)) if members is None else members
    wanted = set(inside)
    tails = dict.fromkeys(inside, 0)
    order = indexed.topological if members is None else _sorted_by(indexed, wanted)
    for i in reversed(order):
        for j, lag, _ in indexed.follow[i]:
            if j in wanted and i != end:
                shortest = min(way.duration for way in indexed.ways[j])
                tails[i] = max(tails[i], tails[j] + shortest + lag)
    return tails


def _sorted_by(indexed: Indexed, wanted: set[int]) -> list[int]:
    """The wanted activities, each after all that it waits for."""
    order: list[int] = []
    done: set[int] = set()
    for root in sorted(wanted):
        stack = [root]
        while stack:
            i = stack[-1]
            missing = [j for j, _, _ in indexed.before[i] if j in wanted and j not in done]
            if missing and i not in done:
                stack.extend(missing)
                continue
            stack.pop()
            if i not in done:
                done.add(i)
                order.append(i)
    return order


class _Work:
    """Working time that must be spent on each resource, and when it can begin at the earliest."""

    def __init__(self, indexed: Indexed, heads: Sequence[int]) -> None:
        self.indexed = indexed
        self.heads = heads
        self.energy: list[dict[int, int]] = [{} for _ in indexed.ids]
        for i, ways in enumerate(indexed.ways):
            first, *others = [_energy(way) for way in ways]
            for r, energy in first.items():
                least = min([energy, *(other.get(r, 0) for other in others)])
                if least > 0:
                    self.energy[i][r] = least

    def finish(self, members: Collection[int], tails: Mapping[int, int]) -> int:
        """Bound on the time by which all members and their tails are done.

        On each resource, whatever set is taken: nothing of it before its earliest start, all its
        work at full capacity, and after it at least its shortest tail.
        """
        on: dict[int, list[tuple[int, int, int]]] = {}
        for i in members:
            for r, energy in self.energy[i].items():
                on.setdefault(r, []).append((self.heads[i], tails[i], energy))
        return max((self._resource(r, jobs) for r, jobs in on.items()), default=0)

    def _resource(self, r: int, jobs: list[tuple[int, int, int]]) -> int:
        capacity = self.indexed.instance.resources[r].capacity
        best = 0
        jobs.sort(key=lambda job: -job[0])
        total, least_tail = 0, jobs[0][1]
        for head, tail, energy in jobs:
            total += energy
            least_tail = min(least_tail, tail)
            work = -(-total // capacity)
            best = max(best, finish_of(head, work, self.indexed.spells[r]) + least_tail)
        all_energy = sum(job[2] for job in jobs)
        least_head = min(job[0] for job in jobs)
        done = 0
        for _, tail, energy in sorted(jobs, key=lambda job: job[1]):
            # What is left once the shorter tails are dropped.
            work = -(-(all_energy - done) // capacity)
            best = max(best, finish_of(least_head, work, self.indexed.spells[r]) + tail)
            done += energy
        return best


def _energy(way: Way) -> dict[int, int]:
    uses = dict.fromkeys(way.single, way.duration)
    uses.update({r: units * way.duration for r, units, _ in way.shared})
    return uses
