"""Orders of plain questions bred from one another by compiled code, some 100,000 a second.

Takes the `Net`s of a plain question, gives the best order found. Knows nothing of when to stop. The
same seed and number of placings give the same answer. Compiling takes seconds once and is then kept
on disk: import this module where it is needed.

Every child is pushed back in time and placed again, and takes the place of its mother unless it
is longer. Of those that start some activities, a few chosen beforehand, all alike the shortest is
kept: so a herd stays long from growing alike, and what differs only where little hangs on it takes
no room. Where activities fit is asked for 64 quarters at once, and what a processor would have to
guess is worked out instead: that makes placing twice as quick.

Source:
    S. Hartmann, "A competitive genetic algorithm for resource-constrained project scheduling",
    Naval Research Logistics 45 (1998), pp. 733-750; V. Valls, F. Ballestin, S. Quintanilla,
    "Justification and RCPSP: a technique that pays", European Journal of Operational Research 165
    (2005), pp. 375-386. Random numbers: G. Marsaglia, "Xorshift RNGs", Journal of Statistical
    Software 8 (2003), no. 14. Peaks handed on whole: V. Valls, F. Ballestin, S. Quintanilla, "A
    hybrid genetic algorithm for the resource-constrained project scheduling problem", European
    Journal of Operational Research 185 (2008), pp. 495-508. A child in the place of the parent that
    it is like: S. W. Mahfoud, "Crowding and preselection revisited", Parallel Problem Solving from
    Nature 2 (1992), pp. 27-36. The lowest bit: C. E. Leiserson, H. Prokop, K. H. Randall, "Using de
    Bruijn sequences to index a 1 in a computer word" (1998).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from planner.schedule.compiled import called_from_python, compiled
from planner.schedule.pad import below, chance

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.schedule.plain import Net, Share, Whole, Word

MUTATION = 0.02
"""Chance that an activity changes places with the one before it."""
STRETCHES, SHORTEST, LONGEST = 3, 0.1, 0.5
"""Stretches of the father looked at, and how long they are, as shares of all activities."""
ANYWHERE, STRETCH, BEFORE, AFTER = 0, 1, 2, 3
"""Where an activity goes in a child, by the stretch."""
WORSE = 1.05
"""Children longer than this times the best are not pushed back: little comes of them."""
TELLING = 8
"""Of so many activities the first tells orders apart, the others do not."""
STALE = 120
"""Placings for each order kept, after which no shorter than the shortest is to be expected."""
MOST_REFUSED = 200
"""Orders refused for being like another, after which no more are sampled."""
NEVER = 1 << 40
LOG_UNCHANGED = math.log(1.0 - MUTATION)
WINDOW, FEW = np.uint64(64), 32
"""Quarters looked at together, one bit each, and the most that are looked for in them."""
NONE, ONE = np.uint64(0), np.uint64(1)
DE_BRUIJN = np.uint64(0x03F79D71B4CB0A89)
LOWEST = tuple(
    next(k for k in range(64) if (0x03F79D71B4CB0A89 << k) % 2**64 >> 58 == n) for n in range(64)
)
"""Which bit is the lowest, by the leftmost six of it times `DE_BRUIJN`."""
HASH_BASIS, HASH_PRIME = np.uint64(14695981039346656037), np.uint64(1099511628211)


class Pen(NamedTuple):
    """Where a herd stands: orders, their starts and spans, and what a kernel works on.

    Attributes:
        orders: one row each, activities by number in `Net`.
        starts: one row each, by activity.
        spans: quarters each takes.
        marks: a hash of what starts tell each from the others.
        tally: how many there are, placings made, orders refused.
        dice: state of the random numbers.
        latest: latest start of each activity for the longest chain, at most 0.
        energy: of each activity, quarters times the share it holds of each resource, summed.
        room: one word for each quarter, all free.
        above: a set of bits for each activity: what it waits for, at any remove.
        under: what waits for it.
        sets: two sets of bits to work on.
        work: rows of work space, by activity.
        by_quarter: work space, by quarter.
    """

    orders: Whole
    starts: Whole
    spans: Whole
    marks: Word
    tally: Whole
    dice: Word
    latest: Whole
    energy: Share
    room: Word
    above: Word
    under: Word
    sets: Word
    work: Whole
    by_quarter: Whole


@compiled
def _fits(room: Word, t: int, need: np.uint64, spare: np.uint64) -> np.uint64:
    """Quarters from t on with room for a need, one bit each."""
    # Unsigned places are not looked at for being counted from the end.
    found, first = NONE, np.uint64(t)
    for k in range(WINDOW):
        found |= np.uint64(((room[first + k] - need) & spare) == spare) << k
    return found


@compiled
def _gap(room: Word, t: int, length: int, lanes: tuple[np.uint64, np.uint64]) -> int:
    """The first quarter from t on with room for a need during some quarters."""
    need, spare = lanes
    while length <= FEW:
        # A bit for each quarter, then one for each from which so many more have room.
        fits, have = _fits(room, t, need, spare), 1
        while have < length:
            step = min(have, length - have)
            fits &= fits >> np.uint64(step)
            have += step
        if fits != NONE:
            return t + LOWEST[((fits & (NONE - fits)) * DE_BRUIJN) >> np.uint64(58)]
        t += 65 - length
    # From t up to `known` there is room, as was seen before.
    u, known = t + length - 1, t
    while u >= known:
        if ((room[np.uint64(u)] - need) & spare) == spare:
            u -= 1
        else:
            known, t = t + length, u + 1
            u = t + length - 1
    return t


@compiled
def _place(order: Whole, net: Net, room: Word, start: Whole) -> int:
    """Each activity in turn as early as it can; gives when all is done."""
    duration, needs, spare, free, last = net.duration, net.need, net.spare, net.free, 0
    first, before, lag = net.before_at, net.before, net.before_lag
    for at in range(order.size):
        i, t = order[at], 0
        for e in range(first[i], first[i + 1]):
            j = before[e]
            t = max(t, start[j] + duration[j] + lag[e])
        need, length = needs[i], duration[i]
        if need != 0:
            t = _gap(room, t, length, (need, spare))
            for u in range(np.uint64(t), np.uint64(t + length)):
                room[u] -= need
        start[i] = t
        last = max(last, t + length)
    for u in range(np.uint64(last)):
        room[u] = free
    return last


@called_from_python
def _by_key(key: Whole, order: Whole, count: Whole, step: int) -> None:
    """Numbers by their key; ties by number, rising where `step` is 1, falling where it is -1."""
    n, top = key.size, 0
    for i in range(n):
        top = max(top, key[i])
    for u in range(top + 2):
        count[u] = 0
    for i in range(n):
        count[key[i] + 1] += 1
    for u in range(top + 1):
        count[u + 1] += count[u]
    for at in range(n):
        i = at if step > 0 else n - 1 - at
        order[count[key[i]]] = i
        count[key[i]] += 1


@compiled
def _by_end(start: Whole, net: Net, pen: Pen, way: tuple[int, int]) -> None:
    """The order of what ends last first, with ties by number as in `_by_key`."""
    key, (span, step) = pen.work[2], way
    for i in range(key.size):
        key[i] = span - start[i] - net.duration[i]
    _by_key(key, pen.work[3], pen.by_quarter, step)


@compiled
def _pushed(net: Net, back: Net, pen: Pen, reach: tuple[int, int]) -> int:
    """Push what is placed back and place it forwards again while that makes it the shortest.

    Of what stays longer than the best the first time shortens most.
    """
    span, best = reach
    start, late, order = pen.work[0], pen.work[1], pen.work[3]
    while True:
        _by_end(start, net, pen, (span, -1))
        last = _place(order, back, pen.room, late)
        _by_end(late, net, pen, (last, 1))
        again = _place(order, net, pen.room, start)
        pen.tally[1] += 2
        if again >= span or again > best:
            return again
        span = again


@compiled
def _sampled(net: Net, back: Net, pen: Pen) -> None:
    """An order drawn at random, the sooner an activity must start the likelier it is next."""
    order, waiting, ready = pen.work[3], pen.work[4], pen.work[5]
    n, free = order.size, 0
    for i in range(n):
        waiting[i] = net.before_at[i + 1] - net.before_at[i]
        if waiting[i] == 0:
            ready[free] = i
            free += 1
    for at in range(n):
        pick = _drawn(pen, ready, free)
        i = ready[pick]
        order[at] = i
        free -= 1
        ready[pick] = ready[free]
        for e in range(back.before_at[i], back.before_at[i + 1]):
            j = back.before[e]
            waiting[j] -= 1
            if waiting[j] == 0:
                ready[free] = j
                free += 1


@compiled
def _drawn(pen: Pen, ready: Whole, free: int) -> int:
    """Which of those that are free: the more it must be sooner than the last, the likelier."""
    latest, worst, total = pen.latest, -NEVER, 0
    for k in range(free):
        worst = max(worst, latest[ready[k]] + 1)
        total += latest[ready[k]]
    left, pick = chance(pen.dice) * (worst * free - total), 0
    left -= worst - latest[ready[0]]
    while left > 0 and pick < free - 1:
        pick += 1
        left -= worst - latest[ready[pick]]
    return pick


@compiled
def _parent(pen: Pen) -> int:
    one, other = below(pen.dice, pen.tally[0]), below(pen.dice, pen.tally[0])
    return other if pen.spans[other] < pen.spans[one] else one


@compiled
def _stretch(pen: Pen, father: int) -> tuple[int, int]:
    """Of a few stretches of the father's order the one in which hands are busiest."""
    order, starts, n = pen.orders[father], pen.starts[father], pen.latest.size
    best, first, last = -1.0, 0, 0
    for _ in range(STRETCHES):
        length = int(n * (SHORTEST + (LONGEST - SHORTEST) * chance(pen.dice)))
        begin = below(pen.dice, n - length + 1)
        end, work = begin + length, 0.0
        for at in range(begin, end):
            work += pen.energy[order[at]]
        if length > 0:
            work /= starts[order[end - 1]] - starts[order[begin]] + 1
        if work > best:
            best, first, last = work, begin, end
    return first, last


