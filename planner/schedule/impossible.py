"""Why dues, locks and absences cannot all be kept, and what would have to give.

Takes an `Instance` with its dues taken as hard, gives the fewest facts that contradict each other
and how far each would have to give way. Knows nothing of orders. OR-tools is slow to load: it is
loaded when it is asked.

Everything else holds without question: precedences, capacities, releases, days, changeovers. Lags
by the clock, changing over across absences, how soon before a pause work may begin and what is
not to be broken into are left out, so what is found impossible is so, but not all that is
impossible need be found.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from planner.schedule.bounds import DueProbe
from planner.schedule.indexed import index
from planner.schedule.lifting import held_by
from planner.schedule.run import index_answerable

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from planner.schedule.hard import Hard, Verdict
    from planner.schedule.indexed import Indexed
    from planner.schedule.instance import Instance

EFFORT = 0.3
"""Deterministic seconds for each of the solver's searches."""


@dataclass(frozen=True, slots=True)
class Fact:
    """Something that may give way.

    Attributes:
        kind: a due, a lock or an absence.
        id: of the activity, or of the resource that is absent.
        first: the due, the start locked, or the first quarter of the absence.
        end: the quarter after the absence; otherwise the same as `first`.
    """

    kind: Literal["due", "lock", "absence"]
    id: str
    first: int
    end: int

    @property
    def sentence(self) -> str:
        """The fact in words, times in quarters."""
        if self.kind == "due":
            return f"{self.id} is due at {self.first}"
        if self.kind == "lock":
            return f"{self.id} is locked at {self.first}"
        return f"{self.id} is away from {self.first} to {self.end}"


@dataclass(frozen=True, slots=True)
class Relaxation:
    """How far one fact must give way for the others of its set to hold.

    Attributes:
        fact: what gives way.
        quarters: by how much at the least: finished later, started elsewhere, or shorter away.
        cost: what that weighs in the instance's terms; None for locks and absences, which it does
            not price.
    """

    fact: Fact
    quarters: int
    cost: int | None


@dataclass(frozen=True, slots=True)
class Impossible:
    """Facts that cannot all hold.

    Attributes:
        facts: the set; without any one of them the rest can hold, if `is_minimal`.
        resources: ids of the resources without whose limits they could hold.
        relaxations: one for each fact that can be enough by itself, the smallest first.
        is_minimal: whether every fact was shown to be needed.
    """

    facts: tuple[Fact, ...]
    resources: tuple[str, ...]
    relaxations: tuple[Relaxation, ...]
    is_minimal: bool

    @property
    def sentence(self) -> str:
        """The set in words."""
        limits = f" with what there is of {', '.join(self.resources)}" if self.resources else ""
        verb = "cannot all hold" if len(self.facts) > 1 else "cannot hold"
        return "; ".join(fact.sentence for fact in self.facts) + f": {verb}{limits}"


def why_impossible(instance: Instance) -> Impossible | None:
    """Find out why all dues, locks and absences cannot be kept together.

    Args:
        instance: the question, its dues taken as hard; the same has the same answer.

    Returns:
        One set of facts, or None if none was found to be impossible.

    Raises:
        ValueError: the question has no answer on its face, whatever gives way.
    """
    indexed = index_answerable(instance)
    for part in (*_suspects(indexed), indexed):
        # Where a detour is quicker than going straight, what a part leaves out may be on the way.
        is_certain = part is indexed or indexed.keeps_triangle_rule()
        finder = _Finder(part, with_changeovers=is_certain)
        core = finder.core()
        if core is not None:
            return finder.explained(core)
    return None


def _suspects(indexed: Indexed) -> Iterator[Indexed]:
    """The question cut down to a few dues that chains or resource work seem to rule out.

    First the single due that the fewest activities lead to, then the earliest dues together.
    """
    probe = DueProbe(indexed)
    dues = sorted((a.due, i) for i, a in enumerate(indexed.activities) if a.due is not None)
    alone = [(len(probe.above(i)), i) for due, i in dues if probe.earliest([i]) > due]
    if alone:
        yield _only(indexed, probe.above(min(alone)[1]))
    # The more of the earliest dues are taken, the more there is to do, though by a later due.
    for count in range(2, len(dues) + 1):
        first, due = [i for _, i in dues[:count]], dues[count - 1][0]
        if probe.earliest(first) > due:
            yield _only(indexed, probe.above(*_fewer(probe, first, due)))
            return


