"""How many units are in use in each quarter, as whole numbers with a bit for each quarter.

Takes counts and stretches, gives counts. Knows nothing of resources. A count is written in binary,
one whole number ("plane") for each binary digit, lowest first, so that adding to every quarter of a
stretch costs a few operations on whole numbers however many units there are.
"""

from __future__ import annotations


def blank_planes(most: int) -> list[int]:
    """Counts of zero that can go up to `most`."""
    return [0] * most.bit_length()


def add(planes: list[int], units: int, start: int, end: int) -> None:
    """Count `units` more from quarter `start` to before `end`; other quarters are not looked at."""
    window, carry = (1 << (end - start)) - 1, 0
    for k, plane in enumerate(planes):
        more = window if units >> k & 1 else 0
        if more == carry == 0:
            continue
        there = plane >> start & window
        if more ^ carry:
            planes[k] = plane ^ (more ^ carry) << start
        carry = there & more | carry & (there | more)


def take_off(planes: list[int], units: int, window: int) -> None:
    """Count `units` fewer in the quarters of `window`, where there are as many."""
    borrow = 0
    for k, plane in enumerate(planes):
        less = window if units >> k & 1 else 0
        planes[k] = plane ^ less ^ borrow
        borrow = ~plane & (less | borrow) | less & borrow


def at_least(planes: list[int], number: int, base: int = 0) -> int:
    """Quarters from `base` on in which `number` or more are counted, `number` at least 1."""
    more, equal = 0, -1
    for k in range(len(planes) - 1, -1, -1):
        plane = planes[k] >> base
        if number >> k & 1:
            equal &= plane
        else:
            more |= equal & plane
            equal &= ~plane
    return more | equal
