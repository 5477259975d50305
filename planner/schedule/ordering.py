"""Whole orders changed and placed again by compiled code: as `Search` walks, ten times as quick.

Takes tables of `flat`, a wish and a seed; walks to lighter orders. Knows nothing of when to stop.
The same seed and number of tries give the same orders. Compiling takes some seconds once and is
then kept on disk: import this module where it is needed.

A try changes the order, the modes or the patience, or pushes the board back; it is kept if it
weighs no more than what was kept some tries ago (late acceptance). Pushing back is what gains most:
without it 100 generated pieces stay a fifth heavier.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.schedule.changing import NEW_PRICE, PRICE, Line, change
from planner.schedule.compiled import called_from_python, compile_for, compiled, is_kept
from planner.schedule.pad import (
    AT,
    LIGHTEST,
    PATIENCE,
    PLACED,
    TOTAL,
    chance,
)
from planner.schedule.placing import Table, Wanted, copy_board, lift_all, place_all, put_all
from planner.schedule.pushing import push_back
from planner.schedule.rows import weigh

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.schedule.pushing import Back

PUSHED_SHARE = 0.05
"""Of the tries, in how many the board is pushed back."""


@compiled
def _attempt(table: Table, wanted: Wanted, begin: int, limit: int) -> bool:
    """Place an order anew from a place on; false if that cannot be or becomes too late."""
    lift_all(table, wanted.order, begin)
    return put_all(table, wanted, begin, limit)


@compiled
def _changed(now: Table, back: Back, line: Line) -> int:
    """Write another order; gives the first place that differs, or -1."""
    if chance(now.pad.dice) >= PUSHED_SHARE:
        return change(now, line)
    line.prices[NEW_PRICE] = line.prices[PRICE]
    for i in range(line.marks.size):
        line.new.modes[i] = line.now.modes[i]
    return 0 if push_back(now, back, line.new.order, line.prices[PRICE]) else -1


@compiled
def _keep(now: Table, trial: Table, line: Line, total: int) -> None:
    """Go on from what was tried."""
    tally, best = now.pad.tally, now.pad.best
    copy_board(trial, now)
    tally[TOTAL], line.prices[PRICE] = total, line.prices[NEW_PRICE]
    for k in range(line.marks.size):
        line.now.order[k], line.now.modes[k] = line.new.order[k], line.new.modes[k]
    if total < tally[LIGHTEST]:
        tally[LIGHTEST] = total
        for i in range(line.marks.size):
            for column in range(3):
                best[i, column] = now.stand.at[i, column]


@compiled
def _try_once(now: Table, trial: Table, back: Back, line: Line) -> None:
    tally, kept = now.pad.tally, now.pad.kept
    # However little is placed: who counts placings must come to an end.
    tally[PLACED] += 1
    begin = _changed(now, back, line)
    if begin < 0:
        return
    limit = max(kept[tally[AT]], tally[TOTAL])
    copy_board(now, trial)
    trial.pad.how[PATIENCE] = line.prices[NEW_PRICE]
    if _attempt(trial, line.new, begin, limit):
        total = weigh(*trial)
        if total <= limit:
            _keep(now, trial, line, total)
    kept[tally[AT]] = tally[TOTAL]
    tally[AT] = (tally[AT] + 1) % kept.size


@called_from_python
def walk(now: Table, trial: Table, back: Back, line: Line, tries: int) -> None:
    """Try so many changes."""
    for _ in range(tries):
        _try_once(now, trial, back, line)


def are_compiled() -> bool:
    """Whether the walk need not be compiled, but only be read from disk."""
    return is_kept(walk)


def compile_walk(table: Table, back: Back, line: Line, is_given_up: Callable[[], bool]) -> bool:
    """Compile part by part, as `compile_moves`; whether all is compiled."""
    number = 0
    for function, like in (
        (put_all, (table, line.now, number, number)),
        (push_back, (table, back, line.now.order, 1.0)),
        (change, (table, line)),
        (_try_once, (table, table, back, line)),
        (place_all, (table, line.now, 1.0)),
        (walk, (table, table, back, line, number)),
    ):
        if is_given_up():
            return False
        compile_for(function, like)
    return True
