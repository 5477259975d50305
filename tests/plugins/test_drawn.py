from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from planner.kinds import Context, Registry
from planner.kinds.testing import check_kind
from planner.model.facts import Money
from planner.model.place import Place
from planner.model.show import Rate
from planner.text.show_folder import load_show
from planner_plugins.drawn import Drawn

if TYPE_CHECKING:
    from planner.kinds import Estimate


@pytest.fixture
def estimate(make, quantity):
    def of(facts, per="", amount="30", **surroundings):
        camera = {"format": "full-aperture-35", "focal_length": quantity(35.0, "mm")}
        context = make("drawn", facts, shot_camera=camera, **surroundings)
        if per:
            dated = ((date(2026, 1, 1), Money(Decimal(amount), "GBP")),)
            rates = {
                craft: Rate(craft, per, dated, "", Place("rates.yaml", 1, 1))
                for craft in ("roto", "computer")
            }
            context = replace(context, show=replace(context.show, rates=rates))
        return Drawn().estimate(context)

    return of


def codes(estimate: Estimate) -> list[str]:
    return [each.code for each in estimate.problems]


def test_hand_drawn_frames_take_published_hours(estimate, quantity) -> None:
    result = estimate({"sort": "hand_drawn", "screen_height": quantity(200.0, "px")})
    (work,) = result.work
    # 250 h a minute of 1 440 frames is 0.174 h a frame (published): 8 + 100 x 0.174.
    assert work.hours.likely == pytest.approx(25.4)
    assert codes(result) == []


def test_drawing_on_twos_halves_the_drawings(estimate) -> None:
    result = estimate({"sort": "hand_animated", "on": 2})
    assert result.quantities["drawings and poses"].value == 50
    assert result.work[0].hours.likely == pytest.approx(16 + 50 * 0.2)
    # Each pose is exposed for both its frames: 100 / 16 ft.
    assert {each.name: each.quantity.value for each in result.charges} == {
        "negative": 6.25,
        "processing": 6.25,
    }


def test_a_hard_one_takes_twice_the_hours(estimate) -> None:
    plain = estimate({"sort": "hand_animated"}).work[0].hours.likely
    hard = estimate({"sort": "hand_animated", "difficulty": "hard"}).work[0].hours.likely
    assert hard == pytest.approx(2 * plain)


def test_a_large_drawing_shows_the_hand(estimate, finding, quantity) -> None:
    facts = {
        "sort": "hand_drawn",
        "height": quantity(2000.0, "mm"),
        "distance": quantity(10035.0, "mm"),
    }
    told = finding(estimate(facts), "hand-shows")
    # Field 24.892 x 10000 / 35 = 7112 mm over 2048 px: 2 m are 576 px, 1.9 times 300.
    assert "576 px" in told.message
    assert "1.9 times" in told.remedy
    assert "hand-shows" not in codes(estimate({**facts, "sort": "computer"}))


def test_sharp_poses_far_apart_strobe(estimate, finding, quantity) -> None:
    facts = {"sort": "hand_animated", "moves": quantity(12.0, "px")}
    assert "12 px" in finding(estimate(facts), "moves-without-blur").message
    assert "moves-without-blur" not in codes(estimate({**facts, "blur": "added"}))


def test_a_second_of_screen_time_has_its_cost(estimate, finding) -> None:
    dear = {"sort": "computer", "most_a_second": Money(Decimal(500), "GBP")}
    result = estimate(dear, per="hour")
    # 80 + 100 x .25 = 105 h for 100 frames: 25.2 h for 24 of them, at 30 GBP.
    assert result.quantities["hours a second of screen time"].value == pytest.approx(25.2)
    assert result.quantities["cost of a second of screen time"].value == pytest.approx(756)
    told = finding(result, "second-too-dear")
    assert "756.00 GBP" in told.message
    assert "66 %" in told.remedy  # 500 / 756


def test_a_sequence_may_say_what_a_second_of_it_costs_at_most(show) -> None:
    kinds = Registry()
    text = (show.path / "sequences/hill.yaml").read_text(encoding="utf-8")
    drawn = "      birds: {kind: drawn, sort: computer, frames: 1-24}\n"
    text = text.replace("title: On the hill", "title: On the hill\nmost_a_second: 100 GBP")
    text = text.replace("      final:", f"{drawn}      final:")
    show.write("sequences/hill.yaml", text)
    rates = (show.path / "rates.yaml").read_text(encoding="utf-8")
    rates += "  computer: {per: hour, amounts: [{from: 2027-01-01, is: 30 GBP}]}\n"
    show.write("rates.yaml", rates)
    loaded, problems = load_show(show.path, kinds)
    assert [str(each) for each in problems] == []
    found = Drawn().estimate(Context(loaded, loaded.elements["HL010.birds"], {}))
    # 80 + 24 x .25 = 86 h for one second, at 30 GBP: 2,580 GBP where 100 may be spent.
    (told,) = [each for each in found.problems if each.code == "second-too-dear"]
    assert "2,580.00 GBP" in told.message


def test_a_rate_by_the_day_is_shared_over_its_hours(estimate) -> None:
    result = estimate({"sort": "computer"}, per="day", amount="300")
    # Ten working hours a day.
    assert result.quantities["cost of a second of screen time"].value == pytest.approx(756)


def test_the_computer_works_on_unattended(estimate, quantity) -> None:
    facts = {"sort": "computer", "machine_hours": quantity(0.4, "h"), "machines": 4}
    (work,) = estimate(facts).work
    assert work.wait_hours == pytest.approx(10)  # 0.4 x 100 / 4
    assert work.craft == "computer"


def test_nothing_stated_still_gives_a_whole_estimate(make) -> None:
    zeros = {"sort": "hand_drawn", "on": 0, "height": 0, "distance": 0}
    check_kind(
        Drawn(),
        [
            make("drawn", {}, cut=None),
            make("drawn", zeros),
            make("drawn", {"sort": "computer", "machines": 0}),
        ],
    )
