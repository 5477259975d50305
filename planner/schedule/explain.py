"""Why an activity stands where it does in an answer.

Takes an `Instance`, an `Answer` and an id, gives a chain of reasons back to one that nothing is
behind. Knows nothing of how the answer was found.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from dataclasses import dataclass, replace
from itertools import accumulate
from typing import TYPE_CHECKING, Literal

from planner.schedule.decode import Board, Decoder
from planner.schedule.indexed import BARE, Way, index
from planner.schedule.lifting import held_by
from planner.schedule.worktime import finish_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator

    from planner.schedule.answer import Answer
    from planner.schedule.instance import Instance

Kind = Literal["lock", "release", "after", "resource", "changeover", "calendar", "kept", "nothing"]


@dataclass(frozen=True, slots=True)
class Reason:
    """What keeps one activity from starting sooner.

    Attributes:
        id: the activity.
        start: where it starts.
        kind: what sort of thing holds it; "calendar" is a night or a spell from the very beginning,
            "kept" means that what must follow it unbroken could not follow sooner, for `by`,
            `resource` or nights and spells; "nothing" that it could start sooner, from `ready` on,
            when the last of what it had to wait for was over.
        by: the activity that it waits for, if any.
        resource: the resource that it waits for, if any.
        ready: when that is over; later starts are due to nights and spells.
        sentence: all of it in words, times in quarters.
        sooner: where it would start, might it pause however soon after that; None where no sooner.
    """

    id: str
    start: int
    kind: Kind
    by: str | None
    resource: str | None
    ready: int
    sentence: str
    sooner: int | None = None


def why_there(instance: Instance, answer: Answer, name: str) -> tuple[Reason, ...]:
    """Follow what holds an activity, then what holds that, and so on.

    Args:
        instance: the question.
        answer: a feasible answer to it.
        name: id of the activity.

    Returns:
        Reasons from the activity back to a release, a lock, the beginning, or an idle place.

    Raises:
        KeyError: no activity has that id.
    """
    return Explainer(instance, answer).chain(name)


@dataclass(frozen=True, slots=True)
class _Hold:
    ready: int
    kind: Kind
    by: int | None = None
    resource: int | None = None

    @property
    def rank(self) -> tuple[int, bool]:
        return self.ready, self.kind == "after"


class Explainer:
    """Reasons in one answer: sorted once, then a few look-ups for each activity asked about."""

    def __init__(self, instance: Instance, answer: Answer) -> None:
        """Sort what every resource does by when it ends.

        Args:
            instance: the question.
            answer: a feasible answer to it.
        """
        indexed = index(instance)
        self.indexed = indexed.without_locks(tuple(indexed.locks))
        self.locked = {indexed.ids[i] for i in indexed.locks if indexed.ids[i] not in answer.thawed}
        self.decoder = Decoder(self.indexed)
        self.empty: Board = self.decoder.blank()
        self.numbers = {name: i for i, name in enumerate(indexed.ids)}
        self.starts = [answer.starts[name] for name in indexed.ids]
        self.finishes = [answer.finishes[name] for name in indexed.ids]
        self.modes = [answer.modes[name] for name in indexed.ids]
        self._users = self._sorted_users()
        self._full: dict[tuple[int, int], list[tuple[int, int]]] = {}
        self._known: dict[str, Reason] = {}

    def chain(self, name: str) -> tuple[Reason, ...]:
        """What holds an activity, then what holds that, and so on; a `KeyError` if unknown."""
        chain: dict[str, Reason] = {}
        current: str | None = name
        # What is kept for another may be what that other waited for.
        while current is not None and current not in chain:
            chain[current] = self.reason(current)
            current = chain[current].by
        return tuple(chain.values())

    def reason(self, name: str) -> Reason:
        """What holds an activity; a `KeyError` if there is none of that id."""
        if name not in self._known:
            self._known[name] = self._argued(name)
        return self._known[name]

    def _argued(self, name: str) -> Reason:
        i = self.numbers[name]
        start = self.starts[i]
        if name in self.locked:
            return Reason(name, start, "lock", None, None, start, f"{name} is locked at {start}")
        every = list(self._holds(i))
        holds = self._binding(i, every)
        if not holds:
            return self._kept(i, every) or self._left(i, every)
        return self._told(i, max(holds, key=lambda hold: hold.rank))

    def _binding(self, i: int, holds: Iterable[_Hold]) -> list[_Hold]:
        """Those after which nights, spells and first set-ups alone put it where it stands."""
        return [hold for hold in holds if self._pushed(i, hold.ready) == self.starts[i]]

    def _pushed(self, i: int, ready: int, way: Way | None = None) -> int:
        """Where nights, spells and first set-ups alone would let it start."""
        way, head = way or self._way(i), (self.indexed.runs[i] or (i,))[0]
        first = tuple((r, state) for r, state in way.states if self._last_set_up(head, r) is None)
        return self.decoder.earliest(self.empty, replace(way, states=first), ready)

    def _sooner(self, i: int, ready: int) -> int | None:
        """Where they would let it start that may pause however soon after, if that is sooner."""
        sooner = self._pushed(i, ready, self._way(i).however_soon())
        return sooner if sooner < self._pushed(i, ready) else None

    def _left(self, i: int, holds: Iterable[_Hold]) -> Reason:
        """Where it stands later than it must: the last of what it had to wait for before that."""
        name, start = self.indexed.ids[i], self.starts[i]
        over = [hold for hold in holds if hold.by is not None and hold.ready <= start]
        sentence = f"{name} could start before {start}"
        if not over:
            return Reason(name, start, "nothing", None, None, start, sentence)
        last = max(over, key=lambda hold: hold.rank)
        sentence += f"; {name} {self._words(last)}"
        return replace(self._told(i, last), kind="nothing", sentence=sentence)

    def _kept(self, i: int, holds: Collection[_Hold]) -> Reason | None:
        """What holds a later one of its run, which it was not to wait for with all set up.

        That is something else that the later one waits for, or what it waits for itself, if nights
        and spells then let the later one begin no sooner.
        """
        indexed, run = self.indexed, self.indexed.runs[i]
        later = run[run.index(i) + 1 :] if run else ()
        last = max(holds, key=lambda hold: hold.rank)
        at = self._pushed(i, last.ready)
        for before, j in zip((i, *later), later, strict=False):
            others = [hold for hold in self._holds(j) if hold.by != before]
            if held := self._binding(j, others):
                return self._kept_for(i, j, max(held, key=lambda hold: hold.rank), j)
            ((_, lag, clock),) = indexed.before[j]
            ready = indexed.ready(indexed.finish(before, self.modes[before], at), lag, clock)
            at = self._pushed(j, max([ready, *(hold.ready for hold in others)]))
            if at == self.starts[j]:
                return self._kept_for(i, j, last, i)
        return None

    def _kept_for(self, i: int, j: int, hold: _Hold, held: int) -> Reason:
        """The reason of `i` that is kept for `j`, as one of the two is held."""
        name, told = self.indexed.ids[i], self._told(held, hold)
        sentence = f"{name} is kept for {self.indexed.ids[j]}"
        if held == j:
            sentence += f"; {told.sentence}"
        else:
            sentence += f", which nights and spells let start at {self.starts[j]}"
            sentence += f"; {name} {self._words(hold)}"
        return replace(told, id=name, start=self.starts[i], kind="kept", sentence=sentence)

    def _way(self, i: int) -> Way:
        return self.indexed.ways[i][self.modes[i]]

    def _holds(self, i: int) -> Iterator[_Hold]:
        release = self.indexed.activities[i].release
        yield _Hold(release, "release" if release else "calendar")
        for j, lag, clock in self.indexed.before[i]:
            yield _Hold(self.indexed.ready(self.finishes[j], lag, clock), "after", j)
        way = self._way(i)
        if way.duration == 0:
            return
        for r in way.single:
            yield from self._single(i, r)
        for r, units, _ in way.shared:
            yield from self._shared(i, r, units)

    def _single(self, i: int, r: int) -> Iterator[_Hold]:
        """Who had a one-unit resource last, and who had set it up last, where that is to change."""
        last = next(self._earlier(i, r), None)
        if last is not None:
            yield _Hold(self.finishes[last], "resource", last, r)
        before, wanted = self._last_set_up(i, r), self._state(i, r)
        if before is not None and wanted != BARE:
            gap = self.indexed.change(r, self._state(before, r), wanted)
            ready = finish_of(self.finishes[before], gap, self.indexed.spells[r])
            if gap:
                yield _Hold(ready, "changeover", before, r)

    def _last_set_up(self, i: int, r: int) -> int | None:
        """Who set a resource up last before an activity starts."""
        return next((j for j in self._earlier(i, r) if self._state(j, r) != BARE), None)

    def _state(self, i: int, r: int) -> int:
        return dict(self._way(i).states).get(r, BARE)

    def _shared(self, i: int, r: int, units: int) -> Iterator[_Hold]:
        """Who last gave back units of a resource without which there were too few."""
        level = self.indexed.instance.resources[r].capacity - units + 1
        if (r, level) not in self._full:
            self._full[r, level] = self._ends_while_full(r, level)
        ends = self._full[r, level]
        at = bisect_right(ends, (self.starts[i], 0)) - 1
        if at >= 0:
            finish, j = ends[at]
            yield _Hold(finish, "resource", -j, r)

    def _ends_while_full(self, r: int, level: int) -> list[tuple[int, int]]:
        """`(finish, -number)` of those with `level` units or more in use as they end, sorted."""
        change: defaultdict[int, int] = defaultdict(int)
        for finish, j in self._users[r]:
            units = self._units(-j, r)
            change[self.starts[-j]] += units
            change[finish] -= units
        times = sorted(change)
        in_use = list(accumulate(change[time] for time in times))
        return [
            (finish, j)
            for finish, j in self._users[r]
            if in_use[bisect_right(times, finish - 1) - 1] >= level
        ]

    def _earlier(self, i: int, r: int) -> Iterator[int]:
        """Who gave a resource back before an activity starts, latest first, ties by number."""
        users = self._users[r]
        at = bisect_right(users, (self.starts[i], 0))
        for k in range(at - 1, -1, -1):
            if users[k][1] != -i:
                yield -users[k][1]

    def _sorted_users(self) -> list[list[tuple[int, int]]]:
        """For each resource `(finish, -number)` of what uses it, sorted."""
        users: list[list[tuple[int, int]]] = [[] for _ in self.indexed.instance.resources]
        for i, finish in enumerate(self.finishes):
            if finish > self.starts[i]:
                for r in held_by(self._way(i)):
                    users[r].append((finish, -i))
        for row in users:
            row.sort()
        return users

    def _units(self, i: int, r: int) -> int:
        way = self._way(i)
        return int(r in way.single) + sum(units for q, units, _ in way.shared if q == r)

    def _told(self, i: int, hold: _Hold) -> Reason:
        indexed, name, start = self.indexed, self.indexed.ids[i], self.starts[i]
        by = None if hold.by is None else indexed.ids[hold.by]
        resource = None if hold.resource is None else indexed.instance.resources[hold.resource].id
        sentence = f"{name} {self._words(hold)}"
        if start > hold.ready:
            sentence += f"; nights, spells and first set-ups then put it at {start}"
        sooner = self._sooner(i, hold.ready)
        if sooner is not None:
            sentence += f", as begun at {sooner} it would pause too soon"
        return Reason(name, start, hold.kind, by, resource, hold.ready, sentence, sooner)

    def _words(self, hold: _Hold) -> str:
        by = "" if hold.by is None else self.indexed.ids[hold.by]
        on = "" if hold.resource is None else self.indexed.instance.resources[hold.resource].id
        return {
            "release": f"is not released before {hold.ready}",
            "calendar": "starts as soon as nights and spells let it",
            "after": f"waits for {by}, ready at {hold.ready}",
            "resource": f"waits for {by} to give back {on} at {hold.ready}",
            "changeover": f"waits for {on} to be changed over after {by}, until {hold.ready}",
        }[hold.kind]
