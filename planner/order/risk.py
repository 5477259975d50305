"""How likely the dates of an order are to be kept, and what decides it.

Takes a show, a question and its answer, gives for each delivery and composite its date as ordered,
the chance of it, the days kept with other chances, and the work that drives it. Durations are PERT
betas over their low, likely and high; those of one craft err together. Knows nothing of money or
pages.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import partial
from typing import TYPE_CHECKING

from planner.craft.pert import CORRELATION, drawn
from planner.craft.planning import ThreePoint
from planner.schedule.risk import DRAWS, Varied, ends_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence
    from datetime import date, datetime

    import numpy as np
    from numpy.typing import NDArray

    from planner.graph import ElementGraph
    from planner.model.show import Show
    from planner.order.question import Question
    from planner.schedule import Activity, Answer
    from planner.schedule.risk import Drawing, Ended

    Ends = NDArray[np.float32]

KEPT = (0.5, 0.8, 0.9)
"""Chances whose days are told."""
STEPS = 20
"""Equal steps of chance by which the whole curve of a date is told."""
MOST_DRIVERS = 5
LEAST = 0.02
"""Work that weighs less is not told of."""
_HAIR = 1e-3


@dataclass(frozen=True, slots=True)
class Terms:
    """How to draw.

    Attributes:
        draws: how many.
        seed: the same seed, the same figures.
        correlation: 0 to 1, between the durations of two pieces of work of one craft.
        from_calls: whether people come as called, so that nothing begins before the answer has it;
            else work goes on as soon as it may.
    """

    draws: int = DRAWS
    seed: int = 0
    correlation: float = CORRELATION
    from_calls: bool = False


@dataclass(frozen=True, slots=True)
class DrivenBy:
    """Work that decides a date.

    Attributes:
        element: id.
        work: its name.
        critical: share of draws in which it lies on the longest chain.
        correlation: of its duration with the date.
        weighs: `critical` times the deviation of its duration over that of the date.
        adds_days: working days it takes more than likely while on the longest chain, on average.
    """

    element: str
    work: str
    critical: float
    correlation: float
    weighs: float
    adds_days: float


@dataclass(frozen=True, slots=True)
class Chance:
    """One date, and how likely it is.

    Attributes:
        id: of the delivery or composite.
        shots: it is of.
        due: last day on time; None where nothing wants it.
        ordered: when the order, at likely durations, has it done.
        on_time: chance of being done by `due`; None without one.
        as_ordered: chance of being done by the day of `ordered`.
        kept: by chance (0.5, 0.8, 0.9), the day by which it is done with it.
        drivers: what weighs most first.
        weakest: of a delivery, the composite with the least chance by itself, and that chance;
            None for a composite, or where nothing is due.
        days: by steps of one in `STEPS` from the soonest draw to the latest, the day by which it
            is done in so many of them.
    """

    id: str
    shots: tuple[str, ...]
    due: date | None
    ordered: datetime
    on_time: float | None
    as_ordered: float
    kept: Mapping[float, date]
    drivers: tuple[DrivenBy, ...] = ()
    weakest: tuple[str, float] | None = None
    days: tuple[date, ...] = ()


@dataclass(frozen=True, slots=True)
class Risk:
    """What an order's dates are worth.

    Attributes:
        deliveries: those of which something is in the order, by day.
        composites: of live shots, in story order.
        terms: how they were drawn.
        uncertain: how many pieces of work have a range at all, of `calls`.
        calls: how many pieces of work there are.
    """

    deliveries: tuple[Chance, ...]
    composites: tuple[Chance, ...]
    terms: Terms
    uncertain: int
    calls: int


def risk_of(
    show: Show,
    graph: ElementGraph,
    ordered: tuple[Question, Answer],
    terms: Terms,
    driven: Collection[str] | None = None,
) -> Risk:
    """Draw an order's durations many times, its turns on everything scarce kept.

    Args:
        show: with its deliveries.
        graph: of its elements.
        ordered: a question and its answer.
        terms: how to draw.
        driven: ids of deliveries and composites whose drivers are wanted; all deliveries unless
            said.
    """
    drawing = _Drawing(show, graph, ordered, terms)
    return drawing.risk(driven)


class _Drawing:
    def __init__(
        self, show: Show, graph: ElementGraph, ordered: tuple[Question, Answer], terms: Terms
    ) -> None:
        self.show = show
        self.question, self.answer = ordered
        if terms.from_calls:
            self.question = not_before(self.question, self.answer.starts)
        self.terms = terms
        self.members = members_of(show, graph, self.question)
        self.shot_of = {graph.composites[shot]: shot for shot in graph.composites}
        self.wanted = tuple(self._wanted(graph))

    def _wanted(self, graph: ElementGraph) -> Iterator[tuple[str, tuple[str, ...], date]]:
        """Deliveries with their composites that are in the order, by day."""
        for each in sorted(self.show.deliveries, key=lambda each: (each.day, each.id)):
            composites = tuple(
                composite
                for shot in each.shots
                if (composite := graph.composites.get(shot, "")) in self.members
            )
            if composites:
                yield each.id, composites, each.day

    def risk(self, driven: Collection[str] | None) -> Risk:
        targets: dict[str, Sequence[str]] = {f"/{id_}": ids for id_, ids in self.members.items()}
        for delivery, wanted, _day in self.wanted:
            targets[delivery] = [id_ for each in wanted for id_ in self.members[each]]
        names = [delivery for delivery, *_ in self.wanted]
        if driven is not None:
            names = [each for each in targets if each.removeprefix("/") in driven]
        varied = self._varied()
        ends = ends_of(self.question.instance, self.answer, targets, varied, names)
        due = {id_: day for _d, ids, day in reversed(self.wanted) for id_ in ids}
        composites = tuple(
            self._chance((id_, (self.shot_of[id_],), due.get(id_)), ends[f"/{id_}"], ids)
            for id_, ids in self.members.items()
        )
        deliveries = tuple(
            self._delivery(delivery, ids, day, (ends, targets))
            for delivery, ids, day in self.wanted
        )
        return Risk(
            deliveries,
            composites,
            self.terms,
            len(varied.durations),
            len(self.question.instance.activities),
        )

    def _varied(self) -> Varied:
        durations: dict[str, Drawing] = {}
        crafts = {}
        for activity in self.question.instance.activities:
            _element, work = self.question.work[activity.id]
            point = self._point(activity)
            if point.low < point.high:
                durations[activity.id] = partial(drawn, point)
                crafts[activity.id] = work.craft
        terms = self.terms
        return Varied(durations, crafts, terms.correlation, terms.draws, terms.seed)

    def _point(self, activity: Activity) -> ThreePoint:
        """Quarters: those of the order, rounded up as it is, and others in proportion."""
        hours = self.question.work[activity.id][1].hours
        usual = activity.modes[self.answer.modes[activity.id]].duration_quarters
        if hours.likely <= 0:
            return ThreePoint(usual, usual, usual + 4 * hours.high)
        each = usual / hours.likely
        return ThreePoint(min(hours.low * each, usual), usual, max(hours.high * each, usual))

    def _delivery(
        self,
        delivery: str,
        composites: tuple[str, ...],
        day: date,
        found: tuple[Mapping[str, Ended], Mapping[str, Sequence[str]]],
    ) -> Chance:
        ends, targets = found
        shots = tuple(self.shot_of[each] for each in composites)
        chance = self._chance((delivery, shots, day), ends[delivery], targets[delivery])
        alone = [(self._by(ends[f"/{each}"].ends, day), each) for each in composites]
        least, weakest = min(alone, key=lambda pair: pair[0])
        return replace(chance, weakest=(weakest, least))

    def _chance(
        self, told: tuple[str, tuple[str, ...], date | None], ended: Ended, ids: Sequence[str]
    ) -> Chance:
        import numpy as np

        id_, shots, due = told
        calendar = self.question.calendar
        ordered = calendar.finish_datetime(max(self.answer.finishes[each] for each in ids))
        steps = [step / STEPS for step in range(STEPS + 1)]
        limits = np.quantile(ended.ends, [*KEPT, *steps], method="inverted_cdf")
        days = [calendar.finish_datetime(math.ceil(float(each) - _HAIR)).date() for each in limits]
        return Chance(
            id_,
            shots,
            due,
            ordered,
            None if due is None else self._by(ended.ends, due),
            self._by(ended.ends, ordered.date()),
            dict(zip(KEPT, days, strict=False)),
            tuple(self._drivers(ended)),
            days=tuple(days[len(KEPT) :]),
        )

    def _by(self, ends: Ends, day: date) -> float:
        """Share of draws done by the evening of a day."""
        limit = self.question.calendar.quarter_at(day + timedelta(days=1))
        return float((ends <= limit + _HAIR).mean())

    def _drivers(self, ended: Ended) -> Iterator[DrivenBy]:
        quarters = self.question.calendar.quarters_per_day
        for each in [each for each in ended.drivers if each.weighs >= LEAST][:MOST_DRIVERS]:
            element, work = self.question.work[each.id]
            yield DrivenBy(
                element,
                work.name,
                each.critical,
                each.correlation,
                each.weighs,
                each.adds / quarters,
            )


def not_before(question: Question, called: Mapping[str, int]) -> Question:
    """A question of which nothing begins before the quarter that it is called for.

    Nobody is called for sooner, however soon what a call waits for is over. Drawn without that, a
    date would be kept before the day it stands on.

    Args:
        question: any.
        called: quarters by id of the activity; those left out may begin as soon as before.
    """
    activities = tuple(
        replace(each, release=max(each.release, called.get(each.id, 0)))
        for each in question.instance.activities
    )
    return replace(question, instance=replace(question.instance, activities=activities))


def members_of(show: Show, graph: ElementGraph, question: Question) -> dict[str, tuple[str, ...]]:
    """Per composite of a live shot, the ids of the activities with which it ends.

    Its own; where nothing of its own is left to do, all that it waits for.
    """
    own: dict[str, list[str]] = {}
    for id_, (element, _work) in question.work.items():
        own.setdefault(element, []).append(id_)
    members = {}
    for shot, composite in graph.composites.items():
        if not show.shots[shot].is_live:
            continue
        ids = own.get(composite) or [
            id_ for each in sorted(graph.upstream(composite)) for id_ in own.get(each, ())
        ]
        if ids:
            members[composite] = tuple(ids)
    return members
