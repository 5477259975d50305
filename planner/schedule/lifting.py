"""Activities lifted off a board and put back while the rest stand still.

Takes a feasible board, gives `Change`s to it that can be weighed and undone, at a cost that goes by
what is lifted and not by what there is. Knows nothing of why something is lifted.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.schedule.appraise import Row, own_weight, quarter_weight, rows, stretch_weight
from planner.schedule.counts import add, at_least, take_off
from planner.schedule.decode import NEVER, span
from planner.schedule.indexed import BARE
from planner.schedule.worktime import finish_of, start_before

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from planner.schedule.decode import Decoder
    from planner.schedule.indexed import Indexed, Way
    from planner.schedule.search import Found


@dataclass(frozen=True, slots=True)
class Surcharge:
    """What activities add to the total that leave their day or mode.

    Attributes:
        day: length of a working day, quarters.
        was: of each activity the day and mode that it had and what leaving them adds, or None;
            empty where nothing adds anything.
        doubling: days after which leaving a day adds as much again; 0 for never.
    """

    day: int
    was: tuple[tuple[int, int, int] | None, ...] = ()
    doubling: int = 0

    @property
    def is_nothing(self) -> bool:
        """Whether everything may go anywhere."""
        return not any(was is not None and was[2] for was in self.was)

    def __call__(self, i: int, start: int, mode: int) -> int:
        """What an activity adds, by number, start and mode."""
        was = self.was[i] if self.was else None
        if was is None or was[:2] == (start // self.day, mode):
            return 0
        return moved_price(was[2], abs(start // self.day - was[0]), self.doubling)


def moved_price(price: int, days: int, doubling: int) -> int:
    """What a move over so many days adds: as much again for every `doubling` days; 0 for never."""
    return price + (price * days // doubling if doubling else 0)


@dataclass(frozen=True, slots=True)
class Staying:
    """What was issued, to those who improve on it.

    Attributes:
        surcharge: what it adds to the total that an activity leaves its day or mode.
        not_before: for each activity the start that it had, where leaving it is dear; else its
            release. Empty where nothing is held.
    """

    surcharge: Surcharge
    not_before: tuple[int, ...] = ()


class Floor:
    """A whole board that can be changed in place, with what each resource does in order of time."""

    def __init__(self, decoder: Decoder, found: Found, staying: Staying | None = None) -> None:
        """Copy a feasible board.

        Args:
            decoder: of the instance.
            found: the board and the wish it came from.
            staying: what was issued, where some should stay near it.
        """
        board = found.board
        self.decoder = decoder
        self.indexed: Indexed = decoder.indexed
        self.cost_price = found.wish.cost_price
        self.staying = staying
        self.a_quarter = quarter_weight(self.indexed)
        self.starts = board.starts[:]
        self.finishes = board.finishes[:]
        self.modes = board.modes[:]
        self.busy = board.busy[:]
        self.in_use = [planes[:] for planes in board.in_use]
        self.finish = max(self.finishes, default=0)
        places = range(len(self.busy))
        by_resource = rows(self.indexed, self.starts, self.finishes, self.modes)
        self.rows: list[Row] = [by_resource.get(r, []) for r in places]
        self.users: list[list[tuple[int, int]]] = [[] for _ in places]
        for start, i in sorted((start, i) for i, start in enumerate(self.starts)):
            if self.finishes[i] > start:
                for r in held_by(self.indexed.ways[i][self.modes[i]]):
                    self.users[r].append((start, i))

    def own(self, i: int, mode: int, start: int, finish: int) -> int:
        """What one activity adds to the total by itself."""
        total = own_weight(self.indexed, i, mode, start, finish)
        return total if self.staying is None else total + self.staying.surcharge(i, start, mode)

    def move_quarters(self, i: int, start: int, mode: int) -> float:
        """How much later an activity may rather end than go to another day or mode."""
        if self.staying is None:
            return 0.0
        return self.staying.surcharge(i, start, mode) / self.a_quarter


class Change:
    """Activities taken out and put back, to be weighed and perhaps undone."""

    def __init__(self, floor: Floor) -> None:
        self.of = floor
        self.was: dict[int, tuple[int, int, int]] = {}
        self.lifted: set[int] = set()
        self.old_rows: dict[int, Row] = {}
        self.old_users: dict[int, list[tuple[int, int]]] = {}
        self.old_busy: dict[int, int] = {}
        self.old_in_use: dict[int, list[int]] = {}
        self.spans: dict[int, tuple[int, int]] = {}

    def lift(self, i: int) -> None:
        """Take an activity off the board."""
        of = self.of
        mode, start, finish = of.modes[i], of.starts[i], of.finishes[i]
        self.was[i] = start, finish, mode
        self.lifted.add(i)
        if finish == start:
            return
        way = of.indexed.ways[i][mode]
        window = span(start, finish)
        states = dict(way.states)
        for r in way.single:
            self._remember(r, start)
            of.busy[r] &= ~(window | self._kept_after(i, finish) if r in states else window)
            row = of.rows[r]
            del row[bisect_left(row, (start, finish, states.get(r, BARE), of.indexed.groups[i]))]
        for r, units, _ in way.shared:
            self._remember(r, start)
            take_off(of.in_use[r], units, window)
        self._users(i, way, start)

    def put(self, i: int, patience: float, *, are_free: bool, not_before: int = 0) -> bool:
        """Put an activity back where it does best; false if it would hold up what stands still."""
        ready, limit = max(self._ready(i), not_before), self._limit(i)
        best = self._best(i, ready, limit, (patience, are_free))
        if best is None:
            return False
        self._place(i, *best)
        return self._lets_follow(i)

    def _ready(self, i: int) -> int:
        """First quarter at which what an activity waits for lets it begin."""
        of, indexed = self.of, self.of.indexed
        ready = indexed.activities[i].release
        for j, lag, clock in indexed.before[i]:
            ready = max(ready, indexed.ready(of.finishes[j], lag, clock))
        return ready

    def _limit(self, i: int) -> int | None:
        """Quarter by which it must be finished for what follows and stands still; None for none."""
        lasts = [
            self.of.starts[j] - lag
            for j, lag, _ in self.of.indexed.follow[i]
            if j not in self.lifted
        ]
        return min(lasts, default=None)

    def _lets_follow(self, i: int) -> bool:
        """Whether waits by the clock still let what stands still begin."""
        of, indexed = self.of, self.of.indexed
        return not any(
            clock
            and j not in self.lifted
            and indexed.ready(of.finishes[i], lag, clock) > of.starts[j]
            for j, lag, clock in indexed.follow[i]
        )

    def _kept_after(self, i: int, finish: int) -> int:
        """Quarters from the end of work in a run to the next of it, which is lifted with it."""
        run = self.of.indexed.runs[i]
        if not run or i == run[-1]:
            return 0
        return span(finish, self.of.starts[run[run.index(i) + 1]])

    def put_run(
        self, run: Sequence[int], patience: float, *, are_free: bool, not_before: int = 0
    ) -> bool:
        """Put back work that is not to be broken into, all lifted; false as of `put`."""
        of, ways = self.of, self.of.indexed.ways
        modes: Sequence[int] = range(len(ways[run[0]])) if are_free else (of.modes[run[0]],)
        for j in of.indexed.partners[run[0]]:
            if j not in self.lifted:
                modes = (of.modes[j],)
                break
        window = max(self._ready(run[0]), not_before), self._limit(run[-1])
        options = [
            option for mode in modes for option in self._run_options(run, mode, window, patience)
        ]
        if not options:
            return False
        _, mode, starts = min(options)
        for i, start in zip(run, starts, strict=True):
            self._place(i, mode, start, of.indexed.finish(i, mode, start))
        whole = span(starts[0], of.finishes[run[-1]])
        for r, _ in ways[run[0]][mode].states:
            of.busy[r] |= whole
        return self._lets_follow(run[-1])

    def _run_options(
        self, run: Sequence[int], mode: int, window: tuple[int, int | None], patience: float
    ) -> Iterator[tuple[float, int, tuple[int, ...]]]:
        """How much a run weighs in a mode and when each of it starts, from a few first starts."""
        of, indexed, first = self.of, self.of.indexed, run[0]
        ready, limit = window
        taken = [self._taken(indexed.ways[i][mode], ready, limit) for i in run]
        for start, _ in self._starts(first, indexed.ways[first][mode], window, patience):
            starts = self._unbroken(run, mode, start, taken)
            if starts[-1] >= NEVER:
                continue
            last = indexed.finish(run[-1], mode, starts[-1])
            if limit is not None and last > limit:
                continue
            score = last + patience * self._caused(indexed.ways[first][mode], starts[0])
            for i, each in zip(run, starts, strict=True):
                end = indexed.finish(i, mode, each)
                cost = indexed.ways[i][mode].cost + indexed.soft_cost(i, mode, each, end)
                score += of.cost_price * cost + of.move_quarters(i, each, mode)
            yield score, mode, starts

    def _unbroken(
        self, run: Sequence[int], mode: int, start: int, taken: Sequence[int]
    ) -> tuple[int, ...]:
        """Starts of a run from `start` on with nothing between; `NEVER` where none are."""
        of, way = self.of, self.of.indexed.ways[run[0]][mode]
        held = 0
        for r, _ in way.states:
            held |= of.busy[r]
        while True:
            starts = of.decoder.chained(run, mode, start, (taken[1:], of.decoder.releases, 0))
            if starts[-1] >= NEVER:
                return starts
            clash = held & span(start, of.indexed.finish(run[-1], mode, starts[-1]))
            if not clash:
                return starts
            start = of.decoder.fit(taken[0], way, clash.bit_length())

    def _best(
        self, i: int, ready: int, limit: int | None, how: tuple[float, bool]
    ) -> tuple[int, int, int] | None:
        patience, are_free = how
        of, ways = self.of, self.of.indexed.ways[i]
        modes: Sequence[int] = range(len(ways)) if are_free else (of.modes[i],)
        for j in of.indexed.partners[i]:
            if j not in self.lifted:
                modes = (of.modes[j],)
                break
        best: tuple[float, int, int, int] | None = None
        for mode in modes:
            way = ways[mode]
            for start, caused in self._starts(i, way, (ready, limit), patience):
                finish = of.indexed.finish(i, mode, start)
                if start < NEVER and (limit is None or finish <= limit):
                    cost = way.cost + of.indexed.soft_cost(i, mode, start, finish)
                    score = finish + patience * caused + of.cost_price * cost
                    score += of.move_quarters(i, start, mode)
                    if best is None or (score, mode, start) < best[:3]:
                        best = score, mode, start, finish
        return None if best is None else best[1:]

    def _starts(
        self, i: int, way: Way, window: tuple[int, int | None], patience: float
    ) -> Iterable[tuple[int, int]]:
        """The earliest start, with patience the ones beside the same set-up, and cheaper ones."""
        ready, limit = window
        if way.duration == 0:
            yield ready, 0
            return
        of, taken = self.of, self._taken(way, ready, limit)
        start = of.decoder.fit(taken, way, ready)
        if start >= NEVER:
            return
        caused = self._caused(way, start)
        yield start, caused
        for later in self._rather_after(i, way, start):
            fitting = of.decoder.fit(taken, way, later)
            yield fitting, self._caused(way, fitting)
        if not caused or not patience:
            return
        for r, state in way.states:
            row = of.rows[r]
            at = bisect_left(row, (start, -1, -1))
            for _, end, other, _ in row[at : at + 30]:
                if other == state and end > start:
                    later = of.decoder.fit(taken, way, end)
                    yield later, self._caused(way, later)
                    break

    def _rather_after(self, i: int, way: Way, start: int) -> tuple[int, ...]:
        """Quarters after `start` from which working may cost less, or that were issued."""
        of = self.of
        cheaper = of.decoder.cheaper_after(i, way, start)
        if of.staying is None or not of.staying.not_before or of.staying.not_before[i] <= start:
            return cheaper
        return (*cheaper, of.staying.not_before[i])

    def _taken(self, way: Way, ready: int, limit: int | None) -> int:
        of, taken = self.of, 0
        for r in way.single:
            taken |= of.busy[r]
        for r, _, level in way.shared:
            taken |= at_least(of.in_use[r], level)
        for r, state in way.states:
            taken |= self._closed(r, state, ready, limit)
        return taken

    def _closed(self, r: int, state: int, ready: int, limit: int | None) -> int:
        """Quarters from `ready` to the limit that other set-ups and changing over keep closed."""
        indexed, row = self.of.indexed, self.of.rows[r]
        change, blocked = indexed.change, indexed.spells[r]
        at = bisect_left(row, (ready, -1, -1)) - 1
        while at >= 0 and row[at][2] == BARE:
            at -= 1
        before = row[at][2] if at >= 0 else indexed.standing[r]
        ended = row[at][1] if at >= 0 else 0
        opened = 0
        for begins, ends, other, _ in row[at + 1 :]:
            if other == BARE:
                continue
            if begins > ended:
                first = finish_of(ended, change(r, before, state), blocked)
                last = start_before(begins, change(r, state, other), blocked)
                if last > first:
                    opened |= span(first, last)
            before, ended = other, ends
            if limit is not None and begins >= limit:
                return ~opened
        first = finish_of(ended, change(r, before, state), blocked)
        return ~(opened | -1 << first)

    def _caused(self, way: Way, start: int) -> int:
        total, change = 0, self.of.indexed.change
        for r, state in way.states:
            row = self.of.rows[r]
            at = bisect_left(row, (start, -1, -1))
            left, right = at - 1, at
            while left >= 0 and row[left][2] == BARE:
                left -= 1
            while right < len(row) and row[right][2] == BARE:
                right += 1
            before = row[left][2] if left >= 0 else self.of.indexed.standing[r]
            total += change(r, before, state)
            if right < len(row):
                after = row[right][2]
                total += change(r, state, after) - change(r, before, after)
        return total

    def _place(self, i: int, mode: int, start: int, finish: int) -> None:
        of = self.of
        of.starts[i], of.finishes[i], of.modes[i] = start, finish, mode
        self.lifted.discard(i)
        if finish == start:
            return
        way, window = of.indexed.ways[i][mode], span(start, finish)
        states = dict(way.states)
        for r in way.single:
            self._remember(r, start)
            of.busy[r] |= window
            insort(of.rows[r], (start, finish, states.get(r, BARE), of.indexed.groups[i]))
        for r, units, _ in way.shared:
            self._remember(r, start)
            add(of.in_use[r], units, start, finish)
        for r in held_by(way):
            insort(of.users[r], (start, i))

    def _users(self, i: int, way: Way, start: int) -> None:
        for r in held_by(way):
            users = self.of.users[r]
            del users[bisect_left(users, (start, i))]

    def _remember(self, r: int, start: int) -> None:
        of = self.of
        if r in self.spans:
            first, last = self.spans[r]
            self.spans[r] = min(first, start), max(last, start)
            return
        self.spans[r] = start, start
        self.old_rows[r] = of.rows[r][:]
        self.old_users[r] = of.users[r][:]
        self.old_busy[r] = of.busy[r]
        self.old_in_use[r] = of.in_use[r][:]

    def difference(self) -> int:
        """How much heavier the board has become."""
        of, total = self.of, 0
        for i, (start, finish, mode) in self.was.items():
            total += of.own(i, of.modes[i], of.starts[i], of.finishes[i])
            total -= of.own(i, mode, start, finish)
        for r, (first, last) in self.spans.items():
            if of.rows[r] or self.old_rows[r]:
                total += stretch_weight(of.indexed, r, of.rows[r], first, last)
                total -= stretch_weight(of.indexed, r, self.old_rows[r], first, last)
        return total

    def later_finish(self) -> int:
        """How much later the last activity ends."""
        of = self.of
        highest = max(of.finishes[i] for i in self.was)
        if highest >= of.finish:
            return highest - of.finish
        if all(finish < of.finish for _, finish, _ in self.was.values()):
            return 0
        return max(of.finishes) - of.finish

    def undo(self) -> None:
        """Put everything back where it was."""
        of = self.of
        for i, (start, finish, mode) in self.was.items():
            of.starts[i], of.finishes[i], of.modes[i] = start, finish, mode
        for r in self.spans:
            of.rows[r], of.users[r] = self.old_rows[r], self.old_users[r]
            of.busy[r], of.in_use[r] = self.old_busy[r], self.old_in_use[r]


def held_by(way: Way) -> tuple[int, ...]:
    """All resources that a way of working holds."""
    return (*way.single, *(r for r, _, _ in way.shared))
