"""Counting units in use, quarter by quarter, against counting in a plain list."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from planner.schedule.counts import add, at_least, blank_planes, take_off

USES = st.lists(st.tuples(st.integers(1, 5), st.integers(0, 40), st.integers(1, 20)), max_size=6)


@given(USES, st.integers(1, 30), st.integers(0, 5))
def test_counts_agree_with_a_list(
    uses: list[tuple[int, int, int]], number: int, dropped: int
) -> None:
    planes, plain = blank_planes(31), [0] * 60
    for units, start, length in uses:
        add(planes, units, start, start + length)
        for quarter in range(start, start + length):
            plain[quarter] += units
    for units, start, length in uses[:dropped]:
        take_off(planes, units, ((1 << length) - 1) << start)
        for quarter in range(start, start + length):
            plain[quarter] -= units
    expected = sum(1 << quarter for quarter, count in enumerate(plain) if count >= number)
    assert at_least(planes, number) == expected
    assert at_least(planes, number, dropped) == expected >> dropped
