"""What arithmetic demands of its numbers.

Takes named numbers, raises a sentence about the first that will not do. Knows nothing of meanings.
"""

from __future__ import annotations

import math

MOST_SINGLY = 1_000_000


def above_zero(**numbers: float) -> None:
    """Demand that each number is finite and above zero.

    Raises:
        ValueError: one is not; the sentence names it by its keyword.

    Source:
        None; it guards the other formulas, whatever the unit.
    """
    for name, number in numbers.items():
        if not 0 < number < math.inf:
            raise ValueError(f"{name.replace('_', ' ')} must be above zero, not {number:g}")


def not_negative(**numbers: float) -> None:
    """Demand that each number is finite and not below zero.

    Raises:
        ValueError: one is not; the sentence names it by its keyword.

    Source:
        None; it guards the other formulas, whatever the unit.
    """
    for name, number in numbers.items():
        if not 0 <= number < math.inf:
            raise ValueError(
                f"{name.replace('_', ' ')} cannot be {number:g}, below zero or endless"
            )


def worked_out_singly(**counts: int) -> None:
    """Demand that each count of things worked out one by one is no more than `MOST_SINGLY`.

    Raises:
        ValueError: one is more; the sentence names it by its keyword.

    Source:
        None; a slip of the pen is not to be worked out for hours.
    """
    for name, count in counts.items():
        if count > MOST_SINGLY:
            raise ValueError(
                f"{name.replace('_', ' ')} of {count:,} is more than the {MOST_SINGLY:,} that are"
                " worked out one by one"
            )


def scale_denominator(number: float) -> float:
    """Demand the N of a model built at 1:N, and give it back.

    Args:
        number: N of a 1:N model, dimensionless.

    Raises:
        ValueError: it is below 1 or not finite.

    Source:
        Definition of a scale 1:N, dimensionless, N at least 1.
    """
    if not 1 <= number < math.inf:
        raise ValueError(
            f"a model is built at 1:N with N at least 1, not {number:g}; "
            "1 is full size, 12 a twelfth"
        )
    return number
