from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pytest

from planner.kinds import Estimate
from planner.kinds.testing import check_kind
from planner_plugins.projected_people import ProjectedPeople

if TYPE_CHECKING:
    from planner.model.place import Problem

PEOPLE = {"into": "S010.town", "people_plate": "S010.crowd", "in_step": True}


@pytest.fixture
def estimate(make, quantity):
    def mm(value: float):
        return quantity(value, "mm")

    def of(facts=None, **surroundings):
        planned = {
            "distance": mm(40_000.0),
            "window": {"width": mm(1200.0), "height": mm(1600.0), "sill": mm(6000.0)},
            "card": {"width": mm(80.0), "height": mm(90.0), "behind": mm(50.0)},
            "camera_height": mm(2500.0),
            "filmed_angle": quantity(5.0, "deg"),
            "rate": quantity(1.0, "fps"),
            "projector_light": quantity(60.0, "lx"),
            "stop": quantity(4.0, "f"),
            "windows": 11,
        }
        every = {**PEOPLE, **planned, **(facts or {})}
        every = {name: value for name, value in every.items() if value is not None}
        surroundings.setdefault(
            "elements",
            {
                "S010.town": ("miniature", {"scale": quantity(24.0, "1:N")}),
                "S010.crowd": ("plate", {}),
            },
        )
        camera = {
            "format": "full-aperture-35",
            "focal_length": mm(35.0),
            "exposure_index": 200,
        }
        return ProjectedPeople().estimate(
            make("projected_people", every, shot_camera=camera, **surroundings)
        )

    return of


def codes(estimate: Estimate) -> list[str]:
    return [each.code for each in estimate.problems]


def test_figures_shrink_with_the_model_and_on_the_screen(estimate) -> None:
    found = estimate().quantities
    assert found["figure on the model"].value == pytest.approx(1750 / 24)
    # The field at 40 m is 24.892 x (40000 - 35) / 35 = 28 423 mm over 2048 px.
    assert found["figure on screen"].value == pytest.approx(1750 * 2048 / 28_423, abs=0.1)


def test_well_planned_people_give_nothing_away(estimate) -> None:
    assert codes(estimate()) == []


def test_people_filmed_from_another_height_are_told(estimate, finding, quantity) -> None:
    told: Problem = finding(
        estimate({"filmed_angle": quantity(-10.0, "deg")}), "people-from-another-height"
    )
    # arctan(3.5 / 40) = 5 deg up: the people were seen from 10 deg above.
    assert "from 5 deg below" in told.message
    assert "15 deg apart" in told.message
    # At 3 m: 3 x 3.5 / 40 = 0.26 m.
    assert "0.26 m below" in told.remedy


def test_the_card_must_reach_past_the_opening(estimate, finding, quantity) -> None:
    result = estimate({"travel": quantity(24_000.0, "mm")})
    # Lens to opening 1667 mm: 50 x 1717 / 1667 = 51.5 mm, and 1 m of travel x 50 / 1667 = 30 mm.
    assert result.quantities["card width needed"].value == pytest.approx(81.5)
    told = finding(result, "card-edge-seen")
    assert "81 mm of width" in told.message or "82 mm of width" in told.message
    assert "90 mm" in told.remedy


def test_a_projector_that_runs_by_itself_drifts(estimate, finding, quantity) -> None:
    result = estimate({"in_step": False, "projector_rate": quantity(1.05, "fps")})
    # 5 % of 116 frames.
    assert result.quantities["drift of the people"].value == pytest.approx(5.8)
    assert "5.8 frames" in finding(result, "projector-out-of-step").message


def test_too_few_frames_of_people_are_told(estimate, finding) -> None:
    told = finding(estimate({"frames_filmed": 96}), "people-run-out")
    assert "20 short" in told.message  # 116 wanted


def test_the_light_on_the_card_follows_stop_stock_and_rate(estimate, finding, quantity) -> None:
    found = estimate().quantities
    # f/4 is T4.4 where the lens says nothing: 25 x 19.36 / (200 x .5 s) = 4.84 fc = 52.10 lx.
    assert found["light needed on the card"].value == pytest.approx(52.10, abs=0.01)
    stated = estimate({"stop": quantity(4.0, "T")}).quantities
    # 25 x 16 / 100 = 4 fc = 43.06 lx.
    assert stated["light needed on the card"].value == pytest.approx(43.06, abs=0.01)
    dim = estimate({"projector_light": quantity(52.0973 / 4, "lx")})
    told = finding(dim, "projector-too-weak")
    assert "2.0 stops short" in told.message
    assert "0.25 fps" in told.remedy


def test_stray_light_washes_the_people_out(estimate, finding, quantity) -> None:
    told = finding(estimate({"stray_light": quantity(7.5, "lx")}), "projection-washed-out")
    assert "3.0 stops" in told.message  # 60 / 7.5 = 8
    assert "1.9 lx" in told.remedy  # 60 / 32


def test_lining_up_takes_hours_by_the_opening(estimate) -> None:
    result = estimate()
    # 5 h, 1 h for the print and 11 x 0.5 h.
    assert result.work[0].hours.likely == pytest.approx(11.5)
    assert [each.craft for each in result.work] == ["stage", "camera", "camera", "stage"]
    strip = next(each for each in result.charges if each.name == "print of the people")
    assert strip.quantity.value == pytest.approx(116 / 16)


def test_the_plate_of_the_people_says_how_many_frames_there_are(estimate, finding, quantity):
    crowd = Estimate("S010.crowd", quantities={"frames": quantity(100.0)})
    told = finding(estimate(upstream={"S010.crowd": crowd}), "people-run-out")
    assert "100 of people" in told.message


def test_they_are_exposed_at_the_stop_of_the_model(estimate, quantity) -> None:
    town = Estimate("S010.town", quantities={"stop": quantity(16.0, "f")})
    found = estimate({"stop": None}, upstream={"S010.town": town}).quantities
    assert found["stop"].value == 16
    # Four stops from f/4: 16 times 52.10 lx.
    assert found["light needed on the card"].value == pytest.approx(16 * 52.10, abs=0.1)


def test_nothing_stated_still_gives_a_whole_estimate(make) -> None:
    zeros = {
        "distance": 0,
        "rate": 0,
        "projector_light": 0,
        "stray_light": 0,
        "card": {"behind": 0},
    }
    check_kind(
        ProjectedPeople(),
        [make("projected_people", {}, cut=None), make("projected_people", zeros)],
    )
    assert math.isfinite(
        ProjectedPeople().estimate(make("projected_people", zeros)).quantities["rate"].value
    )