@compiled
def _sided(pen: Pen, stretch: Whole) -> None:
    """Of each activity whether it is in the stretch, waits for it, is waited for, or none."""
    side, over, under = pen.work[4], pen.sets[0], pen.sets[1]
    for w in range(over.size):
        over[w] = under[w] = NONE
    for i in stretch:
        for w in range(over.size):
            over[w] |= pen.above[i, w]
            under[w] |= pen.under[i, w]
    for i in range(side.size):
        w, k = i >> 6, np.uint64(i & 63)
        side[i] = BEFORE * int(over[w] >> k & ONE) + AFTER * int(under[w] >> k & ONE)
    for i in stretch:
        side[i] = STRETCH


@compiled
def _child(net: Net, pen: Pen) -> int:
    """A busy stretch of the father's order, whole, among the mother's, here and there changed.

    Gives the number of the mother.

    What waits for the stretch comes after it and what it waits for before it; the rest goes to
    whichever side of the stretch's mean place it has in the mother.
    """
    order, side, later = pen.work[3], pen.work[4], pen.work[5]
    m, f = _parent(pen), _parent(pen)
    mother, (first, last) = pen.orders[m], _stretch(pen, f)
    stretch = pen.orders[f][first:last]
    _sided(pen, stretch)
    places = 0
    for at in range(order.size):
        places += at * int(side[mother[at]] == STRETCH)
    into = behind = 0
    for at in range(order.size):
        # Written to both and counted to one: which it is cannot be foretold, and asking takes long.
        i = mother[at]
        is_sooner = (side[i] == BEFORE) | ((side[i] == ANYWHERE) & (at * stretch.size < places))
        order[into] = later[behind] = i
        into += int(is_sooner)
        behind += int((side[i] != STRETCH) & (not is_sooner))
    for i in stretch:
        order[into] = i
        into += 1
    for at in range(behind):
        order[into + at] = later[at]
    _mutate(net, order, pen.dice)
    return m


