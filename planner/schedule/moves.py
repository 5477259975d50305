"""Activities lifted off a board and put back by compiled code, some hundred thousand a second.

Takes the tables of `flat`, changes the board in place. Knows nothing of when to stop. The same seed
and number of tries give the same board. Compiling takes seconds once and is then kept on disk:
import this module where it is needed. It checks no bounds; the tests hold it against the checker.

What a try takes out, with all that follows from it: something late with the chain it waits for and
what is in its way, a campaign, or a stretch of what one resource does. It goes back each at its
earliest, in an order and ways a little changed, and stays there if the total is no more than it was
some tries ago.

Source:
    E. K. Burke, Y. Bykov, "The late acceptance hill-climbing heuristic", European Journal of
    Operational Research 258 (2017), pp. 70-78; G. Schrimpf, J. Schneider, H. Stamm-Wilbrandt,
    G. Dueck, "Record breaking optimization results using the ruin and recreate principle", Journal
    of Computational Physics 159 (2000), pp. 139-171. Random numbers: G. Marsaglia, "Xorshift RNGs",
    Journal of Statistical Software 8 (2003), no. 14.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple, TypeVar, cast

import numpy as np
from numba import njit

from planner.schedule.flat import (
    AWAY_PRICE,
    BAND,
    BAND_END,
    BEFORE,
    BEFORE_END,
    CAMPAIGN,
    CHANGE_WEIGHT,
    CLOCK,
    COST,
    COST_WEIGHT,
    DAY,
    DUE,
    DURATION,
    FINISH,
    FINISH_WEIGHT,
    FIRST,
    FOLLOW,
    FOLLOW_END,
    GROUP,
    HELD_PRICE,
    HORIZON,
    IN_DAY,
    IS_WEIGHED,
    LAG,
    LAST,
    LATE_PRICE,
    LEVEL,
    LOCKED,
    MODE,
    OTHER,
    PARTNER,
    PARTNER_END,
    PAUSES,
    R_SPELL,
    R_SPELL_END,
    RELEASE,
    ROW,
    SHARED,
    SHARED_END,
    SINGLE,
    SINGLE_END,
    SPELL,
    SPELL_END,
    STANDING,
    START,
    STATE,
    STATES,
    UNITS,
    WAITING_PRICE,
    WAY,
    WAYS,
    WHO,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    import numpy.typing as npt

    from planner.schedule.flat import Ground, Stand, Whole

    Word = npt.NDArray[np.uint64]
    Real = npt.NDArray[np.float64]

BARE, NEVER = -1, 1 << 40
MOST_OUT, MOST_STRETCH, FARTHEST = 160, 48, 16
"""Activities taken out at once; works of one resource among them; works looked back at."""
PROBES, MOST_SIBLINGS = 200, 100
MEMORY = 1000
HERO_SHARE, CAMPAIGN_SHARE, SMOOTH = 0.3, 0.3, 0.5
SHIFT_A, SHIFT_B, SHIFT_C = np.uint64(13), np.uint64(7), np.uint64(17)
DROP, UNIT = np.uint64(11), 1.0 / (1 << 53)

# Tallies.
TOTAL, LIGHTEST, PLACED, OUT, TOUCHED, STAMP, AT, LAST_FINISH, IS_SAVED, GUIDE, TALLIES = range(11)
# How to put back: quarters rather waited than changed over, and than one unit of cost paid; whether
# modes are free; of what is moved together, not before and the mode or -1.
PATIENCE, COST_PRICE, IS_FREE, FLOOR, THIS_MODE, HOWS = range(6)
# Of an activity taken out.
NOT_OUT, LIFTED, PUT = range(3)

F = TypeVar("F", bound="Callable[..., object]")


def _compiled(function: F) -> F:
    """Compile when first called, keep it on disk, and let other threads run meanwhile.

    References to arrays are not counted, which took most of the time: nothing compiled here makes
    or keeps an array.
    """
    compiled = cast("Callable[..., Callable[[F], F]]", njit)
    return compiled(cache=True, nogil=True, _nrt=False)(function)


class Pad(NamedTuple):
    """What the moves are worked out on.

    Attributes:
        tally: numbers of the walk.
        dice: state of the random numbers.
        kept: totals of some tries ago.
        best: starts, finishes and modes of the lightest board.
        out: what is taken out, in turn.
        state: of each activity, whether it is out or put back.
        was: where each was.
        key: order of putting back.
        party: of each activity, whether it is of what is moved together.
        waiting: how many that each waits for are still out.
        touched: resources changed.
        stamps: by resource, when it was last touched.
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
    touched: Whole
    stamps: Whole
    days: Whole
    how: Real


@_compiled
def _chance(dice: Word) -> float:
    x = dice[0]
    x ^= x << SHIFT_A
    x ^= x >> SHIFT_B
    x ^= x << SHIFT_C
    dice[0] = x
    return float(x >> DROP) * UNIT


