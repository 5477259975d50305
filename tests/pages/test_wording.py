"""Measuring, folding and figures."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from planner.pages.wording import columns, figure, folded, inert


@given(st.text(max_size=300), st.integers(20, 120))
def test_folding_loses_nothing_but_spaces(text: str, width: int) -> None:
    lines = folded(text, "", width=width)
    assert "".join("".join(lines).split()) == "".join(inert(text).split())


def test_wide_characters_take_two_columns() -> None:
    assert columns("鷺") == 2
    assert columns("é") == 1
    assert columns("e\u0301") == 1
    # 10 columns hold five of them.
    assert folded("鷺" * 12, width=10) == ["鷺" * 5, "鷺" * 5, "鷺" * 2]


def test_sizes_are_said_in_the_unit_people_use() -> None:
    assert figure(3600, "mm") == "3.6 m"
    assert figure(28, "mm") == "28 mm"
    assert figure(1500, "mm/s") == "1.5 m/s"
    assert figure(24, "1:N") == "1:24"
    assert figure(5.6, "f") == "f/5.6"
    assert figure(4, "T") == "T4"
    assert figure(96, "fps") == "96 fps"
    assert figure(1080, "fps") == "1080 fps"
    assert figure(12, "1") == "12"
    assert figure(1, "days") == "1 day"
    assert figure(2.5, "days") == "2.5 days"
    assert figure(1, "stops") == "1 stop"
    assert figure(600, "s") == "10 min"
    assert figure(1234.5, "GBP") == "1,234.50 GBP"
    assert figure(1 / 3, "h") == "0.3333 h"
    assert figure(123456, "1") == "123,456"


def test_light_is_also_said_in_foot_candles_when_asked() -> None:
    # 1 fc = 10.7639 lx, so 10,763.9 lx are 1,000 fc.
    assert figure(10763.9, "lx", foot_candles=True) == "10,764 lx (1,000 fc)"
    assert figure(10763.9, "lx") == "10,764 lx"
