"""From an order of activities to dates: each in turn as early as everything allows.

Takes an `Indexed`, an order that breaks no precedence, and a price on changing over; gives starts,
finishes and modes. Knows nothing of where the order comes from or what the dates weigh.

What a resource does is one whole number with a bit for each quarter that is taken. Finding the
first quarter where several resources are free for long enough is then a handful of shifts over
whole words, however crowded the axis is.
"""

from __future__ import annotations

from array import array
from bisect import bisect_left, insort
from collections import defaultdict
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from planner.schedule.counts import add, at_least, blank_planes
from planner.schedule.worktime import Spell, finish_of, start_before

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.schedule.indexed import Indexed, Way


@dataclass(frozen=True, slots=True)
class Wish:
    """What the decoder is asked for.

    Attributes:
        order: activity numbers, each after all that it waits for.
        modes: mode wanted for each activity, or -1 for whichever does best.
        price: quarters that an activity may rather wait than cause one quarter of changeover.
        cost_price: quarters that it may rather wait than cause one unit of mode cost.
        not_before: earliest starts, at or after the releases, if given.
    """

    order: tuple[int, ...]
    modes: tuple[int, ...]
    price: float = 2.0
    cost_price: float = 0.0
    not_before: tuple[int, ...] | None = None


@dataclass(slots=True)
class Board:
    """Resources part-way through being filled; copies share nothing that changes.

    `log` has start, finish and state of what is done set up on each resource, one after the other.
    `reached` has quarters between which a way of working was found not to fit; nothing is ever
    taken off, so that it fits there no more.
    """

    busy: list[int]
    in_use: list[list[int]]
    log: list[array[int]]
    row: list[list[tuple[int, int, int]]]
    starts: list[int]
    finishes: list[int]
    modes: list[int]
    masks: dict[tuple[int, int], tuple[int, int]] = field(default_factory=dict)
    last: dict[tuple[int, int], int] = field(default_factory=dict)
    closed_to: dict[int, int] = field(default_factory=lambda: defaultdict(int))
    broken: list[int] = field(default_factory=list)
    reached: dict[Way, Spell] = field(default_factory=dict)

    def copy(self) -> Board:
        """The same, free to go another way."""
        return Board(
            self.busy[:],
            [planes[:] for planes in self.in_use],
            [log[:] for log in self.log],
            [row[:] for row in self.row],
            self.starts[:],
            self.finishes[:],
            self.modes[:],
            self.masks.copy(),
            self.last.copy(),
            self.closed_to.copy(),
            self.broken[:],
            self.reached.copy(),
        )


MANY, FEW_ODD = 60, 8
"""Work by others from how much on, and exceptions up to how many, it is looked at together."""
NEAR = 2048
"""Quarters that are looked at first for a gap."""
NEVER = 1 << 40
"""Where something fits that fits nowhere: later than any date that anything is held to."""


def first_gap(taken: int, earliest: int, length: int) -> int:
    """First quarter from `earliest` on with `length` quarters clear of the bits of `taken`.

    A negative `taken` is taken for ever; `NEVER` where it leaves no gap.
    """
    rest, reach = taken >> earliest, max(NEAR, 2 * length)
    # Mostly it is near, and what is far need not be looked at.
    while reach < rest.bit_length():
        x = widened(rest & ((1 << reach) - 1), length)
        at = (~x & (x + 1)).bit_length() - 1
        if at + length <= reach:
            return earliest + at
        reach *= 8
    x = widened(rest, length)
    gap = ~x & (x + 1)
    return earliest + gap.bit_length() - 1 if gap else NEVER


def widened(taken: int, length: int) -> int:
    """Starts at which `length` quarters would meet a bit of `taken`."""
    have = 1
    while have * 2 <= length:
        taken |= taken >> have
        have *= 2
    return taken | taken >> (length - have) if have < length else taken


def span(start: int, end: int) -> int:
    """The bits from `start` to before `end`."""
    return ((1 << (end - start)) - 1) << start


