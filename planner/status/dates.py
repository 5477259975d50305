"""Dates of what is left, what would be gained by a thing being done, and how much room others have.

Takes a show, its graph and the work that is left, gives an order from today on and questions to it.
To try what a thing done would gain, the work is placed again in the order it was placed in before,
so that nothing else moves the dates. Knows nothing of events.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING

from planner.ledger.event import DAYS_AWAY, day_back
from planner.model.facts import DateRange
from planner.order import ask, working_days_on
from planner.order.lost import Loss, without
from planner.order.scarce import axis
from planner.schedule import Replay, placed_again, solve

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping
    from datetime import datetime

    from planner.estimate import Estimates
    from planner.graph import ElementGraph
    from planner.model.show import Show
    from planner.order import Question
    from planner.schedule import Answer, Budget, Instance
    from planner.status.standing import Standing
    from planner.status.state import State

FOREVER = 10**9


def show_from(show: Show, day: date, standing: Standing) -> Show:
    """The show with nothing to be done before `day`, and without what is lost until it is back.

    What is lost without a day to come on which it is back is taken to be away for as long as an
    order planned again takes it to be.
    """
    starts = max(show.calendar.starts, day)
    lost = [
        Loss(id_, DateRange(day, back - timedelta(days=1)))
        for id_ in show.resources
        if (back := back_on(show, standing.states.get(id_), starts)) is not None and back > day
    ]
    show = without(show, lost) if lost else show
    return replace(show, calendar=replace(show.calendar, starts=starts))


def back_on(show: Show, state: State | None, day: date) -> date | None:
    """The day on which a thing lost is there again: as posted, unless that is past.

    Else so many working days after `day` as is guessed; None of what is not lost.
    """
    if state is None or state.lost is None:
        return None
    back = day_back(state.lost.back)
    if back is not None and back >= day:
        return back
    return working_days_on(show.calendar, day, DAYS_AWAY)


def hours_between(show: Show, first: datetime, last: datetime) -> float:
    """Working hours of a show's calendar between two moments with zones, on the clock of `last`."""
    calendar = axis(show)
    begun, ends = (
        calendar.quarter_at(each.astimezone(last.tzinfo).replace(tzinfo=None))
        for each in (first, last)
    )
    return (ends - begun) / 4


@dataclass(frozen=True, slots=True)
class Dates:
    """When what is left is done.

    Attributes:
        show: with nothing to be done before today.
        graph: of its elements.
        estimates: the work that is left.
        question: what was asked.
        answer: the order found.
        placed: the same work placed once more in that order, to measure others against.
        replay: places it in that order, or a part of it.
        before: per piece, the quarter after which it and all it waits for is done so.
        is_standing: whether work stands on days it was given, and nothing was searched.
    """

    show: Show
    graph: ElementGraph
    estimates: Estimates
    question: Question
    answer: Answer
    placed: Answer
    replay: Replay
    before: Mapping[str, int]
    is_standing: bool = False

    def ends(self) -> dict[str, int]:
        """Per piece, the quarter after which it and all it waits for is done."""
        return _ends(self.graph, self.question, self.answer.finishes)

    def day_of(self, quarter: int) -> datetime:
        """When work that ends before a quarter stops."""
        return self.question.calendar.finish_datetime(quarter)

    def working_days(self, quarters: int) -> float:
        """So many quarters in working days."""
        return quarters / self.question.calendar.quarters_per_day

    def days_between(self, first: date, last: date) -> int:
        """Working days after `first`, up to `last` and with it."""
        # Days that are gone count, though the order's own begin today.
        return replace(self.show.calendar, starts=first).days_between(first, last)

    def gained(self, ids: Collection[str]) -> dict[str, float]:
        """Per piece, the working days it ends sooner if `ids` were done today.

        Pieces that gain nothing are left out. Costs as much as placing what is left once.
        """
        gone = frozenset(ids)
        work = self.question.work.items()
        return self._sooner(
            self.replay.without({id_ for id_, (element, _work) in work if element in gone})
        )

    def gained_by(self, instance: Instance) -> dict[str, float]:
        """Per piece, the working days it ends sooner by the same work under other limits."""
        return self._sooner(placed_again(instance, self.answer).finishes)

    def _sooner(self, finishes: Mapping[str, int]) -> dict[str, float]:
        was = self.before
        now = _ends(self.graph, self.question, finishes)
        return {
            id_: self.working_days(was[id_] - quarter)
            for id_, quarter in now.items()
            if quarter < was[id_]
        }

    def room(self, composite: str) -> dict[str, int]:
        """Per piece, quarters by which its work could end later and the composite not.

        What shares a stage, rig or camera keeps its turn; crews are taken to be large enough.
        """
        latest = _latest(self.question, self.answer, composite)
        room: dict[str, int] = {}
        for id_, (element, _work) in self.question.work.items():
            spare = latest[id_] - self.answer.finishes[id_]
            room[element] = min(spare, room.get(element, FOREVER))
        return room


