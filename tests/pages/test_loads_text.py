"""Load of crafts on a page."""

from __future__ import annotations

from datetime import date

from planner.model.quantity import Quantity
from planner.order.loads import CraftWeek
from planner.pages.loads_text import loads_text


def week(craft: str, day: int, hours: float, there_are: float) -> CraftWeek:
    return CraftWeek(craft, date(2027, 3, day), Quantity("hours", hours, "h"), there_are)


def test_each_craft_has_its_weeks_and_idle_ones_stand_together() -> None:
    # 100 of 200 h is half of thirty columns.
    text = loads_text(
        [
            week("model_making", 1, 100, 200),
            week("model_making", 8, 0, 200),
            week("model_making", 15, 0, 200),
            week("stage", 1, 12, 0),
        ]
    )
    assert text == (
        "model making: 100 h of hands, crews of 200 h a week\n"
        "  2027-03-01     100 h of    200 h  ###############\n"
        "  2027-03-08  idle for 2 weeks\n"
        "stage: 12 h of hands, no crew listed\n"
        "  2027-03-01      12 h\n"
    )


def test_a_show_without_calls_says_so() -> None:
    assert loads_text([]) == "Nothing is called for.\n"


def test_no_line_is_wider_than_the_page() -> None:
    text = loads_text([week("puppet_making", 1, 123_456, 120_000)])
    assert max(map(len, text.splitlines())) <= 80
