"""Promises that cannot all be kept, in people's words, and what would have to give.

Takes a show and its question, gives the fewest dues, locks and absences that contradict each other,
each with where it is written, and how far each would have to give way. Knows nothing of how that is
found; see `planner.schedule.impossible`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING

from planner.model.names import counted, title_of
from planner.order.scarce import END, absences
from planner.schedule import why_impossible

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date
    from typing import Literal

    from planner.model.place import Place
    from planner.model.show import Show
    from planner.order.question import Question
    from planner.schedule import Fact, Impossible, Instance, Relaxation

MOST = 5
"""Contradictions told; each is looked for with those before it out of the way."""
_DATED = ("due", "last_useful")


@dataclass(frozen=True, slots=True)
class Promise:
    """A fact that was stated and may give way.

    Attributes:
        kind: a due, a lock or an absence.
        about: id of the element or resource.
        says: the fact, a clause.
        place: where it is written.
    """

    kind: Literal["due", "lock", "absence"]
    about: str
    says: str
    place: Place


@dataclass(frozen=True, slots=True)
class Easing:
    """What would be enough by itself.

    Attributes:
        says: what is to be done, a clause.
        working_days: by how much it gives way, begun ones counted whole.
    """

    says: str
    working_days: int


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Promises that cannot hold together.

    Attributes:
        promises: at least one.
        short_of: titles of what there is too little of; empty where the work is too long as it is.
        because: what else makes it so, a sentence; may be empty.
        easings: one for each promise that can be enough, the smallest first.
        is_fewest: whether each promise was shown to be needed for it.
    """

    promises: tuple[Promise, ...]
    short_of: tuple[str, ...]
    because: str
    easings: tuple[Easing, ...]
    is_fewest: bool


def contradictions(show: Show, question: Question) -> Iterator[Contradiction]:
    """Promises that cannot all be kept, deliveries and dues taken as hard.

    What is found is certain; more may be impossible than is found. After each, its easiest promise
    is let go of, and the rest is looked at again.

    Args:
        show: the show.
        question: what it asks.

    Raises:
        ValueError: there is no order at all, whatever gives way.
    """
    words = _Words(show, question)
    instance = _due_at_the_end(question)
    for _ in range(MOST):
        found = why_impossible(instance)
        if found is None:
            return
        yield words.contradiction(found)
        given = found.relaxations[0].fact if found.relaxations else found.facts[0]
        instance = _without(instance, given)


def _due_at_the_end(question: Question) -> Instance:
    """The question with each element's due on its last work alone: what comes before is in time."""
    finish = question.soonest()
    last: dict[str, str] = {}
    for activity in question.instance.activities:
        element, _work = question.work[activity.id]
        if element not in last or finish[activity.id] > finish[last[element]]:
            last[element] = activity.id
    activities = tuple(
        each if last[question.work[each.id][0]] == each.id else replace(each, due=None)
        for each in question.instance.activities
    )
    return replace(question.instance, activities=activities)


def _without(instance: Instance, fact: Fact) -> Instance:
    if fact.kind == "absence":
        spell = fact.first, fact.end
        resources = tuple(
            replace(each, blocked=tuple(own for own in each.blocked if not _meets(own, spell)))
            if each.id == fact.id
            else each
            for each in instance.resources
        )
        return replace(instance, resources=resources)
    activities = tuple(
        each
        if each.id != fact.id
        else replace(each, due=None)
        if fact.kind == "due"
        else replace(each, locked=None)
        for each in instance.activities
    )
    return replace(instance, activities=activities)


def _meets(one: tuple[int, int], other: tuple[int, int]) -> bool:
    return one[0] < other[1] and other[0] < one[1]


