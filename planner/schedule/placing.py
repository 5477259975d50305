"""All activities of an order placed by compiled code, each in turn where it does best.

Takes a `Table`, an order and the mode wanted of each; changes the board in place, as `Decoder`
fills one. Knows nothing of where an order comes from or of whether it is kept. What is locked
stays.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from planner.schedule.compiled import called_from_python, compiled
from planner.schedule.flat import (
    DUE,
    FINISH,
    LATE_PRICE,
    LOCKED,
    MODE,
    RUN,
    RUN_END,
)
from planner.schedule.pad import IS_FREE, LIFTED, NOT_OUT, PATIENCE, PLACED
from planner.schedule.putting import lift, put_back
from planner.schedule.rows import weigh

if TYPE_CHECKING:
    from planner.schedule.flat import Ground, Stand, Whole
    from planner.schedule.pad import Pad

NO_LIMIT = 1 << 60
"""Of lateness, where all is to be placed however late."""


class Table(NamedTuple):
    """A question, a board of it, and what is worked out on; `pad.how` says how things are put."""

    ground: Ground
    stand: Stand
    pad: Pad


class Wanted(NamedTuple):
    """Whole orders as arrays: activity numbers in turn; by activity its mode, or -1 for any."""

    order: Whole
    modes: Whole


@compiled
def copy_board(one: Table, other: Table) -> None:
    """Make another board of the same question the same."""
    old, new = one.stand, other.stand
    for i in range(old.at.shape[0]):
        for column in range(3):
            new.at[i, column] = old.at[i, column]
    for column in range(4):
        for k in range(old.rows.shape[1]):
            new.rows[column, k] = old.rows[column, k]
    for r in range(old.counts.size):
        new.counts[r] = old.counts[r]
    for row in range(old.used.shape[0]):
        for q in range(old.used.shape[1]):
            new.used[row, q] = old.used[row, q]


@compiled
def clear_board(table: Table) -> None:
    """Take everything off a board on which nothing is locked."""
    stand, state = table.stand, table.pad.state
    for i in range(state.size):
        state[i] = LIFTED
    for r in range(stand.counts.size):
        stand.counts[r] = 0
    for row in range(stand.used.shape[0]):
        for q in range(stand.used.shape[1]):
            stand.used[row, q] = 0


@compiled
def _put(table: Table, i: int, mode: int) -> bool:
    """Put a run, by its last, where it does best in a mode, or in any; false if nowhere."""
    ground, stand, pad = table
    first = ground.runs[ground.acts[i, RUN]]
    pad.how[IS_FREE] = 1.0 if mode < 0 else 0.0
    if mode >= 0:
        stand.at[first, MODE] = mode
    pad.tally[PLACED] += ground.acts[i, RUN_END] - ground.acts[i, RUN]
    return put_back(ground, stand, pad, first)


@compiled
def lateness(table: Table, i: int) -> int:
    """What being late weighs of one activity."""
    act = table.ground.acts[i]
    return int(max(0, table.stand.at[i, FINISH] - act[DUE]) * act[LATE_PRICE])


@compiled
def put_all(table: Table, wanted: Wanted, begin: int, limit: int) -> bool:
    """Put what is lifted where it does best, in turn from a place in the order on.

    Gives up, with false, where something has no place or so much lateness is passed. All of a run
    is put when its last comes, before which comes all that any of it waits for.
    """
    ground, state, late, is_put = table.ground, table.pad.state, 0, True
    for k in range(begin, wanted.order.size):
        i = wanted.order[k]
        if state[i] == LIFTED and ground.runs[ground.acts[i, RUN_END] - 1] == i:
            is_put = _put(table, i, wanted.modes[i])
            late += lateness(table, i)
            if not is_put or late > limit:
                break
    for i in range(state.size):
        state[i] = NOT_OUT
    return is_put and late <= limit


@compiled
def lift_all(table: Table, order: Whole, begin: int) -> None:
    """Lift everything from a place in an order on, runs whole, but for what is locked."""
    ground, stand, pad = table
    for k in range(order.size - 1, begin - 1, -1):
        act = ground.acts[order[k]]
        for e in range(act[RUN], 0 if act[LOCKED] else act[RUN_END]):
            i = ground.runs[e]
            if pad.state[i] != LIFTED:
                lift(ground, stand, pad, i)
                pad.state[i] = LIFTED


@called_from_python
def place_all(table: Table, wanted: Wanted, price: float) -> int:
    """Place all of an order anew; gives what that weighs, or -1 if something has no place."""
    table.pad.how[PATIENCE] = price
    lift_all(table, wanted.order, 0)
    return weigh(*table) if put_all(table, wanted, 0, NO_LIMIT) else -1
