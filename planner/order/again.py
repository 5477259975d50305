"""Planning again from a day on, close to an order already issued.

Takes the question as it now is, the issued order and the terms, gives a `StageOrder`: what has
begun stays, calls near at hand move for a price only, locked rows hold, and the rest is placed in
the order it was placed in before. Knows nothing of what happened on the floor; `Started` says it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING

from planner.order.dating import dated, unanswered
from planner.order.issued import reopened
from planner.order.kept import not_kept
from planner.order.scarce import price_of_move
from planner.schedule import replan

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import date, datetime

    from planner.graph import ElementGraph
    from planner.model.place import Problem
    from planner.model.show import Show, WorkCalendar
    from planner.order.issued import IssuedOrder
    from planner.order.question import Question
    from planner.order.stage_order import StageOrder
    from planner.schedule import Answer, Budget, Replanned


@dataclass(frozen=True, slots=True)
class Started:
    """What has begun.

    Attributes:
        at: when each call began, by its id; what is not named has not begun, whatever any order
            said.
    """

    at: Mapping[str, datetime]


def started_by_dates(issued: IssuedOrder, day: date) -> Started:
    """What an issued order calls before a day: all there is to go by without a record of work."""
    return Started({call.id: call.starts for call in issued.calls if call.starts.date() < day})


@dataclass(frozen=True, slots=True)
class Terms:
    """How to plan again.

    Attributes:
        day: the first that may still be planned.
        started: what has begun and stays.
        held_until: calls before this day move for a price only; None for all calls.
        budget: how long to improve.
    """

    day: date
    started: Started
    held_until: date | None
    budget: Budget


def working_days_on(calendar: WorkCalendar, day: date, count: int) -> date:
    """The day after so many working days from `day` on, which is the first of them."""
    while count > 0:
        count -= calendar.is_working(day)
        day += timedelta(days=1)
    return day


def rearrange(
    show: Show, graph: ElementGraph, question: Question, issued: IssuedOrder, terms: Terms
) -> StageOrder:
    """Order again from a day on.

    Args:
        show: as it now is; prices of moves are its own.
        graph: of its elements.
        question: what it asks now.
        issued: the order people work by.
        terms: from which day, what has begun, what is held.

    Returns:
        The new order. What had begun and cannot go on as it was is in its problems, as a lock that
        was not kept.
    """
    plan = _Again(show, question, issued, terms)
    try:
        found = plan.settle()
    except ValueError:
        return unanswered(show, question)
    order = dated(show, graph, replace(question, instance=found.instance), found.answer)
    return replace(order, problems=(*order.problems, *plan.given_way(found.answer)))


class _Again:
    """One planning again; what had begun and must give way is let go of round by round."""

    def __init__(self, show: Show, question: Question, issued: IssuedOrder, terms: Terms) -> None:
        self.show = show
        self.question = question
        self.issued = issued
        self.terms = terms
        self.was = reopened(issued, question)
        self.begun = {id_: when for id_, when in terms.started.at.items() if id_ in self.was.starts}
        self.rounds: list[tuple[Question, tuple[str, ...]]] = []

    def settle(self) -> Replanned:
        """Plan until everything that counts as begun is where it began.

        Raises:
            ValueError: the question has no answer on its face.
        """
        start = self.question.calendar.quarter_at(self.terms.day)
        price, budget = price_of_move(self.show), self.terms.budget
        while True:
            previous = replace(self.was, starts=self._starts(start))
            found = replan(self.question.instance, previous, start, price, budget)
            gave_way = tuple(each for each in found.answer.thawed if each in self.begun)
            if not gave_way:
                return found
            # Otherwise it might be planned anew on days that are past.
            self.rounds.append((replace(self.question, instance=found.instance), gave_way))
            for each in gave_way:
                del self.begun[each]

    def _starts(self, start: int) -> dict[str, int]:
        """Where calls must stay, or move for a price; others are planned as if they were new."""
        calendar = self.question.calendar
        starts = {id_: calendar.quarter_at(when) for id_, when in self.begun.items()}
        until = self.terms.held_until
        for call in self.issued.calls:
            is_near = until is None or call.starts.date() < until
            if call.id in self.was.starts and call.id not in starts and is_near:
                starts[call.id] = max(calendar.quarter_at(call.starts), start)
        return starts

    def given_way(self, answer: Answer) -> Iterator[Problem]:
        """What had begun and could not go on as it was."""
        for question, ids in self.rounds:
            yield from not_kept(self.show, question, answer, begun=ids)
