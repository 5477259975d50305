"""A question and an order of it as tables of whole numbers that compiled code can read.

Takes an `Indexed` and a board, gives a `Ground` that stays and a `Stand` that is changed in place.
Knows nothing of search. Each row of a table is one thing; its columns are named below. Lists of
different lengths are kept end to end, and a row says where its own begins and ends.

Everything of a question fits these tables but clock lags of very many lengths: `is_flat` says so,
and such questions are rearranged in Python. What keeps something set up for the next of its run
stands in what that resource does as if it ended when the next begins: nothing fits between.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from planner.schedule.indexed import BARE
from planner.schedule.ranking import campaigns

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    import numpy.typing as npt

    from planner.schedule.decode import Board
    from planner.schedule.indexed import Indexed
    from planner.schedule.lifting import Staying

    Whole = npt.NDArray[np.int64]

MOST_CELLS = 20_000_000
"""Numbers kept by quarter, over many-unit resources and lengths of clock lag."""

# Of an activity.
RELEASE, DUE, LATE_PRICE, FIRST, LAST, AWAY_PRICE = range(6)
WAY, WAYS, BEFORE, BEFORE_END, FOLLOW, FOLLOW_END, PARTNER, PARTNER_END = range(6, 14)
LOCKED, GROUP, CAMPAIGN, RUN, RUN_END, NEXT = range(14, 20)
WAS_DAY, WAS_MODE, MOVE_PRICE, DOUBLING, NOT_BEFORE, ACT_COLUMNS = range(20, 26)
# Of a way; SPELL are those that it pauses over or keeps clear of.
DURATION, COST, LEAST, PAUSES, SPELL, SPELL_END, SINGLE, SINGLE_END = range(8)
SHARED, SHARED_END, BAND, BAND_END, WAY_COLUMNS = range(8, 13)
# Of a resource; ROW is where its works begin in the table of all works.
R_SPELL, R_SPELL_END, HELD_PRICE, WAITING_PRICE, STANDING, ROW, IS_WEIGHED, RES_COLUMNS = range(8)
# Of a link: who, work quarters, which clock lag or -1.
OTHER, LAG, CLOCK = range(3)
# Of a shared use: who, units, full level, its row of units in use.
UNITS, LEVEL, IN_USE = range(1, 4)
# Of a work on a resource, and of where an activity is.
START, FINISH, STATE, WHO = range(4)
MODE = 2
# Of a whole question.
DAY, HORIZON, FINISH_WEIGHT, COST_WEIGHT, CHANGE_WEIGHT, STATES = range(6)


class Ground(NamedTuple):
    """What stays as it is while activities are moved.

    Attributes:
        acts: activities.
        ways: their ways, those of one activity one after the other.
        resources: resources.
        before: links to what is waited for.
        follow: links to what waits.
        partners: activities that take the mode of the same number.
        runs: activities done unbroken, in turn; one that is in no run is alone in its own.
        singles: `(resource, state or BARE)` of ways, one-unit resources.
        shareds: uses of many-unit resources.
        bands: `(quarters into the day, price)` of overtime.
        spells: `(first, end)` blocked.
        states: quarters to bring up and to clear away.
        odd_at: where the exceptions of a resource and a state before begin; one more at the end.
        odd: `(state after, quarters)` of exceptions.
        clock: first quarter for a follower, by length of clock lag and finish.
        campaign_at: where the members of a campaign begin; one more at the end.
        members: activities by campaign.
        users_at: where the users of a resource begin; one more at the end.
        users: activities that may use a resource, by resource.
        dues: activities with a price on being late.
        sizes: numbers of the whole question.
    """

    acts: Whole
    ways: Whole
    resources: Whole
    before: Whole
    follow: Whole
    partners: Whole
    runs: Whole
    singles: Whole
    shareds: Whole
    bands: Whole
    spells: Whole
    states: Whole
    odd_at: Whole
    odd: Whole
    clock: Whole
    campaign_at: Whole
    members: Whole
    users_at: Whole
    users: Whole
    dues: Whole
    sizes: Whole


class Stand(NamedTuple):
    """Where everything is.

    Attributes:
        at: start, finish and mode of each activity.
        rows: by column, works on one-unit resources, in order of start, from their `ROW` on.
        counts: how many works each resource has.
        used: units in use, by many-unit resource, numbered apart, and quarter.
        weights: what each one-unit resource adds to the total.
        guides: what more it adds to what guides the walk.
    """

    at: Whole
    rows: Whole
    counts: Whole
    used: Whole
    weights: Whole
    guides: Whole


class _Lists:
    """Lists end to end; the same list is kept once."""

    def __init__(self, columns: int) -> None:
        self.columns = columns
        self.all: list[tuple[int, ...]] = []
        self._known: dict[tuple[tuple[int, ...], ...], tuple[int, int]] = {}

    def add(self, items: Iterable[tuple[int, ...]]) -> tuple[int, int]:
        key = tuple(items)
        if key not in self._known:
            self._known[key] = len(self.all), len(self.all) + len(key)
            self.all += key
        return self._known[key]

    def table(self) -> Whole:
        return np.array(self.all, np.int64).reshape(-1, self.columns)


def horizon_of(indexed: Indexed, finishes: Sequence[int]) -> int:
    """Quarters that are looked at: twice as many as an order takes, and some days."""
    return 2 * max(finishes, default=0) + 10 * indexed.day


def is_flat(indexed: Indexed, horizon: int) -> bool:
    """Whether the tables hold everything of a question."""
    rows = len(_many(indexed)) + len(_clock_lags(indexed)) * (indexed.instance.calendar is not None)
    return rows * horizon <= MOST_CELLS


def ground_of(indexed: Indexed, horizon: int, staying: Staying | None = None) -> Ground:
    """The tables of a question, for orders that end before `horizon` and stay near one issued."""
    weights = indexed.instance.weights
    lags = _clock_lags(indexed)
    spells, singles, shareds, bands = _Lists(2), _Lists(2), _Lists(4), _Lists(2)
    many = _many(indexed)
    ways = [
        (
            way.duration,
            way.cost,
            way.least,
            way.pauses,
            *spells.add(way.spells),
            *singles.add((r, dict(way.states).get(r, BARE)) for r in way.single),
            *shareds.add((r, units, level, many[r]) for r, units, level in way.shared),
            *bands.add(way.overtime),
        )
        for each in indexed.ways
        for way in each
    ]
    parties = campaigns(indexed)
    odd_at, odd = _odd(indexed)
    users = _users(indexed)
    users_at = _ends(users)
    resources = _resources(indexed, spells, users_at)
    before, follow = _links(indexed, indexed.before, lags), _links(indexed, indexed.follow, lags)
    acts = _acts(indexed, parties)
    if staying is not None:
        _note_issued(acts, staying)
    return Ground(
        acts=acts,
        ways=np.array(ways, np.int64).reshape(-1, WAY_COLUMNS),
        resources=resources,
        before=before,
        follow=follow,
        partners=np.array([j for each in indexed.partners for j in each], np.int64),
        runs=np.array([j for i, run in enumerate(indexed.runs) for j in run or (i,)], np.int64),
        singles=singles.table(),
        shareds=shareds.table(),
        bands=bands.table(),
        spells=spells.table(),
        states=np.array([*zip(indexed.set_up, indexed.strike, strict=True)], np.int64).reshape(
            -1, 2
        ),
        odd_at=odd_at,
        odd=odd,
        clock=_clock(indexed, lags, horizon),
        campaign_at=_ends(parties),
        members=np.array([i for party in parties for i in party], np.int64),
        users_at=users_at,
        users=np.array([i for each in users for i in each], np.int64),
        dues=np.flatnonzero(acts[:, LATE_PRICE] > 0),
        sizes=np.array(
            [
                indexed.day,
                horizon,
                weights.finish,
                weights.cost,
                weights.changeover,
                len(indexed.states),
            ],
            np.int64,
        ),
    )


def stand_of(indexed: Indexed, ground: Ground, board: Board) -> Stand:
    """The tables of a feasible board; `weights` are still to be reckoned."""
    resources, horizon = len(ground.resources), int(ground.sizes[HORIZON])
    many = _many(indexed)
    works: list[list[tuple[int, int, int, int]]] = [[] for _ in range(resources)]
    used = np.zeros((len(many), horizon), np.int64)
    for i, (start, finish, mode) in enumerate(
        zip(board.starts, board.finishes, board.modes, strict=True)
    ):
        way, states = indexed.ways[i][mode], dict(indexed.ways[i][mode].states)
        after = ground.acts[i, NEXT]
        kept_until = finish if after < 0 else board.starts[after]
        for r in way.single if finish > start else ():
            until = kept_until if r in states else finish
            works[r].append((start, until, states.get(r, BARE), i))
        for r, units, _ in way.shared if finish > start else ():
            used[many[r], start:finish] += units
    begun = {i: board.starts[j] for j, i in indexed.going_on().items()}
    rows = np.zeros((4, int(ground.users_at[-1])), np.int64)
    for r, row in enumerate(works):
        begin = int(ground.resources[r, ROW])
        kept = _kept_begun(sorted(row), begun)
        rows[:, begin : begin + len(row)] = np.array(kept, np.int64).reshape(-1, 4).T
    return Stand(
        at=np.array([board.starts, board.finishes, board.modes], np.int64).T.copy(),
        rows=rows,
        counts=np.array([len(row) for row in works], np.int64),
        used=used,
        weights=np.zeros(resources, np.int64),
        guides=np.zeros(resources, np.int64),
    )


def lay(stand: Stand, other: Stand) -> None:
    """Make a board of a question like another one of it."""
    for old, new in zip(stand, other, strict=True):
        old[...] = new


def _many(indexed: Indexed) -> dict[int, int]:
    """Many-unit resources, numbered apart."""
    resources = enumerate(indexed.instance.resources)
    return {r: n for n, r in enumerate(r for r, each in resources if each.capacity > 1)}


def _kept_begun(
    row: Sequence[tuple[int, int, int, int]], begun: Mapping[int, int]
) -> list[tuple[int, int, int, int]]:
    """The same works, what is begun keeping what it set up unless locked work lies after it."""
    kept = list(row)
    for at, ((start, _, state, i), (begins, *_)) in enumerate(pairwise(row)):
        if state != BARE and begun.get(i) == begins:
            kept[at] = start, begins, state, i
    return kept


def _note_issued(acts: Whole, staying: Staying) -> None:
    """Write down what leaving its day or mode costs, and when it was issued for."""
    for i, was in enumerate(staying.surcharge.was):
        if was is not None:
            acts[i, WAS_DAY : MOVE_PRICE + 1] = was
    acts[:, DOUBLING] = staying.surcharge.doubling
    if staying.not_before:
        acts[:, NOT_BEFORE] = staying.not_before


def _acts(indexed: Indexed, parties: Sequence[Sequence[int]]) -> Whole:
    table = np.zeros((len(indexed.ids), ACT_COLUMNS), np.int64)
    late = indexed.instance.weights.late
    still = indexed.standing_still()
    for i, activity in enumerate(indexed.activities):
        is_due = activity.due is not None and activity.weight > 0
        table[i, RELEASE] = activity.release
        table[i, DUE] = activity.due if activity.due is not None else 0
        table[i, LATE_PRICE] = late * activity.weight if is_due else 0
        if activity.preference is not None:
            wish = activity.preference
            table[i, FIRST : AWAY_PRICE + 1] = wish.first, wish.last, wish.price
        table[i, GROUP] = indexed.groups[i]
        table[i, LOCKED] = i in still
        run = indexed.runs[i]
        table[i, NEXT] = run[run.index(i) + 1] if run and i != run[-1] else -1
        table[i, WAYS] = len(indexed.ways[i])
    runs = [run or (i,) for i, run in enumerate(indexed.runs)]
    for column, lists in (
        (WAY, indexed.ways),
        (BEFORE, indexed.before),
        (FOLLOW, indexed.follow),
        (PARTNER, indexed.partners),
        (RUN, runs),
    ):
        ends = _ends(lists)
        table[:, column] = ends[:-1]
        if column != WAY:
            table[:, column + 1] = ends[1:]
    for number, party in enumerate(parties):
        table[list(party), CAMPAIGN] = number
    return table


def _ends(lists: Iterable[Sequence[object]]) -> Whole:
    """Where each list begins, laid end to end, and where the last ends."""
    return np.cumsum([0, *map(len, lists)])


def _links(
    indexed: Indexed, links: Sequence[Sequence[tuple[int, int, int]]], lags: dict[int, int]
) -> Whole:
    is_dated = indexed.instance.calendar is not None
    found = [
        (j, lag, lags[clock] if clock and is_dated else -1)
        for each in links
        for j, lag, clock in each
    ]
    return np.array(found, np.int64).reshape(-1, 3)


def _clock_lags(indexed: Indexed) -> dict[int, int]:
    found = sorted({clock for waits in indexed.before for _, _, clock in waits if clock})
    return {clock: number for number, clock in enumerate(found)}


def _clock(indexed: Indexed, lags: dict[int, int], horizon: int) -> Whole:
    calendar = indexed.instance.calendar
    if calendar is None:
        return np.zeros((0, 0), np.int64)
    found = [[calendar.after_clock(q, lag) for q in range(horizon)] for lag in lags]
    return np.array(found, np.int64).reshape(-1, horizon)


def _resources(indexed: Indexed, spells: _Lists, users_at: Whole) -> Whole:
    table = np.zeros((len(indexed.instance.resources), RES_COLUMNS), np.int64)
    with_states = {r for ways in indexed.ways for way in ways for r, _ in way.states}
    for r, resource in enumerate(indexed.instance.resources):
        is_single = resource.capacity == 1
        held = resource.held_day_cost if is_single else 0
        waiting = resource.waiting_cost if is_single else 0
        is_weighed = bool(held or waiting or r in with_states)
        blocked = spells.add(indexed.spells[r])
        table[r] = *blocked, held, waiting, indexed.standing[r], users_at[r], is_weighed
    return table


def _users(indexed: Indexed) -> list[list[int]]:
    """The activities that may use each resource."""
    found: list[list[int]] = [[] for _ in indexed.instance.resources]
    for i, ways in enumerate(indexed.ways):
        held = {r for way in ways for r in way.single}
        for r in sorted(held | {r for way in ways for r, _, _ in way.shared}):
            found[r].append(i)
    return found


def _odd(indexed: Indexed) -> tuple[Whole, Whole]:
    states = len(indexed.states)
    by_place: list[list[tuple[int, int]]] = [
        [] for _ in range(len(indexed.instance.resources) * states)
    ]
    for (r, before, after), quarters in indexed.odd.items():
        by_place[r * states + before].append((after, quarters))
    found = [item for items in by_place for item in items]
    return _ends(by_place), np.array(found, np.int64).reshape(-1, 2)
