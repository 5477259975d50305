"""Estimates to a scheduling instance.

Takes a show, its graph and its estimates, gives a `Question`: an instance in plain scheduling
words, and what is needed to read its answer back. Knows nothing of solvers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from planner.kinds import Phase
from planner.kinds.estimate import waited_for
from planner.order import prices, scarce
from planner.order.lined_up import LinedUp, lined_up_before, lining_up, while_it_stands
from planner.order.locks import lock_of
from planner.order.passes import ACCEPTABLE, is_accepted
from planner.order.ways import Things, Ways
from planner.schedule import Activity, Instance, Precedence

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from planner.estimate import Estimates
    from planner.graph import ElementGraph
    from planner.kinds import Work
    from planner.model.facts import DateRange
    from planner.model.place import Problem
    from planner.model.show import Element, Show
    from planner.schedule import Calendar


@dataclass(frozen=True, slots=True)
class Question:
    """An instance, and what each of its activities stands for.

    Attributes:
        instance: in plain scheduling words.
        calendar: its work-time axis.
        work: per activity id, the element and the work it stands for.
        beside: per activity id, the work that is done during it and has no activity of its own.
        problems: needs that nothing in the show meets.
        lined_up: per element that is another pass of a set, how that was lined up for the first.
    """

    instance: Instance
    calendar: Calendar
    work: Mapping[str, tuple[str, Work]]
    problems: tuple[Problem, ...]
    beside: Mapping[str, tuple[Work, ...]] = field(default_factory=dict)
    lined_up: Mapping[str, LinedUp] = field(default_factory=dict)

    def soonest(self) -> dict[str, int]:
        """Earliest finish of each activity, everything at its shortest and nothing scarce."""
        finish: dict[str, int] = {}
        for activity in self.instance.activities:
            finish[activity.id] = self.ready(activity, finish) + min(
                mode.duration_quarters for mode in activity.modes
            )
        return finish

    def ready(self, activity: Activity, finish: Mapping[str, int]) -> int:
        """First quarter at which an activity may start, given when others finish.

        A laboratory keeps working hours; what dries or cools does so by night and at week-ends too.
        """
        after = (self.over(finish[each.id], each) for each in activity.after)
        return max(activity.release, max(after, default=0))

    def over(self, finish: int, each: Precedence) -> int:
        """First quarter at which what follows may start, where the work before it ended at one."""
        dry = self.calendar.after_clock(finish, each.lag_clock_quarters)
        return max(finish + each.lag_quarters, dry)


def ask(show: Show, graph: ElementGraph, estimates: Estimates) -> Question:
    """Put every stretch of work of every live element into one instance.

    Crews are held by craft: a `Work` of a craft that resources.yaml lists holds that many heads of
    it. Nights, week-ends and holidays are squeezed out of the axis; absences become blocked spells.
    Cost is linear in work and precedences.
    """
    asking = _Asking(show, graph, estimates)
    for id_ in graph.order:
        asking.add(show.elements[id_])
    things = asking.things
    instance = Instance(
        tuple(asking.activities),
        tuple(scarce.resources(show, asking.calendar, things.used)),
        asking.calendar,
        scarce.changeovers(show, things.states, things.stands),
        prices.weights(show, asking.calendar),
    )
    problems = (*scarce.rest_problems(show), *scarce.backwards_problems(show), *things.problems)
    calendar, again = asking.calendar, asking.again
    return Question(instance, calendar, asking.work, problems, asking.beside, again)


LEAST_QUARTERS = 4
"""Nothing is begun that would stop in less than an hour for the night, or because something that it
needs is away: common practice, no source. What takes less is done in one."""

_FILMED = frozenset({Phase.STAGE, Phase.LAB})


class _Asking:
    def __init__(self, show: Show, graph: ElementGraph, estimates: Estimates) -> None:
        self.show = show
        self.arrows = graph.arrows
        self.estimates = estimates
        self.calendar = scarce.axis(show)
        self.late_quarter = prices.late_quarter(show, self.calendar)
        self.things = Things.of(show)
        self.activities: list[Activity] = []
        self.work: dict[str, tuple[str, Work]] = {}
        self.beside: dict[str, tuple[Work, ...]] = {}
        self.due = _composite_dues(show)
        # How the sets stand that may be photographed again.
        self.lined_up: dict[str, LinedUp | None] = {}
        self.again: dict[str, LinedUp] = {}
        # What must be finished before anything that waits for an element may start.
        self.finishers: dict[str, tuple[Precedence, ...]] = {}

    def add(self, element: Element) -> None:
        live = self.show.is_live(element)
        stated = _timed(self.estimates.by_element[element.id].work) if live else ()
        works = while_it_stands(element, stated, self.lined_up)
        # What is looked at on the stage is looked at on a monitor, before its film is back.
        upstream = self._upstream(element, is_looked_at=works != stated)
        if not works:
            self.finishers[element.id] = upstream
            return
        followed = {name for work in works for name in work.after}
        waits = {work.name: work for work in works}
        first = lined_up_before(element, works, self.lined_up)
        if first is not None:
            self.again[element.id] = first
        self.lined_up[element.id] = first or lining_up(element.id, works)
        ways = Ways(element, works, self.things, first)
        placed = [work for work in works if not work.beside]
        mine = []
        for work in placed:
            after = (
                tuple(self._within(element.id, waits[name], work) for name in work.after)
                if work.after
                else upstream
            )
            mine.append(self._activity(element, ways, work, after))
            self.work[mine[-1].id] = element.id, work
            if others := tuple(each for each in works if each.beside == work.name):
                self.beside[mine[-1].id] = others
        self.activities += self._locked(element, placed, mine)
        # Film of a location is on its way while work there goes on: `waited_for`.
        self.finishers[element.id] = tuple(
            self._follow(element.id, work)
            for work in placed
            if work.name not in followed or (work.phase is Phase.LOCATION and work.wait_hours)
        )

    def _locked(
        self, element: Element, works: Iterable[Work], mine: list[Activity]
    ) -> list[Activity]:
        """The element's activities, the first on a stage fixed where the show locks it."""
        staged = [any(need.sort == "stage" for need in work.needs) for work in works]
        first = staged.index(True) if True in staged else 0
        lock, problems = lock_of(self.show, self.calendar, element, mine[first])
        self.things.problems += problems
        if lock is not None:
            mine[first] = replace(mine[first], locked=lock)
        return mine

    def _upstream(self, element: Element, *, is_looked_at: bool) -> tuple[Precedence, ...]:
        found: dict[str, Precedence] = {}
        accepted = is_accepted(element)
        for reference in element.references:
            # An arrow that closes a circle, or whose end is done already, is not in the graph.
            if reference.waits and self.arrows.has_edge(reference.target, element.id):
                unseen = is_looked_at or (accepted and reference.role in ACCEPTABLE)
                for each in self.finishers.get(reference.target, ()):
                    found[each.id] = self._unseen(each) if unseen else each
        return tuple(found.values())

    def _unseen(self, after: Precedence) -> Precedence:
        """What has been photographed on a stage, its film not waited for; other work as it is."""
        _element, work = self.work[after.id]
        return replace(after, lag_quarters=0) if work.phase in _FILMED else after

    def _follow(self, element: str, work: Work) -> Precedence:
        """What follows `work`; paint dries by night too, a laboratory keeps working hours."""
        quarters = math.ceil(work.wait_hours * 4)
        id_ = f"{element}/{work.name}"
        if work.phase is Phase.BUILD:
            return Precedence(id_, lag_clock_quarters=quarters)
        return Precedence(id_, lag_quarters=quarters)

    def _within(self, element: str, work: Work, then: Work) -> Precedence:
        """What `then` waits for, which follows `work` in the same element."""
        return self._follow(element, replace(work, wait_hours=waited_for(work, then)))

    def _activity(
        self, element: Element, ways: Ways, work: Work, after: tuple[Precedence, ...]
    ) -> Activity:
        share = self.due[element.id][1] if element.id in self.due else 1.0
        return Activity(
            f"{element.id}/{work.name}",
            ways.modes(work),
            after,
            release=self._release(element),
            due=self._due(element),
            weight=max(1, round(share * self.late_quarter)),
            splittable=not work.day_sized,
            least_quarters=LEAST_QUARTERS,
            group=work.set_up or None,
            together=ways.party(work),
            unbroken=bool(work.set_up),
            label=f"{work.name}, {element.id}",
        )

    def _release(self, element: Element) -> int:
        days = [element.facts.day(name) for name in ("not_before", "day", "expected", "ready")]
        days += [span.first for span in self._standing(element)]
        quarters = [self.calendar.quarter_at(day) for day in days if day is not None]
        return max(quarters, default=0)

    def _due(self, element: Element) -> int | None:
        days = [element.facts.day("due"), element.facts.day("last_useful")]
        days += [span.last for span in self._standing(element)]
        if element.id in self.due:
            days.append(self.due[element.id][0])
        ends = [self.calendar.quarter_at(day + timedelta(days=1)) for day in days if day]
        return min(ends, default=None)

    def _standing(self, element: Element) -> Iterable[DateRange]:
        """Days between which work must fall because a set stands only then."""
        for id_ in (element.id, element.target("set")):
            known = self.show.elements.get(id_)
            span = known.facts.days("stands") if known else None
            if span is not None:
                yield span


def _timed(works: Sequence[Work]) -> tuple[Work, ...]:
    """The work that is left; what went on beside work that is over has a time of its own now."""
    names = {work.name for work in works}
    return tuple(work if work.beside in names else replace(work, beside="") for work in works)


def _composite_dues(show: Show) -> dict[str, tuple[date, float]]:
    """Per composite, its earliest delivery and what that weighs."""
    dues: dict[str, tuple[date, float]] = {}
    for delivery in sorted(show.deliveries, key=lambda each: each.day, reverse=True):
        for shot in delivery.shots:
            for id_ in show.shots[shot].elements:
                if show.elements[id_].kind == "composite":
                    dues[id_] = delivery.day, delivery.weight
    return dues