def solved(question: Question, budget: Budget) -> Answer:
    """The best order found, whatever was issued.

    Raises:
        ValueError: the question has no answer on its face.
    """
    return solve(question.instance, budget)


def dates_of(
    show: Show,
    graph: ElementGraph,
    estimates: Estimates,
    budget: Callable[[int], Budget],
    search: Callable[[Question, Budget], Answer | Replay] = solved,
) -> Dates | None:
    """Date what is left; None where it cannot be ordered at all.

    Args:
        show: with nothing to be done before today.
        graph: of its elements.
        estimates: the work that is left.
        budget: how long to look, by the number of calls.
        search: finds the answer, or an order that the work is to stand by; raises ValueError where
            there is none.
    """
    question = ask(show, graph, estimates)
    try:
        found = search(question, budget(len(question.instance.activities)))
        is_standing = isinstance(found, Replay)
        if isinstance(found, Replay):
            answer = found.standing()
            replay = found.following(answer)
        else:
            answer, replay = found, Replay(question.instance, found)
        placed = replay.answer()
    except ValueError:
        return None
    before = _ends(graph, question, placed.finishes)
    return Dates(
        show, graph, estimates, question, answer, placed, replay, before, is_standing=is_standing
    )


def _ends(graph: ElementGraph, question: Question, finishes: Mapping[str, int]) -> dict[str, int]:
    own: dict[str, int] = {}
    for id_, finish in finishes.items():
        element = question.work[id_][0]
        own[element] = max(finish, own.get(element, 0))
    ends: dict[str, int] = {}
    for id_ in graph.order:
        before = max((ends[each] for each in graph.arrows.predecessors(id_)), default=0)
        ends[id_] = max(own.get(id_, 0), before)
    return ends


def _latest(question: Question, answer: Answer, composite: str) -> dict[str, int]:
    """Per activity, the latest finish that leaves the composite's own work where it is."""
    starts, finishes = answer.starts, answer.finishes
    follow = _followers(question, answer)
    latest: dict[str, int] = {}
    for id_ in sorted(starts, key=lambda each: (-starts[each], -finishes[each], each)):
        is_last = question.work[id_][0] == composite
        room = finishes[id_] if is_last else FOREVER
        for after, lag in follow[id_]:
            begins = latest.get(after, FOREVER) - (finishes[after] - starts[after])
            room = min(room, begins - lag)
        latest[id_] = max(room, finishes[id_])
    return latest


def _followers(question: Question, answer: Answer) -> Mapping[str, list[tuple[str, int]]]:
    """What comes after each activity, by need or by turn, with the quarters between."""
    follow: defaultdict[str, list[tuple[str, int]]] = defaultdict(list)
    turns: defaultdict[str, list[str]] = defaultdict(list)
    for activity in question.instance.activities:
        for need in activity.after:
            finish = answer.finishes[need.id]
            clock = question.calendar.after_clock(finish, need.lag_clock_quarters) - finish
            follow[need.id].append((activity.id, max(need.lag_quarters, clock)))
        for used in activity.modes[answer.modes[activity.id]].uses:
            turns[used].append(activity.id)
    single = {each.id for each in question.instance.resources if each.capacity == 1}
    for used in single & turns.keys():
        in_turn = sorted(turns[used], key=lambda id_: (answer.starts[id_], answer.finishes[id_]))
        for before, after in pairwise(in_turn):
            follow[before].append((after, 0))
    return follow