@compiled
def _mutate(net: Net, order: Whole, dice: Word) -> None:
    """Here and there an activity and the one before it change places."""
    at = _skipped(dice)
    while at < order.size:
        one, other, waits = order[at - 1], order[at], False
        for e in range(net.before_at[other], net.before_at[other + 1]):
            waits |= net.before[e] == one
        if not waits:
            order[at - 1], order[at] = other, one
        at += _skipped(dice)


@compiled
def _skipped(dice: Word) -> int:
    """How far it is to the next that changes, each as likely to as any."""
    return 1 + int(math.log(1.0 - chance(dice)) / LOG_UNCHANGED)


@called_from_python
def _admit(pen: Pen, span: int, mother: int) -> None:
    """Let in what is placed, in place of one that is like it, if longer, or else of its mother.

    It is likest to her, so that what the herd has of other kinds stays.
    """
    start, order, size, spans = pen.work[0], pen.work[3], pen.tally[0], pen.spans
    mark = HASH_BASIS
    for i in range(0, start.size, TELLING):
        mark = (mark ^ np.uint64(start[i])) * HASH_PRIME
    at = _alike(pen.marks, size, mark)
    if at < size:
        if span >= spans[at]:
            pen.tally[2] += 1
            return
    elif size < spans.size:
        pen.tally[0] += 1
    else:
        at = mother
        if span > spans[at]:
            return
    spans[at], pen.marks[at] = span, mark
    for i in range(start.size):
        pen.orders[at, i] = order[i]
        pen.starts[at, i] = start[i]


