"""The chance of a small show's dates, argued by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from planner.kinds import Hours
from planner.order.risk import Risk, Terms, risk_of
from tests.order.floor import Floor, floor_of
from tests.order.test_arrange import work

if TYPE_CHECKING:
    from planner.kinds import Work
    from tests.conftest import ShowFolder

TERMS = Terms(draws=4_000)


def ranged(made: Work, low: float, high: float) -> Work:
    return replace(made, hours=Hours(low, made.hours.likely, high))


def risk(floor: Floor, terms: Terms = TERMS) -> Risk:
    order = floor.arranged()
    assert order.question is not None
    assert order.answer is not None
    return risk_of(floor.show, floor.graph, (order.question, order.answer), terms)


def usual(low: float, high: float) -> dict[str, tuple[Work, ...]]:
    """A day of building, then ten likely hours of joining, between `low` and `high`."""
    return {
        "hill_town": (work("build it", 10, "model_making"),),
        "HL010.final": (ranged(work("join", 10, "compositing"), low, high),),
    }


def due_on(show: ShowFolder, day: str) -> None:
    show.replace("show.yaml", "date: 2027-12-01", f"date: {day}")


def test_certain_work_keeps_its_dates_for_certain(show: ShowFolder) -> None:
    due_on(show, "2027-03-02")
    found = risk(floor_of(show, usual(10, 10)))
    (reel,) = found.deliveries
    assert (reel.on_time, reel.as_ordered, found.uncertain) == (1.0, 1.0, 0)
    assert set(reel.kept.values()) == {date(2027, 3, 2)}
    assert reel.drivers == ()


def test_where_people_come_as_called_no_date_is_kept_before_the_day_it_stands_on(
    show: ShowFolder,
) -> None:
    # Monday and Tuesday build at most, or half a day at least; an hour joins on Wednesday morning.
    building = ranged(work("build it", 20, "model_making"), 5, 20)
    floor = floor_of(
        show, {"hill_town": (building,), "HL010.final": (work("join", 1, "compositing"),)}
    )
    (free,) = risk(floor).composites
    assert free.ordered.date() == date(2027, 3, 3)
    assert free.kept[0.5] < date(2027, 3, 3)
    (called,) = risk(floor, replace(TERMS, from_calls=True)).composites
    assert set(called.days) == {date(2027, 3, 3)}
    assert called.as_ordered == 1.0


def test_where_people_come_as_called_what_is_late_makes_late_what_follows(
    show: ShowFolder,
) -> None:
    # Ten to sixteen hours of joining from Tuesday on end on Tuesday or Wednesday, as without calls.
    floor = floor_of(show, usual(10, 16))
    assert risk(floor).composites == risk(floor, replace(TERMS, from_calls=True)).composites


def test_work_that_can_only_be_late_is_kept_as_seldom_as_it_says(show: ShowFolder) -> None:
    # Monday builds, Tuesday joins at ten hours likely and least, sixteen at most: never before the
    # evening of Tuesday, always within Wednesday.
    due_on(show, "2027-03-02")
    floor = floor_of(show, usual(10, 16))
    (reel,) = risk(floor).deliveries
    assert reel.ordered.date() == date(2027, 3, 2)
    assert reel.on_time == pytest.approx(0, abs=0.01)
    assert reel.kept[0.9] == date(2027, 3, 3)
    (driver,) = reel.drivers
    assert (driver.element, driver.work, driver.critical) == ("HL010.final", "join", 1.0)
    # The beta's mean is (10 + 40 + 16) / 6 = 11 hours: a tenth of a day of ten hours more.
    assert driver.adds_days == pytest.approx(0.1, abs=0.01)


def test_a_symmetric_range_keeps_its_likely_day_half_the_time(show: ShowFolder) -> None:
    due_on(show, "2027-03-02")
    (reel,) = risk(floor_of(show, usual(6, 14))).deliveries
    assert reel.on_time == pytest.approx(0.5, abs=0.03)
    assert reel.kept[0.8] == date(2027, 3, 3)


def test_two_composites_together_have_less_chance_than_either(show: ShowFolder) -> None:
    # Two shots of separate composites, each kept in half of the draws and drawn apart: a quarter.
    text = (show.path / "sequences/hill.yaml").read_text(encoding="utf-8")
    second = text[text.index("  HL010:") :].replace("HL010", "HL020")
    show.write("sequences/hill.yaml", text + second)
    due_on(show, "2027-03-02")
    works = usual(6, 14)
    works["HL020.final"] = works["HL010.final"]
    found = risk(floor_of(show, works), replace(TERMS, correlation=0.0))
    (reel,) = found.deliveries
    assert [each.on_time for each in found.composites] == pytest.approx([0.5, 0.5], abs=0.03)
    assert reel.on_time == pytest.approx(0.25, abs=0.03)
    assert reel.weakest is not None
    assert reel.weakest[1] == min(each.on_time or 0 for each in found.composites)
    together = risk(floor_of(show, works), replace(TERMS, correlation=1.0)).deliveries[0]
    assert together.on_time == pytest.approx(0.5, abs=0.03)  # of one craft, wholly together


def test_a_composite_with_nothing_of_its_own_ends_with_what_it_waits_for(show: ShowFolder) -> None:
    floor = floor_of(show, {"hill_town": (work("build it", 10, "model_making"),)})
    (final,) = risk(floor).composites
    assert final.id == "HL010.final"
    assert final.ordered.date() == date(2027, 3, 1)


def test_the_same_seed_gives_the_same_risk(show: ShowFolder) -> None:
    floor = floor_of(show, usual(6, 14))
    assert risk(floor) == risk(floor)
    assert risk(floor) != risk(floor, replace(TERMS, seed=1))


def test_the_whole_curve_runs_from_the_soonest_day_to_the_latest(show: ShowFolder) -> None:
    # Joining takes 6 to 14 hours, as likely under ten as over: half of the steps are on Tuesday.
    (reel,) = risk(floor_of(show, usual(6, 14))).deliveries
    assert len(reel.days) == 21
    assert list(reel.days) == sorted(reel.days)
    assert (reel.days[0], reel.days[8]) == (date(2027, 3, 2), date(2027, 3, 2))
    assert (reel.days[12], reel.days[20]) == (date(2027, 3, 3), date(2027, 3, 3))
