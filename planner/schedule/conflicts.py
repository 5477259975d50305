"""Facts of a question that cannot hold together, found without solving it.

Takes an `Instance`, gives `Conflict`s, each naming as few facts as will do. Knows nothing of
solvers. A question without conflicts has an answer, though not always one that keeps every lock.
"""

from __future__ import annotations

from collections import Counter, deque
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.schedule.indexed import Indexed, index
from planner.schedule.ranking import shortest

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.schedule.instance import Activity, Instance, Mode, Resource


@dataclass(frozen=True, slots=True)
class Conflict:
    """Facts that cannot all hold.

    Attributes:
        facts: ids of the activities and resources concerned, names of set-up states.
        sentence: what is wrong, in words.
        is_fatal: whether there is no answer at all; if not, one of the locks named will thaw.
    """

    facts: tuple[str, ...]
    sentence: str
    is_fatal: bool = True


def conflicts(instance: Instance) -> tuple[Conflict, ...]:
    """Find what cannot hold together on its face.

    Returns:
        Fatal conflicts, or, if there is none, those between locks and the rest.
    """
    fatal = fatal_conflicts(instance)
    if fatal:
        return fatal
    indexed = index(instance)
    return (*_lock_chains(indexed), *_lock_clashes(indexed))


def fatal_conflicts(instance: Instance) -> tuple[Conflict, ...]:
    """Only those that leave no answer at all."""
    names = tuple(_names(instance))
    if names:
        return names
    checks = (_modes, _parties, _absences, _changing_over, _ring)
    return tuple(conflict for check in checks for conflict in check(instance))


def _names(instance: Instance) -> Iterator[Conflict]:
    activities = Counter(activity.id for activity in instance.activities)
    resources = Counter(resource.id for resource in instance.resources)
    for name, times in (*activities.items(), *resources.items()):
        if times > 1:
            yield Conflict((name,), f"the id {name} is used {times} times")
    for activity in instance.activities:
        waits = [wait.id for wait in activity.after if wait.id not in activities]
        used = [
            name
            for mode in activity.modes
            for name in (*mode.uses, *mode.set_ups)
            if name not in resources
        ]
        for name in dict.fromkeys(waits):
            yield Conflict((activity.id, name), f"{activity.id} waits for unknown {name}")
        for name in dict.fromkeys(used):
            yield Conflict((activity.id, name), f"{activity.id} uses unknown {name}")


def _modes(instance: Instance) -> Iterator[Conflict]:
    resources = {resource.id: resource for resource in instance.resources}
    for activity in instance.activities:
        if not activity.modes:
            yield Conflict((activity.id,), f"{activity.id} has no mode")
        if activity.release < 0:
            yield Conflict((activity.id,), f"{activity.id} has a release below 0")
        if activity.least_quarters < 0:
            yield Conflict((activity.id,), f"{activity.id} is to begin with less than no time")
        if activity.locked is not None and activity.locked.start < 0:
            yield Conflict((activity.id,), f"{activity.id} is locked below 0")
        if activity.locked is not None and not 0 <= activity.locked.mode < len(activity.modes):
            yield Conflict((activity.id,), f"{activity.id} is locked in a mode it does not have")
        for mode in activity.modes:
            yield from _mode(activity, mode, resources)


def _parties(instance: Instance) -> Iterator[Conflict]:
    """Activities that go together and cannot: modes not equally many, or locked apart."""
    first: dict[str, Activity] = {}
    for activity in instance.activities:
        if not activity.together:
            continue
        other = first.setdefault(activity.together, activity)
        facts = (other.id, activity.id)
        if len(other.modes) != len(activity.modes):
            yield Conflict(facts, f"{other.id} and {activity.id} go together in unlike modes")
    locked: dict[str, Activity] = {}
    for activity in instance.activities:
        if not activity.together or activity.locked is None:
            continue
        other = locked.setdefault(activity.together, activity)
        if other.locked and other.locked.mode != activity.locked.mode:
            facts = (other.id, activity.id)
            yield Conflict(facts, f"{other.id} and {activity.id} go together, locked in two modes")


def _mode(activity: Activity, mode: Mode, resources: dict[str, Resource]) -> Iterator[Conflict]:
    if mode.duration_quarters < 0 or min(mode.uses.values(), default=0) < 0:
        yield Conflict((activity.id,), f"{activity.id} has a mode with a number below 0")
    for name, units in mode.uses.items():
        capacity = resources[name].capacity
        if units > capacity:
            yield Conflict(
                (activity.id, name), f"{activity.id} needs {units} of {name}, there are {capacity}"
            )
    for name in mode.set_ups:
        if resources[name].capacity != 1 or mode.uses.get(name, 0) != 1:
            yield Conflict(
                (activity.id, name),
                f"{activity.id} wants a set-up of {name}, of which there must be one, in use",
            )


def _absences(instance: Instance) -> Iterator[Conflict]:
    for resource in instance.resources:
        for first, end in resource.blocked:
            if end < first:
                sentence = f"{resource.id} is away from {first} to {end}: ends before it begins"
                yield Conflict((resource.id,), sentence)


