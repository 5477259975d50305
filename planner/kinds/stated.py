"""Hours of work as somebody stated them.

Takes the low, likely and high figure of a show's file, gives them in order, and a finding where
they were not. Knows nothing of rules of thumb.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds.estimate import Hours

if TYPE_CHECKING:
    from planner.kinds.worksheet import Worksheet
    from planner.model.facts import Facts

ALIKE = Hours(1.0, 1.0, 1.0)


def stated_hours(sheet: Worksheet, stated: Facts, at: str, spread: Hours = ALIKE) -> Hours | None:
    """Hours stated, from low to high; None where no likely figure is.

    Args:
        sheet: of the element; told where they do not rise.
        stated: the facts ``low``, ``likely`` and ``high``, in hours.
        at: the element's fact they stand under, where a finding points.
        spread: low and high beside likely, where only that is stated, dimensionless.
    """
    likely = stated.amount("likely", -1.0)
    if likely < 0:
        return None
    low = stated.amount("low", likely * spread.low / spread.likely)
    high = stated.amount("high", likely * spread.high / spread.likely)
    rising = sorted((low, likely, high))
    if [low, likely, high] != rising:
        sheet.error(
            "hours-out-of-order",
            f"hours of {low:g}, {likely:g} and {high:g} do not rise from low to high",
            f"write them as low: {rising[0]:g} h up to high: {rising[2]:g} h",
            at=at,
        )
    return Hours(max(rising[0], 0.0), rising[1], rising[2])
