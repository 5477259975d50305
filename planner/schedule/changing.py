"""What a try changes of a whole order, by compiled code: as `Search` does it in Python.

Takes a question, a board and a `Line`, writes another order beside it. Knows nothing of placing and
of weights. An order stays one: what is moved sooner takes along what it waits for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from planner.schedule.compiled import compiled
from planner.schedule.flat import (
    BEFORE,
    BEFORE_END,
    CAMPAIGN,
    FINISH,
    FOLLOW,
    FOLLOW_END,
    OTHER,
    WAYS,
)
from planner.schedule.pad import below, chance
from planner.schedule.placing import lateness
from planner.schedule.rows import waited_for_longest

if TYPE_CHECKING:
    from planner.schedule.flat import Ground, Whole
    from planner.schedule.pad import Real, Word
    from planner.schedule.placing import Table, Wanted

TROUBLED_SHARE, SOONER_SHARE, LATER_SHARE, MODE_SHARE = 0.45, 0.17, 0.16, 0.2
"""Of the tries; in the rest the patience is changed."""
BACK_SHARE = 0.7
"""How often it goes one step further back from what is late."""
PRICES = 5
"""Patiences chosen from: half a quarter rather waited for one changed over, and doubles of it."""
# Places of a line's numbers.
PRICE, NEW_PRICE = 0, 1


class Line(NamedTuple):
    """An order that is walked from.

    Attributes:
        now: the order.
        new: what a try makes of it.
        marks: of each activity, whether it is moved.
        prices: the patience now and in the try.
    """

    now: Wanted
    new: Wanted
    marks: Whole
    prices: Real


@compiled
def change(table: Table, line: Line) -> int:
    """Write a changed order; gives the first place that differs, or -1."""
    ground, dice = table.ground, table.pad.dice
    _copy(line)
    draw = chance(dice)
    if draw < TROUBLED_SHARE:
        _sooner(ground, dice, line, _troubled(table))
    elif draw < TROUBLED_SHARE + SOONER_SHARE:
        _sooner(ground, dice, line, below(dice, line.marks.size))
    elif draw < TROUBLED_SHARE + SOONER_SHARE + LATER_SHARE:
        _later(ground, dice, line, below(dice, line.marks.size))
    elif draw < TROUBLED_SHARE + SOONER_SHARE + LATER_SHARE + MODE_SHARE:
        i = _troubled(table) if chance(dice) < 0.5 else below(dice, line.marks.size)
        return _other_mode(ground, dice, line, i)
    else:
        line.prices[NEW_PRICE] = 0.5 * 2.0 ** below(dice, PRICES)
        return 0
    for k in range(line.marks.size):
        if line.new.order[k] != line.now.order[k]:
            return k
    return -1


@compiled
def _copy(line: Line) -> None:
    line.prices[NEW_PRICE] = line.prices[PRICE]
    for k in range(line.marks.size):
        line.new.order[k] = line.now.order[k]
        line.new.modes[k] = line.now.modes[k]


@compiled
def _latest(table: Table) -> int:
    """Something late, the likelier the more that weighs; else what ends last."""
    ground, at, total, i = table.ground, table.stand.at, 0, 0
    for k in range(ground.dues.size):
        total += lateness(table, ground.dues[k])
    if total == 0:
        for j in range(at.shape[0]):
            if at[j, FINISH] > at[i, FINISH]:
                i = j
        return i
    left = int(chance(table.pad.dice) * total)
    for k in range(ground.dues.size):
        i = ground.dues[k]
        left -= lateness(table, i)
        if left < 0:
            break
    return i


@compiled
def _troubled(table: Table) -> int:
    """Something that a late activity, or the last one, waits for, or that one itself."""
    acts, i = table.ground.acts, _latest(table)
    while acts[i, BEFORE] < acts[i, BEFORE_END] and chance(table.pad.dice) < BACK_SHARE:
        i = waited_for_longest(table.ground, table.stand, i)
    return i


@compiled
def _mark(ground: Ground, dice: Word, line: Line, i: int) -> tuple[int, int]:
    """Mark an activity, or all of its campaign; gives the first and the last place of those."""
    marks, order, number = line.marks, line.now.order, ground.acts[i, CAMPAIGN]
    for j in range(marks.size):
        marks[j] = 0
    if chance(dice) < 0.5:
        marks[i] = 1
    else:
        for k in range(ground.campaign_at[number], ground.campaign_at[number + 1]):
            marks[ground.members[k]] = 1
    first, last = -1, 0
    for k in range(order.size):
        if marks[order[k]]:
            first, last = first if first >= 0 else k, k
    return first, last


@compiled
def _reach(dice: Word, room: int) -> int:
    """How far to move: mostly a little, sometimes all the way."""
    return 1 + int(room * chance(dice) ** 1.5)


@compiled
def _part(line: Line, begin: int, end: int, leading: int) -> None:
    """Part a stretch of the order: what is marked so goes first, all else as it was."""
    order, new, at = line.now.order, line.new.order, begin
    for mark in (leading, 1 - leading):
        for k in range(begin, end):
            if line.marks[order[k]] == mark:
                new[at] = order[k]
                at += 1


@compiled
def _sooner(ground: Ground, dice: Word, line: Line, i: int) -> None:
    order, marks = line.now.order, line.marks
    first, last = _mark(ground, dice, line, i)
    target = max(0, first - _reach(dice, first))
    for k in range(last, target - 1, -1):
        act = ground.acts[order[k]]
        for e in range(act[FOLLOW], act[FOLLOW_END]):
            if marks[ground.follow[e, OTHER]]:
                marks[order[k]] = 1
                break
    _part(line, target, last + 1, 1)


@compiled
def _later(ground: Ground, dice: Word, line: Line, i: int) -> None:
    order, marks = line.now.order, line.marks
    first, last = _mark(ground, dice, line, i)
    room = order.size - 1 - last
    target = min(order.size - 1, last + _reach(dice, room))
    for k in range(first, target + 1):
        act = ground.acts[order[k]]
        for e in range(act[BEFORE], act[BEFORE_END]):
            if marks[ground.before[e, OTHER]]:
                marks[order[k]] = 1
                break
    _part(line, first, target + 1, 0)


@compiled
def _other_mode(ground: Ground, dice: Word, line: Line, i: int) -> int:
    """Another mode, or any, for an activity or all of its campaign; gives the first of those."""
    mode = below(dice, ground.acts[i, WAYS] + 1) - 1
    _mark(ground, dice, line, i)
    place = -1
    if ground.acts[i, WAYS] == 1:
        return place
    for k in range(line.marks.size):
        j = line.now.order[k]
        if line.marks[j] and mode < ground.acts[j, WAYS] and line.now.modes[j] != mode:
            line.new.modes[j] = mode
            place = place if place >= 0 else k
    return place