@_compiled
def _below(dice: Word, count: int) -> int:
    return int(_chance(dice) * count)


@_compiled
def _finish_of(spells: Whole, own: tuple[int, int], start: int, duration: int) -> int:
    """As `worktime.finish_of`."""
    end = start + duration
    for k in range(own[0], own[1]):
        if spells[k, 0] >= end:
            break
        if spells[k, 1] > start:
            end += spells[k, 1] - max(spells[k, 0], start)
    return end


@_compiled
def _start_before(spells: Whole, own: tuple[int, int], end: int, duration: int) -> int:
    """As `worktime.start_before`."""
    start = end - duration
    for k in range(own[1] - 1, own[0] - 1, -1):
        if spells[k, 1] <= start:
            break
        if spells[k, 0] < end:
            start -= min(spells[k, 1], end) - spells[k, 0]
    return start


@_compiled
def _end_of(ground: Ground, w: int, start: int) -> int:
    way = ground.ways[w]
    if not way[PAUSES]:
        return int(start + way[DURATION])
    return _finish_of(ground.spells, (way[SPELL], way[SPELL_END]), start, way[DURATION])


@_compiled
def _change(ground: Ground, r: int, before: int, after: int) -> int:
    """As `Indexed.change`."""
    if before == after:
        return 0
    if before == BARE:
        return int(ground.states[after, 0])
    place = r * ground.sizes[STATES] + before
    for k in range(ground.odd_at[place], ground.odd_at[place + 1]):
        if ground.odd[k, 0] == after:
            return int(ground.odd[k, 1])
    return int(ground.states[before, 1] + ground.states[after, 0])


@_compiled
def _ready(ground: Ground, link: Whole, finish: int) -> int:
    """As `Indexed.ready`."""
    if link[CLOCK] < 0:
        return int(finish + link[LAG])
    return int(max(finish + link[LAG], ground.clock[link[CLOCK], finish]))


@_compiled
def _found(rows: Whole, begin: int, count: int, start: int) -> int:
    """The first of a resource's works that starts at `start` or later."""
    low, high = begin, begin + count
    while low < high:
        middle = (low + high) // 2
        if rows[START, middle] < start:
            low = middle + 1
        else:
            high = middle
    return low


@_compiled
def _clear_from(ground: Ground, stand: Stand, use: Whole, window: tuple[int, int]) -> int:
    """The window's start if a one-unit resource is free and can be set up for it, else a later one.

    Nothing sooner than what is given fits.
    """
    rows, r, (start, end) = stand.rows, use[0], window
    begin = ground.resources[r, ROW]
    at = _found(rows, begin, stand.counts[r], start)
    if at > begin and rows[FINISH, at - 1] > start:
        return int(rows[FINISH, at - 1])
    if at < begin + stand.counts[r] and rows[START, at] < end:
        return int(rows[FINISH, at])
    return start if use[1] == BARE else _set_up_from(ground, stand, use, (start, end, at))


@_compiled
def _set_up_from(ground: Ground, stand: Stand, use: Whole, window: tuple[int, int, int]) -> int:
    """As `_clear_from` where nothing is at work, by the states beside a place in a row."""
    rows, (r, state), (start, end, at) = stand.rows, (use[0], use[1]), window
    own = (ground.resources[r, R_SPELL], ground.resources[r, R_SPELL_END])
    left, right = _beside_set_up(ground, stand, r, at)
    first = _change(ground, r, ground.resources[r, STANDING], state)
    if left >= 0:
        first = _change(ground, r, rows[STATE, left], state)
    first = _finish_of(ground.spells, own, rows[FINISH, left] if left >= 0 else 0, first)
    if start < first:
        return first
    if right >= 0:
        change = _change(ground, r, state, rows[STATE, right])
        if end > _start_before(ground.spells, own, rows[START, right], change):
            return int(rows[FINISH, right])
    return start


@_compiled
def _beside_set_up(ground: Ground, stand: Stand, r: int, at: int) -> tuple[int, int]:
    """The works with a state before a place in a row and from it on, or -1."""
    rows, begin = stand.rows, ground.resources[r, ROW]
    over = begin + stand.counts[r]
    left, right = at - 1, at
    while left >= begin and rows[STATE, left] == BARE:
        left -= 1
    while right < over and rows[STATE, right] == BARE:
        right += 1
    return left if left >= begin else -1, right if right < over else -1


@_compiled
def _out_of_spells(ground: Ground, w: int, start: int) -> int:
    """The start if its way keeps clear of blocked spells and of the night then, else a later one.

    Work that pauses over spells begins at work.
    """
    way = ground.ways[w]
    length = 1 if way[PAUSES] else way[DURATION]
    for k in range(way[SPELL], way[SPELL_END]):
        if ground.spells[k, 0] >= start + length:
            break
        if ground.spells[k, 1] > start:
            return int(ground.spells[k, 1])
    day = ground.sizes[DAY]
    if way[IN_DAY] and start % day + length > day:
        return int(start + day - start % day)
    return start


