"""Scales as pages and findings write them.

Takes the N of a 1:N model, gives text that a show's files may hold as well. Knows nothing of builds
or of what limits a scale.
"""

from __future__ import annotations

import math


def in_ratio(scale_denominator: float, figures: int = 6) -> str:
    """A scale as the trade writes it: ``1:24``, or ``2:1`` for what is twice full size.

    Args:
        scale_denominator: N of a 1:N model, dimensionless.
        figures: most that are written of the larger side.
    """
    if 0 < scale_denominator < 1:
        return f"{_plain(1 / scale_denominator, figures)}:1"
    return f"1:{_plain(scale_denominator, figures)}"


def in_ratio_within(limit: float, *, at_least: bool) -> str:
    """A limit of scale in three figures, rounded to the side on which what is built serves.

    Args:
        limit: N of 1:N, dimensionless; 0 and less serve nothing.
        at_least: whether N is the least that will do, rather than the most.
    """
    if not 0 < limit < math.inf:  # nothing of any size would do, or any would
        return in_ratio(limit, 3)
    larger_side = 1 / limit if limit < 1 else limit
    step = 10.0 ** (math.floor(math.log10(larger_side)) - 2)
    # A quotient such as 8.57 / 0.01 may miss its whole number by a hair either way.
    is_up = at_least is (limit >= 1)
    steps = math.ceil(larger_side / step - 1e-9) if is_up else math.floor(larger_side / step + 1e-9)
    rounded = _plain(steps * step, 3)
    return f"{rounded}:1" if limit < 1 else f"1:{rounded}"


def _plain(value: float, figures: int) -> str:
    """So many figures, never in powers of ten."""
    return f"{value:.0f}" if value >= 10**figures - 0.5 else f"{value:.{figures}g}"
