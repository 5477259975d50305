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
    HORIZON,
    IN_USE,
    LAG,
    MODE,
    NEXT,
    NOT_BEFORE,
    OTHER,
    PARTNER,
    PARTNER_END,
    RELEASE,
    ROW,
    RUN,
    RUN_END,
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
    A_QUARTER,
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
from planner.schedule.rows import (
    broken_into,
    caused,
    cost_of,
    end_of,
    fit,
    found_from,
    moved_price,
    overtime,
    ready_after,
)

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
    """Add an activity to what a resource does, in a state kept for the next of its run."""
    rows, (r, state), begin = stand.rows, use, ground.resources[use[0], ROW]
    start, until, after = stand.at[i, START], stand.at[i, FINISH], ground.acts[i, NEXT]
    if state != BARE and after >= 0:
        until = stand.at[after, START]
    at = found_from(rows, begin, stand.counts[r], start)
    over = begin + stand.counts[r]
    for column in range(4):
        for k in range(over, at, -1):
            rows[column, k] = rows[column, k - 1]
    stand.counts[r] += 1
    rows[START, at], rows[FINISH, at], rows[STATE, at] = start, until, state
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
        row, units = ground.shareds[k, IN_USE], ground.shareds[k, UNITS]
        for q in range(start, finish):
            stand.used[row, q] -= units


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
        row, units = ground.shareds[k, IN_USE], ground.shareds[k, UNITS]
        for q in range(start, finish):
            stand.used[row, q] += units


@compiled
def _limits(ground: Ground, stand: Stand, pad: Pad, i: int) -> tuple[int, int]:
    """Earliest start by what a run waits for, and latest end by what waits and stands still.

    Args:
        ground: the question.
        stand: the board.
        pad: what is out.
        i: the first of the run.
    """
    at, state = stand.at, pad.state
    first, last = ground.acts[i], ground.acts[ground.runs[ground.acts[i, RUN_END] - 1]]
    ready, limit = first[RELEASE], NEVER
    for e in range(first[BEFORE], first[BEFORE_END]):
        link = ground.before[e]
        ready = max(ready, ready_after(ground, link, at[link[OTHER], FINISH]))
    for e in range(last[FOLLOW], last[FOLLOW_END]):
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
def _chained(ground: Ground, stand: Stand, pad: Pad, work: tuple[int, int], start: int) -> int:
    """When a run ends whose first begins at `start`, each as early as it may; as `Decoder.chained`.

    Starts are left in `tried`. `NEVER` where one has no place.
    """
    (i, mode), acts, begin = work, ground.acts, ground.acts[work[0], RUN]
    pad.tried[0] = start
    finish = end_of(ground, acts[i, WAY] + mode, start)
    for k in range(begin + 1, acts[i, RUN_END]):
        j = ground.runs[k]
        w, link = acts[j, WAY] + mode, ground.before[acts[j, BEFORE]]
        ready = max(acts[j, RELEASE], ready_after(ground, link, finish))
        begins = fit(ground, stand, w, ready)
        if begins >= NEVER:
            return NEVER
        pad.tried[k - begin] = begins
        finish = end_of(ground, w, begins)
    return finish


@compiled
def _unbroken(ground: Ground, stand: Stand, pad: Pad, work: tuple[int, int], start: int) -> int:
    """When a run ends that begins at `start`, or later if something else would lie in it.

    As `Change._unbroken`; starts are left in `tried`. `NEVER` where it has no place.
    """
    w = ground.acts[work[0], WAY] + work[1]
    is_alone = ground.acts[work[0], RUN_END] - ground.acts[work[0], RUN] == 1
    end = _chained(ground, stand, pad, work, start)
    while not is_alone and end < NEVER:
        later = broken_into(ground, stand, w, (start, end))
        if later < 0:
            break
        start = fit(ground, stand, w, later)
        end = NEVER if start >= NEVER else _chained(ground, stand, pad, work, start)
    return end