@dataclass(frozen=True, slots=True)
class _Pads:
    """For one state of a resource: what the first set-up closes, exceptions by other state."""

    first: int
    odd: dict[int, tuple[int, int]]


class Decoder:
    """Turns wishes into dates for one instance. It keeps nothing but tables between calls."""

    def __init__(self, indexed: Indexed) -> None:
        self.indexed = indexed
        self._nights: dict[int, tuple[int, int]] = {}
        self._blocked: dict[tuple[Spell, ...], int] = {}
        self._pads: dict[tuple[int, int], _Pads] = {}
        self.releases = tuple(activity.release for activity in indexed.activities)
        self._odd_beside: dict[tuple[int, int], set[int]] = defaultdict(set)
        for r, one, other in indexed.odd:
            self._odd_beside[r, one].add(other)
            self._odd_beside[r, other].add(one)
        self._with_detours = indexed.with_detours()
        self._round_trips = _round_trips(indexed)
        self._set_up = np.array(indexed.set_up, dtype=np.int64)
        self._strike = np.array(indexed.strike, dtype=np.int64)
        self._locked_runs = [
            run
            for run in dict.fromkeys(indexed.runs[i] for i in indexed.locks)
            if run and all(i in indexed.locks for i in run)
        ]
        self._going_on = indexed.going_on()
        self._to_come = [j for j in self._going_on if j not in indexed.locks]
        self._near_begun = self._beside_what_is_begun() if self._to_come else frozenset()
        # Latest an activity may be ready for followers that are locked.
        self._locked_after = [
            tuple((j, lag, clock) for j, lag, clock in indexed.follow[i] if j in indexed.locks)
            for i in range(len(indexed.ids))
        ]

    def decode(self, wish: Wish) -> Board:
        """Place every activity; `broken` in the result lists locks that could not be kept."""
        board = self.blank()
        self.extend(board, wish, range(len(wish.order)))
        return board

    def blank(self) -> Board:
        """A board with only the locked activities on it."""
        indexed = self.indexed
        count, resources = len(indexed.ids), indexed.instance.resources
        board = Board(
            busy=[0] * len(resources),
            in_use=[blank_planes(r.capacity) for r in resources],
            log=[array("q") for _ in resources],
            row=[[] for _ in resources],
            starts=[-1] * count,
            finishes=[-1] * count,
            modes=[-1] * count,
        )
        for i, (start, mode) in sorted(indexed.locks.items(), key=lambda item: item[1]):
            if self.earliest(board, indexed.ways[i][mode].however_soon(), start) != start:
                board.broken.append(i)
            self._place(board, i, mode, start)
        board.broken.extend(i for i in indexed.locks if self._is_too_early(board, i))
        for run in self._locked_runs:
            self._keep_whole(board, run)
        for j in self._going_on:
            if j in indexed.locks:
                self._keep_begun(board, j)
        return board

    def _beside_what_is_begun(self) -> frozenset[int]:
        """What may use something that is kept set up for what is begun, that itself included."""
        indexed = self.indexed
        kept = {r for j in self._to_come for way in indexed.ways[j] for r, _ in way.states}
        return frozenset(
            i
            for i, ways in enumerate(indexed.ways)
            if any(not kept.isdisjoint(way.single) for way in ways)
        )

    def _go_on(self, board: Board, wish: Wish) -> None:
        """Place what is begun before anything else is done on what it keeps set up.

        What was begun last stands there now, so it goes on first. Locked work may lie between.
        """
        for j in self._to_come:
            run = self.indexed.runs[j] or (j,)
            mode, starts = self._choose_run(board, run, wish)
            for i, start in zip(run, starts, strict=True):
                self._place(board, i, mode, start)
            self._keep_whole(board, run)
            self._keep_begun(board, j)
            self._heed_locked(board, run[-1])

    def _keep_begun(self, board: Board, j: int) -> None:
        """Hold what is kept set up for `j` until it begins, unless a lock lies between."""
        between = span(board.finishes[self._going_on[j]], board.starts[j])
        for r, _ in self.indexed.ways[j][board.modes[j]].states:
            if not board.busy[r] & between:
                board.busy[r] |= between

    def _keep_whole(self, board: Board, run: tuple[int, ...]) -> None:
        """Hold what a run sets up from its first to its last, and what lies between."""
        first, last = run[0], run[-1]
        whole = span(board.starts[first], board.finishes[last])
        for r, _ in self.indexed.ways[first][board.modes[first]].states:
            board.busy[r] |= whole

    def _is_too_early(self, board: Board, i: int) -> bool:
        """Whether a locked activity starts before its release or before another lock lets it."""
        indexed, start = self.indexed, board.starts[i]
        return start < indexed.activities[i].release or any(
            j in indexed.locks and start < indexed.ready(board.finishes[j], lag, clock)
            for j, lag, clock in indexed.before[i]
        )

    def extend(self, board: Board, wish: Wish, positions: range) -> None:
        """Place the activities at some positions of the order, in turn."""
        indexed = self.indexed
        for position in positions:
            i = wish.order[position]
            if i in self._near_begun and board.starts[self._to_come[0]] < 0:
                self._go_on(board, wish)
            if board.starts[i] >= 0:
                continue
            if indexed.runs[i]:
                # All that any of them waits for comes before the last of them.
                if i == indexed.runs[i][-1]:
                    self._place_run(board, indexed.runs[i], wish)
            else:
                mode, start = self._choose(board, i, self._ready(board, i, wish), wish)
                self._place(board, i, mode, start)
            self._heed_locked(board, i)

    def _heed_locked(self, board: Board, i: int) -> None:
        """Note what is locked too early for what it waits for."""
        for j, lag, clock in self._locked_after[i]:
            if self.indexed.ready(board.finishes[i], lag, clock) > board.starts[j]:
                board.broken.append(j)

    def _ready(self, board: Board, i: int, wish: Wish) -> int:
        """First quarter at which what it waits for lets an activity begin."""
        finishes, ready_at = board.finishes, self.indexed.ready
        ready = self.releases[i] if wish.not_before is None else wish.not_before[i]
        for j, lag, clock in self.indexed.before[i]:
            at = finishes[j] + lag if not clock else ready_at(finishes[j], lag, clock)
            ready = max(ready, at)
        return ready

    def _place_run(self, board: Board, run: tuple[int, ...], wish: Wish) -> None:
        """Place work that is not to be broken into, and keep what it sets up from first to last."""
        mode, starts = self._choose_run(board, run, wish)
        for i, start in zip(run, starts, strict=True):
            self._place(board, i, mode, start)
        self._keep_whole(board, run)

    def _choose_run(
        self, board: Board, run: tuple[int, ...], wish: Wish
    ) -> tuple[int, tuple[int, ...]]:
        first = run[0]
        wanted = next((wish.modes[i] for i in run if wish.modes[i] >= 0), -1)
        for j in self.indexed.partners[first]:
            if board.modes[j] >= 0:
                wanted = board.modes[j]
                break
        count = len(self.indexed.ways[first])
        best: tuple[float, int, tuple[int, ...]] | None = None
        for mode in range(count) if wanted < 0 else (wanted,):
            score, starts = self._unbroken(board, run, mode, wish)
            last = self.indexed.finish(run[-1], mode, starts[-1])
            cost = sum(self.indexed.ways[i][mode].cost for i in run)
            total = last + score - starts[0] + cost * wish.cost_price
            if best is None or (total, mode) < best[:2]:
                best = total, mode, starts
        assert best is not None  # noqa: S101 - every activity has a mode
        return best[1:]

    def _unbroken(
        self, board: Board, run: tuple[int, ...], mode: int, wish: Wish
    ) -> tuple[float, tuple[int, ...]]:
        """When each of a run is done in a mode, with nothing between; and what the first weighs."""
        ways = [self.indexed.ways[i][mode] for i in run]
        ready = self._ready(board, run[0], wish)
        score, start = self._priced(board, run[0], ways[0], ready, wish)
        base, held = self._morning(start), 0
        for r, _ in ways[0].states:
            held |= board.busy[r] >> base
        taken = [self._taken(board, way, base) for way in ways[1:]]
        at = taken, self.releases if wish.not_before is None else wish.not_before, base
        while True:
            starts = self.chained(run, mode, start, at)
            if starts[-1] >= NEVER:
                return NEVER, starts
            finish = self.indexed.finish(run[-1], mode, starts[-1])
            clash = held & span(start - base, finish - base)
            if not clash:
                break
            ready = base + clash.bit_length()
            score, start = self._priced(board, run[0], ways[0], ready, wish)
        later = self._drawn_together(board, run, mode, (starts, *at))
        return score - start + later[0], later

    def chained(
        self,
        run: Sequence[int],
        mode: int,
        start: int,
        at: tuple[Sequence[int], Sequence[int], int],
    ) -> tuple[int, ...]:
        """When a run is done whose first begins at `start`, each as early as it may.

        Args:
            run: activity numbers.
            mode: of all of them.
            start: of the first; `NEVER` gives that for each.
            at: quarters taken for each but the first, earliest starts by activity number, and the
                quarter at which the bits of the former begin, a morning at or before `start`.
        """
        (taken, earliest, base), starts = at, [start]
        for (i, j), closed in zip(pairwise(run), taken, strict=True):
            if starts[-1] >= NEVER:
                return (NEVER,) * len(run)
            ((_, lag, clock),) = self.indexed.before[j]
            finish = self.indexed.finish(i, mode, starts[-1])
            ready = max(earliest[j], self.indexed.ready(finish, lag, clock))
            starts.append(self.fit(closed, self.indexed.ways[j][mode], ready, base))
        return tuple(starts)

    def _drawn_together(
        self,
        board: Board,
        run: tuple[int, ...],
        mode: int,
        at: tuple[tuple[int, ...], Sequence[int], Sequence[int], int],
    ) -> tuple[int, ...]:
        """The same run begun later by as long as it waited, if its last is then no later."""
        starts, taken, earliest, base = at
        pairs = zip(run, pairwise(starts), strict=False)
        waits = sum(after - self.indexed.finish(i, mode, begins) for i, (begins, after) in pairs)
        if waits <= 0:
            return starts
        way = self.indexed.ways[run[0]][mode]
        ready = starts[0] + waits
        again = self._morning(ready)
        start = self.fit(self._taken(board, way, again), way, ready, again)
        later = self.chained(run, mode, start, (taken, earliest, base))
        return later if later[-1] == starts[-1] else starts

    def earliest(self, board: Board, way: Way, ready: int) -> int:
        """First quarter from `ready` on at which a way of working fits the board."""
        if way.duration == 0:
            return ready
        base = self._morning(ready)
        return self.fit(self._taken(board, way, base), way, ready, base)

    def _taken(self, board: Board, way: Way, base: int) -> int:
        """Quarters from `base` on in which what the way uses is held or changed over."""
        taken = 0
        for r in way.single:
            taken |= board.busy[r] >> base
        for r, _, level in way.shared:
            taken |= at_least(board.in_use[r], level, base)
        for r, state in way.states:
            taken |= self._closed(board, (r, state), base) >> base
        return taken

    def fit(self, taken: int, way: Way, ready: int, base: int = 0) -> int:
        """First quarter from `ready` on at which a way keeps clear of `taken` and of its nights.

        The bits of `taken` begin at quarter `base`, a morning, at or before `ready`.
        """
        if way.pauses:
            return self._earliest_paused(taken, way, ready, base)
        if way.spells:
            taken |= self._mask(way.spells) >> base
        start = self._first_gap(taken, ready - base, (way.duration, way.least))
        return start if start >= NEVER else base + start

    def _morning(self, ready: int) -> int:
        """The first quarter of a day, from which on resources are looked at."""
        return ready - ready % self.indexed.day

    def _first_gap(self, taken: int, ready: int, lengths: tuple[int, int]) -> int:
        """As `first_gap`, so many quarters clear, of which so many lie in one day."""
        day, (length, least) = self.indexed.day, lengths
        if ready % day + least > day:
            ready += day - ready % day
        for _ in range(2):
            start = first_gap(taken, ready, length)
            if start >= NEVER or start % day + least <= day:
                return start
            # Mostly the next morning will do.
            ready = start + day - start % day
        start = ready
        x = widened(taken >> start, length)
        x |= self._night(least, max(taken.bit_length(), start) + 2 * day) >> start
        gap = ~x & (x + 1)
        return start + gap.bit_length() - 1 if gap else NEVER

    def _earliest_paused(self, taken: int, way: Way, ready: int, base: int) -> int:
        blocked, start = taken | self._mask(way.spells) >> base, ready
        while True:
            # It begins at work, not in a pause.
            start = self._first_gap(blocked, start - base, (way.least, way.least))
            if start >= NEVER:
                return NEVER
            start += base
            end = finish_of(start, way.duration, way.spells)
            clash = taken & span(start - base, end - base)
            if not clash:
                return start
            start = base + clash.bit_length()

    def _choose(self, board: Board, i: int, ready: int, wish: Wish) -> tuple[int, int]:
        ways, wanted = self.indexed.ways[i], wish.modes[i]
        for j in self.indexed.partners[i]:
            if board.modes[j] >= 0:
                wanted = board.modes[j]
                break
        if wanted >= 0:
            return wanted, self._priced(board, i, ways[wanted], ready, wish)[1]
        if len(ways) == 1:
            return 0, self._priced(board, i, ways[0], ready, wish)[1]
        best = (float("inf"), 0, 0)
        for mode, way in enumerate(ways):
            score, start = self._priced(board, i, way, ready, wish)
            total = score + way.duration + way.cost * wish.cost_price
            best = min(best, (total, mode, start))
        return best[1], best[2]

    def _priced(self, board: Board, i: int, way: Way, ready: int, wish: Wish) -> tuple[float, int]:
        if way.duration == 0:
            return ready, ready
        ready = self._passing_over(board, way, ready)
        base = self._morning(ready)
        taken = self._taken(board, way, base), base
        start = self.fit(taken[0], way, ready, base)
        self._pass_over(board, way, ready, start)
        best = self._beside(board, way, taken, start, wish.price) if way.states else (start, start)
        if wish.cost_price and (way.overtime or self.indexed.activities[i].preference):
            return self._cheapest(i, way, taken, best, wish.cost_price)
        return best

    def _passing_over(self, board: Board, way: Way, ready: int) -> int:
        """The first quarter from `ready` on at which a way was not yet found not to fit."""
        first, last = board.reached.get(way, (0, 0))
        return last if first <= ready < last else ready

    def _pass_over(self, board: Board, way: Way, ready: int, start: int) -> None:
        """Remember that a way does not fit from `ready` to `start`; the longest such stretch.

        Not where a detour is quicker than going straight: there more work may make room.
        """
        if self._with_detours and any(r in self._with_detours for r, _ in way.states):
            return
        first, last = board.reached.get(way, (0, 0))
        new = (first, start) if first <= ready == last else (ready, start)
        if start < NEVER and new[1] - new[0] > last - first:
            board.reached[way] = new

    def _beside(
        self, board: Board, way: Way, taken: tuple[int, int], start: int, price: float
    ) -> tuple[float, int]:
        """At once, or rather later: beside its own set-up, or after everything."""
        cost = self._caused(board, way, start)
        best = (start + price * cost, start)
        if cost == 0 or price <= 0:
            return best
        for r, state in way.states:
            row = board.row[r]
            for later in (board.last.get((r, state), -1), row[-1][1] if row else -1):
                if later > start:
                    other = self.fit(taken[0], way, later, taken[1])
                    best = min(best, (other + price * self._caused(board, way, other), other))
        return best

    def _cheapest(
        self,
        i: int,
        way: Way,
        taken: tuple[int, int],
        best: tuple[float, int],
        cost_price: float,
    ) -> tuple[float, int]:
        """The same, or rather later for less overtime or nearer to what is preferred."""
        first = best[1]
        options = [best, *((best[0], later) for later in self.cheaper_after(i, way, first))]
        scored = []
        for score, later in options:
            start = first if later == first else self.fit(taken[0], way, later, taken[1])
            finish = (
                finish_of(start, way.duration, way.spells) if way.pauses else start + way.duration
            )
            cost = way.overtime_cost(start, finish, self.indexed.day) + self.indexed.away(i, start)
            scored.append((score + start - first + cost_price * cost, start))
        return min(scored)

    def cheaper_after(self, i: int, way: Way, start: int) -> tuple[int, ...]:
        """Quarters after `start` from which working may cost less: the morning, the preferred."""
        preference, day = self.indexed.activities[i].preference, self.indexed.day
        later = []
        if way.overtime and way.overtime_cost(start, start + way.duration, day):
            later.append(start + day - start % day)
        if preference is not None and preference.first > start:
            later.append(preference.first)
        return tuple(later)

    def _caused(self, board: Board, way: Way, start: int) -> int:
        """Quarters of changeover that working at `start` adds."""
        total, change = 0, self.indexed.change
        for r, state in way.states:
            row = board.row[r]
            at = bisect_left(row, (start, 0, 0))
            before = row[at - 1][2] if at else self.indexed.standing[r]
            total += change(r, before, state)
            if at < len(row):
                after = row[at][2]
                total += change(r, state, after) - change(r, before, after)
        return total

    def _closed(self, board: Board, at: tuple[int, int], base: int) -> int:
        """Quarters from `base` on that other states and changing over keep from one of a resource.

        Where no detour is quicker than going straight, each work keeps its distance from every
        other, whatever lies between; so what is read once holds. Else only neighbours do.
        """
        resource, state = at
        if resource in self._with_detours:
            return self._closed_beside(board.row[resource], at, base)
        log, pads = board.log[resource], self._pads_of(resource, state)
        known = board.masks.get((resource, state))
        mask, seen = (pads.first, 0) if known is None else known
        if seen == len(log):
            return mask
        new = log[seen:]
        if len(new) < 3 * MANY or len(pads.odd) > FEW_ODD:
            mask = self._closing(mask, new, (resource, state), pads)
        else:
            mask |= self._closed_by_many(new, (resource, state), pads)
        read = len(log) - (3 if log[-1] == state else 0)
        board.closed_to[resource] = max(board.closed_to[resource], read)
        board.masks[resource, state] = (mask, len(log))
        return mask

    def _closed_beside(
        self, row: Sequence[tuple[int, int, int]], at: tuple[int, int], base: int
    ) -> int:
        """The same between each work and the next; what begins before `base` is told by its last.

        Closed before 0 and open after the last.
        """
        resource, state = at
        change, spells = self.indexed.change, self.indexed.spells[resource]
        first_after = bisect_left(row, (base, 0, 0))
        before, ended, opened = self.indexed.standing[resource], 0, 0
        if first_after:
            _, ended, before = row[first_after - 1]
        for start, end, other in row[first_after:]:
            first = finish_of(ended, change(resource, before, state), spells)
            last = start_before(start, change(resource, state, other), spells)
            if last > first:
                opened |= span(first, last)
            before, ended = other, end
        return ~(opened | -1 << finish_of(ended, change(resource, before, state), spells))

    def _closing(self, mask: int, new: array[int], at: tuple[int, int], pads: _Pads) -> int:
        """The mask with what some work of other states closes, looked at one by one."""
        (resource, state), odd = at, pads.odd
        indexed, spells = self.indexed, self.indexed.spells[resource]
        set_up, strike = indexed.set_up, indexed.strike
        up, down = set_up[state], strike[state]
        for start, end, other in zip(new[::3], new[1::3], new[2::3], strict=True):
            if other == state:
                continue
            left, right = odd.get(other) or (down + set_up[other], strike[other] + up)
            first, last = start - left, end + right
            if spells:
                first = start_before(start, left, spells)
                last = finish_of(end, right, spells)
            first = max(first, 0)
            mask |= ((1 << (last - first)) - 1) << first
        return mask

    def _closed_by_many(self, new: array[int], at: tuple[int, int], pads: _Pads) -> int:
        """What some work of other states closes, all of it looked at together."""
        resource, state = at
        work = np.frombuffer(new, dtype=np.int64).reshape(-1, 3)
        work = work[work[:, 2] != state]
        if not len(work):
            return 0
        starts, ends, others = work[:, 0], work[:, 1], work[:, 2]
        left = self._set_up[others] + self.indexed.strike[state]
        right = self._strike[others] + self.indexed.set_up[state]
        for other, (before, after) in pads.odd.items():
            left[others == other], right[others == other] = before, after
        first, last = starts - left, ends + right
        for begins, over in reversed(self.indexed.spells[resource]):
            first -= np.where(
                (over > first) & (begins < starts), np.minimum(over, starts) - begins, 0
            )
        for begins, over in self.indexed.spells[resource]:
            last += np.where((begins < last) & (over > ends), over - np.maximum(begins, ends), 0)
        count = int(last.max()) + 1
        change = np.bincount(np.maximum(first, 0), minlength=count)
        change -= np.bincount(last, minlength=count)
        bits = np.packbits(np.cumsum(change) > 0, bitorder="little")
        return int.from_bytes(bits.tobytes(), "little")

    def _pads_of(self, resource: int, state: int) -> _Pads:
        key = (resource, state)
        if key not in self._pads:
            indexed, change = self.indexed, self.indexed.change
            first = change(resource, indexed.standing[resource], state)
            odd = {
                other: (change(resource, state, other), change(resource, other, state))
                for other in self._odd_beside.get(key, ())
            }
            self._pads[key] = _Pads(span(0, finish_of(0, first, indexed.spells[resource])), odd)
        return self._pads[key]

    def _place(self, board: Board, i: int, mode: int, start: int) -> None:
        way = self.indexed.ways[i][mode]
        end = finish_of(start, way.duration, way.spells) if way.pauses else start + way.duration
        board.starts[i], board.finishes[i], board.modes[i] = start, end, mode
        if end == start:
            return
        window = span(start, end)
        for r in way.single:
            board.busy[r] |= window
        for r, units, _ in way.shared:
            add(board.in_use[r], units, start, end)
        for r, state in way.states:
            self._note(board, r, (start, end, state))
            insort(board.row[r], (start, end, state))
            board.last[r, state] = max(end, board.last.get((r, state), 0))

    def _note(self, board: Board, r: int, work: tuple[int, int, int]) -> None:
        """Log work; joined to the last of its state if nothing fits between and none read that."""
        log = board.log[r]
        if log and board.closed_to[r] < len(log):
            _, end, state = log[-3:]
            if state == work[2] and 0 <= work[0] - end <= self._round_trips[state]:
                log[-2] = work[1]
                return
        log.extend(work)

    def _night(self, length: int, horizon: int) -> int:
        """Starts that would run into the night, up to at least `horizon`."""
        known = self._nights.get(length)
        if known is None or known[1] < horizon:
            day = self.indexed.day
            days = max(1, 2 * horizon // day + 1)
            one = span(day - length + 1, day)
            known = (one * (((1 << (day * days)) - 1) // ((1 << day) - 1)), days * day)
            self._nights[length] = known
        return known[0]

    def _mask(self, spells: tuple[Spell, ...]) -> int:
        if spells not in self._blocked:
            mask = 0
            for first, end in spells:
                mask |= span(first, end)
            self._blocked[spells] = mask
        return self._blocked[spells]


def _round_trips(indexed: Indexed) -> list[int]:
    """Quarters that going from each state to any other and back takes at the least."""
    if not indexed.states:
        return []
    away = min(indexed.set_up) + min(indexed.strike)
    least = [up + down + away for up, down in zip(indexed.set_up, indexed.strike, strict=True)]
    for (_, before, after), quarters in indexed.odd.items():
        if before != after:
            least[before] = min(least[before], quarters)
            least[after] = min(least[after], quarters)
    return least
