"""How likely a sum is to be kept: sums of three-point costs, by moments and by draws.

Takes lines of a bid, gives means, deviations and limits kept with a chance. Knows nothing of loads
or dates. Costs of one craft err together by one factor they share: whoever is slow on one shot is
slow on the next.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.craft.pert import CORRELATION, drawn
from planner.craft.planning import ThreePoint, summed

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    import numpy as np
    from numpy.typing import NDArray

    from planner.bid.lines import BidLine

    Numbers = NDArray[np.float64]

DRAWS = 10_000
KEPT = (0.5, 0.8, 0.9)
_SINGLY = 240


@dataclass(frozen=True, slots=True)
class Chances:
    """What a sum of uncertain costs comes to, in the bid's currency.

    Attributes:
        mean: sum of the expected costs, ``(low + 4 likely + high) / 6`` each.
        apart: standard deviation of the sum were all lines independent.
        deviation: the same with those of one craft erring together, as drawn.
        kept: by chance (0.5, 0.8, 0.9), the sum that is not passed with it.
        draws: how many were drawn.
        correlation: between two lines of one craft.
        uncertain: how many lines have a range at all.
    """

    mean: float
    apart: float
    deviation: float
    kept: Mapping[float, float]
    draws: int
    correlation: float
    uncertain: int


def chances(
    lines: Iterable[BidLine],
    *,
    correlation: float = CORRELATION,
    draws: int = DRAWS,
    seed: int = 0,
) -> Chances:
    """Draw the sum of the lines many times.

    Args:
        lines: of a bid.
        correlation: 0 to 1, between any two lines of one craft.
        draws: how many.
        seed: the same seed, the same draws.
    """
    import numpy as np

    certain = 0.0
    by_craft: defaultdict[str, list[ThreePoint]] = defaultdict(list)
    for line in lines:
        each = line.figures
        if each.low == each.high:
            certain += float(each.likely)
        else:
            point = ThreePoint(float(each.low), float(each.likely), float(each.high))
            by_craft[line.craft].append(point)
    parts = [part for group in by_craft.values() for part in group]
    sums = certain + drawn_sums(tuple(by_craft.values()), correlation, draws, seed)
    apart = summed(parts)
    limits = np.quantile(sums, KEPT)
    return Chances(
        mean=certain + apart.mean,
        apart=apart.stdev,
        deviation=float(sums.std()),
        kept={chance: float(limit) for chance, limit in zip(KEPT, limits, strict=True)},
        draws=draws,
        correlation=correlation,
        uncertain=len(parts),
    )


def drawn_sums(
    groups: Sequence[Sequence[ThreePoint]], correlation: float, draws: int, seed: int
) -> Numbers:
    """Sums of all parts, one a draw.

    Every part is a PERT beta over its range. The widest are drawn one by one; the rest of a group,
    so many that their own errors even out, moves with the group's factor and one error of its own.

    Args:
        groups: parts that err together.
        correlation: 0 to 1, within a group; groups are independent.
        draws: how many.
        seed: of the draws.
    """
    import numpy as np

    random = np.random.default_rng(seed)
    total = np.zeros(draws)
    shared, own = math.sqrt(correlation), math.sqrt(1 - correlation)
    share = _SINGLY // max(len(groups), 1) + 1
    for group in groups:
        factor = random.standard_normal(draws)
        widest = sorted(group, key=lambda part: part.low - part.high)
        for part in widest[:share]:
            total += drawn(part, shared * factor + own * random.standard_normal(draws))
        rest = widest[share:]
        if rest:
            deviations = [_deviation(part) for part in rest]
            apart = math.sqrt(math.fsum(each * each for each in deviations))
            total += math.fsum(part.mean for part in rest)
            total += shared * math.fsum(deviations) * factor
            total += own * apart * random.standard_normal(draws)
    return total


def _deviation(part: ThreePoint) -> float:
    """Standard deviation of its PERT beta: ``sqrt((mean - low)(high - mean) / 7)``."""
    return math.sqrt((part.mean - part.low) * (part.high - part.mean) / 7)