@compiled
def _alike(marks: Word, size: int, mark: np.uint64) -> int:
    """Where the mark stands among so many; how many there are, if nowhere."""
    found = 0
    # Looking through all of them takes less than stopping at the one: nothing has to be decided.
    for k in range(size):
        found += marks[k] == mark
    at = 0 if found else size
    while found and marks[at] != mark:
        at += 1
    return at


@called_from_python
def _breed(net: Net, back: Net, pen: Pen, placings: int) -> None:
    start, order = pen.work[0], pen.work[3]
    until = pen.tally[1] + placings
    best = NEVER
    for k in range(pen.tally[0]):
        best = min(best, pen.spans[k])
    while pen.tally[1] < until:
        grown, mother = pen.tally[0] == pen.spans.size or pen.tally[2] >= MOST_REFUSED, 0
        if grown and pen.tally[0] > 1:
            mother = _child(net, pen)
        else:
            _sampled(net, back, pen)
        span = _place(order, net, pen.room, start)
        pen.tally[1] += 1
        if not grown or span <= WORSE * best:
            span = _pushed(net, back, pen, (span, best))
        _by_key(start, order, pen.by_quarter, 1)
        best = min(best, span)
        _admit(pen, span, mother)


class Heirs(NamedTuple):
    """What a herd leaves: how often herds were joined for it, and some orders with their spans."""

    rank: int
    starts: Whole
    spans: Whole


