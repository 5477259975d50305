"""Activities lifted off a board and put back by compiled code, some hundred thousand a second.

Takes the tables of `flat`, changes the board in place. Knows nothing of when to stop. The same seed
and number of tries give the same board. Compiling takes some thirty seconds once and is then kept
on disk: import this module where it is needed. It checks no bounds; the tests hold it against the
checker, and against lifting in Python. What is kept unbroken is lifted and put back as one.

A try takes out what `choosing` says. It goes back each where it does best, in an order and ways
a little changed, as `putting` says, and stays there if the total is no more than it was some tries
ago.

Source:
    E. K. Burke, Y. Bykov, "The late acceptance hill-climbing heuristic", European Journal of
    Operational Research 258 (2017), pp. 70-78.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from planner.schedule.choosing import choose, choose_late
from planner.schedule.compiled import called_from_python, compile_for, compiled, is_kept
from planner.schedule.flat import FINISH, FINISH_WEIGHT, IS_WEIGHED, lay
from planner.schedule.pad import (
    A_QUARTER,
    AT,
    COST_PRICE,
    GUIDE,
    IS_SAVED,
    LAST_FINISH,
    LIGHTEST,
    NOT_OUT,
    OUT,
    PLACED,
    TOTAL,
    TOUCHED,
    pad_of,
)
from planner.schedule.putting import best_start_of, lift, put_all_back, put_back, undo
from planner.schedule.rows import caused, fit, own_weight, weigh, weight_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.schedule.flat import Ground, Stand, Whole
    from planner.schedule.pad import Pad
    from planner.schedule.placing import Table


@compiled
def _difference(ground: Ground, stand: Stand, pad: Pad) -> tuple[int, int]:
    """How much heavier the board has become, and how much more what guides the walk."""
    at, was, tally, total, guide = stand.at, pad.was, pad.tally, 0, 0
    finish, is_last = 0, False
    for k in range(tally[OUT]):
        i = pad.out[k]
        total += own_weight(ground, i, at[i]) - own_weight(ground, i, was[i])
        finish = max(finish, at[i, FINISH])
        is_last |= was[i, FINISH] == tally[LAST_FINISH]
    for k in range(tally[TOUCHED]):
        r = pad.touched[k]
        if ground.resources[r, IS_WEIGHED]:
            weight, more = weight_of(ground, stand, pad, r)
            total += weight - stand.weights[r]
            guide += more - stand.guides[r]
    if is_last and finish < tally[LAST_FINISH]:
        for i in range(at.shape[0]):
            finish = max(finish, at[i, FINISH])
    elif not is_last:
        finish = max(finish, tally[LAST_FINISH])
    total += (finish - tally[LAST_FINISH]) * ground.sizes[FINISH_WEIGHT]
    tally[LAST_FINISH] = finish
    return total, guide


@compiled
def _copy(one: Whole, other: Whole) -> None:
    for i in range(one.shape[0]):
        for column in range(3):
            other[i, column] = one[i, column]


@compiled
def _save(stand: Stand, pad: Pad) -> None:
    """Keep the board as it was before the present try."""
    _copy(stand.at, pad.best)
    for k in range(pad.tally[OUT]):
        for column in range(3):
            pad.best[pad.out[k], column] = pad.was[pad.out[k], column]


@compiled
def _settle(ground: Ground, stand: Stand, pad: Pad) -> bool:
    """Keep a change if it is light enough."""
    tally, kept = pad.tally, pad.kept
    finish = tally[LAST_FINISH]
    heavier, more = _difference(ground, stand, pad)
    total, guide = tally[TOTAL] + heavier, tally[GUIDE] + more
    guided = tally[TOTAL] + tally[GUIDE]
    is_taken = total + guide <= max(kept[tally[AT]], guided)
    if is_taken:
        if total > tally[TOTAL] and tally[IS_SAVED] == 0:
            _save(stand, pad)
            tally[IS_SAVED] = 1
        tally[TOTAL], tally[GUIDE] = total, guide
        if total < tally[LIGHTEST]:
            tally[LIGHTEST], tally[IS_SAVED] = total, 0
        for k in range(tally[TOUCHED]):
            r = pad.touched[k]
            if ground.resources[r, IS_WEIGHED]:
                stand.weights[r], stand.guides[r] = weight_of(ground, stand, pad, r)
    else:
        tally[LAST_FINISH] = finish
    kept[tally[AT]] = tally[TOTAL] + tally[GUIDE]
    tally[AT] = (tally[AT] + 1) % kept.size
    return bool(is_taken)


@compiled
def _try_once(ground: Ground, stand: Stand, pad: Pad) -> None:
    tally = pad.tally
    choose(ground, stand, pad)
    for k in range(tally[OUT]):
        i = pad.out[k]
        for column in range(3):
            pad.was[i, column] = stand.at[i, column]
        lift(ground, stand, pad, i)
    if not (put_all_back(ground, stand, pad) and _settle(ground, stand, pad)):
        undo(ground, stand, pad)


@called_from_python
def move(ground: Ground, stand: Stand, pad: Pad, tries: int) -> None:
    """Try so many moves."""
    tally = pad.tally
    for _ in range(tries):
        # However little is put back: who counts that must come to an end.
        tally[PLACED] += 1
        tally[TOUCHED] = 0
        _try_once(ground, stand, pad)
        for k in range(tally[OUT]):
            pad.state[pad.out[k]] = pad.party[pad.out[k]] = NOT_OUT
        for k in range(tally[TOUCHED]):
            pad.stamps[pad.touched[k]] = 0
    if tally[IS_SAVED] == 0:
        _copy(stand.at, pad.best)
        tally[IS_SAVED] = 1


def are_compiled() -> bool:
    """Whether the moves need not be compiled, but only be read from disk."""
    return is_kept(move)


def compile_moves(ground: Ground, stand: Stand, is_given_up: Callable[[], bool]) -> bool:
    """Compile part by part, each some seconds, what is used first; what is done stays done.

    Args:
        ground: a question.
        stand: a board of it; only what sort of tables they are counts.
        is_given_up: asked before each part.

    Returns:
        Whether all is compiled.
    """
    board, number, pair = (ground, stand), 0, (0, 0)
    all_three = *board, pad_of(ground, stand, 0)
    for function, like in (
        (weigh, all_three),
        (fit, (*board, number, number)),
        (caused, (*board, number, number)),
        (lift, (*all_three, number)),
        (best_start_of, (*all_three, pair, pair)),
        (put_back, (*all_three, number)),
        (put_all_back, all_three),
        (undo, all_three),
        (choose_late, all_three),
        (choose, all_three),
        (_settle, all_three),
        (_try_once, all_three),
        (move, (*all_three, number)),
    ):
        if is_given_up():
            return False
        compile_for(function, like)
    return True


class Moves:
    """A walk over one board by compiled code.

    `total` is the present weight; `lightest` that of the lightest so far; `swung_at` what was
    placed when the board was last pushed back and forth.
    """

    def __init__(
        self, ground: Ground, stand: Stand, seed: int, cost_price: float, a_quarter: float = 1.0
    ) -> None:
        """Begin a walk.

        Args:
            ground: the question.
            stand: the board, changed in place.
            seed: of the pseudo-random choices.
            cost_price: quarters that an activity may rather wait than cause one unit of cost.
            a_quarter: what it adds to the total that an activity ends a quarter later.
        """
        self.ground, self.stand = ground, stand
        self.pad = pad_of(ground, stand, seed)
        self.pad.how[COST_PRICE], self.pad.how[A_QUARTER] = cost_price, a_quarter
        total = int(weigh(ground, stand, self.pad))
        self.pad.kept[:] = total + self.pad.tally[GUIDE]
        self.pad.tally[TOTAL] = self.pad.tally[LIGHTEST] = total
        self.pad.tally[IS_SAVED] = 1
        self.swung_at = 0

    @property
    def total(self) -> int:
        """What the board weighs now."""
        return int(self.pad.tally[TOTAL])

    @property
    def lightest(self) -> int:
        """What the lightest so far weighed."""
        return int(self.pad.tally[LIGHTEST])

    @property
    def placed(self) -> int:
        """Activities put back so far."""
        return int(self.pad.tally[PLACED])

    def go(self, tries: int) -> None:
        """Try so many moves."""
        move(self.ground, self.stand, self.pad, tries)

    def go_on_from(self, other: Table) -> None:
        """Go on from another board, as free as before, unless none kept was as heavy."""
        tally, kept, more = self.pad.tally, self.pad.kept, other.pad.tally
        more[GUIDE] = 0
        total = int(weigh(*other))
        if total + more[GUIDE] > np.max(kept):
            return
        slack = np.maximum(0, kept - tally[TOTAL] - tally[GUIDE])
        lay(self.stand, other.stand)
        tally[TOTAL], tally[GUIDE], tally[LAST_FINISH] = total, more[GUIDE], more[LAST_FINISH]
        kept[:] = total + tally[GUIDE] + slack
        if total < self.lightest:
            tally[LIGHTEST], self.pad.best[...] = total, self.stand.at

    def best(self) -> tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]]:
        """Starts, finishes and modes of the lightest."""
        starts, finishes, modes = self.pad.best.T.tolist()
        return tuple(starts), tuple(finishes), tuple(modes)
