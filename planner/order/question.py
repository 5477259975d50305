"""Estimates to a scheduling instance.

Takes a show, its graph and its estimates, gives a `Question`: an instance in plain scheduling
words, and what is needed to read its answer back. Knows nothing of solvers.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import product
from typing import TYPE_CHECKING

from planner.kinds import Phase, Work
from planner.model.place import Problem, Severity
from planner.schedule import (
    Activity,
    Calendar,
    Changeovers,
    Instance,
    Mode,
    Precedence,
    Resource,
    Weights,
    working_days,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from planner.estimate import Estimates
    from planner.graph import ElementGraph
    from planner.kinds import Need
    from planner.model.facts import DateRange
    from planner.model.show import Element, Show, WorkCalendar

HORIZON_DAYS = 3 * 366
MOST_MODES = 16
# Common practice: an hour to strike one set-up before the next is brought in.
STRIKE_QUARTERS = 4
# What holds where the show states no price of its own, in whole units of its currency.
LATE_DAY = 5_000
CHANGE = 200


@dataclass(frozen=True, slots=True)
class Question:
    """An instance, and what each of its activities stands for.

    Attributes:
        instance: in plain scheduling words.
        calendar: its work-time axis.
        work: per activity id, the element and the work it stands for.
        problems: needs that nothing in the show meets.
    """

    instance: Instance
    calendar: Calendar
    work: Mapping[str, tuple[str, Work]]
    problems: tuple[Problem, ...]


def ask(show: Show, graph: ElementGraph, estimates: Estimates) -> Question:
    """Put every stretch of work of every live element into one instance.

    Crews are held by craft: a `Work` of a craft that resources.yaml lists holds that many heads of
    it. Nights, week-ends and holidays are squeezed out of the axis; absences become blocked spells.
    Cost is linear in work and precedences.
    """
    asking = _Asking(show, estimates)
    for id_ in graph.order:
        asking.add(show.elements[id_])
    return Question(
        Instance(
            tuple(asking.activities),
            tuple(_resources(show, asking.calendar, asking.used)),
            asking.calendar,
            Changeovers(default_set_up=0, strike=dict.fromkeys(asking.states, STRIKE_QUARTERS)),
            _weights(show, asking.calendar),
        ),
        asking.calendar,
        asking.work,
        tuple(asking.problems),
    )


def _weights(show: Show, calendar: Calendar) -> Weights:
    stated = show.facts.group("weights")
    late, change = stated.money("late"), stated.money("change")
    per_day = int(late.amount) if late else LATE_DAY
    return Weights(
        late=max(1, per_day // calendar.quarters_per_day),
        finish=1,
        cost=1,
        changeover=max(1, (int(change.amount) if change else CHANGE) // STRIKE_QUARTERS),
    )


def axis(calendar: WorkCalendar) -> Calendar:
    """The work-time axis of a show's calendar, three years long; it goes on by week-days after."""
    closed: set[date] = set()
    for span in calendar.holidays:
        length = (span.last - span.first).days + 1
        closed.update(span.first + timedelta(days=n) for n in range(length))
    last = calendar.starts + timedelta(days=HORIZON_DAYS)
    days = working_days(calendar.starts, last, calendar.week, closed)
    return Calendar(days, max(1, round(calendar.day_hours * 4)), calendar.day_starts)


