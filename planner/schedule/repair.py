"""Which activities to free for the constraint solver while the rest keep their order.

Takes an `Indexed` and a board, gives sets of activity numbers. Knows nothing of the solver. The
same seed and boards give the same sets.
"""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from planner.schedule.decode import Board
    from planner.schedule.indexed import Indexed

FEWEST, MOST = 8, 60


class Neighbourhoods:
    """Chooses what to free; `size` grows while the solver finishes and else shrinks."""

    def __init__(self, indexed: Indexed, seed: int) -> None:
        self.indexed = indexed
        self.random = Random(seed)  # noqa: S311 - repeatable, not secret
        self.size = 20

    def learn(self, *, finished: bool) -> None:
        """Take note of whether the solver searched all of the last neighbourhood."""
        factor = 1.15 if finished else 0.85
        self.size = min(MOST, max(FEWEST, round(self.size * factor)))

    def choose(self, board: Board) -> frozenset[int]:
        """Activities close in time, on one resource, or along what makes something late."""
        pick = self.random.random()
        if pick < 0.35:
            return self._near_in_time(board)
        if pick < 0.70:
            return self._along_a_resource(board)
        return self._along_a_chain(board)

    def _near_in_time(self, board: Board) -> frozenset[int]:
        centre = board.starts[self._troubled(board)]
        near = sorted(range(len(board.starts)), key=lambda i: (abs(board.starts[i] - centre), i))
        return frozenset(near[: self.size])

    def _along_a_resource(self, board: Board) -> frozenset[int]:
        seed = self._troubled(board)
        held = list(self._held(board, seed))
        if not held:
            return self._near_in_time(board)
        resource = self.random.choice(held)
        users = [i for i in range(len(board.starts)) if resource in self._held(board, i)]
        users.sort(key=lambda i: (abs(board.starts[i] - board.starts[seed]), i))
        return self._with_kin(users[: max(2, self.size // 2)])

    def _along_a_chain(self, board: Board) -> frozenset[int]:
        i = self._troubled(board)
        chain = [i]
        while self.indexed.before[i]:
            i = max((j for j, _, _ in self.indexed.before[i]), key=board.finishes.__getitem__)
            chain.append(i)
        found = dict.fromkeys(chain)
        for i in chain:
            for r in self._held(board, i):
                before = [
                    j
                    for j in range(len(board.starts))
                    if board.starts[j] <= board.starts[i] and r in self._held(board, j)
                ]
                before.sort(key=lambda j: (-board.starts[j], j))
                found.update(dict.fromkeys(before[:4]))
        return frozenset(list(found)[: self.size])

    def _with_kin(self, members: list[int]) -> frozenset[int]:
        found = dict.fromkeys(members)
        for i in members:
            kin = (*self.indexed.before[i], *self.indexed.follow[i])
            found.update(dict.fromkeys(j for j, _, _ in kin))
        return frozenset(list(found)[: self.size])

    def _held(self, board: Board, i: int) -> Iterable[int]:
        way = self.indexed.ways[i][board.modes[i]]
        return (*way.single, *(r for r, _, _ in way.shared))

    def _troubled(self, board: Board) -> int:
        """A late activity, something before it, or any at all."""
        late = [
            i
            for i, activity in enumerate(self.indexed.activities)
            if activity.due is not None and board.finishes[i] > activity.due
        ]
        if not late or self.random.random() < 0.25:
            return self.random.randrange(len(board.starts))
        i = self.random.choice(late)
        while self.indexed.before[i] and self.random.random() < 0.6:
            i = max((j for j, _, _ in self.indexed.before[i]), key=board.finishes.__getitem__)
        return i
