"""The question: activities, resources, set-up states and what matters, as plain values.

Takes nothing, gives the frozen dataclasses that every solver here reads. Knows nothing of any
trade, of files, or of how an answer is found.

Times are whole quarters on a work-time axis (see `worktime`); every stretch is half-open. An
activity holds all the resources of its mode from its start to its finish, pauses included.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.schedule.worktime import Calendar, Spell


@dataclass(frozen=True, slots=True)
class Band:
    """Quarters late in the day that cost more: those after the first `after_quarters` of each."""

    after_quarters: int
    price: int


@dataclass(frozen=True, slots=True)
class Resource:
    """Something that can be held and given back.

    Attributes:
        id: its name, unique in the instance.
        capacity: units there are; 1 means one activity at a time, and only then may it carry
            set-ups.
        blocked: spells when none of it is there; no work on it counts then. They may have begun
            before quarter 0.
        held_day_cost: cost of each working day it is held, idle days of a standing set-up included.
        overtime: bands of the day in which each quarter of work with it costs more, for each unit;
            where bands overlap their prices add up.
        waiting_cost: cost of each quarter that it is there and idle between two activities of one
            group that follow each other on it; only of a one-unit resource.
    """

    id: str
    capacity: int = 1
    blocked: tuple[Spell, ...] = ()
    held_day_cost: int = 0
    overtime: tuple[Band, ...] = ()
    waiting_cost: int = 0


@dataclass(frozen=True, slots=True)
class Mode:
    """One way to do an activity.

    Attributes:
        duration_quarters: working time it takes.
        uses: units held of each resource.
        cost: what this way costs more than the cheapest.
        set_ups: the state that a one-unit resource must be in. Work without a state may go on while
            the resource is changed over.
        label: what a reader calls this way.
    """

    duration_quarters: int
    uses: Mapping[str, int] = field(default_factory=dict)
    cost: int = 0
    set_ups: Mapping[str, str] = field(default_factory=dict)
    label: str = ""


@dataclass(frozen=True, slots=True)
class Precedence:
    """An activity that must be finished before another starts.

    Attributes:
        id: the activity waited for.
        lag_quarters: working time that must pass after it; below 0, how long before its end.
        lag_clock_quarters: quarter hours that must pass by day and night after it, as paint dries,
            beside that working time.
    """

    id: str
    lag_quarters: int = 0
    lag_clock_quarters: int = 0


@dataclass(frozen=True, slots=True)
class Lock:
    """A start and a mode that must be kept."""

    start: int
    mode: int = 0


@dataclass(frozen=True, slots=True)
class Preference:
    """A start rather from `first` to `last`; each quarter outside costs `price`."""

    first: int
    last: int
    price: int


@dataclass(frozen=True, slots=True)
class Activity:
    """A piece of work.

    Attributes:
        id: its name, unique in the instance.
        modes: the ways to do it, at least one.
        after: what must be finished first.
        release: earliest start, quarter.
        due: quarter by which it should be finished; later costs `weight` a quarter.
        weight: what one quarter of lateness weighs.
        splittable: whether it may pause over nights and over blocked spells of what it uses. If
            not, it never meets a blocked spell, and lies within one working day if it is no longer
            than one.
        least_quarters: how long it is at work before its first pause or night, at the least: a day
            at most, and no longer than it takes. Not asked of what is locked, nor where what it
            uses is there for so long at once on no listed day of the calendar.
        group: activities that are better done together; by default those that share a set-up.
        locked: a start and mode to keep.
        together: activities that carry the same word take the mode of the same number, as work that
            must go on where it was begun; they have equally many modes. Empty for none.
        unbroken: whether what it has set up is kept for the next of its `together`: between the two
            nothing else is done on the one-unit resources that they set up. It holds where that one
            waits for this alone and nothing else does, both set up the same, both take time, and
            that one is not locked. Between this locked and that one other locked work may lie.
        label: what a reader calls it.
        preference: when it should rather start.
    """

    id: str
    modes: tuple[Mode, ...]
    after: tuple[Precedence, ...] = ()
    release: int = 0
    due: int | None = None
    weight: int = 1
    splittable: bool = False
    least_quarters: int = 0
    group: str | None = None
    locked: Lock | None = None
    together: str = ""
    unbroken: bool = False
    label: str = ""
    preference: Preference | None = None


@dataclass(frozen=True, slots=True)
class Changeovers:
    """Working time on a one-unit resource between two set-up states.

    From state a to another state b takes `strike[a] + set_up[b]`, unless `pairs` says otherwise; a
    bare resource takes `set_up[b]`; the same state takes nothing. Only what follows one another
    counts. Work in a third state between should never make it quicker than going straight (the
    triangle rule): solvers stay feasible without it, but then what is known of the best takes
    changing over to cost nothing. Nothing takes less than no time.

    Attributes:
        set_up: quarters to bring up a state.
        strike: quarters to clear it away.
        pairs: exceptions, `(resource id, from, to)` in quarters; resource id "" means any. Where
            one takes nothing, what stands goes on standing, and its idle days are held.
        default_set_up: quarters for a state not named in `set_up`.
        standing: the state each resource is in at quarter 0; bare if not named.
    """

    set_up: Mapping[str, int] = field(default_factory=dict)
    strike: Mapping[str, int] = field(default_factory=dict)
    pairs: Mapping[tuple[str, str, str], int] = field(default_factory=dict)
    default_set_up: int = 0
    standing: Mapping[str, str] = field(default_factory=dict)

    def quarters(self, resource: str, before: str | None, after: str) -> int:
        """Working quarters from one state (None: bare) to another on a resource."""
        if before == after:
            return 0
        bring_up = self.set_up.get(after, self.default_set_up)
        if before is None:
            return bring_up
        for key in ((resource, before, after), ("", before, after)):
            if key in self.pairs:
                return self.pairs[key]
        return self.strike.get(before, 0) + bring_up


@dataclass(frozen=True, slots=True)
class Weights:
    """What the solvers make small: one sum, in whatever unit the caller counts.

    Attributes:
        late: price of one weighted quarter of lateness.
        finish: price of each quarter until the last activity ends.
        cost: price of one unit of cost: of modes, held days, overtime, waiting and preferences.
        changeover: price of one quarter of changing over.
    """

    late: int = 100
    finish: int = 1
    cost: int = 1
    changeover: int = 10


@dataclass(frozen=True, slots=True)
class Instance:
    """A whole question. Without a calendar the axis has no nights and a day is one quarter."""

    activities: tuple[Activity, ...]
    resources: tuple[Resource, ...] = ()
    calendar: Calendar | None = None
    changeovers: Changeovers = Changeovers()
    weights: Weights = Weights()

    @property
    def day_quarters(self) -> int:
        """Length of a working day, quarters; 1 without a calendar."""
        return self.calendar.quarters_per_day if self.calendar else 1
