"""The same question put to a constraint solver: whole, or some activities with the rest in order.

Takes an `Indexed`, an order already found and a limit, gives starts, modes and a bound. Knows
nothing of the walk that found the order. OR-tools is slow to load: import this module where it is
needed.

What the solver sees is a little easier than the question: changeover over blocked spells, waiting
by the clock and the prices of changing over and of holding are left out. Its bound therefore holds
for the question, and its order is decoded again, which makes it feasible whatever was left out.
"""

from __future__ import annotations

import math
import threading
from contextlib import suppress
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from ortools.sat.python import cp_model

from planner.schedule.bounds import bounds, chain_starts
from planner.schedule.worktime import finish_of, merged, start_before

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from planner.schedule.decode import Board
    from planner.schedule.indexed import Indexed, Way

LOOK_SECONDS = 0.05


@dataclass(frozen=True, slots=True)
class Limits:
    """How long the solver searches, and by which choices.

    Attributes:
        effort: deterministic seconds.
        seed: of its choices.
    """

    effort: float
    seed: int


@dataclass(frozen=True, slots=True)
class Outcome:
    """What the solver says.

    Attributes:
        starts: by activity number, None if it found nothing.
        modes: by activity number.
        bound: on the total, for the activities and freedom it was given.
        is_complete: whether it searched everything it was given.
        effort: deterministic seconds spent.
    """

    starts: tuple[int, ...] | None
    modes: tuple[int, ...]
    bound: int
    is_complete: bool
    effort: float


class Asking:
    """A question being searched on another thread, so that Ctrl-C is seen at once."""

    def __init__(
        self, indexed: Indexed, known: Board, free: Collection[int] | None, limits: Limits
    ) -> None:
        """State the question and begin.

        Args:
            indexed: the question.
            known: a feasible order.
            free: activities that may go anywhere and in any mode; the others keep their modes and
                the order among themselves, not their dates. None frees all.
            limits: of the search.
        """
        self._model = _Model(indexed, known, free)
        if free is not None:
            self._model.ask_for_less()
        self._solver = cp_model.CpSolver()
        parameters = self._solver.parameters
        parameters.num_workers = 1
        parameters.random_seed = limits.seed
        parameters.max_deterministic_time = limits.effort
        parameters.catch_sigint_signal = False
        if free is None and _only_finish_counts(indexed):
            # Relaxations say little of hands shared by many, and take most of the time.
            parameters.linearization_level = 0
        self._status: list[cp_model.CpSolverStatus] = []
        self._thread = threading.Thread(target=self._solve)
        self._thread.start()

    def _solve(self) -> None:
        self._status.append(self._solver.solve(self._model.model))

    def is_over(self, seconds: float = 0.0) -> bool:
        """Whether the search has ended, or ends within some seconds."""
        self._thread.join(seconds)
        return not self._thread.is_alive()

    def stop(self) -> None:
        """End the search, whatever comes meanwhile."""
        # Again and again: the search may not have begun yet, and a second Ctrl-C may come.
        while self._thread.is_alive():
            with suppress(KeyboardInterrupt):
                self._solver.stop_search()
                self._thread.join(LOOK_SECONDS)

    def outcome(self) -> Outcome:
        """What was found; only once the search is over."""
        solver, status = self._solver, self._status[0]
        spent = float(solver.response_proto.deterministic_time)
        if status not in {cp_model.OPTIMAL, cp_model.FEASIBLE}:
            return Outcome(None, (), 0, status == cp_model.INFEASIBLE, spent)
        return Outcome(
            starts=tuple(solver.value(start) for start in self._model.starts),
            modes=tuple(
                next(m for m, lit in enumerate(lits) if solver.boolean_value(lit))
                for lits in self._model.chosen
            ),
            bound=_whole(solver.best_objective_bound),
            is_complete=status == cp_model.OPTIMAL,
            effort=spent,
        )


def _whole(bound: float) -> int:
    """The bound as a whole number: totals are whole, so what is above n means n + 1."""
    return max(0, math.ceil(bound - 1e-6))


