"""The work of an answer placed once more, whole or without some of it.

Takes an `Instance` and an answer to it, or to one much like it, gives dates. The question is
numbered once, and what comes before a thing in the order is placed once, so that trying what is
gained without one thing after the other costs little more than placing what comes after it. Nothing
is searched. Knows nothing of why a thing is left out.
"""

from __future__ import annotations

from copy import copy
from dataclasses import replace
from typing import TYPE_CHECKING

from planner.schedule.answer import Answer
from planner.schedule.appraise import appraise
from planner.schedule.beginning import placed_first
from planner.schedule.decode import Decoder
from planner.schedule.resuming import previous_wish, standing_wish
from planner.schedule.run import index_answerable

if TYPE_CHECKING:
    from collections.abc import Collection

    from planner.schedule.decode import Board, Wish
    from planner.schedule.indexed import Indexed
    from planner.schedule.instance import Instance

    Links = tuple[tuple[int, int, int], ...]

MARKS = 16
"""Boards part-way that are remembered, evenly along the order."""


class Replay:
    """Places work in the order and modes of an answer, each stretch as early as it then fits."""

    def __init__(self, instance: Instance, previous: Answer) -> None:
        """Number the question.

        Args:
            instance: the question.
            previous: an answer to it, or to one with other work; what it does not know goes just
                before what waits for it.

        Raises:
            ValueError: the question has no answer on its face.
        """
        self.indexed = index_answerable(instance)
        self.previous = previous
        self.wish = previous_wish(self.indexed, previous)
        self.marks: dict[int, Board] = {}

    def following(self, previous: Answer) -> Replay:
        """The same question in the order and modes of another answer to it."""
        other = copy(self)
        other.previous, other.wish = previous, previous_wish(self.indexed, previous)
        other.marks = {}
        return other

    def answer(self) -> Answer:
        """All of the work placed; as good as is known, as nothing is bounded."""
        method = "placed in the order of before"
        if not self._is_free:
            return _answer(self.indexed, self.wish, method)
        return _read(self.indexed, self.wish, self._placed(), method)

    def standing(self) -> Answer:
        """All of the work where it was, or as soon after as it then fits.

        What still can stay has its place before what cannot, so that what has become late pushes
        nothing that it does not hold up. Nothing is sooner than it was. Linear in the work, beside
        placing it once.
        """
        wish = standing_wish(self.indexed, self.previous)
        return _answer(self.indexed, wish, "where it was, or as soon after as can be")

    def without(self, gone: Collection[str]) -> dict[str, int]:
        """Finishes of the rest were some activities not to be done at all.

        What waited for one of them waits for what that waited for.

        Args:
            gone: ids of activities.
        """
        indexed = self.indexed
        lost = {i for i, name in enumerate(indexed.ids) if name in gone}
        kept = tuple(i for i in self.wish.order if i not in lost)
        wish, spared = replace(self.wish, order=kept), _spared(indexed, lost)
        if self._is_free:
            at, board = self._before(lost)
            Decoder(spared).extend(board, wish, range(at, len(kept)))
        else:
            board = placed_first(spared, wish)[3]
        return {indexed.ids[i]: board.finishes[i] for i in kept}

    @property
    def _is_free(self) -> bool:
        """Whether nothing is placed but in its turn."""
        return not self.indexed.locks and not self.indexed.begun

    def _placed(self) -> Board:
        """All of the work placed, with boards part-way remembered."""
        decoder, count = Decoder(self.indexed), len(self.wish.order)
        step, board = count // MARKS + 1, decoder.blank()
        for at in range(0, count, step):
            self.marks[at] = board.copy()
            decoder.extend(board, self.wish, range(at, min(at + step, count)))
        return board

    def _before(self, lost: Collection[int]) -> tuple[int, Board]:
        """The last position that is remembered before anything lost has its turn, and its board.

        What is done in one run with something lost is placed with it, so it is not before it.
        """
        runs = self.indexed.runs
        touched = {j for i in lost for j in (i, *runs[i])}
        if not self.marks:
            self._placed()
        order = enumerate(self.wish.order)
        first = next((at for at, i in order if i in touched), len(self.wish.order))
        mark = max((at for at in self.marks if at <= first), default=0)
        return mark, self.marks[mark].copy() if self.marks else Decoder(self.indexed).blank()


def _answer(indexed: Indexed, wish: Wish, method: str) -> Answer:
    _indexed, thawed, wish, board = placed_first(indexed, wish)
    return replace(
        _read(indexed, wish, board, method), thawed=tuple(indexed.ids[i] for i in thawed)
    )


def _read(indexed: Indexed, wish: Wish, board: Board, method: str) -> Answer:
    ids = indexed.ids
    return Answer(
        starts=dict(zip(ids, board.starts, strict=True)),
        finishes=dict(zip(ids, board.finishes, strict=True)),
        modes=dict(zip(ids, board.modes, strict=True)),
        priorities={ids[i]: rank for rank, i in enumerate(wish.order)},
        changeover_patience=wish.price,
        parts=appraise(indexed, board.starts, board.finishes, board.modes),
        method=method,
    )


def _spared(indexed: Indexed, lost: Collection[int]) -> Indexed:
    """The question without some activities; their numbers stay, and are not to be placed."""
    through: dict[int, Links] = {}
    before = list(indexed.before)
    for i in indexed.topological:
        if not any(j in lost for j, _, _ in before[i]) and i not in lost:
            continue
        links: dict[tuple[int, int, int], None] = {}
        for link in before[i]:
            links |= dict.fromkeys(through[link[0]] if link[0] in lost else (link,))
        if i in lost:
            through[i] = tuple(links)
        before[i] = tuple(links)
    follow: list[list[tuple[int, int, int]]] = [[] for _ in before]
    locks = {i: lock for i, lock in indexed.locks.items() if i not in lost}
    for i, waits in enumerate(before):
        for j, lag, clock in waits if locks and i not in lost else ():
            follow[j].append((i, lag, clock))
    runs = tuple(tuple(j for j in run if j not in lost) for run in indexed.runs)
    return replace(
        indexed,
        before=tuple(before),
        follow=tuple(map(tuple, follow)),
        locks=locks,
        runs=runs,
        begun={j: i for j, i in indexed.begun.items() if not {i, j} & set(lost)},
    )


def placed_again(instance: Instance, previous: Answer) -> Answer:
    """Place a question's work in the order and modes of an answer, each as early as it then fits.

    Nothing is searched and nothing holds what is called back: an answer to measure others against.

    Raises:
        ValueError: the question has no answer on its face.
    """
    return Replay(instance, previous).answer()
