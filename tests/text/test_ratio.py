"""Scales as written: one way on every page, read back as they are, limits that serve as written."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.model.ratio import in_ratio, in_ratio_within
from planner.text.measures import read_scale


@pytest.mark.parametrize(
    ("n", "said"), [(24, "1:24"), (1, "1:1"), (0.5, "2:1"), (4 / 3, "1:1.33333"), (2400, "1:2400")]
)
def test_a_scale_is_written_as_the_trade_says_it(n: float, said: str) -> None:
    assert in_ratio(n) == said


@pytest.mark.parametrize(
    ("limit", "most", "least"),
    [
        # Between 3.11 and 3.12; as most N the smaller serves, as least N the larger.
        (3.117, "1:3.11", "1:3.12"),
        (25, "1:25", "1:25"),
        (1234, "1:1230", "1:1240"),
        # 1 / 0.3 is 3.333: "3.34:1 or larger" is N of 0.2994, within 0.3; 3.33:1 is N of 0.3003.
        (0.3, "3.34:1", "3.33:1"),
        (0, "1:0", "1:0"),
        (math.inf, "1:inf", "1:inf"),
    ],
)
def test_a_limit_is_rounded_to_where_it_serves(limit: float, most: str, least: str) -> None:
    assert in_ratio_within(limit, at_least=False) == most
    assert in_ratio_within(limit, at_least=True) == least


@given(st.floats(0.01, 5000))
def test_what_is_written_of_a_limit_is_within_it(limit: float) -> None:
    def read(said: str) -> float:
        ours, full = said.split(":")
        return float(full) / float(ours)

    # A step of the third figure is at most a hundredth.
    assert limit * 0.99 < read(in_ratio_within(limit, at_least=False)) <= limit * (1 + 1e-9)
    assert limit * (1 - 1e-9) <= read(in_ratio_within(limit, at_least=True)) < limit * 1.01


@pytest.mark.parametrize("n", [24, 1, 0.5, 0.25, 8.57, 2400])
def test_what_is_written_is_read_back(n: float) -> None:
    assert read_scale(in_ratio(n)) == n
