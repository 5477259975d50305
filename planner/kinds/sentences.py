"""Names and scales in the sentence of a finding.

Takes ids and limits, gives words. Knows nothing of findings, widths or pages.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.model.ratio import in_ratio_within

if TYPE_CHECKING:
    from collections.abc import Sequence

LISTED_AT_MOST = 4


def listed(names: Sequence[str]) -> str:
    """Names in a sentence; the first few and a count where there are many."""
    if len(names) <= LISTED_AT_MOST:
        return ", ".join(names)
    return f"{', '.join(names[:LISTED_AT_MOST])} and {len(names) - LISTED_AT_MOST} more"


def built_larger(limit: float, otherwise: str, *, is_built: bool = True) -> str:
    """A remedy: build at a limit of scale or larger, or something else.

    Args:
        limit: largest N of 1:N that will do, dimensionless. It is written with three figures, the
            last of them rounded down, so that what is built as told does. Below 1 nothing is built
            so large, and only the rest is told.
        otherwise: what else would do.
        is_built: whether there is a build to make larger; flame, say, is only photographed at the
            scale of what it is joined to.
    """
    if not 1 <= limit < math.inf:
        return otherwise
    how = "build" if is_built else "photograph it, and what it is joined to,"
    return f"{how} at {in_ratio_within(limit, at_least=False)} or larger, or {otherwise}"