class _Asking:
    def __init__(self, show: Show, estimates: Estimates) -> None:
        self.show = show
        self.estimates = estimates
        self.calendar = axis(show.calendar)
        self.activities: list[Activity] = []
        self.work: dict[str, tuple[str, Work]] = {}
        self.problems: list[Problem] = []
        self.used: dict[str, int] = {}
        self.states: set[str] = set()
        self.crews = _crews(show)
        self.due = _composite_dues(show)
        # What must be finished before anything that waits for an element may start.
        self.finishers: dict[str, tuple[Precedence, ...]] = {}

    def add(self, element: Element) -> None:
        upstream = self._upstream(element)
        works = self.estimates.by_element[element.id].work if self._wanted(element) else ()
        if not works:
            self.finishers[element.id] = upstream
            return
        followed = {name for work in works for name in work.after}
        waits = {work.name: work for work in works}
        ways = _Ways(element, works, self)
        for work in works:
            id_ = f"{element.id}/{work.name}"
            after = (
                tuple(self._follow(element.id, waits[name]) for name in work.after)
                if work.after
                else upstream
            )
            self.activities.append(self._activity(id_, element, ways, work, after))
            self.work[id_] = element.id, work
        self.finishers[element.id] = tuple(
            self._follow(element.id, work) for work in works if work.name not in followed
        )

    def _wanted(self, element: Element) -> bool:
        return self.show.is_live(element)

    def _upstream(self, element: Element) -> tuple[Precedence, ...]:
        found: dict[str, Precedence] = {}
        for reference in element.references:
            if reference.waits:
                for each in self.finishers.get(reference.target, ()):
                    found[each.id] = each
        return tuple(found.values())

    def _follow(self, element: str, work: Work) -> Precedence:
        """What follows `work`; paint dries by night too, a laboratory keeps working hours."""
        quarters = math.ceil(work.wait_hours * 4)
        id_ = f"{element}/{work.name}"
        if work.phase is Phase.BUILD:
            return Precedence(id_, lag_clock_quarters=quarters)
        return Precedence(id_, lag_quarters=quarters)

    def _activity(
        self, id_: str, element: Element, ways: _Ways, work: Work, after: tuple[Precedence, ...]
    ) -> Activity:
        return Activity(
            id_,
            ways.modes(work),
            after,
            release=self._release(element),
            due=self._due(element),
            weight=round(self.due[element.id][1]) if element.id in self.due else 1,
            splittable=not work.day_sized,
            together=ways.party(work),
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


class _Ways:
    """The ways in which one element's work may be done.

    Work of one element with the same needs goes on where it was begun: its modes are listed alike,
    so that the mode of the same number means the same stage, rig and camera.
    """

    def __init__(self, element: Element, works: Iterable[Work], asking: _Asking) -> None:
        self.element = element
        self.asking = asking
        self.crews = {work.name: self._crew_ways(work) for work in works}
        self.choices: dict[tuple[Need, ...], list[tuple[tuple[Need, str], ...]]] = {}
        self.widest: dict[tuple[Need, ...], int] = {}
        for work in works:
            self.choices.setdefault(work.needs, list(product(*_options(work.needs))))
            crews = len(self.crews[work.name])
            self.widest[work.needs] = max(crews, self.widest.get(work.needs, 1))

    def party(self, work: Work) -> str:
        """What the work shares its mode with; empty where it holds nothing scarce."""
        if not work.needs:
            return ""
        return f"{self.element.id}: {list(self.choices).index(work.needs)}"

    def modes(self, work: Work) -> tuple[Mode, ...]:
        """One mode per way of meeting the needs, the best-liked first."""
        duration = math.ceil(round(work.hours.likely * 4, 6))
        crews = self.crews[work.name]
        if work.set_up:
            self.asking.states.add(work.set_up)
        return tuple(
            self._mode(duration, work, crews[number % len(crews)], chosen)
            for chosen in self.choices[work.needs]
            for number in range(self.widest[work.needs])
        )

    def _mode(
        self,
        duration: int,
        work: Work,
        crew: Mapping[str, int],
        chosen: tuple[tuple[Need, str], ...],
    ) -> Mode:
        uses = dict(crew)
        for need, option in chosen:
            uses[option] = uses.get(option, 0) + need.units
        self.asking.used.update(dict.fromkeys(uses, 1))
        stages = [option for need, option in chosen if need.sort == "stage" and work.set_up]
        label = ", ".join(option for _need, option in chosen)
        return Mode(duration, uses, set_ups=dict.fromkeys(stages, work.set_up), label=label)

    def _crew_ways(self, work: Work) -> list[dict[str, int]]:
        crews = self.asking.crews.get(work.craft, [])
        able = [crew for crew, heads in crews if heads >= work.heads]
        if able:
            return [{crew: work.heads} for crew in able]
        if not crews:
            return [{}]
        crew, heads = max(crews, key=lambda pair: pair[1])
        self.asking.problems.append(
            Problem(
                Severity.WARNING,
                self.element.place,
                "crew-too-small",
                f"{work.name} wants {work.heads} hands of {work.craft.replace('_', ' ')};"
                f" {crew} has {heads}",
                "hire more hands, or allow longer; the order goes on with what there is",
                self.element.id,
            )
        )
        return [{crew: heads}]


def _options(needs: Iterable[Need]) -> list[list[tuple[Need, str]]]:
    """Options of each need, the least-liked left out until few enough ways remain.

    Stages are the last to be thinned: a camera is borrowed more easily than a stage.
    """
    options = [[(need, option) for option in need.options] for need in needs if need.options]
    while math.prod(map(len, options)) > MOST_MODES:
        most = max(options, key=lambda each: (each[0][0].sort != "stage", len(each)))
        if len(most) == 1:
            most = max(options, key=len)
        most.pop()
    return options


def _crews(show: Show) -> dict[str, list[tuple[str, int]]]:
    crews: dict[str, list[tuple[str, int]]] = defaultdict(list)
    for crew in show.resources_of("crew"):
        crews[crew.craft].append((crew.id, crew.capacity))
    return crews


def _composite_dues(show: Show) -> dict[str, tuple[date, float]]:
    """Per composite, its earliest delivery and what that weighs."""
    dues: dict[str, tuple[date, float]] = {}
    for delivery in sorted(show.deliveries, key=lambda each: each.day, reverse=True):
        for shot in delivery.shots:
            for id_ in show.shots[shot].elements:
                if show.elements[id_].kind == "composite":
                    dues[id_] = delivery.day, delivery.weight
    return dues


def _resources(show: Show, calendar: Calendar, used: Mapping[str, int]) -> Iterable[Resource]:
    for id_ in used:
        known = show.resources.get(id_)
        if known is None:
            build = show.elements.get(id_)
            copies = int(build.facts.amount("copies", 1)) if build else 1
            yield Resource(id_, copies)
            continue
        blocked = [_spell(calendar, span) for span in known.away]
        since, until = known.facts.day("from"), known.facts.day("until")
        if since is not None:
            blocked.append((0, calendar.quarter_at(since)))
        if until is not None:
            blocked.append((calendar.quarter_at(until + timedelta(days=1)), _END))
        rate = show.rates.get(id_)
        sum_ = rate.on(show.calendar.starts) if rate and rate.per == "day" else None
        yield Resource(
            id_,
            known.capacity,
            tuple(spell for spell in blocked if spell[0] < spell[1]),
            held_day_cost=int(sum_.amount) if sum_ and known.sort == "stage" else 0,
        )


# Past any date a show could mean; a resource gone for good is blocked until here.
_END = 40 * 366 * 24


def _spell(calendar: Calendar, span: DateRange) -> tuple[int, int]:
    return calendar.quarter_at(span.first), calendar.quarter_at(span.last + timedelta(days=1))
