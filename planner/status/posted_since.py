"""Calls that an order makes once more though people have posted since that they were done.

Takes the order that called them first, the one that calls them again and where every piece stands,
gives their ids. Planning again leaves them out. Knows nothing of money.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.status.remaining import work_left

if TYPE_CHECKING:
    from datetime import date

    from planner.estimate import Estimates
    from planner.order import IssuedOrder, StageOrder
    from planner.status.standing import Standing


def posted_since(
    before: IssuedOrder, order: StageOrder, day: date, row: tuple[Estimates, Standing]
) -> tuple[str, ...]:
    """Ids of calls that were to be over before a day, are posted as over, and are called again.

    What is done again because a thing was lost is not among them.

    Args:
        before: the order that called them first.
        order: the one that people work by, planned again from `day`.
        day: the first that was planned.
        row: estimates of the whole show, and where every piece stands by what is posted from
            before that day.
    """
    estimates, standing = row
    redone = {each.id for each in order.redone}
    again = {call.id for call in order.calls if call.starts.date() >= day} - redone
    past = [call for call in before.calls if call.ends.date() < day and call.id in again]
    left = {id_: _left(id_, estimates, standing) for id_ in {call.element for call in past}}
    return tuple(call.id for call in past if call.work not in left[call.element])


def _left(id_: str, estimates: Estimates, standing: Standing) -> frozenset[str]:
    """Names of the work of one piece that is still to be done by what is posted."""
    works = estimates.by_element[id_].work
    piece = standing.outline.pieces[id_]
    return frozenset(each.name for each in work_left(piece, standing.of(id_), works))
