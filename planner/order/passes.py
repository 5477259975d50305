"""Sets that stand idle for another pass, and sets struck before it.

Takes a show and dated calls, gives a note for each set that stands while its next pass waits for
the laboratory, with what those days cost, and a warning where a set is struck between two passes.
Knows nothing of solvers.
"""

from __future__ import annotations

import math
from collections import defaultdict
from datetime import timedelta
from typing import TYPE_CHECKING, NamedTuple

from planner.kinds.floor import PASS_OF
from planner.model.names import counted, title_of
from planner.model.place import Problem, Severity
from planner.order.lined_up import CHECKED

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from datetime import date

    from planner.model.show import Element, Show
    from planner.order.lined_up import LinedUp
    from planner.order.question import Question
    from planner.order.stage_order import Call
    from planner.schedule import Calendar

ACCEPTABLE = frozenset({*PASS_OF, "shadow_of"})
"""Roles of what stands on the stage for both; what is thrown or matched must be developed."""
ACCEPTED = "before_film_is_back"
"""Fact of an element: who accepts that it is photographed before the film of the other is back."""


def is_accepted(element: Element) -> bool:
    """Whether somebody accepts that it waits for photographing only, not for the film."""
    return bool(element.facts.word(ACCEPTED))


class _Passes(NamedTuple):
    """An element's last call on a stage, and the first of another pass on the same set.

    `is_check` where that looks at what was photographed.
    """

    first: Call
    then: Call
    is_check: bool


def pass_problems(show: Show, question: Question, calls: Iterable[Call]) -> Iterator[Problem]:
    """What stands between the passes of one set.

    Args:
        show: the show.
        question: with its work-time axis, and how sets were lined up that are wanted again.
        calls: by start.
    """
    on_stage: defaultdict[str, list[Call]] = defaultdict(list)
    mine: defaultdict[str, list[Call]] = defaultdict(list)
    for call in calls:
        if call.stage and call.work.set_up:
            on_stage[call.stage].append(call)
            mine[call.element].append(call)
    for passes in _passes(show, mine):
        here = [
            each
            for each in on_stage[passes.first.stage]
            if passes.first.ends <= each.starts < passes.then.starts
        ]
        other = [each for each in here if each.work.set_up != passes.first.work.set_up]
        if other:
            # One more pass between has it lined up already.
            is_first = here[-1] is other[-1]
            anew = question.lined_up.get(passes.then.element) if is_first else None
            yield _struck(show, passes, other[0], anew)
        elif passes.first.stage == passes.then.stage and not passes.is_check:
            previous = max([passes.first, *here], key=lambda each: each.ends)
            yield from _stands(show, question.calendar, passes, previous)


def _passes(show: Show, calls: Mapping[str, list[Call]]) -> Iterator[_Passes]:
    for element in show.elements.values():
        then = calls.get(element.id)
        roles = {element.target(role): role for role in (CHECKED, *PASS_OF)}
        for target, role in roles.items():
            first = calls.get(target)
            if first and then and first[-1].work.set_up == then[0].work.set_up:
                yield _Passes(first[-1], then[0], role == CHECKED)


def _struck(show: Show, passes: _Passes, other: Call, anew: LinedUp | None) -> Problem:
    first, then, is_check = passes
    hours = anew.quarters / 4 if anew else 0
    lined_up = f" and lined up anew in {hours:g} h before it" if hours else ""
    is_what = "looks at it" if is_check else "is another pass of it"
    remedy = "look at" if is_check else "photograph"
    before = "" if is_check else _before(show, passes)
    return Problem(
        Severity.WARNING,
        show.elements[then.element].place,
        "set-struck-between-passes",
        f"the set of {first.element} is struck on {other.starts:%Y-%m-%d} for {other.element}, and"
        f" set up again for {then.element} on {then.starts:%Y-%m-%d}{lined_up}, which {is_what}:"
        " what is lined up anew does not lie on what was",
        f"{remedy} it while the set stands{before}",
        then.element,
    )


def _stands(show: Show, calendar: Calendar, passes: _Passes, previous: Call) -> Iterator[Problem]:
    """Days between two calls of one set on which the later waits for film of the earlier."""
    first, then, _is_check = passes
    if is_accepted(show.elements[then.element]):
        return
    lag = math.ceil(first.work.wait_hours * 4)
    back = calendar.to_datetime(calendar.quarter_at(first.ends) + lag).date()
    between = (then.starts.date() - previous.ends.date()).days
    days = [previous.ends.date() + timedelta(n) for n in range(1, between)]
    idle = [day for day in days if day < back and show.calendar.is_working(day)]
    if not idle:
        return
    title = title_of(first.stage, show)
    span = f"{idle[0]}" if len(idle) == 1 else f"{idle[0]} to {idle[-1]}"
    yield Problem(
        Severity.NOTE,
        show.elements[then.element].place,
        "set-waits-for-laboratory",
        f"the set of {first.element} stands {counted(len(idle), 'idle day')}"
        f" on {title} ({span}) for {then.element}, which waits until the film of the first is"
        f" back{_cost(show, first.stage, idle)}",
        f"photograph it at once{_before(show, passes)}",
        then.element,
    )


def _cost(show: Show, stage: str, days: Iterable[date]) -> str:
    """What the stage costs on those days; empty where it has no rate by the day."""
    rate = show.rates.get(stage)
    sums = [rate.on(day) for day in days] if rate is not None and rate.per == "day" else []
    amounts = [each.amount for each in sums if each is not None]
    return f": {sum(amounts):,.2f} {show.currency}" if amounts else ""


def _before(show: Show, passes: _Passes) -> str:
    """The way out where the laboratory is what it waits for."""
    first, then, _is_check = passes
    if not first.work.wait_hours or is_accepted(show.elements[then.element]):
        return ""
    return (
        f", before the film of {first.element} is back, and write who accepts that under"
        f" `{ACCEPTED}` of {then.element}: a fault found then may be in both"
    )
