"""Laws of holding readings against one another."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.estimate.agreement.readings import Reading, apart, figures

VALUES = st.lists(st.floats(-1000, 1000), min_size=1, max_size=8)
ALLOWED = st.floats(0, 100)


def difference(one: Reading[float], other: Reading[float]) -> float:
    return abs(one.value - other.value)


def readings(values: list[float]) -> list[Reading[float]]:
    return [Reading(str(place), value) for place, value in enumerate(values)]


@given(value=st.floats(-1000, 1000), count=st.integers(1, 20), allowed=ALLOWED)
def test_pieces_that_say_the_same_always_agree(value: float, count: int, allowed: float) -> None:
    assert list(apart(readings([value] * count), difference, allowed)) == []


@given(values=VALUES, allowed=ALLOWED)
def test_every_stray_from_the_first_is_told_once(values: list[float], allowed: float) -> None:
    found = [each for each in apart(readings(values), difference, allowed) if each.one.who == "0"]
    strays = [str(n) for n, value in enumerate(values) if abs(value - values[0]) > allowed]
    assert [each.other.who for each in found] == strays


@given(values=VALUES, allowed=ALLOWED)
def test_nothing_is_told_only_where_no_two_differ_by_more(
    values: list[float], allowed: float
) -> None:
    found = list(apart(readings(values), difference, allowed))
    assert bool(found) == (max(values) - min(values) > allowed)


@given(values=VALUES, allowed=ALLOWED, more=st.floats(0, 100))
def test_allowing_more_tells_no_more_strays(
    values: list[float], allowed: float, more: float
) -> None:
    def strays(limit: float) -> set[str]:
        found = apart(readings(values), difference, limit)
        return {each.other.who for each in found if each.one.who == "0"}

    assert strays(allowed + more) <= strays(allowed)


def test_two_that_pass_beside_the_first_and_not_beside_one_another_are_told() -> None:
    (found,) = apart(readings([0.0, -8.0, 8.0, 1.0]), difference, 10)
    assert (found.one.value, found.other.value, found.by) == (-8, 8, 16)


def test_nothing_read_is_nothing_told() -> None:
    assert list(apart([], difference, 1)) == []


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (0, "0"),
        (27.28, "27.3"),
        (999.4, "999"),
        (999.7, "1,000"),
        (12345.6, "12,346"),
        (-4, "-4"),
        (2e-5, "0.0000"),
    ],
)
def test_numbers_are_said_in_three_figures_and_never_in_powers_of_ten(
    value: float, said: str
) -> None:
    assert figures(value) == said
