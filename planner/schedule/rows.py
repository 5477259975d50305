"""What each resource does on a board, where work fits between, and what a board weighs.

Takes the tables of `flat`, gives starts and weights by compiled code; all but `weigh` leave the
board as it is. Knows nothing of moves. What is said to be as something in Python is held against it
by the tests.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.schedule.compiled import called_from_python, compiled
from planner.schedule.flat import (
    AWAY_PRICE,
    BAND,
    BAND_END,
    BEFORE,
    BEFORE_END,
    CHANGE_WEIGHT,
    CLOCK,
    COST,
    COST_WEIGHT,
    DAY,
    DOUBLING,
    DUE,
    DURATION,
    FINISH,
    FINISH_WEIGHT,
    FIRST,
    GROUP,
    HELD_PRICE,
    HORIZON,
    IN_USE,
    IS_WEIGHED,
    LAG,
    LAST,
    LATE_PRICE,
    LEAST,
    LEVEL,
    MODE,
    MOVE_PRICE,
    OTHER,
    PAUSES,
    R_SPELL,
    R_SPELL_END,
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
    WAITING_PRICE,
    WAS_DAY,
    WAS_MODE,
    WAY,
    WHO,
)
from planner.schedule.pad import BARE, GUIDE, LAST_FINISH, NEVER, STAMP

if TYPE_CHECKING:
    from planner.schedule.flat import Ground, Stand, Whole
    from planner.schedule.pad import Pad

SMOOTH = 0.5
"""Share of the price of a held day that guides the walk by the quarters stood."""


@compiled
def _finish_of(spells: Whole, own: tuple[int, int], start: int, duration: int) -> int:
    """As `worktime.finish_of`."""
    end = start + duration
    for k in range(own[0], own[1]):
        if spells[k, 0] >= end:
            break
        if spells[k, 1] > start:
            end += spells[k, 1] - max(spells[k, 0], start)
    return end


@compiled
def _start_before(spells: Whole, own: tuple[int, int], end: int, duration: int) -> int:
    """As `worktime.start_before`."""
    start = end - duration
    for k in range(own[1] - 1, own[0] - 1, -1):
        if spells[k, 1] <= start:
            break
        if spells[k, 0] < end:
            start -= min(spells[k, 1], end) - spells[k, 0]
    return start


@compiled
def end_of(ground: Ground, w: int, start: int) -> int:
    """When a way that begins at `start` ends, the spells that it pauses over counted in."""
    way = ground.ways[w]
    if not way[PAUSES]:
        return int(start + way[DURATION])
    return _finish_of(ground.spells, (way[SPELL], way[SPELL_END]), start, way[DURATION])


@compiled
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


@compiled
def _goes_on(ground: Ground, r: int, before: int, after: int) -> bool:
    """As `Indexed.goes_on`."""
    if before == after:
        return True
    if before == BARE:
        return False
    place = r * ground.sizes[STATES] + before
    for k in range(ground.odd_at[place], ground.odd_at[place + 1]):
        if ground.odd[k, 0] == after:
            return bool(ground.odd[k, 1] == 0)
    return False


@compiled
def ready_after(ground: Ground, link: Whole, finish: int) -> int:
    """As `Indexed.ready`."""
    if link[CLOCK] < 0:
        return int(finish + link[LAG])
    return int(max(finish + link[LAG], ground.clock[link[CLOCK], finish]))


@compiled
def waited_for_longest(ground: Ground, stand: Stand, i: int) -> int:
    """What ends last of all that an activity waits for; it waits for something."""
    act = ground.acts[i]
    latest = ground.before[act[BEFORE], OTHER]
    for e in range(act[BEFORE] + 1, act[BEFORE_END]):
        j = ground.before[e, OTHER]
        if stand.at[j, FINISH] > stand.at[latest, FINISH]:
            latest = j
    return int(latest)


@compiled
def found_from(rows: Whole, begin: int, count: int, start: int) -> int:
    """The first of a resource's works that starts at `start` or later."""
    low, high = begin, begin + count
    while low < high:
        middle = (low + high) // 2
        if rows[START, middle] < start:
            low = middle + 1
        else:
            high = middle
    return low