class Herd:
    """Orders of one plain question, no two with the same starts."""

    def __init__(self, net: Net, back: Net, kept: int, seed: int) -> None:
        """Begin an empty herd that grows to `kept` orders."""
        self.net, self.back, self.seed = net, back, seed
        self.rank = 0
        self._bettered_at = 0
        count = len(net.duration)
        quarters = int(net.duration.sum() + net.before_lag.sum()) + 2
        self.pen = Pen(
            orders=np.zeros((kept, count), np.int64),
            starts=np.zeros((kept, count), np.int64),
            spans=np.zeros(kept, np.int64),
            marks=np.zeros(kept, np.uint64),
            tally=np.zeros(3, np.int64),
            dice=np.array([(seed * 2_654_435_761 + 88_172_645_463_325_252) % 2**64], np.uint64),
            latest=_latest(back),
            energy=net.duration * net.share,
            room=np.full(quarters + int(WINDOW), net.free, np.uint64),
            above=_closed(net, range(count)),
            under=_closed(back, range(count - 1, -1, -1)),
            sets=np.zeros((2, count // 64 + 1), np.uint64),
            work=np.zeros((6, count), np.int64),
            by_quarter=np.zeros(quarters + 2, np.int64),
        )

    def breed(self, placings: int) -> None:
        """Breed until about so many more orders are placed."""
        span = self.span
        _breed(self.net, self.back, self.pen, placings)
        if self.span < span:
            self._bettered_at = self.placings

    def invite(self, starts: Sequence[int] | Whole, span: int) -> None:
        """Let in an order found otherwise, if need be in place of the longest.

        Args:
            starts: by number in the net; feasible.
            span: quarters it takes.
        """
        self.pen.work[0] = starts
        _by_key(self.pen.work[0], self.pen.work[3], self.pen.by_quarter, 1)
        _admit(self.pen, span, int(self.pen.spans.argmax()))

    def join(self, heirs: Sequence[Heirs]) -> None:
        """Begin with what other herds left, all of one rank, and sample no more."""
        for each in heirs:
            self.rank = each.rank + 1
            for starts, span in zip(each.starts, each.spans, strict=True):
                self.invite(starts, int(span))
        self.pen.tally[2] = MOST_REFUSED

    def heirs(self, share: int) -> Heirs:
        """The shortest, one of so many as may be kept."""
        chosen = self._spans().argsort(kind="stable")[: len(self.pen.spans) // share]
        return Heirs(self.rank, self.pen.starts[chosen], self.pen.spans[chosen])

    @property
    def placings(self) -> int:
        """Orders placed so far."""
        return int(self.pen.tally[1])

    @property
    def span(self) -> int:
        """Quarters that the best takes."""
        return int(self._spans().min(initial=NEVER))

    @property
    def is_stale(self) -> bool:
        """Whether all take the same time, or for long no shorter was bred: begin another."""
        spans, kept = self._spans(), len(self.pen.spans)
        grown = len(spans) == kept or self.pen.tally[2] >= MOST_REFUSED
        if grown and len(spans) > 1 and spans.min() == spans.max():
            return True
        return self.placings - self._bettered_at > STALE * kept

    def best(self) -> tuple[int, ...]:
        """The order of the best, by number in the net."""
        return tuple(map(int, self.pen.orders[self._spans().argmin()]))

    def _spans(self) -> Whole:
        return self.pen.spans[: self.pen.tally[0]]


def _latest(back: Net) -> Whole:
    """Latest starts for the longest chain to end at 0."""
    latest = np.zeros(len(back.duration), np.int64)
    for i in range(len(latest) - 1, -1, -1):
        links = range(int(back.before_at[i]), int(back.before_at[i + 1]))
        end = min((int(latest[back.before[e]] - back.before_lag[e]) for e in links), default=0)
        latest[i] = end - back.duration[i]
    return latest


def _closed(net: Net, order: Sequence[int]) -> Word:
    """A set of bits for each activity: all it waits for, at any remove; `order` runs along."""
    found = np.zeros((len(order), len(order) // 64 + 1), np.uint64)
    for i in order:
        for j in net.before[net.before_at[i] : net.before_at[i + 1]]:
            found[i] |= found[j]
            found[i, j // 64] |= ONE << np.uint64(j % 64)
    return found
