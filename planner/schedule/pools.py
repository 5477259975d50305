"""What resources that stand in for one another must do between them.

Takes an `Indexed` with earliest starts and least tails, gives a bound on the finish of all. Knows
nothing of chains or of any answer.

Sound for any set of resources: an activity works on the set at least as long as its least way does,
only while the resources are there, so all of it takes at least as long as all of them together.
A state needed on the set is brought up there before it is first used, at no less than the cheapest
change into it; states joined by cheap changes are entered from outside at least once besides. Such
changes take time that other stated work there cannot have: only that work is counted beside them.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from itertools import accumulate
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from planner.schedule.indexed import Indexed, Way

    Job = tuple[int, int, int]
    """Earliest start, least tail, unit-quarters."""


def pooled_finish(indexed: Indexed, heads: Sequence[int], tails: Mapping[int, int]) -> int:
    """Bound the finish of all, quarters.

    Args:
        indexed: the question.
        heads: a quarter before which each activity cannot start.
        tails: of each activity the least working time from its finish to the finish of all.
    """
    hosts = frozenset(r for ways in indexed.ways for way in ways for r, _ in way.states)
    choices = {_used_by_some(ways) for ways in indexed.ways}
    stated = [i for i, ways in enumerate(indexed.ways) if all(way.states for way in ways)]
    best = 0
    for pool in _pools(choice & hosts for choice in choices):
        jobs = _jobs(heads, tails, [(i, _on_set_ups(indexed, i, pool)) for i in stated])
        best = max(best, _done(indexed, pool, jobs + _changes(indexed, stated, pool, tails)))
    for pool in _pools(choice - hosts for choice in choices):
        each = range(len(indexed.ids))
        jobs = _jobs(heads, tails, [(i, _on_any(indexed, i, pool)) for i in each])
        best = max(best, _done(indexed, pool, jobs))
    return best


def _used_by_some(ways: Sequence[Way]) -> frozenset[int]:
    """What some way uses and another does not; of one way alone, all that it is set up on."""
    if len(ways) == 1:
        return frozenset(r for r, _ in ways[0].states)
    used = [frozenset((*way.single, *(r for r, _, _ in way.shared))) for way in ways]
    return frozenset.union(*used) - frozenset.intersection(*used)


def _pools(choices: Iterable[frozenset[int]]) -> list[frozenset[int]]:
    """Resources linked by choices, and all of them together."""
    sets = _linked(choices)
    return [*sets, frozenset[int]().union(*sets)] if len(sets) > 1 else sets


def _linked(choices: Iterable[frozenset[int]]) -> list[frozenset[int]]:
    """The choices, those that share anything made one."""
    sets: list[frozenset[int]] = []
    for choice in set(choices):
        near = [each for each in sets if each & choice]
        sets = [each for each in sets if not each & choice]
        sets += [choice.union(*near)] if choice else []
    return sets


def _on_set_ups(indexed: Indexed, i: int, pool: frozenset[int]) -> int:
    return min(way.duration * sum(r in pool for r, _ in way.states) for way in indexed.ways[i])


def _on_any(indexed: Indexed, i: int, pool: frozenset[int]) -> int:
    return min(
        way.duration
        * (sum(r in pool for r in way.single) + sum(n for r, n, _ in way.shared if r in pool))
        for way in indexed.ways[i]
    )


def _jobs(
    heads: Sequence[int],
    tails: Mapping[int, int],
    works: Iterable[tuple[int, int]],
) -> list[Job]:
    return [(heads[i], tails[i], work) for i, work in works if work > 0]


def _changes(
    indexed: Indexed, stated: Iterable[int], pool: frozenset[int], tails: Mapping[int, int]
) -> list[Job]:
    """Changes into each state that must be on the pool, done before what needs it longest begins.

    What is cheaper than bringing a state up from bare links it to another: such states are entered
    once from outside, at what that costs more than the cheapest change into them.
    """
    needed: dict[int, int] = {}
    for i in stated:
        states = {tuple(s for r, s in way.states if r in pool) for way in indexed.ways[i]}
        shortest = min(way.duration for way in indexed.ways[i])
        state = min(states)[:1] if len(states) == 1 else ()
        if state and shortest > 0:
            needed[state[0]] = max(needed.get(state[0], 0), shortest + tails[i])
    cheapest = list(indexed.set_up)
    links = []
    for (r, before, after), quarters in indexed.odd.items():
        if r in pool and before != after and quarters < indexed.set_up[after]:
            cheapest[after] = min(cheapest[after], quarters)
            links.append(frozenset((before, after)))
    standing = {indexed.standing[r] for r in pool}
    jobs = [(0, tail, cheapest[s]) for s, tail in needed.items() if s not in standing]
    return jobs + [
        (
            0,
            max(needed[s] for s in family if s in needed),
            min(indexed.set_up[s] - cheapest[s] for s in family),
        )
        for family in _linked(links)
        if family & needed.keys() and not family & standing
    ]


def _done(indexed: Indexed, pool: frozenset[int], jobs: list[Job]) -> int:
    """Nothing before its earliest start, all at once at full strength, then the shortest tail."""
    reached = _reached(indexed, pool)
    best = total = 0
    least_tail = max((tail for _, tail, _ in jobs), default=0)
    for head, tail, work in sorted(jobs, key=lambda job: -job[0]):
        total += work
        least_tail = min(least_tail, tail)
        best = max(best, reached(head, total) + least_tail)
    total, least_head = 0, max((head for head, _, _ in jobs), default=0)
    for head, tail, work in sorted(jobs, key=lambda job: -job[1]):
        total += work
        least_head = min(least_head, head)
        best = max(best, reached(least_head, total) + tail)
    return best


def _reached(indexed: Indexed, pool: frozenset[int]) -> Callable[[int, int], int]:
    """When so many unit-quarters can be done on the pool from some quarter on, its spells left."""
    strength = sum(indexed.instance.resources[r].capacity for r in pool)
    steps: dict[int, int] = {0: strength}
    for r in pool:
        for first, end in indexed.spells[r]:
            units = indexed.instance.resources[r].capacity
            steps[max(first, 0)] = steps.get(max(first, 0), 0) - units
            steps[max(end, 0)] = steps.get(max(end, 0), 0) + units
    times = sorted(steps)
    rates = list(accumulate(steps[t] for t in times))
    spans = (rate * (b - a) for rate, a, b in zip(rates, times, times[1:], strict=False))
    sums = list(accumulate(spans, initial=0))

    def reached(start: int, work: int) -> int:
        at = bisect_right(times, start) - 1
        target = sums[at] + rates[at] * (start - times[at]) + work
        at = max(0, bisect_left(sums, target) - 1)
        return max(start, times[at] - (sums[at] - target) // rates[at] if rates[at] else times[at])

    return reached