class _Model:
    def __init__(self, indexed: Indexed, known: Board, free: Collection[int] | None) -> None:
        self.model = cp_model.CpModel()
        self.indexed = indexed
        self.known = known
        count = len(indexed.ids)
        self.free = frozenset(range(count) if free is None else free)
        self.horizon = _horizon(indexed, known, whole=free is None)
        self.heads = chain_starts(indexed)
        self.true = self.model.new_constant(1)
        self.starts = [self._start(i) for i in range(count)]
        self.ends = [self.model.new_int_var(0, self.horizon, "") for _ in range(count)]
        self.chosen = [self._choices(i) for i in range(count)]
        self._keep_together()
        self.spans = [self._spans(i) for i in range(count)]
        self._precedences()
        self._resources()
        self._objective()

    def _start(self, i: int) -> cp_model.IntVar:
        if i in self.indexed.locks:
            return self.model.new_constant(self.indexed.locks[i][0])
        start = self.model.new_int_var(self.heads[i], self.horizon, "")
        self.model.add_hint(start, self.known.starts[i])
        return start

    def _choices(self, i: int) -> list[cp_model.IntVar]:
        ways = self.indexed.ways[i]
        if len(ways) == 1:
            return [self.true]
        fixed = self.known.modes[i] if i not in self.free else None
        if i in self.indexed.locks:
            fixed = self.indexed.locks[i][1]
        if fixed is not None:
            false = self.model.new_constant(0)
            return [self.true if m == fixed else false for m in range(len(ways))]
        chosen = [self.model.new_bool_var("") for _ in ways]
        self.model.add_exactly_one(chosen)
        for m, lit in enumerate(chosen):
            self.model.add_hint(lit, int(m == self.known.modes[i]))
        return chosen

    def _keep_together(self) -> None:
        """Partners take the mode of the same number."""
        for i, partners in enumerate(self.indexed.partners):
            for j in partners[:1]:
                for mine, theirs in zip(self.chosen[i], self.chosen[j], strict=True):
                    if mine is not theirs:
                        self.model.add(mine == theirs)

    def _is_off(self, i: int, m: int) -> bool:
        """Whether a mode is out of the question from the start."""
        lit = self.chosen[i][m]
        return (
            len(self.chosen[i]) > 1
            and lit is not self.true
            and any(other is self.true for other in self.chosen[i])
        )

    def _spans(self, i: int) -> dict[int, cp_model.IntervalVar]:
        """An interval for each possible mode, with its length and where it may begin."""
        return {
            m: self._span(i, m) for m in range(len(self.indexed.ways[i])) if not self._is_off(i, m)
        }

    def _span(self, i: int, m: int) -> cp_model.IntervalVar:
        way, lit, start, end = (
            self.indexed.ways[i][m],
            self.chosen[i][m],
            self.starts[i],
            self.ends[i],
        )
        if i in self.indexed.locks:
            length = self.indexed.finish(i, m, self.indexed.locks[i][0]) - self.indexed.locks[i][0]
            return self.model.new_optional_interval_var(start, length, end, lit, "")
        allowed = allowed_starts(way, self.indexed.day, self.horizon)
        if allowed is not None:
            domain = cp_model.Domain.from_intervals([[a, b] for a, b in allowed])
            self.model.add_linear_expression_in_domain(start, domain).only_enforce_if(lit)
        if way.pauses:
            return self._paused(way, lit, start, end)
        return self.model.new_optional_interval_var(start, way.duration, end, lit, "")

    def _paused(
        self, way: Way, lit: cp_model.IntVar, start: cp_model.IntVar, end: cp_model.IntVar
    ) -> cp_model.IntervalVar:
        pieces = _pieces(way, self.horizon)
        extras = sorted(pieces)
        length = self.model.new_int_var(way.duration, way.duration + extras[-1], "")
        cases = []
        for extra in extras:
            case = self.model.new_bool_var("")
            domain = cp_model.Domain.from_intervals([[a, b] for a, b in pieces[extra]])
            self.model.add_linear_expression_in_domain(start, domain).only_enforce_if(case)
            self.model.add(length == way.duration + extra).only_enforce_if(case)
            cases.append(case)
        self.model.add_bool_or(cases).only_enforce_if(lit)
        self.model.add_at_most_one(cases)
        return self.model.new_optional_interval_var(start, length, end, lit, "")

    def _precedences(self) -> None:
        for i, waits in enumerate(self.indexed.before):
            for j, lag, _ in waits:
                # By the clock a wait may be shorter on the work axis, down to nothing.
                self.model.add(self.starts[i] >= self.ends[j] + lag)

    def _resources(self) -> None:
        for r, resource in enumerate(self.indexed.instance.resources):
            users = [
                (i, m, way)
                for i, ways in enumerate(self.indexed.ways)
                for m, way in enumerate(ways)
                if m in self.spans[i] and way.duration > 0
            ]
            if resource.capacity == 1:
                self._single(
                    r, [(i, m, dict(w.states).get(r)) for i, m, w in users if r in w.single]
                )
            else:
                self._shared(r, resource.capacity, users)

    def _shared(self, r: int, capacity: int, users: list[tuple[int, int, Way]]) -> None:
        intervals, demands = [], []
        for i, m, way in users:
            for used, units, _ in way.shared:
                if used == r:
                    intervals.append(self.spans[i][m])
                    demands.append(units)
        if sum(demands) > capacity:
            self.model.add_cumulative(intervals, demands, capacity)
            self._kept_flow(r, capacity, users)

    def _kept_flow(self, r: int, capacity: int, users: list[tuple[int, int, Way]]) -> None:
        """Hand each unit on from one kept activity to the next as in the known order."""
        starts, finishes = self.known.starts, self.known.finishes
        kept = [
            (starts[i], finishes[i], i, units)
            for i, _, way in users
            if i not in self.free
            for used, units, _ in way.shared
            if used == r
        ]
        hands: list[tuple[int, int]] = [(0, -1)] * capacity
        for start, finish, i, units in sorted(kept):
            # The hands that were given back last, so that the others stay free for long.
            ready = sorted(
                (at for at in range(capacity) if hands[at][0] <= start), key=lambda at: hands[at][0]
            )
            taken = ready[-units:]
            for giver in sorted({hands[at][1] for at in taken} - {-1}):
                self.model.add(self.starts[i] >= self.ends[giver])
            for at in taken:
                hands[at] = (finish, i)

    def _single(self, r: int, users: list[tuple[int, int, int | None]]) -> None:
        if len(users) > 1:
            self.model.add_no_overlap(self._kept_whole(r, users))
        standing = self.indexed.standing[r]
        users = sorted(users, key=lambda user: (self.known.starts[user[0]], user[0]))
        for i, m, state in users:
            if state is not None:
                first = self.indexed.change(r, standing, state)
                self.model.add(self.starts[i] >= first).only_enforce_if(self.chosen[i][m])
        self._kept_order(r, [user for user in users if user[0] not in self.free])
        for at, one in enumerate(users):
            for other in users[at + 1 :]:
                if one[0] != other[0] and (one[0] in self.free or other[0] in self.free):
                    self._apart(r, one, other)

    def _kept_whole(
        self, r: int, users: list[tuple[int, int, int | None]]
    ) -> Iterable[cp_model.IntervalVar]:
        """What holds a one-unit resource: runs that set it up from their first to their last.

        What is begun holds it from the end of what is locked before.
        """
        since = self._begun_on(r, [i for i, _, _ in users])
        for i, m, state in users:
            run = self.indexed.runs[i] if state is not None else ()
            if not run and i not in since:
                yield self.spans[i][m]
            elif not run or i == run[0]:
                start, end = since.get(i, self.starts[i]), self.ends[run[-1] if run else i]
                length = self.model.new_int_var(0, self.horizon, "")
                yield self.model.new_optional_interval_var(
                    start, length, end, self.chosen[i][m], ""
                )

    def _begun_on(self, r: int, users: Iterable[int]) -> dict[int, cp_model.IntVar]:
        """Since when a resource is kept set up for what is begun, unless other locks lie after."""
        locks, found = self.indexed.locks, {}
        starts = [locks[i][0] for i in users if i in locks]
        for j, i in self.indexed.going_on().items():
            end = self.indexed.finish(i, locks[i][1], locks[i][0])
            is_on = any(r == kept for kept, _ in self.indexed.ways[i][locks[i][1]].states)
            after = sum(start >= end for start in starts)
            if is_on and after <= (j in locks):
                found[j] = self.model.new_constant(end)
        return found

    def _kept_order(self, r: int, users: list[tuple[int, int, int | None]]) -> None:
        last: dict[bool, tuple[int, int | None]] = {}
        for i, _, state in users:
            for j, before in last.values():
                gap = self._between(r, before, state)
                self.model.add(self.starts[i] >= self.ends[j] + gap)
            last[state is None] = (i, state)

    def _between(self, r: int, before: int | None, after: int | None) -> int:
        return 0 if before is None or after is None else self.indexed.change(r, before, after)

    def _apart(
        self, r: int, one: tuple[int, int, int | None], other: tuple[int, int, int | None]
    ) -> None:
        """Two uses that need a changeover between them, whichever is first."""
        (i, m, before), (j, n, after) = one, other
        if before is None or after is None or before == after:
            return
        first = self.model.new_bool_var("")
        both = [lit for lit in (self.chosen[i][m], self.chosen[j][n]) if lit is not self.true]
        there = self.indexed.change(r, before, after)
        back = self.indexed.change(r, after, before)
        self.model.add(self.starts[j] >= self.ends[i] + there).only_enforce_if([first, *both])
        self.model.add(self.starts[i] >= self.ends[j] + back).only_enforce_if([~first, *both])
        self.model.add_hint(first, int(self.known.starts[i] <= self.known.starts[j]))

    def _objective(self) -> None:
        weights = self.indexed.instance.weights
        terms: list[cp_model.LinearExprT] = []
        for i, activity in enumerate(self.indexed.activities):
            if activity.due is not None and activity.weight * weights.late > 0:
                late = self.model.new_int_var(0, self.horizon, "")
                self.model.add(late >= self.ends[i] - activity.due)
                terms.append(weights.late * activity.weight * late)
            for m, way in enumerate(self.indexed.ways[i]):
                if way.cost and not self._is_off(i, m):
                    terms.append(weights.cost * way.cost * self.chosen[i][m])
        if weights.finish and self.ends:
            finish = self.model.new_int_var(bounds(self.indexed).finish, self.horizon, "")
            self.model.add_max_equality(finish, self.ends)
            terms.append(weights.finish * finish)
        self.total = sum(terms)
        self.model.minimize(self.total)

    def ask_for_less(self) -> None:
        """Refuse what does not weigh less than the known order, in the solver's own terms."""
        known, weights = self.known, self.indexed.instance.weights
        total = weights.finish * max(known.finishes, default=0)
        for i, activity in enumerate(self.indexed.activities):
            if activity.due is not None and activity.weight > 0:
                total += weights.late * activity.weight * max(0, known.finishes[i] - activity.due)
            total += weights.cost * self.indexed.ways[i][known.modes[i]].cost
        self.model.add(self.total <= total - 1)