@compiled
def _clear_from(ground: Ground, stand: Stand, use: Whole, window: tuple[int, int]) -> int:
    """The window's start if a one-unit resource is free and can be set up for it, else a later one.

    Nothing sooner than what is given fits.
    """
    rows, r, (start, end) = stand.rows, use[0], window
    begin = ground.resources[r, ROW]
    at = found_from(rows, begin, stand.counts[r], start)
    if at > begin and rows[FINISH, at - 1] > start:
        return int(rows[FINISH, at - 1])
    if at < begin + stand.counts[r] and rows[START, at] < end:
        return int(rows[FINISH, at])
    return start if use[1] == BARE else _set_up_from(ground, stand, use, (start, end, at))


@compiled
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


@compiled
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


@compiled
def broken_into(ground: Ground, stand: Stand, w: int, span: tuple[int, int]) -> int:
    """When the last work ends that meets a span on what a way sets up, or -1."""
    rows, latest = stand.rows, -1
    for k in range(ground.ways[w, SINGLE], ground.ways[w, SINGLE_END]):
        r = ground.singles[k, 0]
        begin = ground.resources[r, ROW]
        at = found_from(rows, begin, stand.counts[r], span[1]) - 1
        if ground.singles[k, 1] != BARE and at >= begin and rows[FINISH, at] > span[0]:
            latest = max(latest, rows[FINISH, at])
    return latest


@compiled
def _out_of_spells(ground: Ground, w: int, start: int) -> int:
    """The start if its way keeps clear of blocked spells and of the night then, else a later one.

    Work that pauses over spells begins at work, and goes on for the least that it must.
    """
    way = ground.ways[w]
    length = way[LEAST] if way[PAUSES] else way[DURATION]
    for k in range(way[SPELL], way[SPELL_END]):
        if ground.spells[k, 0] >= start + length:
            break
        if ground.spells[k, 1] > start:
            return int(ground.spells[k, 1])
    day = ground.sizes[DAY]
    if start % day + way[LEAST] > day:
        return int(start + day - start % day)
    return start


@compiled
def fit(ground: Ground, stand: Stand, w: int, ready: int) -> int:
    """First quarter from `ready` on at which a way fits, as `Decoder.fit`."""
    start = ready
    while True:
        later = _out_of_spells(ground, w, start)
        end = end_of(ground, w, later)
        if end >= ground.sizes[HORIZON]:
            return NEVER
        if later == start:
            later = _free_from(ground, stand, w, (start, end))
        if later == start:
            return start
        start = later


@compiled
def _free_from(ground: Ground, stand: Stand, w: int, window: tuple[int, int]) -> int:
    """The window's start if all that a way uses is free in it, else a later one."""
    way, used, (start, end) = ground.ways[w], stand.used, window
    for k in range(way[SINGLE], way[SINGLE_END]):
        later = _clear_from(ground, stand, ground.singles[k], window)
        if later != start:
            return later
    for k in range(way[SHARED], way[SHARED_END]):
        row, level = ground.shareds[k, IN_USE], ground.shareds[k, LEVEL]
        q = end - 1
        while q >= start and used[row, q] < level:
            q -= 1
        if q >= start:
            return q + 1
    return start


@compiled
def caused(ground: Ground, stand: Stand, w: int, start: int) -> int:
    """Quarters of changeover that working at `start` adds."""
    rows, total = stand.rows, 0
    for k in range(ground.ways[w, SINGLE], ground.ways[w, SINGLE_END]):
        r, state = ground.singles[k, 0], ground.singles[k, 1]
        if state == BARE:
            continue
        at = found_from(rows, ground.resources[r, ROW], stand.counts[r], start)
        left, right = _beside_set_up(ground, stand, r, at)
        before = rows[STATE, left] if left >= 0 else ground.resources[r, STANDING]
        total += _change(ground, r, before, state)
        if right >= 0:
            after = rows[STATE, right]
            total += _change(ground, r, state, after) - _change(ground, r, before, after)
    return total


