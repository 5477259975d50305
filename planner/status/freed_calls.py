"""Calls of an issued order that nobody needs any more, as a shot is omitted.

Takes news and the issued order, gives calls still to come on the shot's own pieces, and on those
that nothing else waits for. Knows nothing of planning again.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from planner.order import IssuedOrder
    from planner.order.issued import IssuedCall
    from planner.status.news import News


@dataclass(frozen=True, slots=True)
class FreedCall:
    """One call that may be struck from the order.

    Attributes:
        call: as it was issued.
        is_stage_free: whether its stage is called for nothing else on its days; False off stage.
    """

    call: IssuedCall
    is_stage_free: bool


def freed_calls(order: IssuedOrder, told: Iterable[News], day: date) -> tuple[FreedCall, ...]:
    """Calls that begin on a day or later and that what was told leaves without a use, by start.

    Args:
        order: as issued.
        told: news; only what is `spared` in them counts.
        day: what was called before it is past.
    """
    spared = {id_ for each in told for id_ in each.spared}
    gone = [each for each in order.calls if each.element in spared and each.starts.date() >= day]
    names = {each.id for each in gone}
    others = [each for each in order.calls if each.id not in names and each.stage]
    return tuple(
        FreedCall(each, bool(each.stage) and not any(_meets(each, other) for other in others))
        for each in sorted(gone, key=lambda call: (call.starts, call.id))
    )


def _meets(one: IssuedCall, other: IssuedCall) -> bool:
    """Whether two calls share a day of a stage."""
    is_near = one.starts.date() <= other.ends.date() and other.starts.date() <= one.ends.date()
    return one.stage == other.stage and is_near