def _horizon(indexed: Indexed, known: Board, *, whole: bool) -> int:
    """An end that some best order keeps to (whole), or one with a little room over the known."""
    last = max(known.finishes, default=0)
    if not whole:
        return last + last // 10 + indexed.day
    if _only_finish_counts(indexed):
        return last
    serial = max((activity.release for activity in indexed.activities), default=0)
    serial = max([serial, *(start for start, _ in indexed.locks.values())])
    for i, ways in enumerate(indexed.ways):
        longest = max(way.duration for way in ways)
        # Two nights at most are lost round each activity, and one wait.
        serial += longest + 2 * indexed.day
        serial += max((lag + clock for _, lag, clock in indexed.before[i]), default=0)
        serial += max(
            (_longest_change(indexed, r, s) for w in ways for r, s in w.states), default=0
        )
    spells = merged([spell for spells in indexed.spells for spell in spells])
    return max(last, finish_of(0, serial, spells))


def _only_finish_counts(indexed: Indexed) -> bool:
    """Whether nothing that ends later than the known can be better, in the solver's terms."""
    return (
        indexed.instance.weights.finish > 0
        and all(a.due is None for a in indexed.activities)
        and not any(way.cost for ways in indexed.ways for way in ways)
    )


def _longest_change(indexed: Indexed, resource: int, state: int) -> int:
    return max(
        indexed.change(resource, other, state)
        for other in (*range(len(indexed.states)), indexed.standing[resource])
    )


