"""A solver's answer to a dated stage order.

Takes a show, its graph, a question and its answer, gives a `StageOrder` with what is late, missed
or not kept. The answer is first checked by rules that share no code with the solver. Knows nothing
of money sums or pages.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

from planner.model.names import noun
from planner.model.place import Problem, Severity
from planner.order.carried import carry_notes
from planner.order.held import days_held
from planner.order.kept import impossible, not_kept
from planner.order.loads import load_problems
from planner.order.passes import pass_problems
from planner.order.promises import promise_problems
from planner.order.stage_order import Call, StageOrder
from planner.schedule import verify

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date, datetime

    from planner.graph import ElementGraph
    from planner.model.show import Show
    from planner.order.question import Question
    from planner.schedule import Answer


def dated(show: Show, graph: ElementGraph, question: Question, answer: Answer) -> StageOrder:
    """Read an answer back.

    Raises:
        RuntimeError: the answer breaks a rule; a fault of ours, never of the show's.
    """
    if broken := verify(question.instance, answer):
        raise RuntimeError(f"the order found breaks a rule: {broken[0]}")
    calls = tuple(
        sorted(
            _calls(show, question, answer),
            key=lambda call: (call.starts, call.element, call.work.name),
        )
    )
    finals = _finals(show, graph, calls)
    late, late_problems = _late(show, question, finals)
    quarters = question.calendar.quarters_per_day
    return StageOrder(
        calls=calls,
        days_held=days_held(show, calls, (question, answer)),
        finals=finals,
        late=late,
        bound_days=_critical_days(question, quarters),
        proven=answer.proven,
        method=answer.method,
        problems=(
            *question.problems,
            *not_kept(show, question, answer),
            *late_problems,
            *_missed(show, question, answer),
            *promise_problems(show, calls),
            *pass_problems(show, question, calls),
            *load_problems(show, calls, late),
            *carry_notes(show, calls),
        ),
        question=question,
        answer=answer,
    )


def unanswered(show: Show, question: Question) -> StageOrder:
    """An order without calls for a question without an answer, saying what stands in the way."""
    return StageOrder(
        calls=(),
        days_held={},
        finals={},
        late={},
        bound_days=0.0,
        proven=False,
        method="there is no order",
        problems=(*question.problems, *impossible(show, question)),
        question=question,
    )


def _calls(show: Show, question: Question, answer: Answer) -> Iterable[Call]:
    calendar = question.calendar
    for activity in question.instance.activities:
        element, work = question.work[activity.id]
        mode = activity.modes[answer.modes[activity.id]]
        start, finish = answer.starts[activity.id], answer.finishes[activity.id]
        stages = [
            id_
            for id_ in mode.uses
            if id_ in show.resources and show.resources[id_].sort == "stage"
        ]
        call = Call(
            element,
            work,
            calendar.to_datetime(start),
            calendar.finish_datetime(finish) if finish > start else calendar.to_datetime(start),
            mode.duration_quarters / 4,
            tuple(mode.uses),
            stages[0] if stages else "",
        )
        yield call
        for other in question.beside.get(activity.id, ()):
            crews = (each for each in mode.uses if _is_of(show, each, other.craft))
            yield replace(call, work=other, holds=tuple(crews), stage="")


def _is_of(show: Show, id_: str, craft: str) -> bool:
    known = show.resources.get(id_)
    return known is not None and known.sort == "crew" and known.craft == craft


def _finals(show: Show, graph: ElementGraph, calls: Iterable[Call]) -> dict[str, datetime]:
    ends: dict[str, datetime] = {}
    for call in calls:
        ends[call.element] = max(call.ends, ends.get(call.element, call.ends))
    return {
        shot: ends[composite]
        for shot, composite in graph.composites.items()
        if show.shots[shot].is_live and composite in ends
    }


def _late(
    show: Show, question: Question, finals: Mapping[str, datetime]
) -> tuple[dict[str, float], list[Problem]]:
    late: dict[str, float] = {}
    problems = []
    for delivery in sorted(show.deliveries, key=lambda each: each.day):
        for shot in delivery.shots:
            final = finals.get(shot)
            if final is None or final.date() <= delivery.day or shot in late:
                continue
            days = _working_days_between(question, delivery.day, final.date())
            late[shot] = days
            problems.append(
                Problem(
                    Severity.WARNING,
                    show.shots[shot].place,
                    "delivery-late",
                    f"{shot} is final on {final:%Y-%m-%d}, {days}"
                    f" {noun(days, 'working day')} after the {delivery.id.replace('_', ' ')}"
                    f" delivery of {delivery.day}",
                    "`platewright why` shows what holds it",
                    shot,
                )
            )
    return late, problems


def _missed(show: Show, question: Question, answer: Answer) -> Iterable[Problem]:
    """Work that ends after the day its own element is due, composites left to deliveries."""
    for activity in question.instance.activities:
        element_id, work = question.work[activity.id]
        element = show.elements[element_id]
        if element.kind == "composite" or activity.due is None:
            continue
        if answer.finishes[activity.id] > activity.due:
            calendar = question.calendar
            ends = calendar.finish_datetime(answer.finishes[activity.id])
            due = calendar.finish_datetime(activity.due)
            yield Problem(
                Severity.WARNING,
                element.facts.place_of("due"),
                "due-missed",
                f"{work.name} ends on {ends:%Y-%m-%d}, after {due:%Y-%m-%d}",
                "start what it waits for earlier, or let it wait for less",
                element_id,
            )


def _working_days_between(question: Question, first: date, last: date) -> int:
    calendar = question.calendar
    day = timedelta(days=1)
    begins, ends = calendar.quarter_at(first + day), calendar.quarter_at(last + day)
    return (ends - begins) // calendar.quarters_per_day


def _critical_days(question: Question, quarters_per_day: int) -> float:
    """Working days of the longest chain, everything at its shortest and nothing scarce."""
    return max(question.soonest().values(), default=0) / quarters_per_day
