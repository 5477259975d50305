"""Load of crafts by the week, counted by hand on dated calls.

The small show works Monday to Friday, ten hours from 08:00, from Monday 1 March 2027; its crews
are six stage hands and four modellers.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING

from planner.kinds import Hours, Phase, Registry, Work
from planner.model.place import Severity
from planner.model.quantity import Quantity
from planner.order.loads import craft_weeks, load_problems
from planner.order.stage_order import Call
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from planner.model.show import Show
    from tests.conftest import ShowFolder


def read(show: ShowFolder) -> Show:
    loaded, _problems = load_show(show.path, Registry())
    assert loaded is not None
    return loaded


def call(craft: str, hands: tuple[int, float], starts: datetime, ends: datetime) -> Call:
    """Work of so many heads for so many hours."""
    heads, hours = hands
    reason = Quantity("hours", 1, "h")
    work = Work("do", craft, Phase.BUILD, Hours(1, 1, 1), reason, heads=heads)
    return Call("hill_town", work, starts, ends, hours, (), "")


MODELLERS = call("model_making", (4, 100), datetime(2027, 3, 8, 8), datetime(2027, 3, 19, 18))
BEFORE = call("stage", (3, 20), datetime(2027, 3, 1, 8), datetime(2027, 3, 2, 18))
AFTER = call("stage", (3, 20), datetime(2027, 3, 22, 8), datetime(2027, 3, 23, 18))


def test_hands_are_counted_day_by_day_and_week_by_week(show: ShowFolder) -> None:
    # Thursday 4 March noon to Monday 8 March 10:00, two hands: 6 + 10 h and 2 h, twice.
    two = call("model_making", (2, 18), datetime(2027, 3, 4, 12), datetime(2027, 3, 8, 10))
    weeks = {(each.craft, each.monday): each for each in craft_weeks(read(show), [two])}
    first, second = (weeks["model_making", date(2027, 3, day)] for day in (1, 8))
    assert (first.hours.value, second.hours.value) == (32, 4)
    # Four hands, five days of ten hours.
    assert first.there_are == 200
    assert first.share == 0.16
    assert weeks["stage", date(2027, 3, 1)].hours.value == 0
    assert first.hours.reason


def test_hours_that_a_call_pauses_for_are_nobodys(show: ShowFolder) -> None:
    # Three days on the clock, 30 h, of which 12 h are worked: what it holds was away between.
    paused = call("model_making", (2, 12), datetime(2027, 3, 1, 8), datetime(2027, 3, 3, 18))
    (week,) = (e for e in craft_weeks(read(show), [paused]) if e.craft == "model_making")
    assert week.hours.value == 24


def test_a_craft_full_while_another_idles_is_told(show: ShowFolder) -> None:
    # Modellers: 4 x 50 h of 200 in both weeks; the stage crew has work before and after only.
    calls = [BEFORE, MODELLERS, AFTER]
    (told,) = load_problems(read(show), calls, {"HL010": 3.0})
    assert told.code == "craft-full-another-idle"
    assert told.severity is Severity.WARNING
    assert "100 % of its hands for 2 weeks from 2027-03-08, while stage has" in told.message
    assert told.message.endswith(", and 1 shot is late")
    (both,) = load_problems(read(show), calls, {"HL010": 3.0, "HL020": 1.0})
    assert both.message.endswith(", and 2 shots are late")
    (noted,) = load_problems(read(show), calls, {})
    assert noted.severity is Severity.NOTE


def test_a_craft_whose_work_has_not_begun_does_not_idle(show: ShowFolder) -> None:
    assert list(load_problems(read(show), [MODELLERS, AFTER], {})) == []


def test_a_craft_with_hands_to_spare_is_not_told(show: ShowFolder) -> None:
    three = call("model_making", (3, 100), datetime(2027, 3, 8, 8), datetime(2027, 3, 19, 18))
    assert list(load_problems(read(show), [BEFORE, three, AFTER], {})) == []


def test_no_calls_make_no_load(show: ShowFolder) -> None:
    assert craft_weeks(read(show), []) == ()
