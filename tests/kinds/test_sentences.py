"""What a finding says can be done does what it says."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.kinds.sentences import built_larger


def test_a_limit_is_rounded_to_the_side_that_will_do() -> None:
    # 3.118 would be 3.12 to the nearest, which is smaller than 1:3.118 and so will not do.
    assert built_larger(3.118, "move it") == "build at 1:3.11 or larger, or move it"


def test_a_limit_of_three_figures_is_written_as_it_is() -> None:
    assert built_larger(5.93, "move it") == "build at 1:5.93 or larger, or move it"
    assert built_larger(109, "move it") == "build at 1:109 or larger, or move it"


@pytest.mark.parametrize("limit", [0.554, 0.0, -1.0, math.inf])
def test_nothing_is_to_be_built_larger_than_full_size(limit: float) -> None:
    assert built_larger(limit, "move it") == "move it"


@given(st.floats(1, 1e6))
def test_what_is_built_as_told_is_within_the_limit(limit: float) -> None:
    told = re.match(r"build at 1:(\S+) or larger", built_larger(limit, "move it"))
    assert told is not None
    built = float(told[1])
    # Within a step of the third figure, which is at most a hundredth of it.
    assert limit * 0.99 < built <= limit * (1 + 1e-9)
