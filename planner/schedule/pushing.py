"""Orders read off a board pushed back in time, as `mirror` does it, by compiled code.

Takes a `Table` and a `Back` made for its question, gives another order, or the board that it leads
to. Knows nothing of weights or of search. Nothing is locked in the question turned round, and only
the order is used.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from planner.schedule.compiled import called_from_python, compile_for, compiled, is_kept
from planner.schedule.flat import (
    DUE,
    FINISH,
    HORIZON,
    LATE_PRICE,
    MODE,
    RELEASE,
)
from planner.schedule.pad import NEVER, PATIENCE
from planner.schedule.placing import (
    NO_LIMIT,
    Table,
    Wanted,
    clear_board,
    copy_board,
    lift_all,
    place_all,
    put_all,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.schedule.flat import Whole


class Back(NamedTuple):
    """A question turned round.

    Attributes:
        table: the question with time running backwards, and a board of it.
        wanted: in which order what is pushed back.
        topological: activities, each after all that it waits for.
        rank: of each activity its place in that.
        keys: to sort by.
        horizon: the quarter that becomes 0; alone.
    """

    table: Table
    wanted: Wanted
    topological: Whole
    rank: Whole
    keys: Whole
    horizon: Whole


@compiled
def _sift(keys: Whole, root: int, end: int) -> None:
    """Let a key sink to its place in a heap."""
    key = keys[root]
    while True:
        child = 2 * root + 1
        if child + 1 < end and keys[child + 1] > keys[child]:
            child += 1
        if child >= end or keys[child] <= key:
            break
        keys[root] = keys[child]
        root = child
    keys[root] = key


@compiled
def _sort(keys: Whole) -> None:
    """Sort in place: `numpy.sort` makes an array."""
    for root in range(keys.size // 2 - 1, -1, -1):
        _sift(keys, root, keys.size)
    for end in range(keys.size - 1, 0, -1):
        keys[0], keys[end] = keys[end], keys[0]
        _sift(keys, 0, end)


@compiled
def push_back(front: Table, back: Back, order: Whole, price: float) -> bool:
    """Write the order by latest starts that keep every due, or its present lateness.

    Args:
        front: a board.
        back: its question turned round; changed.
        order: written to.
        price: quarters rather waited than changed over.

    Returns:
        Whether there is one; the order is spoilt else.
    """
    ground, at, count, horizon = back.table.ground, front.stand.at, order.size, back.horizon[0]
    last, keys = 0, back.keys
    for i in range(count):
        last = max(last, at[i, FINISH])
    for i in range(count):
        is_due = front.ground.acts[i, LATE_PRICE] > 0
        due = min(last, front.ground.acts[i, DUE]) if is_due else last
        ground.acts[i, RELEASE] = horizon - max(at[i, FINISH], due)
        back.wanted.modes[i] = at[i, MODE]
        keys[i] = (last - at[i, FINISH]) * count + count - 1 - back.rank[i]
    _sort(keys)
    for k in range(count):
        back.wanted.order[k] = back.topological[count - 1 - keys[k] % count]
    back.table.pad.how[PATIENCE] = price
    clear_board(back.table)
    if last > horizon or not put_all(back.table, back.wanted, 0, NEVER):
        return False
    ends = back.table.stand.at
    for i in range(count):
        keys[i] = (ground.sizes[HORIZON] - ends[i, FINISH]) * count + back.rank[i]
    _sort(keys)
    for k in range(count):
        order[k] = back.topological[keys[k] % count]
    return True


@called_from_python
def swing(now: Table, trial: Table, back: Back, wanted: Wanted, price: float) -> bool:
    """Push a board back and place it forwards on another one; false if that cannot be."""
    for i in range(wanted.modes.size):
        wanted.modes[i] = now.stand.at[i, MODE]
    if not push_back(now, back, wanted.order, price):
        return False
    copy_board(now, trial)
    trial.pad.how[PATIENCE] = price
    lift_all(trial, wanted.order, 0)
    return put_all(trial, wanted, 0, NO_LIMIT)


def can_swing_at_once() -> bool:
    """Whether neither a swing nor placing need be compiled, but only be read from disk."""
    return is_kept(swing)


def compile_swing(
    table: Table, back: Back, wanted: Wanted, is_given_up: Callable[[], bool]
) -> bool:
    """Compile part by part, as `compile_moves`; whether all is compiled."""
    number, price = 0, 1.0
    for function, like in (
        (put_all, (table, wanted, number, number)),
        (push_back, (table, back, wanted.order, price)),
        (place_all, (table, wanted, price)),
        (swing, (table, table, back, wanted, price)),
    ):
        if is_given_up():
            return False
        compile_for(function, like)
    return True