@_compiled
def _fit(ground: Ground, stand: Stand, w: int, ready: int) -> int:
    """First quarter from `ready` on at which a way fits, as `Decoder.fit`."""
    start = ready
    while True:
        later = _out_of_spells(ground, w, start)
        end = _end_of(ground, w, later)
        if end >= ground.sizes[HORIZON]:
            return NEVER
        if later == start:
            later = _free_from(ground, stand, w, (start, end))
        if later == start:
            return start
        start = later


@_compiled
def _free_from(ground: Ground, stand: Stand, w: int, window: tuple[int, int]) -> int:
    """The window's start if all that a way uses is free in it, else a later one."""
    way, used, (start, end) = ground.ways[w], stand.used, window
    for k in range(way[SINGLE], way[SINGLE_END]):
        later = _clear_from(ground, stand, ground.singles[k], window)
        if later != start:
            return later
    for k in range(way[SHARED], way[SHARED_END]):
        r, level = ground.shareds[k, OTHER], ground.shareds[k, LEVEL]
        q = end - 1
        while q >= start and used[r, q] < level:
            q -= 1
        if q >= start:
            return q + 1
    return start


@_compiled
def _caused(ground: Ground, stand: Stand, w: int, start: int) -> int:
    """Quarters of changeover that working at `start` adds."""
    rows, total = stand.rows, 0
    for k in range(ground.ways[w, SINGLE], ground.ways[w, SINGLE_END]):
        r, state = ground.singles[k, 0], ground.singles[k, 1]
        if state == BARE:
            continue
        at = _found(rows, ground.resources[r, ROW], stand.counts[r], start)
        left, right = _beside_set_up(ground, stand, r, at)
        before = rows[STATE, left] if left >= 0 else ground.resources[r, STANDING]
        total += _change(ground, r, before, state)
        if right >= 0:
            after = rows[STATE, right]
            total += _change(ground, r, state, after) - _change(ground, r, before, after)
    return total


@_compiled
def _late_quarters(quarter: int, day: int, after: int) -> int:
    return quarter // day * max(0, day - after) + max(0, quarter % day - after)


@_compiled
def _overtime(ground: Ground, w: int, start: int, finish: int) -> int:
    """As `Way.overtime_cost`."""
    way, day, total = ground.ways[w], ground.sizes[DAY], 0
    for k in range(way[BAND], way[BAND_END]):
        after = ground.bands[k, 0]
        quarters = _late_quarters(finish, day, after) - _late_quarters(start, day, after)
        for e in range(way[SPELL], way[SPELL_END] if way[PAUSES] else way[SPELL]):
            first, end = ground.spells[e, 0], ground.spells[e, 1]
            if first < finish and end > start:
                quarters -= _late_quarters(min(end, finish), day, after)
                quarters += _late_quarters(max(first, start), day, after)
        total += ground.bands[k, 1] * quarters
    return total


@_compiled
def _cost(ground: Ground, i: int, w: int, span: tuple[int, int]) -> int:
    """Units of cost of one activity: of its mode, of overtime and of its preference."""
    act, (start, finish) = ground.acts[i], span
    away = act[AWAY_PRICE] * max(0, act[FIRST] - start, start - act[LAST])
    return int(ground.ways[w, COST] + _overtime(ground, w, start, finish) + away)


@_compiled
def _own(ground: Ground, i: int, place: Whole) -> int:
    """As `own_weight`."""
    act = ground.acts[i]
    cost = _cost(ground, i, act[WAY] + place[MODE], (place[START], place[FINISH]))
    late = max(0, place[FINISH] - act[DUE]) * act[LATE_PRICE]
    return int(ground.sizes[COST_WEIGHT] * cost + late)