def _fewer(probe: DueProbe, members: list[int], due: int) -> list[int]:
    """As few of them as still cannot be done by `due`."""
    for i in tuple(members):
        rest = [j for j in members if j != i]
        if rest and probe.earliest(rest) > due:
            members = rest
    return members


def _only(indexed: Indexed, members: Collection[int]) -> Indexed:
    """The question with some activities alone, which wait for no others."""
    instance = indexed.instance
    kept = tuple(instance.activities[i] for i in sorted(members))
    return index(replace(instance, activities=kept))


def facts_of(indexed: Indexed) -> tuple[Fact, ...]:
    """All dues, locks and absences of what is used."""
    used = {r for ways in indexed.ways for way in ways for r in held_by(way)}
    found = []
    for i, activity in enumerate(indexed.activities):
        if activity.due is not None:
            found.append(Fact("due", activity.id, activity.due, activity.due))
        if i in indexed.locks:
            start = indexed.locks[i][0]
            found.append(Fact("lock", activity.id, start, start))
    for r in sorted(used):
        resource = indexed.instance.resources[r].id
        found.extend(Fact("absence", resource, a, b) for a, b in indexed.spells[r])
    return tuple(found)


class _Finder:
    """What contradicts in one question, asked first without changing over, which is quicker."""

    def __init__(self, indexed: Indexed, *, with_changeovers: bool) -> None:
        self.indexed = indexed
        self.facts = facts_of(indexed)
        self.with_changeovers = (False, True) if with_changeovers else (False,)
        self._known: dict[bool, Hard] = {}

    def _hards(self) -> Iterator[Hard]:
        """The question without and, if it counts, with changing over; stated when asked for."""
        from planner.schedule.hard import Hard

        for each in self.with_changeovers:
            if each not in self._known:
                self._known[each] = Hard(self.indexed, self.facts, each)
            yield self._known[each]

    def _judge(self, kept: Collection[int]) -> Verdict:
        """Impossible by whichever says so first; else what the last says."""
        for hard in self._hards():
            verdict = hard.judge(kept, EFFORT)
            if verdict.is_impossible:
                break
        return verdict

    def core(self) -> tuple[int, ...] | None:
        """Numbers of facts that cannot all hold, not yet the fewest."""
        verdict = self._judge(range(len(self.facts)))
        return verdict.core if verdict.is_impossible else None

    def explained(self, core: tuple[int, ...]) -> Impossible:
        """Drop what is not needed for the contradiction, and say what would end it."""
        is_minimal = True
        for fact in core:
            if fact not in core:
                continue
            verdict = self._judge([other for other in core if other != fact])
            if verdict.is_impossible:
                core = tuple(other for other in core if other in verdict.core)
            else:
                is_minimal = is_minimal and verdict.is_possible
        relaxations = [r for fact in core if (r := self._relaxation(core, fact)) is not None]
        relaxations.sort(key=lambda r: (r.quarters, r.fact.kind, r.fact.id))
        facts = tuple(self.facts[fact] for fact in core)
        return Impossible(facts, self._resources(core), tuple(relaxations), is_minimal)

    def _relaxation(self, core: tuple[int, ...], fact: int) -> Relaxation | None:
        found = [hard.least(core, fact, EFFORT) for hard in self._hards()]
        # Where changing over takes too long to look at, what is needed without it is known.
        quarters = max((least for least in found if least is not None), default=None)
        if quarters is None:
            return None
        cost = None
        if self.facts[fact].kind == "due":
            weights = self.indexed.instance.weights
            activity = self.indexed.activities[self.indexed.ids.index(self.facts[fact].id)]
            cost = weights.late * activity.weight * quarters
        return Relaxation(self.facts[fact], quarters, cost)

    def _resources(self, core: tuple[int, ...]) -> tuple[str, ...]:
        """Resources whose limits the contradiction needs, all others being without end."""
        from planner.schedule.hard import Hard

        for hard in self._hards():
            if hard.judge(core, EFFORT).is_impossible:
                break
        needed = set(hard.limited)
        for r in hard.limited:
            fewer = Hard(self.indexed, self.facts, hard.with_changeovers, frozenset(needed - {r}))
            if fewer.judge(core, EFFORT).is_impossible:
                needed.discard(r)
        return tuple(self.indexed.instance.resources[r].id for r in sorted(needed))
