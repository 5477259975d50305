"""What a report tells beside the plan: chances of dates, where things stand, what changed.

Takes nothing, gives `Followed`; any of it may not be there, and is then not told.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date, datetime

    from planner.bid.compare import Comparison
    from planner.order.changes import Changes
    from planner.order.risk import Risk
    from planner.status import Standing
    from planner.status.blocking import Blocking
    from planner.status.mending import Stale


@dataclass(frozen=True, slots=True)
class Stands:
    """Where everything stands by what was posted.

    Attributes:
        events: how many were posted.
        last: when the last of them happened.
        standing: of every piece.
        blocking: what holds up each composite, and the roots.
        stale: what was made and no longer stands, worst first.
        unknown: ids of what was made against facts that nobody kept.
    """

    events: int
    last: datetime
    standing: Standing
    blocking: Blocking
    stale: tuple[Stale, ...]
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Followed:
    """What may be told beside a plan.

    Attributes:
        risk: chances of the order's dates; None where there is no order.
        stands: None where nothing was posted.
        changes: since the last issued order; None where none was issued.
        compared: the last issued bid with the one of this plan; None where none was issued.
        day: as of which all of it is told; None where nobody says.
    """

    risk: Risk | None = None
    stands: Stands | None = None
    changes: Changes | None = None
    compared: Comparison | None = None
    day: date | None = None


NOTHING_MORE = Followed()
