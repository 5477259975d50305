"""Rates agreed long before the work they price."""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING

from planner.bid.old_rates import old_rate_problems
from planner.kinds import Hours, Phase, Registry, Work
from planner.model.quantity import Quantity
from planner.order.stage_order import Call, StageOrder
from planner.text.show_folder import load_show

if TYPE_CHECKING:
    from planner.model.place import Problem
    from tests.conftest import ShowFolder


def told(show: ShowFolder, day: datetime, rates_on: date | None = None) -> list[Problem]:
    loaded, _problems = load_show(show.path, Registry())
    assert loaded is not None
    reason = Quantity("hours", 1, "h")
    work = Work("make", "model_making", Phase.BUILD, Hours(1, 1, 1), reason)
    call = Call("hill_town", work, day, day, 1.0, (), "")
    order = StageOrder((call,), {}, {}, {}, 0.0, False, "by hand", ())
    return list(old_rate_problems(loaded, order, rates_on))


def test_a_rate_of_nineteen_months_ago_is_old(show: ShowFolder) -> None:
    # Modellers' last rate is of June 2027; January 2029 is 19 months later, December 2028 is 18.
    (old,) = told(show, datetime(2029, 1, 8, 8))
    assert old.code == "rate-old"
    assert "a rate of 2027-06-01, 19 months before" in old.message
    assert told(show, datetime(2028, 12, 4, 8)) == []


def test_rates_read_on_one_day_are_old_on_purpose(show: ShowFolder) -> None:
    assert told(show, datetime(2029, 1, 8, 8), date(2027, 6, 1)) == []


def test_a_show_that_escalates_has_allowed_for_it(show: ShowFolder) -> None:
    show.write(
        "show.yaml",
        (show.path / "show.yaml").read_text(encoding="utf-8") + "escalation: {share: 4 %}\n",
    )
    assert told(show, datetime(2029, 1, 8, 8)) == []