def _changing_over(instance: Instance) -> Iterator[Conflict]:
    """Changing over that would take less than no time."""
    given = instance.changeovers
    every: list[tuple[tuple[str, ...], str, int]] = [
        *(((state,), f"bringing up {state}", quarters) for state, quarters in given.set_up.items()),
        *(((state,), f"striking {state}", quarters) for state, quarters in given.strike.items()),
        ((), "bringing up a state that is not named", given.default_set_up),
    ]
    for (resource, before, after), quarters in given.pairs.items():
        where = f" on {resource}" if resource else ""
        what = f"changing over from {before} to {after}{where}"
        every.append(((*filter(None, [resource]), before, after), what, quarters))
    for facts, what, quarters in every:
        if quarters < 0:
            yield Conflict(facts, f"{what} takes {quarters} quarters, which is below 0")


def _ring(instance: Instance) -> Iterator[Conflict]:
    """The shortest ring of precedences, if there is any."""
    after = {a.id: tuple(wait.id for wait in a.after) for a in instance.activities}
    left = _never_free(after)
    best: list[str] = []
    for name in sorted(left):
        ring = _way_back(after, name, left)
        if ring and (not best or len(ring) < len(best)):
            best = ring
    if best:
        yield Conflict(tuple(best), "each waits for the next: " + " - ".join((*best, best[0])))


def _never_free(after: dict[str, tuple[str, ...]]) -> set[str]:
    """What is left once everything that can be done one after the other is taken away."""
    waiting = {name: len(waits) for name, waits in after.items()}
    follow: dict[str, list[str]] = {name: [] for name in after}
    for name, waits in after.items():
        for wait in waits:
            follow[wait].append(name)
    free = [name for name, count in waiting.items() if count == 0]
    while free:
        for name in follow[free.pop()]:
            waiting[name] -= 1
            if waiting[name] == 0:
                free.append(name)
    return {name for name, count in waiting.items() if count > 0}


def _way_back(after: dict[str, tuple[str, ...]], name: str, inside: set[str]) -> list[str]:
    """Shortest way from an activity over what it waits for back to itself."""
    came: dict[str, str] = {}
    queue = deque([name])
    while queue:
        current = queue.popleft()
        for wait in after[current]:
            if wait == name:
                path = [current]
                while path[-1] != name:
                    path.append(came[path[-1]])
                return path[::-1]
            if wait in inside and wait not in came:
                came[wait] = current
                queue.append(wait)
    return []


def _lock_chains(indexed: Indexed) -> Iterator[Conflict]:
    """Locks earlier than the release, or the lock, that a chain of activities starts from."""
    finishes = [0] * len(indexed.ids)
    cause: list[int | None] = [None] * len(indexed.ids)
    for i in indexed.topological:
        ready = indexed.activities[i].release
        for j, lag, clock in indexed.before[i]:
            at = indexed.ready(finishes[j], lag, clock)
            if at > ready:
                ready, cause[i] = at, j
        if i in indexed.locks:
            start, mode = indexed.locks[i]
            if start < ready:
                yield _chain(indexed, cause, i, ready)
            cause[i] = None
            finishes[i] = indexed.finish(i, mode, start)
        else:
            finishes[i] = ready + shortest(indexed, i)


def _chain(indexed: Indexed, cause: list[int | None], i: int, ready: int) -> Conflict:
    path = [i]
    while (before := cause[path[-1]]) is not None:
        path.append(before)
    names = tuple(indexed.ids[j] for j in path)
    start = indexed.locks[i][0]
    if len(names) == 1:
        sentence = f"{names[0]} is locked at {start}, before its release {ready}"
    else:
        sentence = f"{names[0]} is locked at {start}, but not ready before {ready}, after "
        sentence += ", ".join(names[1:])
    return Conflict(names, sentence, is_fatal=False)


def _lock_clashes(indexed: Indexed) -> Iterator[Conflict]:
    """Locks that together hold more of a resource than there is, or meet a spell or a night."""
    held: dict[int, list[tuple[int, int, int, int]]] = {}
    for i, (start, mode) in sorted(indexed.locks.items()):
        way, end = indexed.ways[i][mode], indexed.finish(i, mode, start)
        yield from _misfit(indexed, i, start)
        for r, units in (*((r, 1) for r in way.single), *((r, u) for r, u, _ in way.shared)):
            held.setdefault(r, []).append((start, end, units, i))
    for r, uses in held.items():
        yield from _overfull(indexed, r, sorted(uses))


def _misfit(indexed: Indexed, i: int, start: int) -> Iterator[Conflict]:
    mode = indexed.locks[i][1]
    way, name = indexed.ways[i][mode], indexed.ids[i]
    if way.in_one_day and start % indexed.day + way.duration > indexed.day:
        yield Conflict((name,), f"{name} is locked at {start}, too late in its day", is_fatal=False)
    end = start + (1 if way.pauses else way.duration)
    for first, after in way.spells:
        if way.duration and first < end and start < after:
            sentence = f"{name} is locked at {start}, where what it uses is away"
            yield Conflict((name,), sentence, is_fatal=False)
            return


def _overfull(
    indexed: Indexed, r: int, uses: list[tuple[int, int, int, int]]
) -> Iterator[Conflict]:
    resource = indexed.instance.resources[r]
    for start, _, _, i in uses:
        together = [use for use in uses if use[0] <= start < use[1]]
        # As few as will do: the greediest first, this one always among them.
        together.sort(key=lambda use: (use[3] != i, -use[2], use[3]))
        total, few = 0, []
        for use in together:
            total += use[2]
            few.append(indexed.ids[use[3]])
            if total > resource.capacity:
                names = ", ".join(few)
                sentence = f"{names} are locked at {start} with {total} of {resource.id}, "
                sentence += f"there are {resource.capacity}"
                yield Conflict((*few, resource.id), sentence, is_fatal=False)
                return
