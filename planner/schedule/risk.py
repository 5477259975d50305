"""When work ends if its durations vary and the turns of an answer are kept.

Takes an `Instance`, an `Answer` to it and how each duration is drawn, gives for each target when it
ends, draw by draw, and which activities drive it. Work starts as soon as what it follows is over,
also sooner than in the answer. Knows nothing of where the low and high figures come from.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from hashlib import blake2b
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
from numpy.typing import NDArray

from planner.schedule.indexed import index, longest_at_once
from planner.schedule.turns import turns_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from planner.schedule.answer import Answer
    from planner.schedule.indexed import Indexed, Way
    from planner.schedule.instance import Instance
    from planner.schedule.turns import Turn
    from planner.schedule.worktime import Calendar, Spell

Numbers: TypeAlias = NDArray[np.float64]
Drawing: TypeAlias = Callable[[Numbers], Numbers]
"""Durations in quarters, at standard normal scores."""

DRAWS = 10_000
_CELLS = 2_000_000
"""Activities times draws held at once; bounds memory to some tens of megabytes."""
_HAIR = 1e-6


@dataclass(frozen=True, slots=True)
class Varied:
    """How durations vary.

    Attributes:
        durations: by id of the activity; those left out take as long as in the answer.
        shared: by id, a word that those carry who err together; the others err alone.
        correlation: 0 to 1, between the scores of any two that err together.
        draws: how many.
        seed: the same seed draws the same for the same id, whatever else there is.
    """

    durations: Mapping[str, Drawing]
    shared: Mapping[str, str] = field(default_factory=dict)
    correlation: float = 0.0
    draws: int = DRAWS
    seed: int = 0


@dataclass(frozen=True, slots=True)
class Driver:
    """An activity that decides when a target ends.

    Attributes:
        id: of the activity.
        critical: share of draws in which it lies on the longest chain to the target.
        correlation: of its duration with the end of the target, -1 to 1.
        weighs: `critical` times the deviation of its duration, over that of the target's end.
        adds: quarters that it takes more than in the answer, averaged over all draws, counted only
            where it lies on the longest chain.
    """

    id: str
    critical: float
    correlation: float
    weighs: float
    adds: float


@dataclass(frozen=True, slots=True)
class Ended:
    """When a target ends.

    Attributes:
        ends: quarter, one for each draw.
        drivers: what weighs most first; empty where they were not asked for.
    """

    ends: NDArray[np.float32]
    drivers: tuple[Driver, ...] = ()


def ends_of(
    instance: Instance,
    answer: Answer,
    targets: Mapping[str, Sequence[str]],
    varied: Varied,
    driven: Sequence[str] = (),
) -> dict[str, Ended]:
    """Draw all durations many times and end every target.

    Memory is bounded but for the ends themselves, four bytes for each target and draw.

    Args:
        instance: the question.
        answer: whose turns on everything scarce are kept.
        targets: by name, ids of activities; a target ends with the last of them, one
            without any at 0.
        varied: how durations vary.
        driven: names of targets whose drivers are wanted.

    Raises:
        KeyError: an activity of a target, or a target in `driven`, is not there.
    """
    indexed = index(instance)
    numbers = {name: i for i, name in enumerate(indexed.ids)}
    members = {
        name: np.array([numbers[id_] for id_ in ids], np.int64) for name, ids in targets.items()
    }
    floor = _Floor(indexed, answer)
    lengths = _Lengths(indexed.ids, floor.turns.ways, varied)
    ends = {name: np.empty(varied.draws, np.float32) for name in members}
    tallies = {name: _Tally(lengths.usual) for name in driven if len(members[name])}
    step = max(1, min(varied.draws, _CELLS // max(1, len(indexed.ids))))
    for first in range(0, varied.draws, step):
        drawn = lengths.draw(min(step, varied.draws - first))
        finishes, drivers = floor.run(drawn)
        for name, ids in members.items():
            ends[name][first : first + drawn.shape[1]] = finishes[ids].max(axis=0, initial=0.0)
        for name, tally in tallies.items():
            tally.add(drawn, finishes, drivers, members[name])
    return {
        name: Ended(each, tallies[name].drivers(indexed.ids) if name in tallies else ())
        for name, each in ends.items()
    }


class _Lengths:
    """Durations drawn activity by activity, each from a stream of its own."""

    def __init__(self, ids: Sequence[str], ways: Sequence[Way], varied: Varied) -> None:
        self.usual = np.array([float(way.duration) for way in ways])
        self.drawings = [varied.durations.get(id_) for id_ in ids]
        self.words = [varied.shared.get(id_, "") for id_ in ids]
        self.common, self.own = np.sqrt(varied.correlation), np.sqrt(1 - varied.correlation)
        self.streams = [
            _stream(varied.seed, f"activity {id_}") if drawing else None
            for id_, drawing in zip(ids, self.drawings, strict=True)
        ]
        self.factors = {
            word: _stream(varied.seed, f"shared {word}") for word in sorted({*self.words})
        }

    def draw(self, count: int) -> Numbers:
        """Rows of durations, one an activity."""
        drawn = np.repeat(self.usual[:, None], count, axis=1)
        factors = {word: each.standard_normal(count) for word, each in self.factors.items()}
        for i, (drawing, stream) in enumerate(zip(self.drawings, self.streams, strict=True)):
            if drawing is None or stream is None:
                continue
            scores = stream.standard_normal(count)
            if word := self.words[i]:
                scores = self.own * scores + self.common * factors[word]
            drawn[i] = drawing(scores)
        return drawn


def _stream(seed: int, word: str) -> np.random.Generator:
    own = int.from_bytes(blake2b(word.encode(), digest_size=16).digest(), "big")
    return np.random.Generator(np.random.PCG64([seed % 2**64, own]))


class _Floor:
    """The turns run through with drawn durations, all draws of a chunk at once."""

    def __init__(self, indexed: Indexed, answer: Answer) -> None:
        calendar = indexed.instance.calendar
        self.turns = turns_of(indexed, answer)
        self.clock = _Clock(calendar) if calendar is not None else None
        self.day = indexed.day
        self.keeps_day = [
            calendar is not None and not each.splittable for each in indexed.activities
        ]
        self.least = [_least(indexed, answer, i, way) for i, way in enumerate(self.turns.ways)]

    def run(self, drawn: Numbers) -> tuple[Numbers, NDArray[np.int32]]:
        """Finish of each activity in each draw, and what it waited for longest; -1 for nothing."""
        finishes = np.zeros_like(drawn)
        drivers = np.full(drawn.shape, -1, np.int32)
        for i in self.turns.order:
            ready = np.full(drawn.shape[1], float(self.turns.earliest[i]))
            for turn in self.turns.before[i]:
                over = self._over(finishes[turn.after], turn)
                later = over > ready
                drivers[i][later] = turn.after
                np.maximum(ready, over, out=ready)
            finishes[i] = self._finish(i, ready, drawn[i])
        return finishes, drivers

    def _over(self, finish: Numbers, turn: Turn) -> Numbers:
        """When a turn is over for the one that follows."""
        if turn.change:
            return _paused(finish, np.full_like(finish, turn.change), turn.spells)
        over = finish + turn.lag
        if not turn.clock:
            return over
        if self.clock is None:
            return over + turn.clock
        return np.maximum(over, self.clock.after(finish, turn.clock))

    def _finish(self, i: int, ready: Numbers, length: Numbers) -> Numbers:
        """Where one activity ends, nights and spells heeded."""
        way, start = self.turns.ways[i], ready
        if not way.duration:
            return ready + length
        is_cut, at_once = self._at_once(i, length)
        clear = at_once if way.pauses else length
        while True:
            moved = self._within_day(start, at_once) if is_cut else start
            moved = _clear(moved, clear, way.spells)
            if not way.spells or np.array_equal(moved, start):
                break
            start = moved
        return _paused(moved, length, way.spells) if way.pauses else moved + length

    def _at_once(self, i: int, length: Numbers) -> tuple[bool, Numbers]:
        """Whether evenings matter to one activity, and quarters from its start that none parts."""
        least = np.minimum(length, self.least[i])
        if not self.keeps_day[i]:
            return self.least[i] > 0, least
        return True, np.where(length <= self.day + _HAIR, length, least)

    def _within_day(self, start: Numbers, length: Numbers) -> Numbers:
        """Work waits for the morning rather than have so much of it run past the evening."""
        since = start - np.floor(start / self.day) * self.day
        return np.where(since + length > self.day + _HAIR, start - since + self.day, start)


def _least(indexed: Indexed, answer: Answer, i: int, way: Way) -> int:
    """Quarters that one activity is at work before it may pause; 0 where it does not matter."""
    if i in indexed.locks and indexed.ids[i] not in answer.thawed:
        return 0
    least = min(indexed.activities[i].least_quarters, indexed.day)
    return least if 1 < least <= longest_at_once(indexed.instance, way.spells) else 0


def _clear(start: Numbers, length: Numbers, spells: Sequence[Spell]) -> Numbers:
    """Starts moved on until `length` quarters from them on, or they themselves, meet no spell."""
    if not spells:
        return start
    least = start.min()
    for first, after in spells:
        if after > least:
            meets = (start < after) & ((start + length > first + _HAIR) | (start >= first))
            start = np.where(meets, float(after), start)
    return start


def _paused(start: Numbers, length: Numbers, spells: Sequence[Spell]) -> Numbers:
    """Where `length` quarters begun at `start` end when they pause over the spells."""
    end = start + length
    for first, after in spells:
        if first >= end.max():
            break
        if after > start.min():
            meets = (first < end - _HAIR) & (after > start)
            end = end + np.where(meets, after - np.maximum(first, start), 0.0)
    return end


class _Clock:
    """The wall clock of a calendar, for fractions of quarters and many at once."""

    def __init__(self, calendar: Calendar) -> None:
        self.calendar = calendar
        self.day = calendar.quarters_per_day
        self.mornings = np.empty(0)

    def after(self, finish: Numbers, quarters: int) -> Numbers:
        """First working moment so many quarters, by day and night, after each finish."""
        evening = np.maximum(np.ceil((finish - _HAIR) / self.day) - 1, 0).astype(np.int64)
        self._reach(int(evening.max()))
        over = self.mornings[evening] + (finish - evening * self.day) + quarters
        while self.mornings[-1] <= over.max():
            self._reach(2 * len(self.mornings))
        at = np.searchsorted(self.mornings, over, side="right") - 1
        return np.asarray(at * self.day + np.minimum(over - self.mornings[at], self.day))

    def _reach(self, day: int) -> None:
        """Know the mornings of working days up to one number, in quarters of the wall clock."""
        known = len(self.mornings)
        if day < known:
            return
        new = [self.calendar.day(each).toordinal() * 96.0 for each in range(known, day + 64)]
        self.mornings = np.concatenate((self.mornings, new))


class _Tally:
    """What drives one target, gathered chunk by chunk."""

    def __init__(self, usual: Numbers) -> None:
        self.usual = usual
        self.draws = 0
        self.on_chain = np.zeros(len(usual))
        self.added = np.zeros(len(usual))
        self.lengths = np.zeros((3, len(usual)))
        self.ends = np.zeros(2)
        self.origin: float | None = None

    def add(
        self,
        drawn: Numbers,
        finishes: Numbers,
        drivers: NDArray[np.int32],
        members: NDArray[np.int64],
    ) -> None:
        last = members[finishes[members].argmax(axis=0)]
        end = finishes[last, np.arange(len(last))]
        if self.origin is None:
            self.origin = float(end[0])
        more, late = drawn - self.usual[:, None], end - self.origin
        self.draws += len(end)
        self.lengths += (more.sum(axis=1), (more * more).sum(axis=1), more @ late)
        self.ends += (late.sum(), late @ late)
        self._walk(last, more, drivers)

    def _walk(self, last: NDArray[np.int64], more: Numbers, drivers: NDArray[np.int32]) -> None:
        """Follow the longest chain of every draw back to where nothing is behind."""
        at, draws = last, np.arange(len(last))
        while len(at):
            size = len(self.usual)
            self.on_chain += np.bincount(at, minlength=size)
            self.added += np.bincount(at, weights=more[at, draws], minlength=size)
            before = drivers[at, draws]
            goes_on = before >= 0
            at, draws = before[goes_on].astype(np.int64), draws[goes_on]

    def drivers(self, ids: Sequence[str]) -> tuple[Driver, ...]:
        """Activities ever on the longest chain, what weighs most first."""
        count = self.draws
        mean, square, both = self.lengths / count
        spread = np.sqrt(np.maximum(square - mean * mean, 0))
        late, late_square = self.ends / count
        end = float(np.sqrt(max(late_square - late * late, 0.0)))
        critical = self.on_chain / count
        safe = np.where(spread * end > _HAIR, spread * end, 1.0)
        correlation = np.where(spread * end > _HAIR, (both - mean * late) / safe, 0.0)
        weighs = critical * spread / end if end > _HAIR else np.zeros_like(spread)
        found = [
            Driver(
                ids[i],
                float(critical[i]),
                float(np.clip(correlation[i], -1, 1)),
                float(weighs[i]),
                float(self.added[i] / count),
            )
            for i in np.flatnonzero(critical).tolist()
        ]
        return tuple(sorted(found, key=lambda each: (-each.weighs, -each.critical, each.id)))
