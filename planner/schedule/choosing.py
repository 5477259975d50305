"""What a try takes out of a board, and in which order and how it goes back, by compiled code.

Takes the tables of `flat`, fills in a `Pad`; the board is only read. Knows nothing of fits and
weights. Taken out, by turns with and without all that follows from it, is something late with the
chain it waits for and what is in its way, a campaign, a stretch of what one resource does, what it
does between leaving a state and coming back to it or before it stands idle, or on a day with little
work.

Source:
    G. Schrimpf, J. Schneider, H. Stamm-Wilbrandt, G. Dueck, "Record breaking optimization results
    using the ruin and recreate principle", Journal of Computational Physics 159 (2000),
    pp. 139-171.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.schedule.compiled import compiled
from planner.schedule.flat import (
    BEFORE,
    BEFORE_END,
    CAMPAIGN,
    DAY,
    DUE,
    FINISH,
    FOLLOW,
    FOLLOW_END,
    HELD_PRICE,
    IS_WEIGHED,
    LATE_PRICE,
    LOCKED,
    OTHER,
    ROW,
    RUN,
    RUN_END,
    SHARED,
    SHARED_END,
    SINGLE,
    SINGLE_END,
    START,
    STATE,
    WAY,
    WAYS,
    WHO,
)
from planner.schedule.pad import (
    BARE,
    FLOOR,
    FOLLOW_STAYS,
    IS_FREE,
    LIFTED,
    MOST_OUT,
    NEVER,
    NOT_OUT,
    OUT,
    PATIENCE,
    THIS_MODE,
    below,
    chance,
)
from planner.schedule.rows import found_from, waited_for_longest

if TYPE_CHECKING:
    from planner.schedule.flat import Ground, Stand
    from planner.schedule.pad import Pad

MOST_STRETCH, FARTHEST = 48, 16
"""Works of one resource taken out at once; works, or days, looked back at."""
PROBES, MOST_SIBLINGS = 200, 100
DAYS_LOOKED_AT, MOST_NEAR = 8, 10
HERO_SHARE, CAMPAIGN_SHARE = 0.3, 0.3
STRETCH_SHARE, RETURN_SHARE, IDLE_SHARE = 0.3, 0.25, 0.25
"""Of the tries on one resource; the rest are for its emptiest days. Where no held day costs, only
the first two count. In five minutes 2,000 generated pieces come to 1.148 of the least days held
with the other two, to 1.16 without."""
SHORT_SHARE = 0.3
"""How often any wait at all counts as standing idle, and not only half a day."""
STAYING_SHARE = 0.5
"""Of the tries, in how many what follows from what is taken out stays where it is: there is little
room then, but a few works change places without all that waits for them being placed anew."""


@compiled
def _take_run(ground: Ground, pad: Pad, i: int) -> bool:
    """Take out an activity with all that it is done unbroken with; false if that is too much."""
    begin, end, count = ground.acts[i, RUN], ground.acts[i, RUN_END], pad.tally[OUT]
    if count + end - begin > MOST_OUT:
        return False
    for k in range(begin, end):
        pad.state[ground.runs[k]] = LIFTED
        pad.out[count + k - begin] = ground.runs[k]
    pad.tally[OUT] = count + end - begin
    return True


@compiled
def _take_out(ground: Ground, pad: Pad, i: int) -> None:
    """Take out an activity and, unless it is to stay, all that follows; nothing if it is much."""
    out, state, tally, acts = pad.out, pad.state, pad.tally, ground.acts
    if acts[i, LOCKED] or tally[OUT] >= MOST_OUT:
        return
    begin, at = tally[OUT], tally[OUT]
    has_room = state[i] != NOT_OUT or _take_run(ground, pad, i)
    while has_room and at < tally[OUT] and pad.how[FOLLOW_STAYS] == 0:
        j = out[at]
        at += 1
        for e in range(acts[j, FOLLOW], acts[j, FOLLOW_END]):
            k = ground.follow[e, OTHER]
            if has_room and state[k] == NOT_OUT and not acts[k, LOCKED]:
                has_room = _take_run(ground, pad, k)
    if not has_room:
        for n in range(begin, tally[OUT]):
            state[out[n]] = NOT_OUT
        tally[OUT] = begin


@compiled
def _hero(ground: Ground, stand: Stand, pad: Pad) -> int:
    """Something late, the latest of a few; now and then anything."""
    dues, count = ground.dues, ground.acts.shape[0]
    if dues.size == 0 or chance(pad.dice) < 0.15:
        return below(pad.dice, count)
    best, chosen = -NEVER, 0
    for _ in range(4):
        i = dues[below(pad.dice, dues.size)]
        late = ground.acts[i, LATE_PRICE] * (stand.at[i, FINISH] - ground.acts[i, DUE])
        if late > best:
            best, chosen = late, i
    return chosen


@compiled
def _chain(ground: Ground, stand: Stand, pad: Pad) -> int:
    """Something late and some of what it waits for longest, in `waiting`; gives how many."""
    acts, chain, length = ground.acts, pad.waiting, 0
    i = _hero(ground, stand, pad)
    while length < MOST_OUT:
        chain[length] = i
        length += 1
        if acts[i, BEFORE] == acts[i, BEFORE_END] or chance(pad.dice) < 0.2:
            break
        i = waited_for_longest(ground, stand, i)
    return length


@compiled
def choose_late(ground: Ground, stand: Stand, pad: Pad) -> None:
    """Something late, the chain it waits for, and what is in the way of those."""
    chain, length = pad.waiting, _chain(ground, stand, pad)
    for k in range(length):
        _take_out(ground, pad, chain[k])
    firsts = pad.tally[OUT]
    for k in range(length):
        if pad.state[chain[k]] != NOT_OUT:
            _take_blockers(ground, stand, pad, chain[k])
    _rank(pad, firsts)


@compiled
def _rank(pad: Pad, firsts: int) -> None:
    """So many of what is out go back first."""
    for k in range(pad.tally[OUT]):
        pad.key[pad.out[k]] = 0.0 if k < firsts else float(NEVER)


@compiled
def _take_blockers(ground: Ground, stand: Stand, pad: Pad, i: int) -> None:
    """Take out some that hold what an activity wants just before it begins."""
    dice = pad.dice
    way = ground.ways[ground.acts[i, WAY] + below(dice, ground.acts[i, WAYS])]
    singles = way[SINGLE_END] - way[SINGLE]
    uses = singles + way[SHARED_END] - way[SHARED]
    if uses == 0:
        return
    pick = below(dice, uses)
    if pick < singles:
        _take_before(ground, stand, pad, (ground.singles[way[SINGLE] + pick, 0], i))
        return
    r = ground.shareds[way[SHARED] + pick - singles, OTHER]
    begin, end = ground.users_at[r], ground.users_at[r + 1]
    reach = int(chance(dice) ** 2 * FARTHEST * ground.sizes[DAY])
    most = 1 + below(dice, FARTHEST)
    for _ in range(PROBES):
        j = ground.users[begin + below(dice, end - begin)]
        if 0 <= stand.at[i, START] - stand.at[j, START] <= reach:
            _take_out(ground, pad, j)
            most -= 1
            if most == 0:
                break


@compiled
def _take_before(ground: Ground, stand: Stand, pad: Pad, place: tuple[int, int]) -> None:
    """Take out some of what a one-unit resource does just before an activity."""
    dice, (r, i) = pad.dice, place
    begin = ground.resources[r, ROW]
    at = found_from(stand.rows, begin, stand.counts[r], stand.at[i, START])
    reach = 1 + int(chance(dice) ** 2 * FARTHEST)
    share = 1.0 if chance(dice) < 0.7 else 0.3
    for k in range(max(begin, at - reach), at):
        if share >= 1.0 or chance(dice) < share:
            _take_out(ground, pad, stand.rows[WHO, k])


@compiled
def _choose_campaign(ground: Ground, stand: Stand, pad: Pad) -> None:
    """A campaign, to go where it is or elsewhere, at once or rather later."""
    dice, how = pad.dice, pad.how
    campaigns = ground.campaign_at.size - 1
    number = below(dice, campaigns)
    for _ in range(8):
        if ground.campaign_at[number + 1] - ground.campaign_at[number] > 1:
            break
        number = below(dice, campaigns)
    start = _take_party(ground, stand, pad, number)
    first = ground.members[ground.campaign_at[number]]
    if chance(dice) < 0.5:
        start = min(start, _take_siblings(ground, stand, pad, first))
    how[THIS_MODE] = -1.0
    if chance(dice) < 0.8:
        how[THIS_MODE] = float(below(dice, ground.acts[first, WAYS]))
    day = ground.sizes[DAY]
    if chance(dice) < 0.6:
        start = max(0, start + int((chance(dice) - 0.4) * 10 * day))
        how[FLOOR] = float(start)
    if chance(dice) < 0.5 and how[THIS_MODE] >= 0:
        _take_way(ground, stand, pad, (first, start))


@compiled
def _take_party(ground: Ground, stand: Stand, pad: Pad, number: int) -> int:
    """Take out a campaign, which is to be moved together; gives when it began."""
    start = NEVER
    for k in range(ground.campaign_at[number], ground.campaign_at[number + 1]):
        i = ground.members[k]
        start = min(start, stand.at[i, START])
        _take_out(ground, pad, i)
        pad.party[i] = pad.state[i] != NOT_OUT
    return start


@compiled
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


@compiled
def _take_way(ground: Ground, stand: Stand, pad: Pad, at: tuple[int, int]) -> None:
    """Take out what stands where the party is to go, by a member and from a quarter on."""
    way = ground.ways[ground.acts[at[0], WAY] + int(pad.how[THIS_MODE])]
    length = 1 + int(chance(pad.dice) ** 2 * MOST_STRETCH)
    for k in range(way[SINGLE], way[SINGLE_END]):
        r = ground.singles[k, 0]
        if ground.singles[k, 1] == BARE:
            continue
        begin = ground.resources[r, ROW]
        first = found_from(stand.rows, begin, stand.counts[r], at[1])
        for e in range(first, min(begin + stand.counts[r], first + length)):
            _take_out(ground, pad, stand.rows[WHO, e])


@compiled
def _weighed(ground: Ground, stand: Stand, pad: Pad) -> int:
    """A resource at work, if soon found one that weighs something by what it does; -1 for none."""
    count, r = ground.resources.shape[0], -1
    for _ in range(20 if count > 0 else 0):
        r = below(pad.dice, count)
        if ground.resources[r, IS_WEIGHED] and stand.counts[r] > 1:
            break
    return r if r >= 0 and stand.counts[r] > 0 else -1


@compiled
def _choose_stretch(ground: Ground, stand: Stand, pad: Pad, r: int) -> None:
    """A stretch of what one resource does."""
    dice = pad.dice
    length = 2 + int(chance(dice) ** 2 * MOST_STRETCH)
    begin = ground.resources[r, ROW]
    at = begin + below(dice, stand.counts[r])
    for k in range(at, min(begin + stand.counts[r], at + length)):
        _take_out(ground, pad, stand.rows[WHO, k])


@compiled
def _choose_return(ground: Ground, stand: Stand, pad: Pad, r: int) -> None:
    """What one resource does between leaving a state and coming back to it, and the coming back.

    That goes back first, so that the state is left only once.
    """
    rows, begin = stand.rows, ground.resources[r, ROW]
    over = begin + stand.counts[r]
    at = begin + below(pad.dice, stand.counts[r])
    state = rows[STATE, at]
    while at < over and rows[STATE, at] == state:
        at += 1
    back = at
    while back < min(over, at + MOST_STRETCH) and rows[STATE, back] != state:
        back += 1
    if back == min(over, at + MOST_STRETCH):
        return
    end = back
    while end < min(over, back + MOST_STRETCH) and rows[STATE, end] == state:
        _take_out(ground, pad, rows[WHO, end])
        end += 1
    firsts = pad.tally[OUT]
    for k in range(at, back):
        _take_out(ground, pad, rows[WHO, k])
    _rank(pad, firsts)


@compiled
def _choose_idle(ground: Ground, stand: Stand, pad: Pad, r: int) -> None:
    """What one resource does before it stands idle, to be put off until it goes on."""
    dice, rows, begin = pad.dice, stand.rows, ground.resources[r, ROW]
    over = begin + stand.counts[r] - 1
    at = begin + below(dice, stand.counts[r])
    least = 1 if chance(dice) < SHORT_SHARE else ground.sizes[DAY] // 2
    while at < over and rows[START, at + 1] - rows[FINISH, at] < least:
        at += 1
    if at >= over:
        return
    first, most = at, int(chance(dice) ** 2 * MOST_STRETCH)
    while first > max(begin, at - most) and rows[START, first] - rows[FINISH, first - 1] < least:
        first -= 1
    _take_to(ground, stand, pad, (first, at + 1))
    pad.how[FLOOR] = float(rows[START, first] + rows[START, at + 1] - rows[FINISH, at])
    pad.how[IS_FREE] = 0.0


@compiled
def _take_to(ground: Ground, stand: Stand, pad: Pad, places: tuple[int, int]) -> None:
    """Take out a stretch of a row that is to be moved together."""
    for k in range(places[0], places[1]):
        i = stand.rows[WHO, k]
        _take_out(ground, pad, i)
        pad.party[i] = pad.state[i] != NOT_OUT


@compiled
def _day_of(ground: Ground, stand: Stand, r: int, at: int) -> tuple[int, int]:
    """The places in a row of all that begins on the day of one of them."""
    starts, day, begin = stand.rows[START], ground.sizes[DAY], ground.resources[r, ROW]
    first = last = at
    while first > begin and starts[first - 1] // day == starts[at] // day:
        first -= 1
    while last < begin + stand.counts[r] and starts[last] // day == starts[at] // day:
        last += 1
    return first, last


@compiled
def _choose_day(ground: Ground, stand: Stand, pad: Pad, r: int) -> None:
    """What one resource does on the emptiest of a few days, to go to other days, and what is near.

    It goes back first, at times not before the next morning.
    """
    dice, rows, begin = pad.dice, stand.rows, ground.resources[r, ROW]
    places, least = (begin, begin + 1), NEVER
    for _ in range(DAYS_LOOKED_AT):
        first, last = _day_of(ground, stand, r, begin + below(dice, stand.counts[r]))
        work = 0
        for k in range(first, last):
            work += rows[FINISH, k] - rows[START, k]
        if work < least:
            places, least = (first, last), work
    morning = (rows[START, places[0]] // ground.sizes[DAY] + 1) * ground.sizes[DAY]
    _take_to(ground, stand, pad, places)
    pad.how[FLOOR] = float(morning) if chance(dice) < 0.5 else 0.0
    firsts, reach = pad.tally[OUT], below(dice, MOST_NEAR)
    for k in range(max(begin, places[0] - reach), places[0]):
        _take_out(ground, pad, rows[WHO, k])
    for k in range(places[1], min(begin + stand.counts[r], places[1] + reach)):
        _take_out(ground, pad, rows[WHO, k])
    _rank(pad, firsts)


@compiled
def _pick_of(ground: Ground, stand: Stand, pad: Pad, r: int) -> bool:
    """Take out something that one resource does; whether it is said what of it goes back first."""
    draw = chance(pad.dice)
    if ground.resources[r, HELD_PRICE] == 0:
        draw *= RETURN_SHARE + STRETCH_SHARE
    if draw < STRETCH_SHARE:
        _choose_stretch(ground, stand, pad, r)
        return False
    if draw < STRETCH_SHARE + RETURN_SHARE:
        _choose_return(ground, stand, pad, r)
        return True
    if draw < STRETCH_SHARE + RETURN_SHARE + IDLE_SHARE:
        _choose_idle(ground, stand, pad, r)
        return False
    _choose_day(ground, stand, pad, r)
    return True


@compiled
def _pick(ground: Ground, stand: Stand, pad: Pad) -> bool:
    """Take out something; whether it is said already what of it goes back first."""
    draw = chance(pad.dice)
    if draw < HERO_SHARE:
        choose_late(ground, stand, pad)
        return True
    if draw < HERO_SHARE + CAMPAIGN_SHARE:
        _choose_campaign(ground, stand, pad)
        return False
    r = _weighed(ground, stand, pad)
    return r >= 0 and _pick_of(ground, stand, pad, r)


@compiled
def choose(ground: Ground, stand: Stand, pad: Pad) -> None:
    """What to take out, how and in which order to put it back."""
    dice, how, tally, acts = pad.dice, pad.how, pad.tally, ground.acts
    how[PATIENCE] = 0.0 if chance(dice) < 0.3 else 0.5 * 2.0 ** below(dice, 5)
    how[IS_FREE] = 1.0 if chance(dice) < 0.5 else 0.0
    how[FLOOR], how[THIS_MODE] = 0.0, -1.0
    how[FOLLOW_STAYS] = 1.0 if chance(dice) < STAYING_SHARE else 0.0
    tally[OUT] = 0
    noise = 0.0
    if chance(dice) < 0.6:
        noise = 4.0 * 2.0 ** below(dice, 6)
    is_ranked = _pick(ground, stand, pad)
    by_campaign = 0.0
    if not is_ranked and chance(dice) < 0.3:
        by_campaign = 200.0
    salt = below(dice, 1000)
    for k in range(tally[OUT]):
        i = pad.out[k]
        if not is_ranked:
            pad.key[i] = by_campaign * ((acts[i, CAMPAIGN] * 31 + salt) % 7)
        pad.key[i] += stand.at[i, START] + noise * chance(dice)
