"""Whether an answer keeps every rule of its instance, checked from the rules alone.

Takes an `Instance` and an `Answer`, gives sentences, none if all is well. Shares no code with what
finds answers, on purpose, and goes quarter by quarter where that is plainest.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.schedule.answer import Answer
    from planner.schedule.instance import Activity, Instance, Mode, Resource


def verify(instance: Instance, answer: Answer) -> tuple[str, ...]:
    """Check times, precedences, capacities, spells, changeovers, releases, locks and modes.

    Also that what goes together is, and that nothing is broken into that must not be.

    Returns:
        One sentence for each broken rule. A lock that the answer itself lists as thawed is not one.
    """
    broken = tuple(_modes(instance, answer))
    if broken:
        return broken
    checks = (_activities, _together, _unbroken, _precedences, _capacities, _changeovers)
    return tuple(sentence for check in checks for sentence in check(instance, answer))


def _modes(instance: Instance, answer: Answer) -> Iterator[str]:
    for activity in instance.activities:
        name = activity.id
        if name not in answer.starts or name not in answer.finishes or name not in answer.modes:
            yield f"{name} has no place in the answer"
        elif not 0 <= answer.modes[name] < len(activity.modes):
            yield f"{name} has no mode {answer.modes[name]}"


def _activities(instance: Instance, answer: Answer) -> Iterator[str]:
    resources = {resource.id: resource for resource in instance.resources}
    for activity in instance.activities:
        mode = activity.modes[answer.modes[activity.id]]
        start, finish = answer.starts[activity.id], answer.finishes[activity.id]
        if start < max(0, activity.release):
            yield f"{activity.id} starts at {start}, before its release {activity.release}"
        yield from _lock(activity, answer)
        if mode.duration_quarters > 0:
            used = [resources[name] for name, units in mode.uses.items() if units]
            yield from _length(activity, mode, used, (start, finish))
            yield from _night(instance, activity, mode, start)
            if activity.locked is None or activity.id in answer.thawed:
                yield from _beginning(instance, activity, used, (start, mode.duration_quarters))
        elif finish != start:
            yield f"{activity.id} takes no time but ends at {finish}, not {start}"


def _together(instance: Instance, answer: Answer) -> Iterator[str]:
    first: dict[str, str] = {}
    for activity in instance.activities:
        if not activity.together:
            continue
        other = first.setdefault(activity.together, activity.id)
        if answer.modes[other] != answer.modes[activity.id]:
            yield f"{activity.id} and {other} go together and are done in different modes"


def _unbroken(instance: Instance, answer: Answer) -> Iterator[str]:
    """Work done on what two others set up, between them."""
    locked = {each.id for each in instance.activities if each.locked} - set(answer.thawed)
    on = _work_on(instance, answer)
    for one, other in _kept_pairs(instance):
        if one.locked and one.id not in locked:
            continue
        ends, begins = answer.finishes[one.id], answer.starts[other.id]
        for name in one.modes[answer.modes[one.id]].set_ups:
            between = on[name].between(ends, begins) if name in on else []
            if one.locked and not locked.isdisjoint(between):
                # Whoever locked both has broken into it already.
                continue
            for each in between:
                yield f"{each} is done on {name} between {one.id} and {other.id}"


def _kept_pairs(instance: Instance) -> Iterator[tuple[Activity, Activity]]:
    """Work of which the first keeps what it set up for the other."""
    waiting: dict[str, list[Activity]] = {}
    for activity in instance.activities:
        for wait in activity.after:
            waiting.setdefault(wait.id, []).append(activity)
    for one in instance.activities:
        after = waiting.get(one.id, [])
        if one.unbroken and one.together and len(after) == 1:
            other = after[0]
            is_next = other.together == one.together and len(other.after) == 1
            if is_next and not other.locked and all(map(_is_kept, one.modes, other.modes)):
                yield one, other


def _is_kept(mine: Mode, theirs: Mode) -> bool:
    takes_time = mine.duration_quarters > 0 and theirs.duration_quarters > 0
    return takes_time and bool(mine.set_ups) and mine.set_ups == theirs.set_ups


@dataclass(frozen=True, slots=True)
class _Work:
    """What is done on one resource: `(start, finish, id)` in order of start, and the longest."""

    spans: list[tuple[int, int, str]]
    longest: int

    def between(self, ends: int, begins: int) -> list[str]:
        """Ids of what is done at any time from `ends` on, before `begins`."""
        first = bisect_left(self.spans, (ends - self.longest,))
        last = bisect_left(self.spans, (begins,))
        return [id_ for _, finish, id_ in self.spans[first:last] if finish > ends]


def _work_on(instance: Instance, answer: Answer) -> dict[str, _Work]:
    """By resource, without what takes no time."""
    on: dict[str, list[tuple[int, int, str]]] = {}
    for activity in instance.activities:
        start, finish = answer.starts[activity.id], answer.finishes[activity.id]
        if start < finish:
            for name, units in activity.modes[answer.modes[activity.id]].uses.items():
                if units:
                    on.setdefault(name, []).append((start, finish, activity.id))
    return {
        name: _Work(sorted(spans), max(finish - start for start, finish, _ in spans))
        for name, spans in on.items()
    }


def _lock(activity: Activity, answer: Answer) -> Iterator[str]:
    lock = activity.locked
    if lock is None or activity.id in answer.thawed:
        return
    if (answer.starts[activity.id], answer.modes[activity.id]) != (lock.start, lock.mode):
        yield f"{activity.id} is not where it is locked, {lock.start} in mode {lock.mode}"


def _length(
    activity: Activity, mode: Mode, used: list[Resource], span: tuple[int, int]
) -> Iterator[str]:
    blocked = [spell for resource in used for spell in resource.blocked]
    at_work = [q for q in range(*span) if not any(a <= q < b for a, b in blocked)]
    if len(at_work) != mode.duration_quarters:
        yield f"{activity.id} works {len(at_work)} quarters, not {mode.duration_quarters}"
    elif at_work[0] != span[0] or at_work[-1] != span[1] - 1:
        yield f"{activity.id} begins or ends in a blocked spell"
    elif not activity.splittable and len(at_work) != span[1] - span[0]:
        yield f"{activity.id} may not pause but runs through a blocked spell"


def _night(instance: Instance, activity: Activity, mode: Mode, start: int) -> Iterator[str]:
    if activity.splittable or instance.calendar is None:
        return
    day = instance.calendar.quarters_per_day
    last = start + mode.duration_quarters - 1
    if mode.duration_quarters <= day and start // day != last // day:
        yield f"{activity.id} starts at {start} and runs past the end of its day"


def _beginning(
    instance: Instance, activity: Activity, used: list[Resource], work: tuple[int, int]
) -> Iterator[str]:
    """Work that pauses sooner after its start than it may."""
    start, length = work
    day = instance.day_quarters
    blocked = [spell for resource in used for spell in resource.blocked]
    least = min(activity.least_quarters, day)
    pause = _pause_in(range(start, start + min(least, length)), day, blocked)
    if pause is not None and _is_ever_there(instance, least, blocked):
        yield f"{activity.id} starts at {start} and pauses too soon, at {pause}"


def _pause_in(quarters: range, day: int, blocked: list[tuple[int, int]]) -> int | None:
    """The first of some quarters that is of another day than the first of all, or blocked."""
    night = (quarters.start // day + 1) * day
    is_pause = (q for q in quarters if q >= night or any(a <= q < b for a, b in blocked))
    return next(is_pause, None)


def _is_ever_there(instance: Instance, least: int, blocked: list[tuple[int, int]]) -> bool:
    """Whether any listed day has so many quarters in one that are not blocked."""
    day = instance.day_quarters
    end = day * len(instance.calendar.days) if instance.calendar else day
    return any(_pause_in(range(q, q + least), day, blocked) is None for q in range(end))


def _precedences(instance: Instance, answer: Answer) -> Iterator[str]:
    for activity in instance.activities:
        start = answer.starts[activity.id]
        for wait in activity.after:
            finish = answer.finishes[wait.id]
            if start < finish + wait.lag_quarters:
                yield f"{activity.id} starts at {start}, too early after {wait.id}, {finish}"
            if wait.lag_clock_quarters and not _clock_kept(
                instance, finish, wait.lag_clock_quarters, start
            ):
                yield f"{activity.id} starts at {start}, too few hours after {wait.id}, {finish}"


def _clock_kept(instance: Instance, finish: int, quarters: int, start: int) -> bool:
    calendar = instance.calendar
    if calendar is None:
        return start >= finish + quarters
    waited = calendar.to_datetime(start) - calendar.finish_datetime(finish)
    return waited.total_seconds() >= quarters * 15 * 60


def _capacities(instance: Instance, answer: Answer) -> Iterator[str]:
    steps: dict[str, dict[int, int]] = {}
    for activity in instance.activities:
        start, finish = answer.starts[activity.id], answer.finishes[activity.id]
        mode = activity.modes[answer.modes[activity.id]]
        for name, units in mode.uses.items() if finish > start else ():
            mine = steps.setdefault(name, {})
            mine[start] = mine.get(start, 0) + units
            mine[finish] = mine.get(finish, 0) - units
    for resource in instance.resources:
        in_use = 0
        for quarter, units in sorted(steps.get(resource.id, {}).items()):
            in_use += units
            if in_use > resource.capacity:
                yield f"{resource.id} has {resource.capacity} but {in_use} are held at {quarter}"
                break


def _changeovers(instance: Instance, answer: Answer) -> Iterator[str]:
    set_ups = _set_ups(instance, answer)
    for resource in instance.resources:
        state = instance.changeovers.standing.get(resource.id)
        free_from, last = 0, "quarter 0"
        for start, name, wanted in sorted(set_ups.get(resource.id, ())):
            needed = instance.changeovers.quarters(resource.id, state, wanted)
            gap = range(free_from, start)
            worked = sum(not any(a <= q < b for a, b in resource.blocked) for q in gap)
            if worked < needed:
                yield f"{resource.id} has {worked} of {needed} quarters between {last} and {name}"
            state, free_from, last = wanted, answer.finishes[name], name


def _set_ups(instance: Instance, answer: Answer) -> dict[str, list[tuple[int, str, str]]]:
    """Per resource, when what is set up on it and for which activity."""
    found: dict[str, list[tuple[int, str, str]]] = {}
    for activity in instance.activities:
        start, finish = answer.starts[activity.id], answer.finishes[activity.id]
        mode = activity.modes[answer.modes[activity.id]]
        for resource, state in mode.set_ups.items() if finish > start else ():
            found.setdefault(resource, []).append((start, activity.id, state))
    return found
