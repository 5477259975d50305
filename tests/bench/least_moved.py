"""The fewest activities that have to leave their day, whatever the order: what calm is held to.

Takes a question in which what has started is locked, the answer that was issued, and which
activities to look at. All other work is left out, and of what is set up and not among them all but
the last that has started; so no order does with fewer, and some questions have none with as few.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np
from ortools.sat.python import cp_model

from planner.schedule.indexed import index

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from planner.schedule import Answer, Instance
    from planner.schedule.indexed import Indexed, Way

FAR = 1 << 20
DAYS = 7
"""Days from the first on of which a lag on the clock is heeded."""
EFFORT = 30.0


@dataclass
class _Near:
    """The model: starts and ends by number, whether each keeps its day, what uses a resource.

    `stated` has by resource `(start, duration, whether it is done there, state)` of what is set up.
    """

    indexed: Indexed
    day: int
    model: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    starts: dict[int, cp_model.IntVar] = field(default_factory=dict)
    ends: dict[int, cp_model.IntVar] = field(default_factory=dict)
    stays: dict[int, cp_model.IntVar] = field(default_factory=dict)
    uses: dict[int, list[tuple[cp_model.IntervalVar, int]]] = field(
        default_factory=lambda: defaultdict(list)
    )

    stated: dict[int, list[tuple[cp_model.LinearExprT, int, cp_model.LiteralT, int]]] = field(
        default_factory=lambda: defaultdict(list)
    )

    def add(self, i: int, was: int, mode: int) -> None:
        """An activity that was to start at `was`; on its day it is in its mode."""
        model, ways = self.model, self.indexed.ways[i]
        way, morning = ways[mode], was // self.day * self.day
        start = model.new_int_var(self.indexed.activities[i].release, FAR, "")
        end, stays = model.new_int_var(0, FAR, ""), model.new_bool_var("")
        model.add(end >= start + min(each.duration for each in ways))
        model.add(end >= start + way.duration).only_enforce_if(stays)
        model.add(start >= morning).only_enforce_if(stays)
        last = morning + self.day - max(1, way.least)
        model.add(start <= last).only_enforce_if(stays)
        self.starts[i], self.ends[i], self.stays[i] = start, end, stays
        done = [model.new_bool_var("") for _ in ways]
        model.add_exactly_one(done)
        model.add_implication(stays, done[mode])
        for each, here in zip(ways, done, strict=True):
            if not each.pauses:
                # It takes up room wherever it goes.
                args = start, each.duration, here, ""
                self._use(each, model.new_optional_fixed_size_interval_var(*args))
                for r, state in each.states:
                    self.stated[r].append((start, each.duration, here, state))

    def wait(self, i: int) -> None:
        """An activity starts after those that it waits for."""
        locks = self.indexed.locks
        for j, lag, clock in self.indexed.before[i]:
            if j in self.ends:
                self.model.add(self.starts[i] >= self.ends[j] + lag)
                for morning in self._mornings() if clock else ():
                    # What ends on a day, or later, is followed no sooner than its first quarter.
                    later = self.model.new_bool_var("")
                    self.model.add(self.ends[j] <= morning).only_enforce_if(~later)
                    ready = self.indexed.ready(morning + 1, lag, clock)
                    self.model.add(self.starts[i] >= ready).only_enforce_if(later)
            elif j in locks:
                end = self.indexed.finish(j, locks[j][1], locks[j][0])
                self.model.add(self.starts[i] >= self.indexed.ready(end, lag, clock))

    def lock(self, i: int, start: int, mode: int) -> None:
        """What has started takes up what it does."""
        way, end = self.indexed.ways[i][mode], self.indexed.finish(i, mode, start)
        if not way.pauses:
            self._use(way, self.model.new_fixed_size_interval_var(start, end - start, ""))

    def away(self) -> None:
        """What there is one of takes no work while it is away; work that pauses is not here."""
        first = self._mornings()[0]
        for r, spells in enumerate(self.indexed.spells):
            if r in self.uses and self.indexed.instance.resources[r].capacity == 1:
                for begins, ends in spells:
                    start, long = max(first, begins), ends - max(first, begins)
                    if long > 0:
                        away = self.model.new_fixed_size_interval_var(start, long, "")
                        self.uses[r].append((away, 1))

    def _mornings(self) -> range:
        """Of the days that the activities were to start on."""
        first = min(self.indexed.activities[i].release for i in self.starts) // self.day
        return range(first * self.day, (first + DAYS) * self.day, self.day)

    def last_set_up(self) -> None:
        """What was set up last of what has started stands where the others begin."""
        last: dict[int, tuple[int, int, int]] = {}
        for i, (start, mode) in self.indexed.locks.items():
            end = self.indexed.finish(i, mode, start)
            for r, state in self.indexed.ways[i][mode].states:
                last[r] = max(last.get(r, (0, 0, 0)), (end, start, state))
        for r, (end, start, state) in last.items():
            self.stated[r].append((start, end - start, True, state))

    def change_over(self) -> None:
        """Between works of unlike states on a resource it is changed over, by whichever way."""
        for r, works in self.stated.items():
            least = self._quickest(r)
            for (one, long, is_one, was), (two, length, is_two, now) in combinations(works, 2):
                if was != now:
                    first = self.model.new_bool_var("")
                    after = self.model.add(two >= one + long + int(least[was, now]))
                    after.only_enforce_if(first, is_one, is_two)
                    before = self.model.add(one >= two + length + int(least[now, was]))
                    before.only_enforce_if(~first, is_one, is_two)

    def _quickest(self, r: int) -> NDArray[np.int64]:
        """Quarters from state to state on a resource, detours through others allowed."""
        states = range(len(self.indexed.states))
        least = np.array([[self.indexed.change(r, a, b) for b in states] for a in states])
        for k in states:
            least = np.minimum(least, least[:, k, None] + least[None, k, :])
        return least

    def fewest_moved(self) -> int:
        """A bound on how many leave their day."""
        for r, used in self.uses.items():
            intervals, units = zip(*used, strict=True)
            capacity = self.indexed.instance.resources[r].capacity
            if capacity == 1:
                self.model.add_no_overlap(intervals)
            else:
                self.model.add_cumulative(intervals, units, capacity)
        self.model.minimize(sum(~stays for stays in self.stays.values()))
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.max_deterministic_time = EFFORT
        solver.solve(self.model)
        return round(solver.best_objective_bound)

    def _use(self, way: Way, interval: cp_model.IntervalVar) -> None:
        for r in way.single:
            self.uses[r].append((interval, 1))
        for r, units, _ in way.shared:
            self.uses[r].append((interval, units))


def least_moved(instance: Instance, issued: Answer, names: Sequence[str]) -> int:
    """How many of some activities change day at the least.

    Args:
        instance: the question as it now is, what has started locked, the rest released.
        issued: where everything was to start, and how.
        names: the activities to look at.
    """
    indexed = index(instance)
    near = _Near(indexed, instance.day_quarters)
    numbers = {name: i for i, name in enumerate(indexed.ids)}
    for name in names:
        near.add(numbers[name], issued.starts[name], issued.modes[name])
    for name in names:
        near.wait(numbers[name])
    for i, (start, mode) in indexed.locks.items():
        near.lock(i, start, mode)
    near.away()
    near.last_set_up()
    near.change_over()
    return near.fewest_moved()
