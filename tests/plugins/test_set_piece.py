from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from planner.kinds.testing import check_kind
from planner.model.facts import Money
from planner.model.place import Severity
from planner_plugins.set_piece import SetPiece

if TYPE_CHECKING:
    from planner.kinds import Estimate


@pytest.fixture
def street(quantity):
    """A street true to 3 m, reading as 15 m deep and built 6 m deep, for a lens 1.5 m up."""
    return {
        "sort": "forced_perspective",
        "true_depth": quantity(3000.0, "mm"),
        "apparent_far": quantity(15000.0, "mm"),
        "built_far": quantity(6000.0, "mm"),
        "drawn_for": quantity(1500.0, "mm"),
        "camera_height": quantity(1500.0, "mm"),
    }


@pytest.fixture
def estimate(make, quantity):
    def of(facts, **surroundings):
        camera = {"format": "full-aperture-35", "focal_length": quantity(35.0, "mm")}
        surroundings.setdefault("shot_camera", camera)
        return SetPiece().estimate(make("set_piece", facts, **surroundings))

    return of


def codes(estimate: Estimate) -> list[str]:
    return [each.code for each in estimate.problems]


def test_a_taper_keeps_straight_lines_straight(estimate, street, quantity) -> None:
    pieces = (
        {"name": "door", "apparent": quantity(6000.0, "mm"), "height": quantity(2000.0, "mm")},
    )
    found = estimate({**street, "pieces": pieces}).quantities
    # alpha = (1/6 - 1/3) / (1/15 - 1/3) = .625, beta = .375 / 3 = 1/8: vanishing at 8 m.
    assert found["vanishing depth"].value == pytest.approx(8000)
    # 6 m reads at 1 / (.625 / 6 + 1/8) = 4.364 m, so the door is .727 of its height.
    assert found["door: depth to build it at"].value == pytest.approx(4363.6, abs=0.1)
    assert found["door: height to build"].value == pytest.approx(1454.5, abs=0.1)
    # The far end is 6 / 15 = .4 of its size and the floor rises 1.5 x .6 = .9 m.
    assert found["size at the far end"].value == pytest.approx(0.4)
    assert found["rise of the floor at the far end"].value == pytest.approx(900)


def test_a_taper_allows_a_move_of_millimetres(estimate, street, finding, quantity) -> None:
    result = estimate({**street, "travel": quantity(50.0, "mm")})
    # 2880 px x (1/6 - 1/15) = 288 px a metre: 2 px allow 6.9 mm, and 50 mm slide 14.4 px.
    assert result.quantities["move the taper allows"].value == pytest.approx(6.95, abs=0.01)
    told = finding(result, "move-past-taper")
    assert "14.4 px" in told.message
    assert "7 mm" in told.remedy


def test_another_lens_height_than_drawn_for_is_told(estimate, street, finding, quantity) -> None:
    told = finding(
        estimate({**street, "camera_height": quantity(1600.0, "mm")}), "lens-height-not-drawn-for"
    )
    assert "28.8 px out" in told.message  # 288 px a metre x .1 m
    assert "lens-height-not-drawn-for" not in codes(estimate(street))


def test_people_deep_in_the_taper_look_too_large(estimate, street, finding, quantity) -> None:
    told = finding(estimate({**street, "people_to": quantity(6000.0, "mm")}), "people-cross-taper")
    # Built .727 of size there, so a person is 1 / .727 = 1.375 times too large.
    assert "38 % too large" in told.message
    within = estimate({**street, "people_to": quantity(3000.0, "mm")})
    assert "people-cross-taper" not in codes(within)


def test_level_lines_through_a_taper_are_told(estimate, street, finding) -> None:
    told = finding(estimate({**street, "level_lines": True}), "level-lines-cross-taper")
    assert told.severity is Severity.WARNING


def test_a_taper_built_deeper_than_it_reads_is_told_not_raised(estimate, street, finding, quantity):
    deep = estimate({**street, "built_far": quantity(20000.0, "mm")})
    assert finding(deep, "taper-impossible").severity is Severity.ERROR


def test_shapes_only_are_neither_lit_nor_dressed(estimate) -> None:
    result = estimate({"sort": "shapes_only", "lit": True, "dressed": True})
    assert codes(result) == ["shapes-only-lit", "shapes-only-dressed"]
    assert codes(estimate({"sort": "shapes_only"})) == []


def test_fixtures_stand_at_scale(estimate, quantity) -> None:
    fixture = {
        "name": "ledge",
        "plane_of": "the belfry sill",
        "distance": quantity(9000.0, "mm"),
        "height": quantity(1200.0, "mm"),
        "measured": True,
    }
    result = estimate({"sort": "full_size", "fixtures": (fixture,), "scale": quantity(3.0, "1:N")})
    assert result.quantities["ledge: distance on the stage"].value == pytest.approx(3000)
    assert result.quantities["ledge: height on the stage"].value == pytest.approx(400)
    # 4 h to set up, 1 h for the fixture.
    assert result.work[0].hours.likely == pytest.approx(5)
    assert codes(result) == []


def test_fixtures_of_nothing_unmeasured_or_in_the_light_are_told(estimate) -> None:
    result = estimate(
        {"sort": "full_size", "fixtures": ({"name": "ledge", "shades_screen": True},)}
    )
    assert codes(result) == [
        "fixture-of-nothing",
        "fixture-not-measured",
        "fixture-shades-screen",
    ]


def test_a_photographed_shadow_of_what_is_left_out_is_told(estimate, finding) -> None:
    facts = {"sort": "full_size", "left_out": {"what": "the back wall", "by": "the designer"}}
    shadow = {"S010.shade": ("shadow", {"falls_on": "S010.it", "sort": "photographed"})}
    told = finding(estimate(facts, elements=shadow), "shadow-of-what-is-not-there")
    assert "S010.shade" in told.message
    drawn = {"S010.shade": ("shadow", {"falls_on": "S010.it", "sort": "drawn"})}
    assert codes(estimate(facts, elements=drawn)) == []


def test_what_is_left_out_saves_its_cost_and_names_who_decided(estimate, finding) -> None:
    saves = Money(Decimal(900), "GBP")
    result = estimate({"sort": "full_size", "left_out": {"what": "the back wall", "saves": saves}})
    assert result.quantities["saved by leaving it out"].value == 900
    assert "the back wall was left out" in finding(result, "left-out-by-nobody").message


def test_a_set_piece_is_set_up_and_photographed(estimate, street) -> None:
    result = estimate(street)
    assert next((each.craft, each.hours.likely) for each in result.work) == ("stage", 9)  # 7 + 2
    # 116 frames and 4 s x 24 rolled: 212 / 16 ft, three takes.
    assert result.quantities["film exposed"].value == pytest.approx(39.75)


def test_nothing_stated_still_gives_a_whole_estimate(make) -> None:
    nothing = {"true_depth": 0, "apparent_far": 0, "built_far": 0, "rate": 0}
    check_kind(
        SetPiece(),
        [
            make("set_piece", {"sort": "forced_perspective"}, cut=None),
            make("set_piece", {"sort": "forced_perspective", **nothing}),
            make("set_piece", {"sort": "full_size", "build": "wall"}, builds={"wall": {}}),
        ],
    )
