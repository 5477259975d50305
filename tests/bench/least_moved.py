"""The fewest activities that have to leave their day, whatever the order: what calm is held to.

Takes a question in which what has started is locked, the answer that was issued, and which
activities to look at. Set-ups, lags on the clock and all other work are left out, so no order does
with fewer, and some questions have none with as few.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ortools.sat.python import cp_model

from planner.schedule.indexed import index

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.schedule import Answer, Instance
    from planner.schedule.indexed import Indexed, Way

FAR = 1 << 20
EFFORT = 20.0


@dataclass
class _Near:
    """The model: starts and ends by number, whether each keeps its day, what uses a resource."""

    indexed: Indexed
    day: int
    model: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    starts: dict[int, cp_model.IntVar] = field(default_factory=dict)
    ends: dict[int, cp_model.IntVar] = field(default_factory=dict)
    stays: dict[int, cp_model.IntVar] = field(default_factory=dict)
    uses: dict[int, list[tuple[cp_model.IntervalVar, int]]] = field(
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
        last = morning + self.day - (way.duration if way.in_one_day else 1)
        model.add(start <= last).only_enforce_if(stays)
        self.starts[i], self.ends[i], self.stays[i] = start, end, stays
        if way.pauses:
            return
        if len(ways) == 1:
            # It takes up room wherever it goes.
            self._use(way, model.new_fixed_size_interval_var(start, way.duration, ""))
        else:
            interval = model.new_optional_fixed_size_interval_var(start, way.duration, stays, "")
            self._use(way, interval)

    def wait(self, i: int) -> None:
        """An activity starts after those that it waits for."""
        locks = self.indexed.locks
        for j, lag, clock in self.indexed.before[i]:
            if j in self.ends:
                self.model.add(self.starts[i] >= self.ends[j] + lag)
            elif j in locks:
                end = self.indexed.finish(j, locks[j][1], locks[j][0])
                self.model.add(self.starts[i] >= self.indexed.ready(end, lag, clock))

    def lock(self, i: int, start: int, mode: int) -> None:
        """What has started takes up what it does."""
        way, end = self.indexed.ways[i][mode], self.indexed.finish(i, mode, start)
        if not way.pauses:
            self._use(way, self.model.new_fixed_size_interval_var(start, end - start, ""))

    def fewest_moved(self) -> int:
        """A bound on how many leave their day."""
        for r, used in self.uses.items():
            intervals, units = zip(*used, strict=True)
            capacity = self.indexed.instance.resources[r].capacity
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
    return near.fewest_moved()
