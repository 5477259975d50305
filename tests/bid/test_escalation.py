from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from planner.bid.escalation import Escalation, share_behind


def test_nothing_grew_by_nothing() -> None:
    assert share_behind({}) == 0


@pytest.mark.parametrize("share", ["0.03", "0.04", "0.0375", "0.123456", "-0.02"])
@pytest.mark.parametrize("months", [(12,), (1, 4), (7, 30)])
def test_a_share_told_by_growth_grows_the_same(share: str, months: tuple[int, ...]) -> None:
    made = Escalation(Decimal(share), date(2027, 3, 1))
    growth = {each: made.growth(each) for each in months}
    found = Escalation(share_behind(growth), date(2027, 3, 1))
    assert {each: found.growth(each) for each in months} == growth


def test_of_shares_that_grow_alike_the_shortest_is_told() -> None:
    # 1.03^(1/12) = 1.002466 to six places, as is that of 2.99900 to 3.00030 per cent: 3 per cent.
    assert share_behind({1: Decimal("1.002466")}) == Decimal("0.03")