def allowed_starts(way: Way, day: int, horizon: int) -> list[tuple[int, int]] | None:
    """Starts at which a mode fits its day and its spells; None if all do."""
    if way.least <= 1 and not way.spells:
        return None
    clear = way.least if way.pauses else way.duration
    closed = [(max(0, a - clear + 1), b) for a, b in way.spells] if way.duration else []
    if way.least > 1:
        closed += [
            (d * day + day - way.least + 1, (d + 1) * day) for d in range(horizon // day + 1)
        ]
    return _gaps(closed, horizon)


def _pieces(way: Way, horizon: int) -> dict[int, list[tuple[int, int]]]:
    """Closed ranges of starts, by how long the work begun there pauses."""
    edges = {0, horizon + 1}
    for a, b in way.spells:
        # The last is the first start from which the work is not done when the spell begins.
        edges.update((a, b, start_before(a, way.duration, way.spells) + 1))
    points = sorted(edge for edge in edges if 0 <= edge <= horizon + 1)
    found: dict[int, list[tuple[int, int]]] = {}
    for begin, after in pairwise(points):
        if any(a <= begin < b for a, b in way.spells):
            continue
        extra = finish_of(begin, way.duration, way.spells) - begin - way.duration
        found.setdefault(extra, []).append((begin, after - 1))
    return found


def _gaps(closed: list[tuple[int, int]], horizon: int) -> list[tuple[int, int]]:
    """Closed ranges of 0 to `horizon` outside half-open `closed` ones."""
    free, at = [], 0
    for a, b in merged(closed):
        if a > at:
            free.append((at, a - 1))
        at = max(at, b)
    if at <= horizon:
        free.append((at, horizon))
    return free
