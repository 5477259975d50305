"""A first order of what is set up: family by family, each in whichever of many ways weighs least.

Takes a `Decoder`, gives a wish. Knows nothing of budgets. A family is what changes over among
itself as an exception, so that doing it in one go saves most of the changing over. The most urgent
is placed first, with what it waits for, beside those that were; it is placed on copies of the board
in other sequences, in other places and with more or less patience, and the copy that has become
least heavier goes on. What follows from it is placed at the end; until then its lateness is guessed
from how long its longest chain is.

Source:
    Trying every partial order that a few rules lead to and keeping the best of each step is the
    pilot method: C. W. Duin, S. Voss, "The pilot method: a strategy for heuristic repetition with
    application to the Steiner problem in graphs", Networks 34 (1999), pp. 181-191.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from functools import partial
from itertools import islice, permutations, product
from random import Random
from typing import TYPE_CHECKING

from planner.schedule.appraise import own_weight
from planner.schedule.decode import Wish
from planner.schedule.ranking import (
    by_latest_start,
    families,
    latest_starts,
    steps,
    weights_waiting,
    with_ancestors,
)
from planner.schedule.worktime import start_before

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from planner.schedule.decode import Board, Decoder

PATIENCES, PATIENT = (0.5, 1.5, 4.0, 8.0), (1.5, 8.0)
"""Quarters rather waited than changed over, where work may go anywhere and where it may not."""
MOST_WAYS = 150
"""Ways in which one family is tried: beyond some tens little is gained."""
SMOOTH = 0.5
"""Share of the price of a held day told from its quarters, so that saving some of a day counts."""
ANYWHERE, TOGETHER = 0.35, 0.4
"""Of the ways by chance, in how many work goes wherever it does best, and all into one place."""
NOISE = 16.0
"""Quarters by which work may seem longer when the longest goes first."""


@dataclass(frozen=True, slots=True)
class _Way:
    """A sequence of a family, the mode of each or -1, and the patience."""

    order: tuple[int, ...]
    modes: Sequence[int]
    patience: float


class Families:
    """Families placed one after the other; `placed` counts activities."""

    def __init__(self, decoder: Decoder, seed: int) -> None:
        """Rank them.

        Args:
            decoder: of the question.
            seed: of the pseudo-random ways.
        """
        self.decoder = decoder
        self.indexed = decoder.indexed
        self.placed = 0
        self._random = Random(seed)  # noqa: S311 - repeatable, not secret
        self._latest = latest_starts(self.indexed)
        self._steps = steps(self.indexed)
        self._waiting = weights_waiting(self.indexed)
        self._free = [-1] * len(self.indexed.ids)
        self.families = sorted(
            (self._whole(f) for f in families(self.indexed) if self.indexed.ways[f[0]][0].states),
            key=lambda f: (min(self._latest[i] for i in f), f[0]),
        )

    def _whole(self, family: Sequence[int]) -> list[int]:
        """With all that any of it is done unbroken with."""
        runs = self.indexed.runs
        return list(dict.fromkeys(j for i in family for j in runs[i] or (i,)))

    def wish(self, cost_price: float, over: Callable[[float], bool]) -> Wish:
        """Place every family, then all the rest.

        Args:
            cost_price: quarters rather waited than one unit of mode cost paid.
            over: whether so large a share of the effort is spent; each family is tried in one way
                at least, and in more until its share is over.

        Returns:
            A wish that leads there.
        """
        board = self.decoder.blank()
        for number, family in enumerate(self.families, 1):
            is_over = partial(over, number / len(self.families))
            board = self._with(board, family, cost_price, is_over)
        return self._leading_to(board, cost_price)

    def _with(
        self, board: Board, family: Sequence[int], cost_price: float, over: Callable[[], bool]
    ) -> Board:
        """The board with a family, as it has become least heavier."""
        own = self._lead(board, family, cost_price)
        best: tuple[tuple[float, int], Board] | None = None
        for way in islice(self._ways(family) if own else (), MOST_WAYS):
            if best is not None and over():
                break
            order = self._possible(board, way.order)
            tried = board.copy()
            wish = Wish(order, tuple(way.modes), way.patience, cost_price)
            self.decoder.extend(tried, wish, range(len(order)))
            self.placed += len(order)
            # Of ways that weigh the same, the soonest leaves most room.
            weight = self._heavier(board, tried, own), sum(tried.starts[i] for i in own)
            if best is None or weight < best[0]:
                best = weight, tried
        return board if best is None else best[1]

    def _possible(self, board: Board, order: Sequence[int]) -> tuple[int, ...]:
        """With what must go before and is not placed."""
        whole = with_ancestors(self.indexed, order, self._latest)
        return tuple(i for i in whole if board.starts[i] < 0)

    def _lead(self, board: Board, family: Sequence[int], cost_price: float) -> list[int]:
        """Place what a family waits for and that does not wait for it; gives what is left."""
        waits, left, lead = set(family), [], []
        for i in self._possible(board, family):
            if i in waits or any(j in waits for j, _, _ in self.indexed.before[i]):
                waits.add(i)
                left.append(i)
            else:
                lead.append(i)
        wish = Wish(tuple(lead), tuple(self._free), 0.0, cost_price)
        self.decoder.extend(board, wish, range(len(lead)))
        self.placed += len(lead)
        return left

    def _ways(self, family: Sequence[int]) -> Iterator[_Way]:
        """State by state, forwards and backwards: anywhere, in one place, each state in another.

        More by chance, without end.
        """
        hosts = sorted({r for i in family for way in self.indexed.ways[i] for r, _ in way.states})
        states = sorted({*map(self._state, family)})
        placed = [{}, *(dict.fromkeys(states, host) for host in hosts)]
        if len(states) == 2:
            placed += [dict(zip(states, pair, strict=True)) for pair in permutations(hosts, 2)]
        for where in placed:
            for patience, forwards in product(PATIENT if where else PATIENCES, (True, False)):
                sequence = self._sequence(family, 0.0, forwards=forwards)
                yield _Way(sequence, self._modes(family, where), patience)
        dice = self._random
        while True:
            sequence = self._sequence(family, NOISE, forwards=dice.random() < 0.5)
            modes = self._modes(family, self._hosts_by_chance(states, hosts))
            yield _Way(sequence, modes, dice.choice(PATIENCES))

    def _sequence(self, family: Sequence[int], noise: float, *, forwards: bool) -> tuple[int, ...]:
        """By state, by how many wait for one another, the longest first, more or less."""
        sign, dice, ways = 1 if forwards else -1, self._random, self.indexed.ways

        def place(i: int) -> tuple[int, int, float, int]:
            longer = noise * dice.random() if noise else 0.0
            return sign * self._state(i), self._steps[i], longer - ways[i][0].duration, i

        return tuple(sorted(family, key=place))

    def _state(self, i: int) -> int:
        states = self.indexed.ways[i][0].states
        return states[0][1] if states else -1

    def _hosts_by_chance(self, states: Sequence[int], hosts: Sequence[int]) -> dict[int, int]:
        """By state: none, the same place for all, or one for each."""
        dice = self._random
        draw = dice.random()
        if draw < ANYWHERE:
            return {}
        if draw < ANYWHERE + TOGETHER:
            return dict.fromkeys(states, dice.choice(hosts))
        return {state: dice.choice(hosts) for state in states}

    def _modes(self, family: Sequence[int], hosts: Mapping[int, int]) -> Sequence[int]:
        """The first mode of each in the place for its state, -1 where it has none there."""
        modes = self._free[:]
        for i in family:
            wanted = hosts.get(self._state(i), -1)
            for mode, way in enumerate(self.indexed.ways[i]):
                if any(r == wanted for r, _ in way.states):
                    modes[i] = mode
                    break
        return modes

    def _heavier(self, before: Board, after: Board, own: Sequence[int]) -> float:
        """How much heavier a board has become by what was placed."""
        indexed, total = self.indexed, 0.0
        spans: dict[int, tuple[int, int]] = {}
        mine = {i for i in own if after.starts[i] >= 0}
        for i in mine:
            start, mode = after.starts[i], after.modes[i]
            total += own_weight(indexed, i, mode, start, after.finishes[i])
            late = start + indexed.day - self._latest[i]
            if late > 0 and mine.isdisjoint(j for j, _, _ in indexed.follow[i]):
                total += indexed.instance.weights.late * self._waiting[i] * late
            for r, _ in indexed.ways[i][mode].states:
                first, last = spans.get(r, (start, start))
                spans[r] = min(first, start), max(last, start)
        for r, (first, last) in spans.items():
            total += self._weight(after, r, first, last) - self._weight(before, r, first, last)
        return total + (len(after.broken) - len(before.broken)) * float(1 << 40)

    def _weight(self, board: Board, r: int, first: int, last: int) -> float:
        """What a resource weighs from the work before one quarter to that after another."""
        indexed, row = self.indexed, board.row[r]
        begin = max(0, bisect_left(row, (first, -1, -1)) - 1)
        end = bisect_left(row, (last + 1, -1, -1)) + 1
        state, ended = indexed.standing[r], -1
        changed = stood = 0
        days: set[int] = set()
        for k, (start, finish, wanted) in enumerate(row[begin:end], begin):
            begins = start
            if wanted == state:
                begins = ended if ended >= 0 else start
            elif k > begin or not begin:
                quarters = indexed.change(r, state, wanted)
                changed += quarters
                begins = start_before(start, quarters, indexed.spells[r]) if quarters else start
            state, ended = wanted, finish
            stood += finish - begins
            days.update(range(max(0, begins) // indexed.day, (finish - 1) // indexed.day + 1))
        weights, price = indexed.instance.weights, indexed.instance.resources[r].held_day_cost
        held = SMOOTH * stood / indexed.day + (1 - SMOOTH) * len(days)
        return weights.changeover * changed + weights.cost * price * held

    def _leading_to(self, board: Board, cost_price: float) -> Wish:
        """A wish that places all that is placed where it is, and the rest by latest start."""
        indexed, starts, finishes = self.indexed, board.starts, board.finishes
        done = sorted(
            (i for i in indexed.topological if starts[i] >= 0),
            key=lambda i: (starts[i], finishes[i] > starts[i]),
        )
        rest = [i for i in by_latest_start(indexed, self._latest) if starts[i] < 0]
        earliest = self.decoder.releases
        not_before = tuple(max(pair) for pair in zip(starts, earliest, strict=True))
        return Wish((*done, *rest), tuple(board.modes), 0.0, cost_price, not_before)
