"""An instance by number instead of by name, with what every solver works out first.

Takes an `Instance`, gives an `Indexed`. Knows nothing of search.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from heapq import heapify, heappop, heappush
from typing import TYPE_CHECKING

from planner.schedule.worktime import Spell, finish_of, merged

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from planner.schedule.instance import Activity, Instance, Mode, Resource

BARE = -1


@dataclass(frozen=True, slots=True)
class Way:
    """A mode by number.

    Attributes:
        duration: working quarters.
        cost: as in the mode.
        in_one_day: whether it must lie within one working day.
        least: quarters from its start that must lie within one day and, if it pauses, before any of
            `spells`; all of it if it is in one day.
        single: one-unit resources held.
        shared: `(resource, units, level)` of many-unit resources; at `level` units in use none fit.
        states: `(resource, state)` pairs.
        spells: merged blocked spells of all its resources.
        pauses: whether it pauses over `spells` instead of keeping clear of them.
        overtime: `(quarters into the day, price)` of each band that it may work in.
    """

    duration: int
    cost: int
    in_one_day: bool
    least: int
    single: tuple[int, ...]
    shared: tuple[tuple[int, int, int], ...]
    states: tuple[tuple[int, int], ...]
    spells: tuple[Spell, ...]
    pauses: bool
    overtime: tuple[tuple[int, int], ...] = ()

    def however_soon(self) -> Way:
        """The same, begun however soon before a pause, as what is locked may be."""
        return self if self.in_one_day or self.least <= 1 else replace(self, least=1)

    def overtime_cost(self, start: int, finish: int, day: int) -> int:
        """What its quarters in overtime bands cost when it runs from `start` to `finish`."""
        total = 0
        for after, price in self.overtime:
            quarters = _late_quarters(finish, day, after) - _late_quarters(start, day, after)
            for first, end in self.spells if self.pauses else ():
                if first < finish and end > start:
                    quarters -= _late_quarters(min(end, finish), day, after)
                    quarters += _late_quarters(max(first, start), day, after)
            total += price * quarters
        return total


def _late_quarters(quarter: int, day: int, after: int) -> int:
    """Quarters before `quarter` that are past the first `after` of their day."""
    days, rest = divmod(quarter, day)
    return days * max(0, day - after) + max(0, rest - after)


@dataclass(frozen=True, slots=True)
class Indexed:
    """An instance by number.

    Attributes:
        instance: the question itself.
        ids: names of activities, by number.
        ways: modes of each activity.
        before: for each activity `(other, lag, clock lag)` that it waits for; without a calendar
            the longer lag is the only one.
        follow: for each activity those that wait for it, same form.
        topological: numbers, each after all that it waits for; ties in the instance's order.
        locks: `(start, mode)` by activity number.
        states: names of set-up states, by number.
        standing: state of each resource at quarter 0, or BARE.
        spells: merged blocked spells of each resource, from quarter 0 on.
        day: length of a working day, quarters.
        set_up: quarters to bring up each state.
        strike: quarters to clear each state away.
        odd: quarters of the exceptional changeovers, by resource and states.
        partners: for each activity the others that must take the mode of the same number.
        groups: number of the group of each activity, -1 for none.
        runs: for each activity those that it is done with unbroken, in turn; empty for most.
        begun: for what goes on with what locked work keeps set up for it, that work.
    """

    instance: Instance
    ids: tuple[str, ...]
    ways: tuple[tuple[Way, ...], ...]
    before: tuple[tuple[tuple[int, int, int], ...], ...]
    follow: tuple[tuple[tuple[int, int, int], ...], ...]
    topological: tuple[int, ...]
    locks: Mapping[int, tuple[int, int]]
    states: tuple[str, ...]
    standing: tuple[int, ...]
    spells: tuple[tuple[Spell, ...], ...]
    day: int
    set_up: tuple[int, ...]
    strike: tuple[int, ...]
    odd: Mapping[tuple[int, int, int], int]
    partners: tuple[tuple[int, ...], ...]
    groups: tuple[int, ...]
    runs: tuple[tuple[int, ...], ...]
    begun: Mapping[int, int]
    _clock: dict[tuple[int, int], int] = field(default_factory=dict)

    @property
    def activities(self) -> tuple[Activity, ...]:
        """The activities, by number."""
        return self.instance.activities

    def change(self, resource: int, before: int, after: int) -> int:
        """Quarters of changeover between two states, by number."""
        if before == after:
            return 0
        if before == BARE:
            return self.set_up[after]
        if self.odd:
            special = self.odd.get((resource, before, after))
            if special is not None:
                return special
        return self.strike[before] + self.set_up[after]

    def goes_on(self, resource: int, before: int, after: int) -> bool:
        """Whether what stands between two works goes on standing: one state, or as good as one."""
        return before == after or self.odd.get((resource, before, after)) == 0

    def ready(self, finish: int, lag: int, clock: int) -> int:
        """First quarter at which a successor may start."""
        if not clock or self.instance.calendar is None:
            return finish + lag
        key = (finish, clock)
        if key not in self._clock:
            self._clock[key] = self.instance.calendar.after_clock(finish, clock)
        return max(finish + lag, self._clock[key])

    def keeps_triangle_rule(self) -> bool:
        """Whether no detour through a third state is quicker than going straight."""
        return not self.with_detours()

    def with_detours(self) -> frozenset[int]:
        """Resources on which some detour through a third state is quicker than going straight.

        Only exceptional pairs can make one, and only of states that a resource may be in.
        """
        on = self._states_on() if self.odd else ()
        odd = [(r, a, b) for r, a, b in self.odd if a != b and a in on[r] and b in on[r]]
        named: dict[tuple[int, int], set[int]] = {}
        for r, a, b in odd:
            named.setdefault((r, a), set()).add(b)
            named.setdefault((r, b), set()).add(a)
        found = set()
        for r, a, b in odd:
            beside = named[r, a] | named[r, b]
            # Of all states that no exception names, the quickest to go by stands for the rest.
            plain = next((c for c in on[r] if c not in beside), BARE)
            if not all(self._is_straight(r, (a, b), c) for c in (BARE, plain, *beside)):
                found.add(r)
        return frozenset(found)

    def _states_on(self) -> tuple[Mapping[int, None], ...]:
        """States that each resource may be in, what is up and cleared away soonest first."""
        found: list[dict[int, None]] = [{s: None} if s != BARE else {} for s in self.standing]
        for r, state in {pair for ways in self.ways for way in ways for pair in way.states}:
            found[r][state] = None
        trip = {s: (self.set_up[s] + self.strike[s], s) for s in range(len(self.states))}
        return tuple(dict.fromkeys(sorted(states, key=trip.__getitem__)) for states in found)

    def _is_straight(self, r: int, pair: tuple[int, int], c: int) -> bool:
        """Whether going from the one of a pair to the other is no detour, nor any by way of `c`."""
        a, b = pair
        straight = self.change(r, a, b)
        if self.change(r, c, b) > self.change(r, c, a) + straight:
            return False
        if c == BARE:
            return True
        there, back = self.change(r, a, c), self.change(r, c, b)
        return there <= straight + self.change(r, b, c) and straight <= there + back

    def without_locks(self, thawed: Sequence[int]) -> Indexed:
        """The same instance with some locks taken off."""
        kept = {i: lock for i, lock in self.locks.items() if i not in set(thawed)}
        return replace(self, locks=kept)

    def going_on(self) -> dict[int, int]:
        """What is begun: what keeps a set-up standing until it is done, and who is locked before.

        What was begun last comes first. What gave up its lock keeps nothing.
        """
        ends = {i: self.finish(i, mode, start) for i, (start, mode) in self.locks.items()}
        kept = [(j, i) for j, i in self.begun.items() if i in ends]
        return dict(sorted(kept, key=lambda pair: (-ends[pair[1]], pair)))

    def standing_still(self) -> frozenset[int]:
        """What is not lifted by itself: what is locked, and what goes on with it."""
        going_on = (k for j in self.going_on() for k in self.runs[j] or (j,))
        return frozenset((*self.locks, *going_on))

    def soft_cost(self, i: int, mode: int, start: int, finish: int) -> int:
        """Overtime and unmet preference of one activity, in units of cost."""
        return self.ways[i][mode].overtime_cost(start, finish, self.day) + self.away(i, start)

    def away(self, i: int, start: int) -> int:
        """What starting activity `i` at `start` costs for being outside its preference."""
        preference = self.activities[i].preference
        if preference is None:
            return 0
        return preference.price * max(0, preference.first - start, start - preference.last)

    def finish(self, i: int, mode: int, start: int) -> int:
        """Where activity `i` ends when begun at `start`."""
        way = self.ways[i][mode]
        return finish_of(start, way.duration, way.spells) if way.pauses else start + way.duration


def index(instance: Instance) -> Indexed:
    """Number everything in an instance.

    Raises:
        ValueError: an unknown activity or resource is named, an id is used twice, or the
            precedences form a ring; `conflicts` says which in words.
    """
    ids = tuple(activity.id for activity in instance.activities)
    numbers = {name: i for i, name in enumerate(ids)}
    places = {resource.id: i for i, resource in enumerate(instance.resources)}
    if len(numbers) < len(ids) or len(places) < len(instance.resources):
        raise ValueError("an id is used twice")
    try:
        before = tuple(
            tuple((numbers[p.id], p.lag_quarters, p.lag_clock_quarters) for p in activity.after)
            for activity in instance.activities
        )
        states = _states(instance)
        ways = _Numberer(instance, places, {name: i for i, name in enumerate(states)}).ways()
    except KeyError as error:
        raise ValueError(f"nothing is called {error.args[0]!r}") from error
    if instance.calendar is None:
        # Work never rests: what must pass by the clock passes at work, beside the other lag.
        before = tuple(
            tuple((j, max(lag, clock) if clock else lag, 0) for j, lag, clock in waits)
            for waits in before
        )
    follow = _turned(before)
    pairs = tuple(_kept_pairs(instance, ways, before, follow))
    locked = {i for i, activity in enumerate(instance.activities) if activity.locked is not None}
    changeovers, standing = instance.changeovers, instance.changeovers.standing
    return Indexed(
        instance=instance,
        ids=ids,
        ways=ways,
        before=before,
        follow=follow,
        topological=topological_order(before, follow),
        locks={
            i: (activity.locked.start, activity.locked.mode)
            for i, activity in enumerate(instance.activities)
            if activity.locked is not None
        },
        states=states,
        standing=tuple(
            states.index(standing[r.id]) if r.id in standing else BARE for r in instance.resources
        ),
        spells=tuple(_away(resource) for resource in instance.resources),
        day=instance.day_quarters,
        set_up=tuple(changeovers.quarters("", None, state) for state in states),
        strike=tuple(changeovers.strike.get(state, 0) for state in states),
        odd=_odd(instance, {name: i for i, name in enumerate(states)}),
        partners=_partners(instance),
        groups=_groups(instance),
        runs=_runs(len(ids), [pair for pair in pairs if locked.isdisjoint(pair)]),
        begun={j: i for i, j in pairs if i in locked and j not in locked},
    )


def topological_order(
    before: Sequence[Sequence[tuple[int, int, int]]],
    follow: Sequence[Sequence[tuple[int, int, int]]],
    rank: Sequence[float] | None = None,
) -> tuple[int, ...]:
    """Numbers in an order that breaks no precedence, lowest `rank` (else number) first where free.

    Raises:
        ValueError: the precedences form a ring.
    """
    waiting = [len(p) for p in before]
    keys = rank if rank is not None else range(len(before))
    free = [(keys[i], i) for i, count in enumerate(waiting) if count == 0]
    heapify(free)
    order: list[int] = []
    while free:
        _, i = heappop(free)
        order.append(i)
        for j, _, _ in follow[i]:
            waiting[j] -= 1
            if waiting[j] == 0:
                heappush(free, (keys[j], j))
    if len(order) < len(before):
        raise ValueError("the precedences form a ring")
    return tuple(order)


def _partners(instance: Instance) -> tuple[tuple[int, ...], ...]:
    parties: dict[str, list[int]] = {}
    for i, activity in enumerate(instance.activities):
        if activity.together:
            parties.setdefault(activity.together, []).append(i)
    return tuple(
        tuple(j for j in parties.get(activity.together, ()) if j != i)
        for i, activity in enumerate(instance.activities)
    )


def _kept_pairs(
    instance: Instance,
    ways: Sequence[Sequence[Way]],
    before: Sequence[Sequence[tuple[int, int, int]]],
    follow: Sequence[Sequence[tuple[int, int, int]]],
) -> Iterator[tuple[int, int]]:
    """Work that keeps what it set up for the next, and that next."""
    activities = instance.activities

    def is_kept(i: int, j: int) -> bool:
        one, other = activities[i], activities[j]
        return (
            one.together != ""
            and one.together == other.together
            and len(before[j]) == 1
            and all(
                mine.duration > 0
                and theirs.duration > 0
                and mine.states
                and mine.states == theirs.states
                for mine, theirs in zip(ways[i], ways[j], strict=True)
            )
        )

    for i, activity in enumerate(activities):
        if activity.unbroken and len(follow[i]) == 1 and is_kept(i, follow[i][0][0]):
            yield i, follow[i][0][0]


def _runs(count: int, pairs: Iterable[tuple[int, int]]) -> tuple[tuple[int, ...], ...]:
    """Chains of work that keeps what it set up for the next, in turn, for each activity."""
    found: list[tuple[int, ...]] = [()] * count
    for i, j in pairs:
        run = (*(found[i] or (i,)), *(found[j] or (j,)))
        for k in run:
            found[k] = run
    return tuple(found)


def _groups(instance: Instance) -> tuple[int, ...]:
    numbers: dict[str, int] = {}
    return tuple(
        -1 if activity.group is None else numbers.setdefault(activity.group, len(numbers))
        for activity in instance.activities
    )


def _turned(
    before: Sequence[Sequence[tuple[int, int, int]]],
) -> tuple[tuple[tuple[int, int, int], ...], ...]:
    follow: list[list[tuple[int, int, int]]] = [[] for _ in before]
    for i, waits in enumerate(before):
        for j, lag, clock in waits:
            follow[j].append((i, lag, clock))
    return tuple(tuple(f) for f in follow)


def _states(instance: Instance) -> tuple[str, ...]:
    found = dict.fromkeys(instance.changeovers.standing.values())
    for activity in instance.activities:
        for mode in activity.modes:
            found.update(dict.fromkeys(mode.set_ups.values()))
    return tuple(found)


def _away(resource: Resource) -> tuple[Spell, ...]:
    """When a resource is blocked, from quarter 0 on."""
    return merged([(max(0, first), end) for first, end in resource.blocked])


def _odd(instance: Instance, states: Mapping[str, int]) -> dict[tuple[int, int, int], int]:
    """Exceptional changeovers by number, those for any resource spread over all."""
    found: dict[tuple[int, int, int], int] = {}
    pairs = instance.changeovers.pairs
    hosts = {name for a in instance.activities for m in a.modes for name in m.set_ups}
    for r, resource in enumerate(instance.resources):
        if resource.id in hosts:
            for name, before, after in pairs:
                if name in {"", resource.id} and before in states and after in states:
                    found[r, states[before], states[after]] = instance.changeovers.quarters(
                        resource.id, before, after
                    )
    return found


@dataclass(frozen=True, slots=True)
class _Numberer:
    instance: Instance
    places: Mapping[str, int]
    states: Mapping[str, int]
    _merged: dict[tuple[int, ...], tuple[Spell, ...]] = field(default_factory=dict)
    _known: dict[object, _Holding] = field(default_factory=dict)

    def ways(self) -> tuple[tuple[Way, ...], ...]:
        return tuple(
            tuple([self._way(mode, activity) for mode in activity.modes])
            for activity in self.instance.activities
        )

    def _way(self, mode: Mode, activity: Activity) -> Way:
        key = (tuple(mode.uses.items()), tuple(mode.set_ups.items()))
        held = self._known.get(key)
        if held is None:
            held = self._known[key] = self._holding(mode)
        length, day = mode.duration_quarters, self.instance.day_quarters
        # Without a calendar a day is one quarter.
        in_one_day = not activity.splittable and 1 < length <= day
        least = length if in_one_day else min(length, self._least(activity, held))
        return Way(
            duration=length,
            cost=mode.cost,
            in_one_day=in_one_day,
            least=least,
            single=held.single,
            shared=held.shared,
            states=held.states,
            spells=held.spells,
            pauses=activity.splittable and bool(held.spells) and length > 0,
            overtime=held.overtime,
        )

    def _least(self, activity: Activity, held: _Holding) -> int:
        least = min(activity.least_quarters, self.instance.day_quarters)
        return least if 0 < least <= longest_at_once(self.instance, held.spells) else 1

    def _holding(self, mode: Mode) -> _Holding:
        resources = self.instance.resources
        used = [(self.places[name], units) for name, units in mode.uses.items() if units > 0]
        return _Holding(
            single=tuple(r for r, _ in used if resources[r].capacity == 1),
            shared=tuple(
                (r, units, resources[r].capacity - units + 1)
                for r, units in used
                if resources[r].capacity > 1
            ),
            states=tuple(
                (self.places[name], self.states[state]) for name, state in mode.set_ups.items()
            ),
            spells=self._spells(tuple(r for r, _ in used)),
            overtime=tuple(
                (band.after_quarters, units * band.price)
                for r, units in used
                for band in resources[r].overtime
                if band.price
            ),
        )

    def _spells(self, used: tuple[int, ...]) -> tuple[Spell, ...]:
        """When any of some resources is blocked; the same few meet again and again."""
        if used not in self._merged:
            resources = self.instance.resources
            self._merged[used] = merged([spell for r in used for spell in _away(resources[r])])
        return self._merged[used]


def longest_at_once(instance: Instance, spells: Sequence[Spell]) -> int:
    """The longest stretch of a listed day between spells; without spells a day."""
    day, longest, back = instance.day_quarters, 0, 0
    end = len(instance.calendar.days) * day if instance.calendar and spells else day
    for first, after in (*spells, (end, end)):
        stop = min(first, end)
        morning, evening = back + -back % day, stop - stop % day
        if evening > morning:
            return day
        parts = (stop - back,) if morning > stop else (morning - back, stop - evening)
        longest, back = max(longest, *parts), after
    return longest


@dataclass(frozen=True, slots=True)
class _Holding:
    """What modes that use the same things in the same states have in common, as in `Way`."""

    single: tuple[int, ...]
    shared: tuple[tuple[int, int, int], ...]
    states: tuple[tuple[int, int], ...]
    spells: tuple[Spell, ...]
    overtime: tuple[tuple[int, int], ...]
