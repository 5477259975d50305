"""The answer: starts and modes, what they weigh, and how good they are known to be.

Takes nothing, gives the frozen dataclasses that solvers return and callers read. Knows nothing of
how an answer is found.
"""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping


@dataclass(frozen=True, slots=True)
class Parts:
    """What an answer weighs, part by part.

    Attributes:
        lateness: sum of weight x quarters late.
        finish: quarter at which the last activity ends.
        mode_cost: sum of the costs of the chosen modes.
        held_days: working days that resources with a held-day cost are held.
        held_cost: what those days cost.
        changeover: quarters spent changing over.
        total: the weighted sum that solvers make small.
        overtime_cost: what work in overtime bands costs.
        waiting_cost: what idle quarters inside groups cost.
        preference_cost: what starts outside their preferences cost.
    """

    lateness: int
    finish: int
    mode_cost: int
    held_days: int
    held_cost: int
    changeover: int
    total: int
    overtime_cost: int = 0
    waiting_cost: int = 0
    preference_cost: int = 0


@dataclass(frozen=True, slots=True)
class Answer:
    """A feasible order.

    Attributes:
        starts: first quarter of each activity.
        finishes: quarter after the last of each activity.
        modes: number of the chosen mode of each activity.
        priorities: rank of each activity in the order it was placed in; planning again from these
            changes little.
        changeover_patience: quarters that an activity was rather left waiting, while placed, than
            cause one quarter of changeover.
        parts: what it weighs.
        lower_bound: no answer has a smaller total.
        method: what found it, in words.
        proven: whether no answer is better.
        thawed: locked activities that could not be kept where they were locked.
    """

    starts: Mapping[str, int]
    finishes: Mapping[str, int]
    modes: Mapping[str, int]
    priorities: Mapping[str, int]
    parts: Parts
    changeover_patience: float = 2.0
    lower_bound: int = 0
    method: str = ""
    proven: bool = False
    thawed: tuple[str, ...] = ()

    @property
    def gap(self) -> float:
        """How far the total may be above the best, as a share of the total; 0 when proven."""
        total = self.parts.total
        return 0.0 if self.proven or total <= 0 else max(0.0, 1 - self.lower_bound / total)


@dataclass(frozen=True, slots=True)
class Budget:
    """How long to go on improving.

    With `evaluations` or `effort` given, and no `seconds`, nothing depends on the clock and the
    same question gets the same answer. `Budget(seconds=0)` stops at the first feasible order.

    Attributes:
        seconds: wall clock; if nothing is given at all, 5.
        evaluations: orders the local search may try.
        effort: the constraint solver's own deterministic seconds.
        seed: of the pseudo-random choices.
        clock: seconds from any fixed moment.
    """

    seconds: float | None = None
    evaluations: int | None = None
    effort: float | None = None
    seed: int = 0
    clock: Callable[[], float] = time.monotonic

    @property
    def is_repeatable(self) -> bool:
        """Whether the clock plays no part."""
        return self.seconds is None and (self.evaluations is not None or self.effort is not None)


@dataclass(frozen=True, slots=True)
class Progress:
    """News from a running solver: what it does, the best total, the bound, orders tried so far."""

    doing: str
    best: int
    lower_bound: int
    evaluations: int

    @property
    def gap(self) -> float:
        """How far the best may be above what is possible, as a share of it."""
        return max(0.0, 1 - self.lower_bound / self.best) if self.best > 0 else 0.0
