"""Orders of plain questions bred from one another by compiled code, some 50,000 a second.

Takes the `Net`s of a plain question, gives the best order found. Knows nothing of when to stop. The
same seed and number of placings give the same answer. Compiling takes seconds once and is then kept
on disk: import this module where it is needed.

Every child is pushed back in time and placed again for as long as that shortens it. Of those that
start some activities, a few chosen beforehand, all alike the shortest is kept: so a herd stays long
from growing alike, and what differs only where little hangs on it takes no room.

Source:
    S. Hartmann, "A competitive genetic algorithm for resource-constrained project scheduling",
    Naval Research Logistics 45 (1998), pp. 733-750; V. Valls, F. Ballestin, S. Quintanilla,
    "Justification and RCPSP: a technique that pays", European Journal of Operational Research 165
    (2005), pp. 375-386. Random numbers: G. Marsaglia, "Xorshift RNGs", Journal of Statistical
    Software 8 (2003), no. 14. Peaks handed on whole: V. Valls, F. Ballestin, S. Quintanilla, "A
    hybrid genetic algorithm for the resource-constrained project scheduling problem", European
    Journal of Operational Research 185 (2008), pp. 495-508.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple, TypeVar, cast

import numpy as np
from numba import njit

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

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
SHIFT_A, SHIFT_B, SHIFT_C = np.uint64(13), np.uint64(7), np.uint64(17)
DROP, UNIT = np.uint64(11), 1.0 / (1 << 53)
HASH_BASIS, HASH_PRIME = np.uint64(14695981039346656037), np.uint64(1099511628211)

F = TypeVar("F", bound="Callable[..., object]")


def _compiled(function: F) -> F:
    """Compile when first called, keep it on disk, and let other threads run meanwhile."""
    return cast("F", njit(cache=True, nogil=True)(function))


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
    work: Whole
    by_quarter: Whole


@_compiled
def _place(order: Whole, net: Net, room: Word, start: Whole) -> int:
    """Each activity in turn as early as it can; gives when all is done."""
    # Named once: reaching into a tuple in a loop counts references each time.
    duration, needs, spare, free, last = net.duration, net.need, net.spare, net.free, 0
    first, before, lag = net.before_at, net.before, net.before_lag
    for at in range(order.size):
        i, t = order[at], 0
        for e in range(first[i], first[i + 1]):
            j = before[e]
            t = max(t, start[j] + duration[j] + lag[e])
        need, length = needs[i], duration[i]
        if need != 0:
            # From t up to `known` there is room, as was seen before. Unsigned places are not looked
            # at for being counted from the end.
            u, known = t + length - 1, t
            while u >= known:
                if ((room[np.uint64(u)] - need) & spare) == spare:
                    u -= 1
                else:
                    known, t = t + length, u + 1
                    u = t + length - 1
            for u in range(t, t + length):
                room[np.uint64(u)] -= need
        start[i] = t
        last = max(last, t + length)
    for u in range(last):
        room[u] = free
    return last


@_compiled
def _by_key(key: Whole, order: Whole, count: Whole, step: int) -> None:
    """Numbers by their key; ties by number, rising where `step` is 1, falling where it is -1."""
    n = key.size
    top = key.max()
    count[: top + 2] = 0
    for i in range(n):
        count[key[i] + 1] += 1
    for u in range(top + 1):
        count[u + 1] += count[u]
    for at in range(n):
        i = at if step > 0 else n - 1 - at
        order[count[key[i]]] = i
        count[key[i]] += 1


@_compiled
def _pushed(net: Net, back: Net, pen: Pen, span: int) -> int:
    """Push what is placed back and place it forwards again while that shortens it."""
    start, late, key, order = pen.work[0], pen.work[1], pen.work[2], pen.work[3]
    while True:
        key[:] = span - start - net.duration
        _by_key(key, order, pen.by_quarter, -1)
        last = _place(order, back, pen.room, late)
        key[:] = last - late - net.duration
        _by_key(key, order, pen.by_quarter, 1)
        again = _place(order, net, pen.room, start)
        pen.tally[1] += 2
        if again >= span:
            return again
        span = again


@_compiled
def _chance(dice: Word) -> float:
    x = dice[0]
    x ^= x << SHIFT_A
    x ^= x >> SHIFT_B
    x ^= x << SHIFT_C
    dice[0] = x
    return float(x >> DROP) * UNIT


@_compiled
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
        worst = pen.latest[ready[:free]].max() + 1
        left = _chance(pen.dice) * (worst * free - pen.latest[ready[:free]].sum())
        pick = 0
        left -= worst - pen.latest[ready[0]]
        while left > 0 and pick < free - 1:
            pick += 1
            left -= worst - pen.latest[ready[pick]]
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


@_compiled
def _parent(pen: Pen) -> int:
    one = int(_chance(pen.dice) * pen.tally[0])
    other = int(_chance(pen.dice) * pen.tally[0])
    return other if pen.spans[other] < pen.spans[one] else one


@_compiled
def _stretch(pen: Pen, father: int) -> tuple[int, int]:
    """Of a few stretches of the father's order the one in which hands are busiest."""
    order, starts, n = pen.orders[father], pen.starts[father], pen.latest.size
    best, first, last = -1.0, 0, 0
    for _ in range(STRETCHES):
        length = int(n * (SHORTEST + (LONGEST - SHORTEST) * _chance(pen.dice)))
        begin = int(_chance(pen.dice) * (n - length + 1))
        end, work = begin + length, 0.0
        for at in range(begin, end):
            work += pen.energy[order[at]]
        if length > 0:
            work /= starts[order[end - 1]] - starts[order[begin]] + 1
        if work > best:
            best, first, last = work, begin, end
    return first, last


