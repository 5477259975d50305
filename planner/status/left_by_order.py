"""The work left by the order that people work by: whose past calls count, and what goes on.

Takes estimates of what is left as far as whole pieces go, an order and where every piece stands,
gives estimates with the rest of what is under way. Knows nothing of ledgers or solvers.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from planner.status.unposted import done_before, under_way
from planner.status.verdicts import times

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import date, datetime

    from planner.estimate import Estimates
    from planner.kinds import Estimate
    from planner.order import IssuedOrder
    from planner.status import Standing


def left_by_order(
    left: Estimates,
    issued: IssuedOrder | None,
    as_called: IssuedOrder | None,
    standing: Standing,
    at: tuple[date, Callable[[datetime], float]],
) -> Estimates:
    """The work left by the order people work by, whose past calls count or do not.

    Args:
        left: as far as whole pieces go.
        issued: that order; None where none is.
        as_called: its calls of what is `untold`, where past ones are taken as done; else None.
        standing: where every piece stands.
        at: the first day that is not past, and working hours from its beginning to a moment.
    """
    if as_called is not None:
        return _left_as_called(left, as_called, *at)
    if issued is not None:
        return _left_under_way(left, issued, standing, at)
    return left


def _left_under_way(
    left: Estimates,
    issued: IssuedOrder,
    standing: Standing,
    at: tuple[date, Callable[[datetime], float]],
) -> Estimates:
    """The work left where a call is `under_way` that day.

    What that call waited for is over, and the rest of it is left; without a call that goes on, all
    is called again. `order --from` goes by the same.

    Args:
        left: as far as whole pieces go.
        issued: the order people work by.
        standing: where every piece stands.
        at: the first day that is not past, and working hours from its beginning to a moment.
    """
    day, hours_to = at
    going_on = under_way(issued, day, left, standing)
    if not going_on:
        return left
    past = going_on | done_before(going_on, left)
    mine = tuple(each for each in issued.calls if each.id in past)
    return _left_as_called(left, replace(issued, calls=mine), day, hours_to)


def _left_as_called(
    left: Estimates, issued: IssuedOrder, day: date, hours_to: Callable[[datetime], float]
) -> Estimates:
    """The work left where past calls are taken as done: without them, and the rest of those begun.

    Args:
        left: as far as whole pieces go.
        issued: the order that called them, of what is `untold`.
        day: the first that is not past.
        hours_to: working hours from the beginning of that day to a moment with a zone.
    """
    shares = {
        call.id: min(1.0, hours_to(call.ends.astimezone()) / call.hours) if ends >= day else 0.0
        for call in issued.calls
        if (ends := call.ends.date()) and call.starts.date() < day and call.hours
    }
    begun = {id_.partition("/")[0] for id_ in shares} & left.by_element.keys()
    cut = {id_: _cut(left.by_element[id_], shares) for id_ in begun}
    return left.replacing(cut)


def _cut(estimate: Estimate, shares: Mapping[str, float]) -> Estimate:
    """One piece's work, each stretch by the share of it that is left."""
    head = f"{estimate.element}/"
    by_name = {each.name: shares.get(head + each.name, 1.0) for each in estimate.work}
    names = {name for name, share in by_name.items() if share > 0}
    cut = (
        replace(
            work,
            hours=times(work.hours, by_name[work.name]),
            after=tuple(each for each in work.after if each in names),
        )
        for work in estimate.work
        if work.name in names
    )
    return replace(estimate, work=tuple(cut))
