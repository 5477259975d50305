"""Dues, locks and absences as hard rules that a constraint solver can be asked to keep or drop.

Takes an `Indexed` and its facts, says which sets of facts can hold and how little one of them must
give way. Knows nothing of why it is asked. OR-tools is slow to load: import this module where it is
needed.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ortools.sat.python import cp_model

from planner.schedule.exact import allowed_starts
from planner.schedule.lifting import held_by

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

    from planner.schedule.impossible import Fact
    from planner.schedule.indexed import Indexed, Way

    _User = tuple[int, cp_model.IntVar, int]
    """An activity, whether it is done in the way meant, and the state that it wants."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether facts can hold together; neither is known if the effort was not enough.

    `core` are the numbers of facts found to contradict each other.
    """

    is_possible: bool
    is_impossible: bool
    core: tuple[int, ...] = ()


class Hard:
    """One question with a literal for each fact."""

    def __init__(
        self,
        indexed: Indexed,
        facts: tuple[Fact, ...],
        with_changeovers: bool,  # noqa: FBT001 - named wherever it is not passed on
        limited: Collection[int] | None = None,
    ) -> None:
        """State the question.

        Args:
            indexed: the question.
            facts: what may be dropped.
            with_changeovers: whether changing over takes time; slower if so.
            limited: numbers of the resources whose capacity counts; by default all in use.
        """
        self.indexed = indexed
        self.facts = facts
        self.with_changeovers = with_changeovers
        self.is_straight = indexed.keeps_triangle_rule()
        used = {r for ways in indexed.ways for way in ways for r in held_by(way)}
        self.limited = sorted(used if limited is None else limited)
        self.model = cp_model.CpModel()
        self.horizon = _horizon(indexed, facts)
        self.keep = [self.model.new_bool_var("") for _ in facts]
        self.slack = [self.model.new_int_var(0, self.horizon, "") for _ in facts]
        self._absences: dict[int, list[tuple[int, cp_model.IntVar, cp_model.IntVar]]] = {}
        self._state_absences()
        self._state_activities()
        self._state_resources()
        self._state_dues_and_locks()

    def judge(self, kept: Iterable[int], effort: float) -> Verdict:
        """Whether the kept facts can all hold, the others dropped."""
        solver = _solver(effort)
        status = self._solve(solver, kept, None)
        if status in {cp_model.OPTIMAL, cp_model.FEASIBLE}:
            return Verdict(is_possible=True, is_impossible=False)
        if status != cp_model.INFEASIBLE:
            return Verdict(is_possible=False, is_impossible=False)
        numbers = {literal.index: fact for fact, literal in enumerate(self.keep)}
        core = solver.sufficient_assumptions_for_infeasibility()
        found = sorted(numbers[literal] for literal in core)
        return Verdict(is_possible=False, is_impossible=True, core=tuple(found))

    def least(self, kept: Iterable[int], fact: int, effort: float) -> int | None:
        """Fewest quarters that `fact` must give way for the other kept facts to hold; or None."""
        solver = _solver(effort)
        status = self._solve(solver, kept, fact)
        return solver.value(self.slack[fact]) if status == cp_model.OPTIMAL else None

    def _solve(self, solver: cp_model.CpSolver, kept: Iterable[int], fact: int | None) -> object:
        """Solve with room to give way for one fact only, as little as it can."""
        model = self.model.clone()
        model.add_assumptions([self.keep[other] for other in sorted(kept)])
        for other, slack in enumerate(self.slack):
            if other != fact:
                model.add(slack == 0)
        if fact is not None:
            model.minimize(self.slack[fact])
        return solver.solve(model)

    def _state_absences(self) -> None:
        """An absence gives way by coming back sooner or leaving later."""
        places = {resource.id: r for r, resource in enumerate(self.indexed.instance.resources)}
        for number, fact in enumerate(self.facts):
            if fact.kind != "absence":
                continue
            first = self.model.new_int_var(fact.first, fact.end, "")
            end = self.model.new_int_var(fact.first, fact.end, "")
            length = fact.end - fact.first
            self.model.add(end - first + self.slack[number] >= length)
            self.model.add(end >= first)
            self._absences.setdefault(places[fact.id], []).append((number, first, end))

    def _state_activities(self) -> None:
        model, indexed = self.model, self.indexed
        self.starts = [
            model.new_int_var(min(activity.release, self.horizon), self.horizon, "")
            for activity in indexed.activities
        ]
        self.ends = [model.new_int_var(0, self.horizon, "") for _ in indexed.ids]
        self.chosen = [[model.new_bool_var("") for _ in ways] for ways in indexed.ways]
        for i, literals in enumerate(self.chosen):
            model.add_exactly_one(literals)
            for j in indexed.partners[i][:1]:
                for mine, theirs in zip(literals, self.chosen[j], strict=True):
                    model.add(mine == theirs)
            for j, lag, _ in indexed.before[i]:
                model.add(self.starts[i] >= self.ends[j] + lag)
        self.spans = [
            [self._span(i, m, way) for m, way in enumerate(ways)]
            for i, ways in enumerate(indexed.ways)
        ]

    def _span(self, i: int, m: int, way: Way) -> cp_model.IntervalVar:
        model, lit, start, end = self.model, self.chosen[i][m], self.starts[i], self.ends[i]
        longest = way.duration + sum(b - a for a, b in way.spells) if way.pauses else way.duration
        length = model.new_int_var(way.duration, longest, "")
        # How soon before a pause it may begin makes little difference and proofs take much longer.
        at_night = replace(way.however_soon(), spells=())
        nights = allowed_starts(at_night, self.indexed.day, self.horizon)
        if nights is not None:
            domain = cp_model.Domain.from_intervals([[a, b] for a, b in nights])
            model.add_linear_expression_in_domain(start, domain).only_enforce_if(lit)
        if way.duration:
            pauses = [
                self._clear(absence, (lit, start, end), way)
                for r in held_by(way)
                for absence in self._absences.get(r, ())
            ]
            # Absences of several resources may overlap: their longest is lost at the least.
            for lost in pauses if way.pauses else ():
                model.add(length >= way.duration + lost).only_enforce_if(lit)
            if way.pauses and not _overlap(way, self.indexed):
                model.add(length >= way.duration + sum(pauses)).only_enforce_if(lit)
        return model.new_optional_interval_var(start, length, end, lit, "")

    def _clear(
        self,
        absence: tuple[int, cp_model.IntVar, cp_model.IntVar],
        work: tuple[cp_model.IntVar, cp_model.IntVar, cp_model.IntVar],
        way: Way,
    ) -> cp_model.IntVar:
        """Work ends before the absence, begins after it, or pauses; gives the quarters paused."""
        model, (number, first, back), (lit, start, end) = self.model, absence, work
        before, after = model.new_bool_var(""), model.new_bool_var("")
        enforced = [lit, self.keep[number]]
        model.add(end <= first).only_enforce_if(before)
        model.add(start >= back).only_enforce_if(after)
        fact = self.facts[number]
        lost = model.new_int_var(0, fact.end - fact.first, "")
        if not way.pauses:
            model.add_bool_or([before, after]).only_enforce_if(enforced)
            return lost
        across = model.new_bool_var("")
        model.add_bool_or([before, after, across]).only_enforce_if(enforced)
        # It begins and ends at work, not in the absence.
        model.add(start < first).only_enforce_if(across)
        model.add(end > back).only_enforce_if(across)
        model.add(lost >= back - first).only_enforce_if(across)
        return lost

    def _state_resources(self) -> None:
        for r in self.limited:
            capacity = self.indexed.instance.resources[r].capacity
            users = [
                (i, m, units)
                for i, ways in enumerate(self.indexed.ways)
                for m, way in enumerate(ways)
                for used, units in _units(way)
                if used == r and way.duration
            ]
            spans = [self.spans[i][m] for i, m, _ in users]
            if capacity == 1:
                self.model.add_no_overlap(spans)
                if self.with_changeovers:
                    self._state_changeovers(r)
            elif sum(units for _, _, units in users) > capacity:
                self.model.add_cumulative(spans, [units for _, _, units in users], capacity)

    def _state_changeovers(self, r: int) -> None:
        users = [
            (i, self.chosen[i][m], state)
            for i, ways in enumerate(self.indexed.ways)
            for m, way in enumerate(ways)
            for host, state in way.states
            if host == r and way.duration
        ]
        if self.is_straight:
            self._keep_apart(r, users)
        else:
            self._keep_in_turn(r, users)

    def _keep_apart(self, r: int, users: Sequence[_User]) -> None:
        """Any two keep their distance, whatever lies between."""
        indexed, model = self.indexed, self.model
        for at, (i, lit, state) in enumerate(users):
            first = indexed.change(r, indexed.standing[r], state)
            model.add(self.starts[i] >= first).only_enforce_if(lit)
            for j, other, wanted in users[at + 1 :]:
                if i == j or state == wanted:
                    continue
                there, back = indexed.change(r, state, wanted), indexed.change(r, wanted, state)
                sooner = model.new_bool_var("")
                both = [lit, other]
                model.add(self.starts[j] >= self.ends[i] + there).only_enforce_if([sooner, *both])
                model.add(self.starts[i] >= self.ends[j] + back).only_enforce_if([~sooner, *both])

    def _keep_in_turn(self, r: int, users: Sequence[_User]) -> None:
        """Only neighbours keep their distance, as going by way of another may be quicker."""
        indexed, model = self.indexed, self.model
        # Place 0 is before the first and after the last; what is not done here follows itself.
        idle = model.new_bool_var("")
        arcs: list[tuple[int, int, cp_model.LiteralT]] = [(0, 0, idle)]
        for at, (i, lit, state) in enumerate(users, 1):
            first, last = model.new_bool_var(""), model.new_bool_var("")
            begun = indexed.change(r, indexed.standing[r], state)
            model.add(self.starts[i] >= begun).only_enforce_if(first)
            model.add_implication(lit, ~idle)
            arcs += [(0, at, first), (at, 0, last), (at, at, ~lit)]
            for to, (j, _, wanted) in enumerate(users, 1):
                if i != j:
                    follows, change = model.new_bool_var(""), indexed.change(r, state, wanted)
                    model.add(self.starts[j] >= self.ends[i] + change).only_enforce_if(follows)
                    arcs.append((at, to, follows))
        model.add_circuit(arcs)

    def _state_dues_and_locks(self) -> None:
        numbers = {name: i for i, name in enumerate(self.indexed.ids)}
        for number, fact in enumerate(self.facts):
            kept, slack = self.keep[number], self.slack[number]
            if fact.kind == "due":
                end = self.ends[numbers[fact.id]]
                self.model.add(end <= fact.first + slack).only_enforce_if(kept)
            elif fact.kind == "lock":
                i = numbers[fact.id]
                start, mode = self.starts[i], self.indexed.locks[i][1]
                self.model.add(start - fact.first <= slack).only_enforce_if(kept)
                self.model.add(fact.first - start <= slack).only_enforce_if(kept)
                self.model.add_implication(kept, self.chosen[i][mode])


def _solver(effort: float) -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = effort
    return solver


def _overlap(way: Way, indexed: Indexed) -> bool:
    """Whether absences of several resources of a way overlap."""
    return sum(b - a for a, b in way.spells) < sum(
        b - a for r in held_by(way) for a, b in indexed.spells[r]
    )


def _units(way: Way) -> tuple[tuple[int, int], ...]:
    return (*((r, 1) for r in way.single), *((r, units) for r, units, _ in way.shared))


def _horizon(indexed: Indexed, facts: tuple[Fact, ...]) -> int:
    """An end by which everything could be done one after the other."""
    last = max([0, *(a.release for a in indexed.activities), *(fact.end for fact in facts)])
    change = max([0, *indexed.set_up]) + max([0, *indexed.strike, *indexed.odd.values()])
    for i, ways in enumerate(indexed.ways):
        last += max(way.duration for way in ways) + 2 * indexed.day + change
        last += max((lag for _, lag, _ in indexed.before[i]), default=0)
    return last + sum(b - a for spells in indexed.spells for a, b in spells)
