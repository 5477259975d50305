"""What moves over a board are worked out on, and the dice they are chosen by.

Takes a question and a board of `flat`, gives the arrays that compiled code works on, with names for
their places. Knows nothing of what is done on them.

Source:
    G. Marsaglia, "Xorshift RNGs", Journal of Statistical Software 8 (2003), no. 14.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from planner.schedule.compiled import compiled
from planner.schedule.flat import DAY, HORIZON, RUN, RUN_END

if TYPE_CHECKING:
    import numpy.typing as npt

    from planner.schedule.flat import Ground, Stand, Whole

    Word = npt.NDArray[np.uint64]
    Real = npt.NDArray[np.float64]

BARE, NEVER = -1, 1 << 40
"""No state, as in `indexed`; later than all."""
MOST_OUT = 160
"""Activities taken out at once."""
MEMORY = 1000
"""A change may be as heavy as the board so many tries ago."""
SHIFT_A, SHIFT_B, SHIFT_C = np.uint64(13), np.uint64(7), np.uint64(17)
DROP, UNIT = np.uint64(11), 1.0 / (1 << 53)

# Tallies.
TOTAL, LIGHTEST, PLACED, OUT, TOUCHED, STAMP, AT, LAST_FINISH, IS_SAVED, GUIDE, TALLIES = range(11)
# How to put back: quarters rather waited than changed over, and than one unit of cost paid; whether
# modes are free; of what is moved together, not before and the mode or -1; what a quarter weighs;
# whether what follows from something taken out stays where it is.
PATIENCE, COST_PRICE, IS_FREE, FLOOR, THIS_MODE, A_QUARTER, FOLLOW_STAYS, HOWS = range(8)
# Of an activity taken out.
NOT_OUT, LIFTED, PUT = range(3)


class Pad(NamedTuple):
    """What the moves are worked out on.

    Attributes:
        tally: numbers of the walk.
        dice: state of the random numbers.
        kept: totals of some tries ago, what guides the walk counted in.
        best: starts, finishes and modes of the lightest board.
        out: what is taken out, in turn; at most `MOST_OUT`.
        state: of each activity, whether it is out or put back.
        was: where each was.
        key: order of putting back.
        party: of each activity, whether it is of what is moved together.
        waiting: how many that each waits for are still out; before that, a chain chosen.
        tried: starts of a run that are tried.
        touched: resources changed.
        stamps: by resource, 1 if it was changed in this try.
        days: by day, when it was last counted.
        how: how to put back.
    """

    tally: Whole
    dice: Word
    kept: Whole
    best: Whole
    out: Whole
    state: Whole
    was: Whole
    key: Real
    party: Whole
    waiting: Whole
    tried: Whole
    touched: Whole
    stamps: Whole
    days: Whole
    how: Real


def pad_of(ground: Ground, stand: Stand, seed: int) -> Pad:
    """An empty pad for a question, with the board as the best so far and dice from a seed."""
    count, resources = ground.acts.shape[0], ground.resources.shape[0]
    days = int(ground.sizes[HORIZON] // ground.sizes[DAY]) + 2
    return Pad(
        tally=np.zeros(TALLIES, np.int64),
        dice=np.array([(seed * 2_654_435_761 + 88_172_645_463_325_252) % 2**64], np.uint64),
        kept=np.zeros(MEMORY, np.int64),
        best=stand.at.copy(),
        out=np.zeros(MOST_OUT + 1, np.int64),
        state=np.zeros(count, np.int64),
        was=np.zeros((count, 3), np.int64),
        key=np.zeros(count, np.float64),
        party=np.zeros(count, np.int64),
        waiting=np.zeros(count + MOST_OUT + 1, np.int64),
        tried=np.zeros(
            int(np.max(ground.acts[:, RUN_END] - ground.acts[:, RUN], initial=1)), np.int64
        ),
        touched=np.zeros(resources + 1, np.int64),
        stamps=np.zeros(resources, np.int64),
        days=np.zeros(days, np.int64),
        how=np.zeros(HOWS, np.float64),
    )


@compiled
def chance(dice: Word) -> float:
    """From 0 to less than 1, each as likely."""
    x = dice[0]
    x ^= x << SHIFT_A
    x ^= x >> SHIFT_B
    x ^= x << SHIFT_C
    dice[0] = x
    return float(x >> DROP) * UNIT


@compiled
def below(dice: Word, count: int) -> int:
    """From 0 to `count - 1`, each as likely."""
    return int(chance(dice) * count)
