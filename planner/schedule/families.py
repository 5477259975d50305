"""A first order of what is set up: family by family, each in whichever of many ways weighs least.

Takes a `Decoder`, gives a wish. Knows nothing of budgets. A family is what changes over among
itself as an exception, so that doing it in one go saves most of the changing over. The most urgent
is placed first, with what it waits for, beside those that were; it is placed on copies of the board
in other sequences, in other places and with more or less patience, and the copy that has become
least heavier goes on. Most sequences fill each day with what makes it fullest, as what is left of a
day and too short for any work is most of what is wasted. What follows is placed at the end; until
then its lateness is guessed from how long its longest chain is.

Source:
    Trying every partial order that a few rules lead to and keeping the best of each step is the
    pilot method: C. W. Duin, S. Voss, "The pilot method: a strategy for heuristic repetition with
    application to the Steiner problem in graphs", Networks 34 (1999), pp. 181-191.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass, replace
from itertools import accumulate, groupby, islice, product
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

PATIENCES = (0.5, 1.5, 4.0, 8.0)
"""Quarters rather waited than changed over."""
MOST_WAYS = 12
"""Ways in which one family is tried. Twice as many gain nothing sure: rather than that, all are
placed once more by other chances, and the lightest is kept."""
ONCE_MORE = 0.5
"""Of what placing all of them took, how much must be left for doing it again."""
SMOOTH = 0.5
"""Share of the price of a held day told from its quarters, so that saving some of a day counts."""
ANYWHERE, TOGETHER = 0.35, 0.4
"""Of the ways by chance, in how many work goes wherever it does best, and all into one place."""


@dataclass(frozen=True, slots=True)
class _Way:
    """A sequence of a family, the mode of each or -1, and the patience.

    Where it fills days, the sequence only says which state comes first.
    """

    order: tuple[int, ...]
    modes: Sequence[int]
    patience: float
    fills: bool


class Families:
    """Families placed one after the other; `placed` counts activities."""

    def __init__(self, decoder: Decoder, seed: int, cost_price: float) -> None:
        """Rank them.

        Args:
            decoder: of the question.
            seed: of the pseudo-random ways.
            cost_price: quarters rather waited than one unit of mode cost paid.
        """
        self.decoder = decoder
        self.cost_price = cost_price
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

    def wishes(self, spent: Callable[[], float]) -> Iterator[Wish]:
        """Place every family, then all the rest; then once more, as long as there is effort.

        Args:
            spent: share of the effort that is spent; each family is tried in one way at least, and
                in more until its share is over.

        Yields:
            Wishes that lead there.
        """
        began, took = spent(), 0.0
        while not took or 1 - began >= ONCE_MORE * took:
            board, placed = self.decoder.blank(), self.placed
            for number, family in enumerate(self.families, 1):
                until = began + (1 - began) * number / len(self.families)
                board = self._with(board, family, spent, until)
            took = max(spent() - began, 1e-9)
            yield self._leading_to(board)
            if self.placed == placed:
                return  # all of it is locked
            began = spent()

    def _with(
        self, board: Board, family: Sequence[int], spent: Callable[[], float], until: float
    ) -> Board:
        """The board with a family, as it has become least heavier."""
        own = self._lead(board, family)
        best: tuple[tuple[float, int], Board] | None = None
        for way in islice(self._ways(family) if own else (), MOST_WAYS):
            if best is not None and spent() >= until:
                break
            tried = board.copy()
            self._go(tried, way)
            # Of ways that weigh the same, the soonest leaves most room.
            weight = self._heavier(board, tried, own), sum(tried.starts[i] for i in own)
            if best is None or weight < best[0]:
                best = weight, tried
        return board if best is None else best[1]

    def _go(self, board: Board, way: _Way) -> None:
        """Place a family in one way."""
        wish = Wish((), tuple(way.modes), way.patience, self.cost_price)
        if way.fills:
            self._fill(board, way.order, wish)
        self._extend(board, self._possible(board, way.order), wish)

    def _extend(self, board: Board, order: tuple[int, ...], wish: Wish) -> None:
        self.decoder.extend(board, replace(wish, order=order), range(len(order)))
        self.placed += len(order)

    def _fill(self, board: Board, order: Sequence[int], wish: Wish) -> None:
        """Place what waits for nothing that is not placed, state by state, the days made full."""
        finishes, last = board.finishes, -1
        for state, members in groupby(order, self._state):
            waiting = {i for i in members if board.starts[i] < 0}
            while chains := self._chains(board, waiting):
                chosen = self._fullest(chains, self._room(board, last, state))
                self._extend(board, chosen, wish)
                waiting.difference_update(chosen)
                last = max((i for i in (last, *chosen) if i >= 0), key=lambda i: finishes[i])

    def _chains(self, board: Board, waiting: set[int]) -> list[list[int]]:
        """What may be placed now, each with what may then be placed after it, in any sequence."""
        before, follow = self.indexed.before, self.indexed.follow
        found = [[i] for i in sorted(waiting) if all(board.starts[j] >= 0 for j, _, _ in before[i])]
        self._random.shuffle(found)
        for chain in found:
            while after := [
                j for j, _, _ in follow[chain[-1]] if j in waiting and len(before[j]) == 1
            ]:
                chain.append(after[0])
        return found

    def _room(self, board: Board, last: int, state: int) -> int:
        """Quarters of its day that are left after some work and a change; 0 before all work."""
        if last < 0:
            return 0
        day, change = self.indexed.day, 0
        for r, stands in self.indexed.ways[last][board.modes[last]].states:
            if state >= 0:
                change = max(change, self.indexed.change(r, stands, state))
        return day - (board.finishes[last] + change) % day

    def _fullest(self, chains: Sequence[Sequence[int]], room: int) -> tuple[int, ...]:
        """What makes the day fullest or, if nothing fits, the next; at first the longest."""
        ways = self.indexed.ways
        lengths = [[ways[i][0].duration for i in chain] for chain in chains]
        for quarters in (room, self.indexed.day) if room else ():
            counts = filling(lengths, quarters)
            if any(counts):
                pairs = zip(chains, counts, strict=True)
                return tuple(i for chain, count in pairs for i in chain[:count])
        return (max((chain[0] for chain in chains), key=lambda i: ways[i][0].duration),)

    def _possible(self, board: Board, order: Sequence[int]) -> tuple[int, ...]:
        """With what must go before and is not placed."""
        whole = with_ancestors(self.indexed, order, self._latest)
        return tuple(i for i in whole if board.starts[i] < 0)

    def _lead(self, board: Board, family: Sequence[int]) -> list[int]:
        """Place what a family waits for and that does not wait for it; gives what is left."""
        waits, left, lead = set(family), [], []
        for i in self._possible(board, family):
            if i in waits or any(j in waits for j, _, _ in self.indexed.before[i]):
                waits.add(i)
                left.append(i)
            else:
                lead.append(i)
        self._extend(board, tuple(lead), Wish((), tuple(self._free), 0.0, self.cost_price))
        return left

    def _ways(self, family: Sequence[int]) -> Iterator[_Way]:
        """Filling days, by chance, without end.

        Every third, for a while: wherever it does best, the longest first, state by state,
        forwards and backwards.
        """
        hosts = sorted({r for i in family for way in self.indexed.ways[i] for r, _ in way.states})
        states, dice = sorted({*map(self._state, family)}), self._random
        by_state = [self._sequence(family, sign) for sign in (1, -1)]
        plain = product(PATIENCES, by_state)
        while True:
            for patience, order in islice(plain, 1):
                yield _Way(order, self._free, patience, fills=False)
            for _ in range(2):
                modes = self._modes(family, self._hosts_by_chance(states, hosts))
                yield _Way(dice.choice(by_state), modes, dice.choice(PATIENCES), fills=True)

    def _sequence(self, family: Sequence[int], sign: int) -> tuple[int, ...]:
        """By state, by how many wait for one another, the longest first."""
        ways = self.indexed.ways

        def place(i: int) -> tuple[int, int, int, int]:
            return sign * self._state(i), self._steps[i], -ways[i][0].duration, i

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
            if indexed.goes_on(r, state, wanted):
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

    def _leading_to(self, board: Board) -> Wish:
        """A wish that places all that is placed where it is, and the rest by latest start."""
        indexed, starts, finishes = self.indexed, board.starts, board.finishes
        done = sorted(
            (i for i in indexed.topological if starts[i] >= 0),
            key=lambda i: (starts[i], finishes[i] > starts[i]),
        )
        rest = [i for i in by_latest_start(indexed, self._latest) if starts[i] < 0]
        earliest = self.decoder.releases
        not_before = tuple(max(pair) for pair in zip(starts, earliest, strict=True))
        return Wish((*done, *rest), tuple(board.modes), 0.0, self.cost_price, not_before)


def filling(chains: Sequence[Sequence[int]], room: int) -> list[int]:
    """How many of each chain, from its first on, come nearest to a sum, at most that.

    Args:
        chains: of lengths.
        room: the sum; the same unit.
    """
    fits = (1 << (room + 1)) - 1
    sums = [list(accumulate(chain, initial=0)) for chain in chains]
    # Bit n of each: n can be reached with the chains before.
    reached = [1]
    for each in sums:
        more = 0
        for length in each:
            more |= reached[-1] << length if length <= room else 0
        reached.append(more & fits)
    left, counts = reached.pop().bit_length() - 1, []
    for each, before in zip(reversed(sums), reversed(reached), strict=True):
        count = next(n for n, length in enumerate(each) if before << length >> left & 1)
        left -= each[count]
        counts.append(count)
    return counts[::-1]
