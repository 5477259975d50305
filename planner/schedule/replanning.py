"""A new order that stays close to one already issued.

Takes an `Instance` as it now is, the previous `Answer` and a price on moving; gives a new answer
and what moved. Knows nothing of what happened: the caller changes durations, spells and releases
first.

Placing activities again by the rank they had leaves most of them where they were; a price on every
activity that changes its day or its mode keeps the improvement from stirring the rest.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from planner.schedule.answer import Budget
from planner.schedule.decode import Wish
from planner.schedule.indexed import Indexed, topological_order
from planner.schedule.instance import Lock
from planner.schedule.run import Issued, Run, index_answerable

if TYPE_CHECKING:
    from planner.schedule.answer import Answer
    from planner.schedule.instance import Activity, Instance


@dataclass(frozen=True, slots=True)
class Move:
    """An activity that is not where it was: its old and new start and mode."""

    id: str
    was_start: int
    was_mode: int
    start: int
    mode: int


@dataclass(frozen=True, slots=True)
class Replanned:
    """A new answer and what moved.

    Attributes:
        instance: the question that was answered: what had started is locked, the rest released.
        answer: to check against `instance`; its `thawed` names what could not stay.
        moved: activities with another start or mode than before, in order of their new start.
    """

    instance: Instance
    answer: Answer
    moved: tuple[Move, ...]


def replan(
    instance: Instance,
    previous: Answer,
    from_quarter: int,
    price_of_move: int,
    budget: Budget | None = None,
) -> Replanned:
    """Order again from some quarter on.

    Args:
        instance: the question as it now is; new activities may have come, old ones gone.
        previous: the answer that people work by.
        from_quarter: what started before it stays where it is; the rest starts at it or later.
        price_of_move: what each activity that changes its day or its mode adds to the total.
        budget: how long to improve; five seconds by default.

    Raises:
        ValueError: the question has no answer on its face.
    """
    frozen = _frozen(instance, previous, from_quarter)
    indexed = index_answerable(frozen)
    issued = Issued(
        Wish(
            _order(indexed, previous),
            _modes(indexed, previous),
            previous.changeover_patience,
            not_before=_held_back(indexed, previous),
        ),
        _Surcharge(indexed, previous, price_of_move),
    )
    answer = Run(indexed, budget or Budget(), None, issued).answer()
    return Replanned(frozen, answer, _moves(previous, answer))


def _frozen(instance: Instance, previous: Answer, from_quarter: int) -> Instance:
    def now(activity: Activity) -> Activity:
        start = previous.starts.get(activity.id)
        if start is None or start >= from_quarter:
            return replace(activity, release=max(activity.release, from_quarter))
        return replace(
            activity,
            release=min(activity.release, start),
            locked=Lock(start, previous.modes[activity.id]),
        )

    return replace(instance, activities=tuple(map(now, instance.activities)))


def _order(indexed: Indexed, previous: Answer) -> tuple[int, ...]:
    """By the ranks of the previous answer; what is new goes just before what waits for it."""
    last = float(len(previous.priorities))
    rank = [float(previous.priorities.get(name, -1)) for name in indexed.ids]
    for i in reversed(indexed.topological):
        if rank[i] < 0:
            rank[i] = min((rank[j] for j, _, _ in indexed.follow[i]), default=last) - 0.5
    return topological_order(indexed.before, indexed.follow, rank)


def _modes(indexed: Indexed, previous: Answer) -> tuple[int, ...]:
    modes = (previous.modes.get(name, -1) for name in indexed.ids)
    return tuple(
        mode if mode < len(ways) else -1 for mode, ways in zip(modes, indexed.ways, strict=True)
    )


def _held_back(indexed: Indexed, previous: Answer) -> tuple[int, ...] | None:
    """Earliest starts that hold back what the previous answer held back."""
    if not previous.held_back:
        return None
    return tuple(
        max(activity.release, previous.held_back.get(activity.id, 0))
        for activity in indexed.activities
    )


class _Surcharge:
    """What an activity costs that goes to another day or mode."""

    def __init__(self, indexed: Indexed, previous: Answer, price: int) -> None:
        self.day = indexed.day
        self.price = price
        self.was = [
            (previous.starts[name] // self.day, previous.modes[name])
            if name in previous.starts
            else None
            for name in indexed.ids
        ]

    def __call__(self, i: int, start: int, mode: int) -> int:
        was = self.was[i]
        return 0 if was is None or was == (start // self.day, mode) else self.price


def _moves(previous: Answer, answer: Answer) -> tuple[Move, ...]:
    moves = [
        Move(name, previous.starts[name], previous.modes[name], start, answer.modes[name])
        for name, start in answer.starts.items()
        if name in previous.starts
        and (start, answer.modes[name]) != (previous.starts[name], previous.modes[name])
    ]
    return tuple(sorted(moves, key=lambda move: (move.start, move.id)))