@_compiled
def _bound(net: Net, order: Whole, side: Whole, mark: int) -> None:
    """Mark what waits, at any remove, for the stretch; `order` runs along the waits of `net`."""
    first, before = net.before_at, net.before
    for i in order:
        if side[i] == ANYWHERE:
            for e in range(first[i], first[i + 1]):
                other = side[before[e]]
                if other in {STRETCH, mark}:
                    side[i] = mark
                    break


@_compiled
def _child(net: Net, back: Net, pen: Pen) -> None:
    """A busy stretch of the father's order, whole, among the mother's, here and there changed.

    What waits for the stretch comes after it and what it waits for before it; the rest goes to
    whichever side of the stretch's mean place it has in the mother.
    """
    order, side, dice = pen.work[3], pen.work[4], pen.dice
    mother, f = pen.orders[_parent(pen)], _parent(pen)
    first, last = _stretch(pen, f)
    stretch = pen.orders[f][first:last]
    side[:] = ANYWHERE
    side[stretch] = STRETCH
    _bound(net, mother, side, AFTER)
    _bound(back, mother[::-1], side, BEFORE)
    places = 0
    for at in range(order.size):
        if side[mother[at]] == STRETCH:
            places += at
    into, behind = 0, order.size
    for at in range(order.size):
        i = mother[at]
        if side[i] == BEFORE or (side[i] == ANYWHERE and at * stretch.size < places):
            order[into] = i
            into += 1
    order[into : into + stretch.size] = stretch
    for at in range(order.size - 1, -1, -1):
        i = mother[at]
        if side[i] == AFTER or (side[i] == ANYWHERE and at * stretch.size >= places):
            behind -= 1
            order[behind] = i
    _mutate(net, order, dice)


@_compiled
def _mutate(net: Net, order: Whole, dice: Word) -> None:
    """Here and there an activity and the one before it change places."""
    for at in range(1, order.size):
        if _chance(dice) < MUTATION:
            one, other = order[at - 1], order[at]
            waits = net.before[net.before_at[other] : net.before_at[other + 1]]
            if not (waits == one).any():
                order[at - 1], order[at] = other, one


@_compiled
def _admit(pen: Pen, span: int) -> None:
    """Let in what is placed, in place of one that is like it, if longer, or else of the longest."""
    start, order, size, spans = pen.work[0], pen.work[3], pen.tally[0], pen.spans
    mark = HASH_BASIS
    for i in range(0, start.size, TELLING):
        mark = (mark ^ np.uint64(start[i])) * HASH_PRIME
    at = _alike(pen.marks[:size], mark)
    if at < size:
        if span >= spans[at]:
            pen.tally[2] += 1
            return
    elif size < spans.size:
        pen.tally[0] += 1
    else:
        at = _longest(spans)
        if span > spans[at]:
            return
    spans[at], pen.marks[at] = span, mark
    pen.orders[at] = order
    pen.starts[at] = start


@_compiled
def _alike(marks: Word, mark: np.uint64) -> int:
    """Where the mark stands; how many there are, if nowhere."""
    found = 0
    # Looking through all of them takes less than stopping at the one: nothing has to be decided.
    for k in range(marks.size):
        found += marks[k] == mark
    at = 0 if found else marks.size
    while found and marks[at] != mark:
        at += 1
    return at


@_compiled
def _longest(spans: Whole) -> int:
    """The last of those that take longest."""
    longest = 0
    for k in range(spans.size):
        if spans[k] >= spans[longest]:
            longest = k
    return longest


@_compiled
def _breed(net: Net, back: Net, pen: Pen, placings: int) -> None:
    start, order = pen.work[0], pen.work[3]
    until = pen.tally[1] + placings
    best = NEVER
    for k in range(pen.tally[0]):
        best = min(best, pen.spans[k])
    while pen.tally[1] < until:
        grown = pen.tally[0] == pen.spans.size or pen.tally[2] >= MOST_REFUSED
        if grown and pen.tally[0] > 1:
            _child(net, back, pen)
        else:
            _sampled(net, back, pen)
        span = _place(order, net, pen.room, start)
        pen.tally[1] += 1
        if not grown or span <= WORSE * best:
            span = _pushed(net, back, pen, span)
        _by_key(start, order, pen.by_quarter, 1)
        best = min(best, span)
        _admit(pen, span)


class Herd:
    """Orders of one plain question, no two with the same starts."""

    def __init__(self, net: Net, back: Net, kept: int, seed: int) -> None:
        """Begin an empty herd that grows to `kept` orders."""
        self.net, self.back, self.seed = net, back, seed
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
            room=np.full(quarters, net.free, np.uint64),
            work=np.zeros((6, count), np.int64),
            by_quarter=np.zeros(quarters + 2, np.int64),
        )

    def breed(self, placings: int) -> None:
        """Breed until about so many more orders are placed."""
        span = self.span
        _breed(self.net, self.back, self.pen, placings)
        if self.span < span:
            self._bettered_at = self.placings

    def invite(self, starts: Sequence[int], span: int) -> None:
        """Let in an order found otherwise.

        Args:
            starts: by number in the net; feasible.
            span: quarters it takes.
        """
        self.pen.work[0] = starts
        _by_key(self.pen.work[0], self.pen.work[3], self.pen.by_quarter, 1)
        _admit(self.pen, span)

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