@compiled
def _score(ground: Ground, stand: Stand, pad: Pad, i: int, mode: int) -> float:
    """How a run does as it is tried but for its end, in quarters: the lower, the better."""
    acts, how, begin = ground.acts, pad.how, ground.acts[i, RUN]
    score, w = 0.0, acts[i, WAY] + mode
    if how[PATIENCE] > 0 and ground.ways[w, DURATION] > 0:
        score = how[PATIENCE] * caused(ground, stand, w, pad.tried[0])
    for k in range(begin, acts[i, RUN_END]):
        j, start = ground.runs[k], pad.tried[k - begin]
        w = acts[j, WAY] + mode
        score += how[COST_PRICE] * cost_of(ground, j, w, (start, end_of(ground, w, start)))
        score += moved_price(ground, j, start, mode) / how[A_QUARTER]
    return score


@compiled
def best_start_of(
    ground: Ground, stand: Stand, pad: Pad, work: tuple[int, int], window: tuple[int, int]
) -> tuple[float, int]:
    """How a run does in a mode, at its earliest or rather later, and when: the lower, the better.

    Args:
        ground: the question.
        stand: the board.
        pad: with how to put back; the last starts that were tried are left in it.
        work: the first activity of the run and the mode.
        window: when it may start and when it must have ended.
    """
    (i, mode), (ready, limit), w = work, window, ground.acts[work[0], WAY] + work[1]
    is_bare = ground.ways[w, DURATION] == 0
    start = ready if is_bare else fit(ground, stand, w, ready)
    best, best_start, rather, issued = np.inf, start, -1, ground.acts[i, NOT_BEFORE]
    # What takes no time fits anywhere, but the tables end.
    if start >= ground.sizes[HORIZON]:
        return best, start
    if pad.how[PATIENCE] > 0 and not is_bare and caused(ground, stand, w, start) > 0:
        rather = _beside(ground, stand, w, start)
    morning, preferred = _cheaper_after(ground, i, w, start)
    for wanted in (start, morning, preferred, issued, rather):
        if wanted < start:
            continue
        begins = wanted if is_bare or wanted == start else fit(ground, stand, w, wanted)
        is_beyond = begins >= ground.sizes[HORIZON]
        ends = NEVER if is_beyond else _unbroken(ground, stand, pad, work, begins)
        if ends >= NEVER or ends > limit:
            continue
        score = ends + _score(ground, stand, pad, i, mode)
        if score < best:
            best, best_start = score, pad.tried[0]
    return best, best_start


@compiled
def put_back(ground: Ground, stand: Stand, pad: Pad, i: int) -> bool:
    """Put a run, by its first, back where it does best; false if it would hold up what stands."""
    acts, at = ground.acts, stand.at
    ready, limit = _limits(ground, stand, pad, i)
    if pad.party[i] != 0:
        ready = max(ready, int(pad.how[FLOOR]))
    first, last = _modes(ground, stand, pad, i)
    best, best_mode, best_start = np.inf, -1, 0
    for mode in range(first, last + 1):
        score, start = best_start_of(ground, stand, pad, (i, mode), (ready, limit))
        if score < best:
            best, best_mode, best_start = score, mode, start
    if best_mode < 0:
        return False
    _chained(ground, stand, pad, (i, best_mode), best_start)
    begin, end = acts[i, RUN], acts[i, RUN_END]
    for k in range(begin, end):
        j = ground.runs[k]
        at[j, START], at[j, MODE] = pad.tried[k - begin], best_mode
        at[j, FINISH] = end_of(ground, acts[j, WAY] + best_mode, at[j, START])
    if _holds_up(ground, stand, pad, ground.runs[end - 1]):
        return False
    for k in range(begin, end):
        set_down(ground, stand, pad, ground.runs[k])
        pad.state[ground.runs[k]] = PUT
    return True


@compiled
def _next(pad: Pad) -> int:
    """What is out and free to go back, lowest key first; of a run it is the first."""
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
    while count > 0:
        best = _next(pad)
        size = ground.acts[best, RUN_END] - ground.acts[best, RUN]
        count -= size
        pad.tally[PLACED] += size
        if not put_back(ground, stand, pad, best):
            return False
        last = ground.runs[ground.acts[best, RUN_END] - 1]
        for e in range(ground.acts[last, FOLLOW], ground.acts[last, FOLLOW_END]):
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
    for k in range(pad.tally[OUT]):
        set_down(ground, stand, pad, out[k])