@_compiled
def _count_days(ground: Ground, pad: Pad, span: tuple[int, int]) -> int:
    """Days met by a spell that were not counted since the last stamp."""
    day, days, stamp, counted = ground.sizes[DAY], pad.days, pad.tally[STAMP], 0
    for d in range(max(0, span[0]) // day, (span[1] - 1) // day + 1):
        if days[d] != stamp:
            days[d] = stamp
            counted += 1
    return counted


@_compiled
def _idle(ground: Ground, r: int, span: tuple[int, int]) -> int:
    """Quarters of a stretch in which a resource is there."""
    idle = span[1] - span[0]
    for k in range(ground.resources[r, R_SPELL], ground.resources[r, R_SPELL_END]):
        first, end = ground.spells[k, 0], ground.spells[k, 1]
        idle -= max(0, min(end, span[1]) - max(first, span[0]))
    return max(0, idle)


@_compiled
def _weight_of(ground: Ground, stand: Stand, pad: Pad, r: int) -> tuple[int, int]:
    """What a one-unit resource adds to the total, as `stretch_weight` of all of its row.

    Also how much more it adds to what guides the walk: there half of the price of a day is told
    from the quarters between the first and the last of each set-up, so that saving some of a day
    counts.
    """
    resource, rows, acts = ground.resources[r], stand.rows, ground.acts
    own = (resource[R_SPELL], resource[R_SPELL_END])
    pad.tally[STAMP] += 1
    changed = held = idle = stood = 0
    state, ended = resource[STANDING], -1
    for at in range(resource[ROW], resource[ROW] + stand.counts[r]):
        start, finish, wanted = rows[START, at], rows[FINISH, at], rows[STATE, at]
        begins = start
        if wanted != BARE:
            if wanted == state:
                begins = ended if ended >= 0 else start
            else:
                quarters = _change(ground, r, state, wanted)
                changed += quarters
                if quarters:
                    begins = _start_before(ground.spells, own, start, quarters)
            state, ended = wanted, finish
        stood += finish - begins
        if resource[HELD_PRICE]:
            held += _count_days(ground, pad, (begins, finish))
        if resource[WAITING_PRICE] and at > resource[ROW]:
            group = acts[rows[WHO, at], GROUP]
            if group != -1 and acts[rows[WHO, at - 1], GROUP] == group:
                idle += _idle(ground, r, (rows[FINISH, at - 1], start))
    cost = held * resource[HELD_PRICE] + idle * resource[WAITING_PRICE]
    smooth = (stood - held * ground.sizes[DAY]) * resource[HELD_PRICE] // ground.sizes[DAY]
    weight = ground.sizes[CHANGE_WEIGHT] * changed + ground.sizes[COST_WEIGHT] * cost
    return weight, int(SMOOTH * ground.sizes[COST_WEIGHT] * smooth)


@_compiled
def weigh(ground: Ground, stand: Stand, pad: Pad) -> int:
    """Reckon what each resource adds, and give the total of the board."""
    total = finish = 0
    for i in range(ground.acts.shape[0]):
        total += _own(ground, i, stand.at[i])
        finish = max(finish, stand.at[i, FINISH])
    for r in range(ground.resources.shape[0]):
        if ground.resources[r, IS_WEIGHED]:
            stand.weights[r], stand.guides[r] = _weight_of(ground, stand, pad, r)
            total += stand.weights[r]
            pad.tally[GUIDE] += stand.guides[r]
    pad.tally[LAST_FINISH] = finish
    return int(total + finish * ground.sizes[FINISH_WEIGHT])


@_compiled
def _touch(pad: Pad, r: int) -> None:
    if pad.stamps[r] == 0:
        pad.stamps[r] = 1
        pad.touched[pad.tally[TOUCHED]] = r
        pad.tally[TOUCHED] += 1


@_compiled
def _cut(ground: Ground, stand: Stand, r: int, who: tuple[int, int]) -> None:
    """Take a work, by start and activity, out of what a resource does."""
    rows, begin = stand.rows, ground.resources[r, ROW]
    at = _found(rows, begin, stand.counts[r], who[0])
    while rows[WHO, at] != who[1]:
        at += 1
    stand.counts[r] -= 1
    over = begin + stand.counts[r]
    for column in range(4):
        for k in range(at, over):
            rows[column, k] = rows[column, k + 1]


@_compiled
def _add(ground: Ground, stand: Stand, use: tuple[int, int], i: int) -> None:
    """Add an activity to what a resource does, in a state."""
    rows, (r, state), begin = stand.rows, use, ground.resources[use[0], ROW]
    start = stand.at[i, START]
    at = _found(rows, begin, stand.counts[r], start)
    over = begin + stand.counts[r]
    for column in range(4):
        for k in range(over, at, -1):
            rows[column, k] = rows[column, k - 1]
    stand.counts[r] += 1
    rows[START, at], rows[FINISH, at], rows[STATE, at] = start, stand.at[i, FINISH], state
    rows[WHO, at] = i


@_compiled
def _clear(ground: Ground, stand: Stand, pad: Pad, i: int) -> None:
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


@_compiled
def _set(ground: Ground, stand: Stand, pad: Pad, i: int) -> None:
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


@_compiled
def _limits(ground: Ground, stand: Stand, pad: Pad, i: int) -> tuple[int, int]:
    """Earliest start by what it waits for, and latest end by what waits and stands still."""
    act, at, state = ground.acts[i], stand.at, pad.state
    ready, limit = act[RELEASE], NEVER
    for e in range(act[BEFORE], act[BEFORE_END]):
        link = ground.before[e]
        ready = max(ready, _ready(ground, link, at[link[OTHER], FINISH]))
    for e in range(act[FOLLOW], act[FOLLOW_END]):
        link = ground.follow[e]
        if state[link[OTHER]] != LIFTED:
            limit = min(limit, at[link[OTHER], START] - link[LAG])
    return ready, limit


@_compiled
def _holds_up(ground: Ground, stand: Stand, pad: Pad, i: int) -> bool:
    """Whether something that stands still starts before it may, by the clock, after `i`."""
    for e in range(ground.acts[i, FOLLOW], ground.acts[i, FOLLOW_END]):
        link = ground.follow[e]
        is_dated = link[CLOCK] >= 0 and pad.state[link[OTHER]] != LIFTED
        ready = _ready(ground, link, stand.at[i, FINISH]) if is_dated else 0
        if ready > stand.at[link[OTHER], START]:
            return True
    return False


@_compiled
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


@_compiled
def _cheaper_after(ground: Ground, i: int, w: int, start: int) -> tuple[int, int]:
    """As `Decoder.cheaper_after`: the next morning, the start preferred, or -1."""
    act, way, day = ground.acts[i], ground.ways[w], ground.sizes[DAY]
    morning = preferred = -1
    if way[BAND_END] > way[BAND] and _overtime(ground, w, start, start + way[DURATION]):
        morning = start + day - start % day
    if act[AWAY_PRICE] and act[FIRST] > start:
        preferred = act[FIRST]
    return morning, preferred


@_compiled
def _beside(ground: Ground, stand: Stand, w: int, start: int) -> int:
    """Where the next work of the same state ends, or -1."""
    for k in range(ground.ways[w, SINGLE], ground.ways[w, SINGLE_END]):
        r, state = ground.singles[k, 0], ground.singles[k, 1]
        if state == BARE:
            continue
        begin = ground.resources[r, ROW]
        at = _found(stand.rows, begin, stand.counts[r], start)
        for e in range(at, min(at + 30, begin + stand.counts[r])):
            if stand.rows[STATE, e] == state:
                return int(stand.rows[FINISH, e])
    return -1


@_compiled
def _best_start(
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
    start = ready if is_bare else _fit(ground, stand, w, ready)
    best, best_start, rather = np.inf, start, -1
    if start >= NEVER:
        return best, start
    if how[PATIENCE] > 0 and not is_bare and _caused(ground, stand, w, start) > 0:
        rather = _beside(ground, stand, w, start)
    morning, preferred = _cheaper_after(ground, i, w, start)
    for wanted in (start, morning, preferred, rather):
        begins = wanted if is_bare or wanted == start else _fit(ground, stand, w, wanted)
        ends = NEVER
        if wanted >= 0 and begins < NEVER:
            ends = _end_of(ground, w, begins)
        if ends >= NEVER or ends > limit:
            continue
        score = ends + how[COST_PRICE] * _cost(ground, i, w, (begins, ends))
        if not is_bare:
            score += how[PATIENCE] * _caused(ground, stand, w, begins)
        if score < best:
            best, best_start = score, begins
    return best, best_start


@_compiled
def _put(ground: Ground, stand: Stand, pad: Pad, i: int) -> bool:
    """Put an activity back where it does best; false if it would hold up what stands still."""
    ready, limit = _limits(ground, stand, pad, i)
    if pad.party[i] != 0:
        ready = max(ready, int(pad.how[FLOOR]))
    first, last = _modes(ground, stand, pad, i)
    best, best_mode, best_start = np.inf, -1, 0
    for mode in range(first, last + 1):
        work = (i, ground.acts[i, WAY] + mode)
        score, start = _best_start(ground, stand, pad, work, (ready, limit))
        if score < best:
            best, best_mode, best_start = score, mode, start
    if best_mode < 0:
        return False
    at = stand.at[i]
    at[START], at[MODE] = best_start, best_mode
    at[FINISH] = _end_of(ground, ground.acts[i, WAY] + best_mode, best_start)
    if _holds_up(ground, stand, pad, i):
        return False
    _set(ground, stand, pad, i)
    pad.state[i] = PUT
    return True


@_compiled
def _take_out(ground: Ground, pad: Pad, i: int) -> None:
    """Take out an activity and all that follows from it, unless that is too much."""
    out, state, tally, acts = pad.out, pad.state, pad.tally, ground.acts
    if acts[i, LOCKED] or tally[OUT] >= MOST_OUT:
        return
    begin, at = tally[OUT], tally[OUT]
    if state[i] == NOT_OUT:
        state[i] = LIFTED
        out[tally[OUT]] = i
        tally[OUT] += 1
    while at < tally[OUT]:
        j = out[at]
        at += 1
        for e in range(acts[j, FOLLOW], acts[j, FOLLOW_END]):
            k = ground.follow[e, OTHER]
            if state[k] != NOT_OUT or acts[k, LOCKED]:
                continue
            if tally[OUT] >= MOST_OUT:
                for n in range(begin, tally[OUT]):
                    state[out[n]] = NOT_OUT
                tally[OUT] = begin
                return
            state[k] = LIFTED
            out[tally[OUT]] = k
            tally[OUT] += 1


@_compiled
def _hero(ground: Ground, stand: Stand, pad: Pad) -> int:
    """Something late, the latest of a few; now and then anything."""
    dues, count = ground.dues, ground.acts.shape[0]
    if dues.size == 0 or _chance(pad.dice) < 0.15:
        return _below(pad.dice, count)
    best, chosen = -NEVER, 0
    for _ in range(4):
        i = dues[_below(pad.dice, dues.size)]
        late = ground.acts[i, LATE_PRICE] * (stand.at[i, FINISH] - ground.acts[i, DUE])
        if late > best:
            best, chosen = late, i
    return chosen


@_compiled
def _chain(ground: Ground, stand: Stand, pad: Pad) -> int:
    """Something late and some of what it waits for longest, in `waiting`; gives how many."""
    acts, at, chain, length = ground.acts, stand.at, pad.waiting, 0
    i = _hero(ground, stand, pad)
    while length < MOST_OUT:
        chain[length] = i
        length += 1
        if acts[i, BEFORE] == acts[i, BEFORE_END] or _chance(pad.dice) < 0.2:
            break
        latest = ground.before[acts[i, BEFORE], OTHER]
        for e in range(acts[i, BEFORE] + 1, acts[i, BEFORE_END]):
            j = ground.before[e, OTHER]
            if at[j, FINISH] > at[latest, FINISH]:
                latest = j
        i = latest
    return length


@_compiled
def _choose_late(ground: Ground, stand: Stand, pad: Pad) -> None:
    """Something late, the chain it waits for, and what is in the way of those."""
    chain, length = pad.waiting, _chain(ground, stand, pad)
    for k in range(length):
        _take_out(ground, pad, chain[k])
    firsts = pad.tally[OUT]
    for k in range(length):
        if pad.state[chain[k]] != NOT_OUT:
            _take_blockers(ground, stand, pad, chain[k])
    for k in range(pad.tally[OUT]):
        pad.key[pad.out[k]] = 0.0 if k < firsts else float(NEVER)


@_compiled
def _take_blockers(ground: Ground, stand: Stand, pad: Pad, i: int) -> None:
    """Take out some that hold what an activity wants just before it begins."""
    dice = pad.dice
    way = ground.ways[ground.acts[i, WAY] + _below(dice, ground.acts[i, WAYS])]
    singles = way[SINGLE_END] - way[SINGLE]
    uses = singles + way[SHARED_END] - way[SHARED]
    if uses == 0:
        return
    pick = _below(dice, uses)
    if pick < singles:
        _take_before(ground, stand, pad, (ground.singles[way[SINGLE] + pick, 0], i))
        return
    r = ground.shareds[way[SHARED] + pick - singles, OTHER]
    begin, end = ground.users_at[r], ground.users_at[r + 1]
    reach = int(_chance(dice) ** 2 * FARTHEST * ground.sizes[DAY])
    most = 1 + _below(dice, FARTHEST)
    for _ in range(PROBES):
        j = ground.users[begin + _below(dice, end - begin)]
        if 0 <= stand.at[i, START] - stand.at[j, START] <= reach:
            _take_out(ground, pad, j)
            most -= 1
            if most == 0:
                break


@_compiled
def _take_before(ground: Ground, stand: Stand, pad: Pad, place: tuple[int, int]) -> None:
    """Take out some of what a one-unit resource does just before an activity."""
    dice, (r, i) = pad.dice, place
    begin = ground.resources[r, ROW]
    at = _found(stand.rows, begin, stand.counts[r], stand.at[i, START])
    reach = 1 + int(_chance(dice) ** 2 * FARTHEST)
    share = 1.0 if _chance(dice) < 0.7 else 0.3
    for k in range(max(begin, at - reach), at):
        if share >= 1.0 or _chance(dice) < share:
            _take_out(ground, pad, stand.rows[WHO, k])


@_compiled
def _choose_campaign(ground: Ground, stand: Stand, pad: Pad) -> None:
    """A campaign, to go where it is or elsewhere, at once or rather later."""
    dice, how = pad.dice, pad.how
    campaigns = ground.campaign_at.size - 1
    number = _below(dice, campaigns)
    for _ in range(8):
        if ground.campaign_at[number + 1] - ground.campaign_at[number] > 1:
            break
        number = _below(dice, campaigns)
    start = _take_party(ground, stand, pad, number)
    first = ground.members[ground.campaign_at[number]]
    if _chance(dice) < 0.5:
        start = min(start, _take_siblings(ground, stand, pad, first))
    how[THIS_MODE] = -1.0
    if _chance(dice) < 0.8:
        how[THIS_MODE] = float(_below(dice, ground.acts[first, WAYS]))
    day = ground.sizes[DAY]
    if _chance(dice) < 0.6:
        start = max(0, start + int((_chance(dice) - 0.4) * 10 * day))
        how[FLOOR] = float(start)
    if _chance(dice) < 0.5 and how[THIS_MODE] >= 0:
        _take_way(ground, stand, pad, (first, start))


@_compiled
def _take_party(ground: Ground, stand: Stand, pad: Pad, number: int) -> int:
    """Take out a campaign, which is to be moved together; gives when it began."""
    start = NEVER
    for k in range(ground.campaign_at[number], ground.campaign_at[number + 1]):
        i = ground.members[k]
        start = min(start, stand.at[i, START])
        _take_out(ground, pad, i)
        pad.party[i] = pad.state[i] != NOT_OUT
    return start


@_compiled
def _take_siblings(ground: Ground, stand: Stand, pad: Pad, first: int) -> int:
    """Take out the campaigns that wait for what an activity waits for; gives when they began."""
    start = NEVER
    for e in range(ground.acts[first, BEFORE], ground.acts[first, BEFORE_END]):
        j = ground.before[e, OTHER]
        begin, end = ground.acts[j, FOLLOW], ground.acts[j, FOLLOW_END]
        for k in range(begin, end if end - begin <= MOST_SIBLINGS else begin):
            other = ground.follow[k, OTHER]
            if pad.party[other] == 0 and pad.tally[OUT] < MOST_OUT // 2:
                number = ground.acts[other, CAMPAIGN]
                start = min(start, _take_party(ground, stand, pad, number))
    return start


@_compiled
def _take_way(ground: Ground, stand: Stand, pad: Pad, at: tuple[int, int]) -> None:
    """Take out what stands where the party is to go, by a member and from a quarter on."""
    way = ground.ways[ground.acts[at[0], WAY] + int(pad.how[THIS_MODE])]
    length = 1 + int(_chance(pad.dice) ** 2 * MOST_STRETCH)
    for k in range(way[SINGLE], way[SINGLE_END]):
        r = ground.singles[k, 0]
        if ground.singles[k, 1] == BARE:
            continue
        begin = ground.resources[r, ROW]
        first = _found(stand.rows, begin, stand.counts[r], at[1])
        for e in range(first, min(begin + stand.counts[r], first + length)):
            _take_out(ground, pad, stand.rows[WHO, e])


@_compiled
def _choose_stretch(ground: Ground, stand: Stand, pad: Pad) -> None:
    """A stretch of what one resource does."""
    dice = pad.dice
    if ground.resources.shape[0] == 0:
        return
    r = _below(dice, ground.resources.shape[0])
    for _ in range(20):
        if ground.resources[r, IS_WEIGHED] and stand.counts[r] > 1:
            break
        r = _below(dice, ground.resources.shape[0])
    if stand.counts[r] == 0:
        return
    length = 2 + int(_chance(dice) ** 2 * MOST_STRETCH)
    begin = ground.resources[r, ROW]
    at = begin + _below(dice, stand.counts[r])
    for k in range(at, min(begin + stand.counts[r], at + length)):
        _take_out(ground, pad, stand.rows[WHO, k])


@_compiled
def _choose(ground: Ground, stand: Stand, pad: Pad) -> None:
    """What to take out, how and in which order to put it back."""
    dice, how, tally, acts = pad.dice, pad.how, pad.tally, ground.acts
    how[PATIENCE] = 0.0 if _chance(dice) < 0.3 else 0.5 * 2.0 ** _below(dice, 5)
    how[IS_FREE] = 1.0 if _chance(dice) < 0.5 else 0.0
    how[FLOOR], how[THIS_MODE] = 0.0, -1.0
    tally[OUT] = 0
    noise = 0.0
    if _chance(dice) < 0.6:
        noise = 4.0 * 2.0 ** _below(dice, 6)
    draw = _chance(dice)
    is_late = draw < HERO_SHARE
    if is_late:
        _choose_late(ground, stand, pad)
    elif draw < HERO_SHARE + CAMPAIGN_SHARE:
        _choose_campaign(ground, stand, pad)
    else:
        _choose_stretch(ground, stand, pad)
    by_campaign = 0.0
    if not is_late and _chance(dice) < 0.3:
        by_campaign = 200.0
    salt = _below(dice, 1000)
    for k in range(tally[OUT]):
        i = pad.out[k]
        if not is_late:
            pad.key[i] = by_campaign * ((acts[i, CAMPAIGN] * 31 + salt) % 7)
        pad.key[i] += stand.at[i, START] + noise * _chance(dice)


@_compiled
def _next(pad: Pad) -> int:
    """What is out and free to go back, lowest key first."""
    best = -1
    for k in range(pad.tally[OUT]):
        i = pad.out[k]
        is_free = pad.state[i] == LIFTED and pad.waiting[i] == 0
        if is_free and (best < 0 or pad.key[i] < pad.key[best]):
            best = i
    return best


@_compiled
def _put_all(ground: Ground, stand: Stand, pad: Pad) -> bool:
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
        if not _put(ground, stand, pad, best):
            return False
        for e in range(ground.acts[best, FOLLOW], ground.acts[best, FOLLOW_END]):
            waiting[ground.follow[e, OTHER]] -= 1
    return True


@_compiled
def _undo(ground: Ground, stand: Stand, pad: Pad) -> None:
    out, state = pad.out, pad.state
    for k in range(pad.tally[OUT]):
        if state[out[k]] == PUT:
            _clear(ground, stand, pad, out[k])
    for k in range(pad.tally[OUT]):
        for column in range(3):
            stand.at[out[k], column] = pad.was[out[k], column]
        _set(ground, stand, pad, out[k])


@_compiled
def _difference(ground: Ground, stand: Stand, pad: Pad) -> tuple[int, int]:
    """How much heavier the board has become, and how much more what guides the walk."""
    at, was, tally, total, guide = stand.at, pad.was, pad.tally, 0, 0
    finish, is_last = 0, False
    for k in range(tally[OUT]):
        i = pad.out[k]
        total += _own(ground, i, at[i]) - _own(ground, i, was[i])
        finish = max(finish, at[i, FINISH])
        is_last |= was[i, FINISH] == tally[LAST_FINISH]
    for k in range(tally[TOUCHED]):
        r = pad.touched[k]
        if ground.resources[r, IS_WEIGHED]:
            weight, more = _weight_of(ground, stand, pad, r)
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


@_compiled
def _copy(one: Whole, other: Whole) -> None:
    for i in range(one.shape[0]):
        for column in range(3):
            other[i, column] = one[i, column]


@_compiled
def _save(stand: Stand, pad: Pad) -> None:
    """Keep the board as it was before the present try."""
    _copy(stand.at, pad.best)
    for k in range(pad.tally[OUT]):
        for column in range(3):
            pad.best[pad.out[k], column] = pad.was[pad.out[k], column]


@_compiled
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
                stand.weights[r], stand.guides[r] = _weight_of(ground, stand, pad, r)
    else:
        tally[LAST_FINISH] = finish
    kept[tally[AT]] = tally[TOTAL] + tally[GUIDE]
    tally[AT] = (tally[AT] + 1) % kept.size
    return bool(is_taken)


@_compiled
def _try_once(ground: Ground, stand: Stand, pad: Pad) -> None:
    tally = pad.tally
    _choose(ground, stand, pad)
    for k in range(tally[OUT]):
        i = pad.out[k]
        for column in range(3):
            pad.was[i, column] = stand.at[i, column]
        _clear(ground, stand, pad, i)
    if not (_put_all(ground, stand, pad) and _settle(ground, stand, pad)):
        _undo(ground, stand, pad)


@_compiled
def move(ground: Ground, stand: Stand, pad: Pad, tries: int) -> None:
    """Try so many moves."""
    tally = pad.tally
    for _ in range(tries):
        tally[TOUCHED] = 0
        _try_once(ground, stand, pad)
        for k in range(tally[OUT]):
            pad.state[pad.out[k]] = pad.party[pad.out[k]] = NOT_OUT
        for k in range(tally[TOUCHED]):
            pad.stamps[pad.touched[k]] = 0
    if tally[IS_SAVED] == 0:
        _copy(stand.at, pad.best)
        tally[IS_SAVED] = 1


class Moves:
    """A walk over one board by compiled code.

    `total` is the present weight; `lightest` that of the lightest so far.
    """

    def __init__(self, ground: Ground, stand: Stand, seed: int, cost_price: float) -> None:
        """Begin a walk.

        Args:
            ground: the question.
            stand: the board, changed in place.
            seed: of the pseudo-random choices.
            cost_price: quarters that an activity may rather wait than cause one unit of cost.
        """
        count, resources = ground.acts.shape[0], ground.resources.shape[0]
        self.ground, self.stand = ground, stand
        days = int(ground.sizes[HORIZON] // ground.sizes[DAY]) + 2
        self.pad = Pad(
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
            touched=np.zeros(resources + 1, np.int64),
            stamps=np.zeros(resources, np.int64),
            days=np.zeros(days, np.int64),
            how=np.zeros(HOWS, np.float64),
        )
        self.pad.how[COST_PRICE] = cost_price
        total = int(weigh(ground, stand, self.pad))
        self.pad.kept[:] = total + self.pad.tally[GUIDE]
        self.pad.tally[TOTAL] = self.pad.tally[LIGHTEST] = total
        self.pad.tally[IS_SAVED] = 1

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

    def best(self) -> tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]]:
        """Starts, finishes and modes of the lightest."""
        starts, finishes, modes = self.pad.best.T.tolist()
        return tuple(starts), tuple(finishes), tuple(modes)
