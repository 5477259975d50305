"""Activities lifted off a board and put back, each where it does best, by compiled code.

Takes the tables of `flat` and a `Pad` that says what is out and how to put it back; changes the
board in place. Knows nothing of what is worth taking out, nor of whether a change is kept.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from planner.schedule.compiled import compiled
from planner.schedule.flat import (
    AWAY_PRICE,
    BAND,
    BAND_END,
    BEFORE,
    BEFORE_END,
    CLOCK,
    DAY,
    DURATION,
    FINISH,
    FIRST,
    FOLLOW,
    FOLLOW_END,
    LAG,
    MODE,
    OTHER,
    PARTNER,
    PARTNER_END,
    RELEASE,
    ROW,
    SHARED,
    SHARED_END,
    SINGLE,
    SINGLE_END,
    START,
    STATE,
    UNITS,
    WAY,
    WAYS,
    WHO,
)
from planner.schedule.pad import (
    BARE,
    COST_PRICE,
    FLOOR,
    IS_FREE,
    LIFTED,
    NEVER,
    OUT,
    PATIENCE,
    PLACED,
    PUT,
    THIS_MODE,
    TOUCHED,
)
from planner.schedule.rows import caused, cost_of, end_of, fit, found_from, overtime, ready_after

if TYPE_CHECKING:
    from planner.schedule.flat import Ground, Stand
    from planner.schedule.pad import Pad


@compiled
def _touch(pad: Pad, r: int) -> None:
    if pad.stamps[r] == 0:
        pad.stamps[r] = 1
        pad.touched[pad.tally[TOUCHED]] = r
        pad.tally[TOUCHED] += 1


@compiled
def _cut(ground: Ground, stand: Stand, r: int, who: tuple[int, int]) -> None:
    """Take a work, by start and activity, out of what a resource does."""
    rows, begin = stand.rows, ground.resources[r, ROW]
    at = found_from(rows, begin, stand.counts[r], who[0])
    while rows[WHO, at] != who[1]:
        at += 1
    stand.counts[r] -= 1
    over = begin + stand.counts[r]
    for column in range(4):
        for k in range(at, over):
            rows[column, k] = rows[column, k + 1]


@compiled
def _add(ground: Ground, stand: Stand, use: tuple[int, int], i: int) -> None:
    """Add an activity to what a resource does, in a state."""
    rows, (r, state), begin = stand.rows, use, ground.resources[use[0], ROW]
    start = stand.at[i, START]
    at = found_from(rows, begin, stand.counts[r], start)
    over = begin + stand.counts[r]
    for column in range(4):
        for k in range(over, at, -1):
            rows[column, k] = rows[column, k - 1]
    stand.counts[r] += 1
    rows[START, at], rows[FINISH, at], rows[STATE, at] = start, stand.at[i, FINISH], state
    rows[WHO, at] = i


@compiled
def lift(ground: Ground, stand: Stand, pad: Pad, i: int) -> None:
    """Take an activity off its resources."""
    start, finish = stand.at[i, START], stand.at[i, FINISH]
    if finish == start:
        return
    way = ground.ways[ground.acts[i, WAY] + stand.at[i, MODE]]
    for k in range(way[SINGLE], way[SINGLE_END]):
        _cut(ground, stand, ground.singles[k, 0], (start, i))
        _touch(pad, ground.singles[k, 0])
    for k in range(way[SHARED], way[SHARED_END]):
        r, units = ground.shareds[k, OTHER], ground.shareds[k, UNITS]
        for q in range(start, finish):
            stand.used[r, q] -= units


@compiled
def set_down(ground: Ground, stand: Stand, pad: Pad, i: int) -> None:
    """Put an activity on its resources where its times say."""
    start, finish = stand.at[i, START], stand.at[i, FINISH]
    if finish == start:
        return
    way = ground.ways[ground.acts[i, WAY] + stand.at[i, MODE]]
    for k in range(way[SINGLE], way[SINGLE_END]):
        _add(ground, stand, (ground.singles[k, 0], ground.singles[k, 1]), i)
        _touch(pad, ground.singles[k, 0])
    for k in range(way[SHARED], way[SHARED_END]):
        r, units = ground.shareds[k, OTHER], ground.shareds[k, UNITS]
        for q in range(start, finish):
            stand.used[r, q] += units


@compiled
def _limits(ground: Ground, stand: Stand, pad: Pad, i: int) -> tuple[int, int]:
    """Earliest start by what it waits for, and latest end by what waits and stands still."""
    act, at, state = ground.acts[i], stand.at, pad.state
    ready, limit = act[RELEASE], NEVER
    for e in range(act[BEFORE], act[BEFORE_END]):
        link = ground.before[e]
        ready = max(ready, ready_after(ground, link, at[link[OTHER], FINISH]))
    for e in range(act[FOLLOW], act[FOLLOW_END]):
        link = ground.follow[e]
        if state[link[OTHER]] != LIFTED:
            limit = min(limit, at[link[OTHER], START] - link[LAG])
    return ready, limit


@compiled
def _holds_up(ground: Ground, stand: Stand, pad: Pad, i: int) -> bool:
    """Whether something that stands still starts before it may, by the clock, after `i`."""
    for e in range(ground.acts[i, FOLLOW], ground.acts[i, FOLLOW_END]):
        link = ground.follow[e]
        is_dated = link[CLOCK] >= 0 and pad.state[link[OTHER]] != LIFTED
        ready = ready_after(ground, link, stand.at[i, FINISH]) if is_dated else 0
        if ready > stand.at[link[OTHER], START]:
            return True
    return False


@compiled
def _modes(ground: Ground, stand: Stand, pad: Pad, i: int) -> tuple[int, int]:
    """The first and the last mode that may be taken."""
    act, how = ground.acts[i], pad.how
    for e in range(act[PARTNER], act[PARTNER_END]):
        j = ground.partners[e]
        if pad.state[j] != LIFTED:
            return stand.at[j, MODE], stand.at[j, MODE]
    mode = int(how[THIS_MODE])
    if pad.party[i] != 0 and 0 <= mode < act[WAYS]:
        return mode, mode
    if how[IS_FREE] > 0:
        return 0, act[WAYS] - 1
    return stand.at[i, MODE], stand.at[i, MODE]


@compiled
def _cheaper_after(ground: Ground, i: int, w: int, start: int) -> tuple[int, int]:
    """As `Decoder.cheaper_after`: the next morning, the start preferred, or -1."""
    act, way, day = ground.acts[i], ground.ways[w], ground.sizes[DAY]
    morning = preferred = -1
    if way[BAND_END] > way[BAND] and overtime(ground, w, start, start + way[DURATION]):
        morning = start + day - start % day
    if act[AWAY_PRICE] and act[FIRST] > start:
        preferred = act[FIRST]
    return morning, preferred


@compiled
def _beside(ground: Ground, stand: Stand, w: int, start: int) -> int:
    """Where the next work of the same state ends, or -1."""
    for k in range(ground.ways[w, SINGLE], ground.ways[w, SINGLE_END]):
        r, state = ground.singles[k, 0], ground.singles[k, 1]
        if state == BARE:
            continue
        begin = ground.resources[r, ROW]
        at = found_from(stand.rows, begin, stand.counts[r], start)
        for e in range(at, min(at + 30, begin + stand.counts[r])):
            if stand.rows[STATE, e] == state:
                return int(stand.rows[FINISH, e])
    return -1


@compiled
def best_start_of(
    ground: Ground, stand: Stand, pad: Pad, work: tuple[int, int], window: tuple[int, int]
) -> tuple[float, int]:
    """How an activity does in a way, at its earliest or rather later, and when: the lower, better.

    Args:
        ground: the question.
        stand: the board.
        pad: with how to put back.
        work: the activity and the way.
        window: when it may start and when it must have ended.
    """
    (i, w), (ready, limit), how = work, window, pad.how
    is_bare = ground.ways[w, DURATION] == 0
    start = ready if is_bare else fit(ground, stand, w, ready)
    best, best_start, rather = np.inf, start, -1
    if start >= NEVER:
        return best, start
    if how[PATIENCE] > 0 and not is_bare and caused(ground, stand, w, start) > 0:
        rather = _beside(ground, stand, w, start)
    morning, preferred = _cheaper_after(ground, i, w, start)
    for wanted in (start, morning, preferred, rather):
        begins = wanted if is_bare or wanted == start else fit(ground, stand, w, wanted)
        ends = NEVER
        if wanted >= 0 and begins < NEVER:
            ends = end_of(ground, w, begins)
        if ends >= NEVER or ends > limit:
            continue
        score = ends + how[COST_PRICE] * cost_of(ground, i, w, (begins, ends))
        if not is_bare:
            score += how[PATIENCE] * caused(ground, stand, w, begins)
        if score < best:
            best, best_start = score, begins
    return best, best_start


@compiled
def put_back(ground: Ground, stand: Stand, pad: Pad, i: int) -> bool:
    """Put an activity back where it does best; false if it would hold up what stands still."""
    ready, limit = _limits(ground, stand, pad, i)
    if pad.party[i] != 0:
        ready = max(ready, int(pad.how[FLOOR]))
    first, last = _modes(ground, stand, pad, i)
    best, best_mode, best_start = np.inf, -1, 0
    for mode in range(first, last + 1):
        work = (i, ground.acts[i, WAY] + mode)
        score, start = best_start_of(ground, stand, pad, work, (ready, limit))
        if score < best:
            best, best_mode, best_start = score, mode, start
    if best_mode < 0:
        return False
    at = stand.at[i]
    at[START], at[MODE] = best_start, best_mode
    at[FINISH] = end_of(ground, ground.acts[i, WAY] + best_mode, best_start)
    if _holds_up(ground, stand, pad, i):
        return False
    set_down(ground, stand, pad, i)
    pad.state[i] = PUT
    return True


@compiled
def _next(pad: Pad) -> int:
    """What is out and free to go back, lowest key first."""
    best = -1
    for k in range(pad.tally[OUT]):
        i = pad.out[k]
        is_free = pad.state[i] == LIFTED and pad.waiting[i] == 0
        if is_free and (best < 0 or pad.key[i] < pad.key[best]):
            best = i
    return best


@compiled
def put_all_back(ground: Ground, stand: Stand, pad: Pad) -> bool:
    """Put all back, lowest key first where free; false if one has no place."""
    out, state, waiting, count = pad.out, pad.state, pad.waiting, pad.tally[OUT]
    for k in range(count):
        i = out[k]
        waiting[i] = 0
        for e in range(ground.acts[i, BEFORE], ground.acts[i, BEFORE_END]):
            waiting[i] += state[ground.before[e, OTHER]] == LIFTED
    for _ in range(count):
        best = _next(pad)
        pad.tally[PLACED] += 1
        if not put_back(ground, stand, pad, best):
            return False
        for e in range(ground.acts[best, FOLLOW], ground.acts[best, FOLLOW_END]):
            waiting[ground.follow[e, OTHER]] -= 1
    return True


@compiled
def undo(ground: Ground, stand: Stand, pad: Pad) -> None:
    """Put all that is out back where it was."""
    out, state = pad.out, pad.state
    for k in range(pad.tally[OUT]):
        if state[out[k]] == PUT:
            lift(ground, stand, pad, out[k])
    for k in range(pad.tally[OUT]):
        for column in range(3):
            stand.at[out[k], column] = pad.was[out[k], column]
        set_down(ground, stand, pad, out[k])
