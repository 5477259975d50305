"""Better orders by trying: small changes to an order, kept when they weigh less.

Takes a `Decoder` and a first wish, gives the best found until it is told to stop. Knows nothing of
solvers or clocks. The same seed and number of tries give the same answer.

A change is kept if the result weighs no more than what was kept some tries ago (late acceptance),
so the search may go through slightly worse orders. Orders that differ only from some position on
share the board up to there.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from random import Random
from typing import TYPE_CHECKING

from planner.schedule.appraise import appraise
from planner.schedule.decode import Wish
from planner.schedule.mirror import Mirror
from planner.schedule.ranking import campaigns

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from planner.schedule.answer import Parts
    from planner.schedule.decode import Board, Decoder
    from planner.schedule.lifting import Staying
    from planner.schedule.sheet import Sheet

PRICES = (0.5, 1.0, 2.0, 4.0, 8.0)
CHECKPOINTS = 12
MEMORY = 40
DULL = 20
"""Placings that a try without any change counts for, beside all activities."""


@dataclass(frozen=True, slots=True)
class Found:
    """A wish, the board it leads to and what that weighs."""

    wish: Wish
    board: Board
    parts: Parts

    @property
    def total(self) -> int:
        """Weighted sum of the parts."""
        return self.parts.total


class Search:
    """Walks from order to order.

    `best` is the lightest seen, after `bettered_at` of `tries`; `placed` counts activities. `sheet`
    has the tables that compiled code places it on, once they are laid.
    """

    def __init__(self, decoder: Decoder, seed: int, staying: Staying | None = None) -> None:
        """Prepare a walk.

        Args:
            decoder: of the instance.
            seed: of the pseudo-random choices.
            staying: what was issued, where some should stay near it.
        """
        self.decoder = decoder
        self.indexed = decoder.indexed
        self.random = Random(seed)  # noqa: S311 - repeatable, not secret
        self.staying = staying
        self.tries = 0
        self.placed = 0
        self.bettered_at = 0
        self.best: Found | None = None
        self.sheet: Sheet | None = None
        groups = (group for group in campaigns(self.indexed) if len(group) > 1)
        self._group_of = {i: group for group in groups for i in group}
        self._above: list[int] = []
        self._below: list[int] = []
        count = len(self.indexed.ids)
        self._step = max(1, -(-count // CHECKPOINTS))
        self._mirror: Mirror | None = None
        self._marks: dict[int, tuple[Board, int]] = {}
        self._current: Found | None = None
        self._kept: list[int] = []
        self._at = 0

    @property
    def not_before(self) -> tuple[int, ...] | None:
        """What improved orders keep to: what should stay goes no sooner than it was issued."""
        return (self.staying and self.staying.not_before) or None

    def consider(self, wish: Wish) -> Found | None:
        """Decode a wish from scratch, remember it if it is the best; None if it breaks a lock."""
        return self._attempt(wish, 0, None)[0]

    def consider_weighed(self, wish: Wish) -> Found | None:
        """As `consider`, but None if it is no better, where compiled code is at hand to say so."""
        if self.sheet is not None and self.best is not None:
            self.tries += 1
            total = self.sheet.weigh(wish)
            if total is None or total >= self.best.total:
                return None
        return self.consider(wish)

    def count_to(self, placed: int) -> None:
        """Count placings up to a number of all, and a try for as many as there are activities."""
        count = len(self.indexed.ids)
        self.tries += placed // count - self.placed // count
        self.placed = placed

    def consider_placed(
        self, starts: Sequence[int], finishes: Sequence[int], modes: Sequence[int]
    ) -> Found | None:
        """Decode to everything just where it is given, and remember that if it is the best."""
        order = sorted(self.indexed.topological, key=lambda i: (starts[i], finishes[i] > starts[i]))
        wish = Wish(tuple(order), tuple(modes), price=0.0, not_before=tuple(starts))
        return self.consider(wish)

    def adopt(self, wish: Wish, board: Board) -> Found:
        """Weigh a board that a wish was decoded to, and remember it if it is the best."""
        parts = appraise(self.indexed, board.starts, board.finishes, board.modes)
        if self.staying is not None:
            surcharge = self.staying.surcharge
            more = sum(map(surcharge, range(len(board.starts)), board.starts, board.modes))
            parts = replace(parts, total=parts.total + more)
        found = Found(wish, board, parts)
        if self.best is None or found.total < self.best.total:
            self.best, self.bettered_at = found, self.tries
        return found

    def justify(self, found: Found) -> Found | None:
        """Push a board back and place it forwards again: often lighter, always quick."""
        changed = self._justified(found)
        return None if changed is None else self.consider(changed[0])

    def walk(self, start: Found | None, stop: Callable[[], bool]) -> None:
        """Go from `start`, or on from where the last walk stopped, until `stop()`.

        It is asked before every try.
        """
        if not self._above:
            self._above = _reach(self.indexed.before, self.indexed.topological)
            self._below = _reach(self.indexed.follow, self.indexed.topological[::-1])
        if start is not None or self._current is None:
            self._begin(start or self.best)
        count = len(self.indexed.ids)
        while self._current is not None and not stop():
            current = self._current
            changed = self._change(current)
            if changed is None:
                self.tries += 1
                self.placed += count + DULL
                continue
            wish, position = changed
            limit = max(self._kept[self._at], current.total)
            found, marks = self._attempt(wish, position, limit)
            if found is not None and found.total <= limit:
                self._current, self._marks = found, marks
            self._kept[self._at] = self._current.total
            self._at = (self._at + 1) % MEMORY

    def _begin(self, start: Found | None) -> None:
        if start is None:
            return
        first, self._marks = self._attempt(replace(start.wish, not_before=self.not_before), 0, None)
        if first is None:
            # A lock breaks if it keeps to that: it stays, and changes are placed from scratch.
            first, self._marks = start, {}
        self._current = first
        self._kept, self._at = [self._current.total] * MEMORY, 0

    def _attempt(
        self, wish: Wish, position: int, limit: int | None
    ) -> tuple[Found | None, dict[int, tuple[Board, int]]]:
        """Decode from the last mark at or before `position`; give up once heavier than `limit`.

        Without marks it is decoded from scratch.
        """
        self.tries += 1
        mark = position // self._step * self._step
        if mark not in self._marks:
            position = mark = 0
        board, late = self._marks[mark] if position else (self.decoder.blank(), 0)
        marks = {at: kept for at, kept in self._marks.items() if at <= mark} if position else {}
        price = self.indexed.instance.weights.late
        for begin in range(mark, len(wish.order), self._step):
            marks[begin] = (board, late)
            board = board.copy()
            end = min(begin + self._step, len(wish.order))
            self.decoder.extend(board, wish, range(begin, end))
            self.placed += end - begin
            late += price * self._lateness(board, wish.order[begin:end])
            if board.broken or (limit is not None and late > limit):
                return None, marks
        return self.adopt(wish, board), marks

    def _lateness(self, board: Board, members: Sequence[int]) -> int:
        total = 0
        for i in members:
            activity = self.indexed.activities[i]
            if activity.due is not None and board.finishes[i] > activity.due:
                total += activity.weight * (board.finishes[i] - activity.due)
        return total

    def _change(self, current: Found) -> tuple[Wish, int] | None:
        """A changed wish and the first position at which it differs."""
        pick = self.random.random()
        if pick < 0.45:
            return self._sooner(current, self._troubled(current))
        if pick < 0.60:
            return self._sooner(current, self.random.randrange(len(current.wish.order)))
        if pick < 0.75:
            return self._later(current)
        if pick < 0.92:
            return self._other_mode(current)
        if pick < 0.97:
            return self._justified(current)
        return replace(current.wish, price=self.random.choice(PRICES)), 0

    def _justified(self, current: Found) -> tuple[Wish, int] | None:
        if self._mirror is None:
            self._mirror = Mirror(self.indexed, 2 * current.parts.finish)
        self.tries += 1
        order = self._mirror.justified(current.board, current.wish.price)
        return None if order is None else (replace(current.wish, order=order, not_before=None), 0)

    def _troubled(self, current: Found) -> int:
        """Something that a late activity, or the last one, waits for, or that one itself."""
        finishes, activities = current.board.finishes, self.indexed.activities
        late = {
            i: activity.weight * (finishes[i] - activity.due)
            for i, activity in enumerate(activities)
            if activity.due is not None and finishes[i] > activity.due and activity.weight > 0
        }
        if late:
            i = self.random.choices(list(late), list(late.values()))[0]
        else:
            i = max(range(len(finishes)), key=finishes.__getitem__)
        # Back along what it waited for longest, some way.
        while self.indexed.before[i] and self.random.random() < 0.7:
            i = max((j for j, _, _ in self.indexed.before[i]), key=finishes.__getitem__)
        return i

    def _members(self, i: int) -> int:
        """The activity, or all of its campaign, as bits."""
        group = self._group_of.get(i)
        if group is None or self.random.random() < 0.5:
            return 1 << i
        return sum(1 << j for j in group)

    def _sooner(self, current: Found, i: int) -> tuple[Wish, int] | None:
        order, members = current.wish.order, self._members(i)
        where = [at for at, j in enumerate(order) if members >> j & 1]
        first, last = where[0], where[-1]
        if last == 0:
            return None
        target = max(0, first - self._reach_of_move(first))
        wanted = members
        for j in (order[at] for at in where):
            wanted |= self._above[j]
        ahead = [j for j in order[target : last + 1] if wanted >> j & 1]
        rest = [j for j in order[target : last + 1] if not wanted >> j & 1]
        return self._reordered(current.wish, target, ahead + rest)

    def _later(self, current: Found) -> tuple[Wish, int] | None:
        order = current.wish.order
        members = self._members(self.random.randrange(len(order)))
        where = [at for at, j in enumerate(order) if members >> j & 1]
        first, last = where[0], where[-1]
        target = min(len(order) - 1, last + self._reach_of_move(len(order) - 1 - last))
        held = members
        for j in (order[at] for at in where):
            held |= self._below[j]
        rest = [j for j in order[first : target + 1] if not held >> j & 1]
        behind = [j for j in order[first : target + 1] if held >> j & 1]
        return self._reordered(current.wish, first, rest + behind)

    def _reach_of_move(self, room: int) -> int:
        """How far to move: mostly a little, sometimes all the way."""
        return 1 + int(room * self.random.random() ** 1.5)

    def _reordered(self, wish: Wish, at: int, members: list[int]) -> tuple[Wish, int] | None:
        order = wish.order
        same = 0
        while same < len(members) and members[same] == order[at + same]:
            same += 1
        if same == len(members):
            return None
        new = order[:at] + tuple(members) + order[at + len(members) :]
        return replace(wish, order=new), at + same

    def _other_mode(self, current: Found) -> tuple[Wish, int] | None:
        i = (
            self._troubled(current)
            if self.random.random() < 0.5
            else self.random.randrange(len(current.wish.order))
        )
        ways = self.indexed.ways[i]
        if len(ways) == 1:
            return None
        mode = self.random.randrange(-1, len(ways))
        members = self._members(i)
        modes = list(current.wish.modes)
        first = len(modes)
        for at, j in enumerate(current.wish.order):
            if members >> j & 1 and mode < len(self.indexed.ways[j]) and modes[j] != mode:
                modes[j] = mode
                first = min(first, at)
        if first == len(modes):
            return None
        return replace(current.wish, modes=tuple(modes)), first


def _reach(links: Sequence[Sequence[tuple[int, int, int]]], order: Sequence[int]) -> list[int]:
    """All that each activity is linked to, however far, as bits."""
    reach = [0] * len(links)
    for i in order:
        for j, _, _ in links[i]:
            reach[i] |= reach[j] | 1 << j
    return reach