@compiled
def _late_quarters(quarter: int, day: int, after: int) -> int:
    return quarter // day * max(0, day - after) + max(0, quarter % day - after)


@compiled
def overtime(ground: Ground, w: int, start: int, finish: int) -> int:
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


@compiled
def cost_of(ground: Ground, i: int, w: int, span: tuple[int, int]) -> int:
    """Units of cost of one activity: of its mode, of overtime and of its preference."""
    act, (start, finish) = ground.acts[i], span
    away = act[AWAY_PRICE] * max(0, act[FIRST] - start, start - act[LAST])
    return int(ground.ways[w, COST] + overtime(ground, w, start, finish) + away)


@compiled
def moved_price(ground: Ground, i: int, start: int, mode: int) -> int:
    """What an activity adds to the total that leaves the day or mode that it was issued for."""
    act, days = ground.acts[i], abs(start // ground.sizes[DAY] - ground.acts[i, WAS_DAY])
    if act[WAS_MODE] == mode and days == 0:
        return 0
    further = act[MOVE_PRICE] * days // act[DOUBLING] if act[DOUBLING] else 0
    return int(act[MOVE_PRICE] + further)


@compiled
def own_weight(ground: Ground, i: int, place: Whole) -> int:
    """As `Floor.own`."""
    act = ground.acts[i]
    cost = cost_of(ground, i, act[WAY] + place[MODE], (place[START], place[FINISH]))
    late = max(0, place[FINISH] - act[DUE]) * act[LATE_PRICE]
    moved = moved_price(ground, i, place[START], place[MODE])
    return int(ground.sizes[COST_WEIGHT] * cost + late + moved)


@compiled
def _count_days(ground: Ground, pad: Pad, span: tuple[int, int]) -> int:
    """Days met by a span that were not counted since the last stamp."""
    day, days, stamp, counted = ground.sizes[DAY], pad.days, pad.tally[STAMP], 0
    for d in range(max(0, span[0]) // day, (span[1] - 1) // day + 1):
        if days[d] != stamp:
            days[d] = stamp
            counted += 1
    return counted


@compiled
def _idle(ground: Ground, r: int, span: tuple[int, int]) -> int:
    """Quarters of a stretch in which a resource is there."""
    idle = span[1] - span[0]
    for k in range(ground.resources[r, R_SPELL], ground.resources[r, R_SPELL_END]):
        first, end = ground.spells[k, 0], ground.spells[k, 1]
        idle -= max(0, min(end, span[1]) - max(first, span[0]))
    return max(0, idle)


@compiled
def weight_of(ground: Ground, stand: Stand, pad: Pad, r: int) -> tuple[int, int]:
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
            if _goes_on(ground, r, state, wanted):
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
                # What it keeps set up until the next of its run is no work.
                idle += _idle(ground, r, (stand.at[rows[WHO, at - 1], FINISH], start))
    cost = held * resource[HELD_PRICE] + idle * resource[WAITING_PRICE]
    smooth = (stood - held * ground.sizes[DAY]) * resource[HELD_PRICE] // ground.sizes[DAY]
    weight = ground.sizes[CHANGE_WEIGHT] * changed + ground.sizes[COST_WEIGHT] * cost
    return weight, int(SMOOTH * ground.sizes[COST_WEIGHT] * smooth)


@called_from_python
def weigh(ground: Ground, stand: Stand, pad: Pad) -> int:
    """Reckon what each resource adds, and give the total of the board."""
    total = finish = 0
    for i in range(ground.acts.shape[0]):
        total += own_weight(ground, i, stand.at[i])
        finish = max(finish, stand.at[i, FINISH])
    for r in range(ground.resources.shape[0]):
        if ground.resources[r, IS_WEIGHED]:
            stand.weights[r], stand.guides[r] = weight_of(ground, stand, pad, r)
            total += stand.weights[r]
            pad.tally[GUIDE] += stand.guides[r]
    pad.tally[LAST_FINISH] = finish
    return int(total + finish * ground.sizes[FINISH_WEIGHT])
