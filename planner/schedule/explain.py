"""Why an activity stands where it does in an answer.

Takes an `Instance`, an `Answer` and an id, gives a chain of reasons back to one that nothing is
behind. Knows nothing of how the answer was found.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from planner.schedule.decode import Board, Decoder
from planner.schedule.indexed import BARE, Indexed, Way, index
from planner.schedule.worktime import finish_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.schedule.answer import Answer
    from planner.schedule.instance import Instance

Kind = Literal["lock", "release", "after", "resource", "changeover", "calendar", "nothing"]


@dataclass(frozen=True, slots=True)
class Reason:
    """What keeps one activity from starting sooner.

    Attributes:
        id: the activity.
        start: where it starts.
        kind: what sort of thing holds it; "calendar" is a night or a spell from the very beginning,
            "nothing" means that it could start sooner.
        by: the activity that it waits for, if any.
        resource: the resource that it waits for, if any.
        ready: when that is over; later starts are due to nights and spells.
        sentence: all of it in words, times in quarters.
    """

    id: str
    start: int
    kind: Kind
    by: str | None
    resource: str | None
    ready: int
    sentence: str


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
    explainer = _Explainer(index(instance), answer)
    chain: list[Reason] = []
    current: str | None = name
    while current is not None and len(chain) <= len(instance.activities):
        reason = explainer.reason(current)
        chain.append(reason)
        current = reason.by
    return tuple(chain)


@dataclass(frozen=True, slots=True)
class _Hold:
    ready: int
    kind: Kind
    by: int | None = None
    resource: int | None = None

    @property
    def rank(self) -> tuple[int, bool]:
        return self.ready, self.kind == "after"


class _Explainer:
    def __init__(self, indexed: Indexed, answer: Answer) -> None:
        self.indexed = indexed.without_locks(tuple(indexed.locks))
        self.locked = {indexed.ids[i] for i in indexed.locks if indexed.ids[i] not in answer.thawed}
        self.decoder = Decoder(self.indexed)
        self.empty: Board = self.decoder.blank()
        self.numbers = {name: i for i, name in enumerate(indexed.ids)}
        self.starts = [answer.starts[name] for name in indexed.ids]
        self.finishes = [answer.finishes[name] for name in indexed.ids]
        self.modes = [answer.modes[name] for name in indexed.ids]

    def reason(self, name: str) -> Reason:
        i = self.numbers[name]
        start = self.starts[i]
        if name in self.locked:
            return Reason(name, start, "lock", None, None, start, f"{name} is locked at {start}")
        way = self._way(i)
        holds = [hold for hold in self._holds(i) if self._pushed(way, hold.ready) == start]
        if not holds:
            sentence = f"{name} could start before {start}"
            return Reason(name, start, "nothing", None, None, start, sentence)
        return self._told(i, max(holds, key=lambda hold: hold.rank))

    def _way(self, i: int) -> Way:
        return self.indexed.ways[i][self.modes[i]]

    def _pushed(self, way: Way, ready: int) -> int:
        """Where nights, spells and the first set-up alone would let it start."""
        return self.decoder.earliest(self.empty, way, ready)

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
        wanted = dict(self._way(i).states).get(r, BARE)
        for j in self._earlier(i, r):
            state = dict(self._way(j).states).get(r, BARE)
            gap = 0 if BARE in {wanted, state} else self.indexed.change(r, state, wanted)
            ready = finish_of(self.finishes[j], gap, self.indexed.spells[r])
            yield _Hold(ready, "changeover" if gap else "resource", j, r)

    def _shared(self, i: int, r: int, units: int) -> Iterator[_Hold]:
        capacity = self.indexed.instance.resources[r].capacity
        for j in self._earlier(i, r):
            last = self.finishes[j] - 1
            in_use = sum(
                self._units(k, r)
                for k in range(len(self.starts))
                if k != i and self.starts[k] <= last < self.finishes[k]
            )
            if in_use + units > capacity:
                yield _Hold(self.finishes[j], "resource", j, r)

    def _earlier(self, i: int, r: int) -> list[int]:
        return [
            j
            for j in range(len(self.starts))
            if j != i and self.starts[j] < self.finishes[j] <= self.starts[i] and self._units(j, r)
        ]

    def _units(self, i: int, r: int) -> int:
        way = self._way(i)
        return int(r in way.single) + sum(units for q, units, _ in way.shared if q == r)

    def _told(self, i: int, hold: _Hold) -> Reason:
        indexed, name, start = self.indexed, self.indexed.ids[i], self.starts[i]
        by = None if hold.by is None else indexed.ids[hold.by]
        resource = None if hold.resource is None else indexed.instance.resources[hold.resource].id
        words = {
            "release": f"is not released before {hold.ready}",
            "calendar": "starts as soon as nights and spells let it",
            "after": f"waits for {by}, ready at {hold.ready}",
            "resource": f"waits for {by} to give back {resource} at {hold.ready}",
            "changeover": f"waits for {resource} to be changed over after {by}, until {hold.ready}",
        }
        sentence = f"{name} {words[hold.kind]}"
        if start > hold.ready:
            sentence += f"; nights, spells and first set-ups then put it at {start}"
        return Reason(name, start, hold.kind, by, resource, hold.ready, sentence)
