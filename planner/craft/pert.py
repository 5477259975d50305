"""Figures that are not certain, drawn: the PERT beta over low, likely and high.

Takes three-point figures and standard normal scores, gives a figure for each score. Knows nothing
of what the figures are of: durations and costs are drawn alike.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from planner.craft.planning import ThreePoint

    Numbers = NDArray[np.float64]

CORRELATION = 0.5
"""How far figures of one craft err together; common practice, no source."""
_SHAPES = 41
_STEPS = 241
_REACH = 4.0
_EACH = (_STEPS - 1) / (2 * _REACH)


def drawn(part: ThreePoint, normals: Numbers) -> Numbers:
    """Figures of a part at standard normal scores: the PERT beta with the same rank.

    The beta has shapes ``1 + 4 (likely - low) / range`` and ``1 + 4 (high - likely) / range``, and
    so the mean ``(low + 4 likely + high) / 6``.

    Args:
        part: low, likely and high figure, in one unit.
        normals: standard normal scores, dimensionless.

    Source:
        The beta of PERT, Operations Research 7(5), 1959 (from memory); these shapes are common
        practice.
    """
    import numpy as np

    span = part.high - part.low
    place = (part.likely - part.low) / span * (_SHAPES - 1)
    below = min(int(place), _SHAPES - 2)
    table = _table()
    row = table[below] + (table[below + 1] - table[below]) * (place - below)
    # The scores of the table stand evenly, so where each falls is worked out and not searched for.
    at = np.clip((normals + _REACH) * _EACH, 0, _STEPS - 1)
    step = np.minimum(at.astype(np.intp), _STEPS - 2)
    at -= step
    at *= np.diff(row)[step]
    at += row[step]
    return np.asarray(part.low + span * at)


@cache
def _table() -> Numbers:
    """Shares of the range by place of the likely figure and normal score."""
    import numpy as np
    from scipy.special import betaincinv, ndtr  # type: ignore[import-untyped, unused-ignore]

    places = np.linspace(0, 1, _SHAPES)[:, None]
    ranks = ndtr(np.linspace(-_REACH, _REACH, _STEPS))[None, :]
    return np.asarray(betaincinv(1 + 4 * places, 5 - 4 * places, ranks))