class _Words:
    """Facts of an instance as they stand in the show's files."""

    def __init__(self, show: Show, question: Question) -> None:
        self.show = show
        self.question = question
        self.calendar = question.calendar

    def contradiction(self, found: Impossible) -> Contradiction:
        named = (self.show.resources.get(each) for each in found.resources)
        titles = zip(found.resources, named, strict=True)
        return Contradiction(
            promises=tuple(map(self.promise, found.facts)),
            short_of=tuple((known and known.title) or id_ for id_, known in titles),
            because=self._because(found),
            easings=tuple(map(self.easing, found.relaxations)),
            is_fewest=found.is_minimal,
        )

    def promise(self, fact: Fact) -> Promise:
        if fact.kind == "absence":
            return self._absence(fact)
        element_id, work = self.question.work[fact.id]
        element = self.show.elements[element_id]
        if fact.kind == "lock":
            when = self.calendar.to_datetime(fact.first)
            says = f"{work.name} of {element_id} is locked on {when:%Y-%m-%d %H:%M}"
            return Promise("lock", element_id, says, element.facts.place_of("locked"))
        return self._due(element_id, self._day_before(fact.first))

    def _day_before(self, quarter: int) -> date:
        return self.calendar.finish_datetime(quarter).date()

    def _due(self, id_: str, day: date) -> Promise:
        """By whichever of the facts that bound the element falls on these working hours."""
        facts = self.show.elements[id_].facts
        for name in _DATED:
            stated = facts.day(name)
            if stated is not None and self._is_same_end(stated, day):
                return Promise("due", id_, f"{id_} is due on {stated}", facts.place_of(name))
        for delivery in self.show.deliveries:
            shot = self.show.elements[id_].shot
            if shot in delivery.shots and self._is_same_end(delivery.day, day):
                says = (
                    f"{shot} is wanted for the {delivery.id.replace('_', ' ')} delivery on"
                    f" {delivery.day}"
                )
                return Promise("due", id_, says, delivery.place)
        for name in (id_, self.show.elements[id_].target("set")):
            known = self.show.elements.get(name)
            span = known.facts.days("stands") if known else None
            if known is not None and span is not None and self._is_same_end(span.last, day):
                says = f"{name} stands until {span.last}, and {id_} needs it"
                return Promise("due", id_, says, known.facts.place_of("stands"))
        return Promise("due", id_, f"{id_} is due on {day}", facts.place)

    def _is_same_end(self, stated: date, day: date) -> bool:
        """Whether two days end at one quarter of the axis; a Sunday ends with the Friday before."""
        after = timedelta(days=1)
        return self.calendar.quarter_at(stated + after) == self.calendar.quarter_at(day + after)

    def _absence(self, fact: Fact) -> Promise:
        known = self.show.resources.get(fact.id)
        title = title_of(fact.id, self.show)
        facts = known.facts if known else self.show.elements[fact.id].facts
        place = facts.place_of("away")
        first = self.calendar.to_datetime(fact.first).date()
        if fact.end >= END:
            until = self._day_before(fact.first)
            says = f"{title} is there until {until}"
            return Promise("absence", fact.id, says, facts.place_of("until"))
        last = self._day_before(fact.end)
        if not any(
            span.first <= last and first <= span.last for span in absences(self.show, fact.id)
        ):
            back = self.calendar.to_datetime(fact.end).date()
            says = f"{title} is not there before {back}"
            return Promise("absence", fact.id, says, facts.place_of("from"))
        days = f"on {first}" if first == last else f"from {first} to {last}"
        return Promise("absence", fact.id, f"{title} is away {days}", place)

    def easing(self, relaxation: Relaxation) -> Easing:
        fact, quarters = relaxation.fact, relaxation.quarters
        days = math.ceil(quarters / self.calendar.quarters_per_day)
        more = counted(days, "working day")
        if fact.kind == "absence":
            return Easing(f"have {title_of(fact.id, self.show)} {more} more", days)
        id_ = self.question.work[fact.id][0]
        if fact.kind == "lock":
            return Easing(f"unlock {id_}, or lock it {more} elsewhere", days)
        until = self._day_before(fact.first + quarters)
        shot = self.show.elements[id_].shot
        is_final = self.show.elements[id_].kind == "composite" and shot
        return Easing(f"give {shot if is_final else id_} {more} more, to {until}", days)

    def _because(self, found: Impossible) -> str:
        """Of a single due that its own chain rules out: the chain's length, and what begins it."""
        (fact, *others) = found.facts
        if others or found.resources or fact.kind != "due":
            return ""
        finish = self.question.soonest()
        known = {each.id: each for each in self.question.instance.activities}
        id_ = fact.id
        while True:
            activity = known[id_]
            ready = self.question.ready(activity, finish)
            ahead = [
                each for each in activity.after if finish[each.id] + each.lag_quarters == ready
            ]
            if ready <= activity.release or not ahead:
                break
            id_ = ahead[0].id
        element, work = self.question.work[id_]
        first = self.calendar.to_datetime(
            finish[id_] - min(m.duration_quarters for m in activity.modes)
        )
        last = self._day_before(finish[fact.id])
        may = "may not begin before" if activity.release else "begins at the soonest on"
        return (
            f"At the soonest it is done on {last}, were nothing scarce: {work.name} of {element}"
            f" {may} {first:%Y-%m-%d}"
        )
