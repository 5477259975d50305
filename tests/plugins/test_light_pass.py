from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.kinds.testing import check_kind
from planner.model.place import Severity
from planner_plugins.light_pass import LightPass

if TYPE_CHECKING:
    from planner.kinds import Estimate

PASS = {"pass_of": "S010.town", "room_black": True, "rig_lamp_off": True}


@pytest.fixture
def estimate(make, quantity):
    def of(facts=None, **surroundings):
        every = {**PASS, "sort": "practicals", "exposure": quantity(2.0, "s"), **(facts or {})}
        given = {name: value for name, value in every.items() if value is not None}
        surroundings.setdefault(
            "elements", {"S010.town": ("miniature", {"scale": quantity(24.0, "1:N")})}
        )
        camera = {"format": "full-aperture-35", "focal_length": quantity(35.0, "mm")}
        return LightPass().estimate(make("light_pass", given, shot_camera=camera, **surroundings))

    return of


def codes(estimate: Estimate) -> list[str]:
    return [each.code for each in estimate.problems]


def test_exposure_makes_the_rate_and_groups_make_the_passes(estimate) -> None:
    result = estimate({"groups": 3, "takes": 2})
    # Half the frame's time open: .5 / 2 s = .25 fps. 116 frames and 40 of run take 624 s.
    assert result.quantities["rate"].value == pytest.approx(0.25)
    assert result.quantities["pass time"].value == pytest.approx(624)
    assert result.quantities["passes"].value == 3
    # Two takes of three passes and one reset of 300 s.
    assert result.quantities["running time"].value == pytest.approx((6 * 624 + 300) / 3600)
    # 156 / 16 ft a pass.
    assert result.quantities["film exposed"].value == pytest.approx(6 * 9.75)
    assert codes(result) == []


def test_each_sort_takes_its_own_hours(estimate, quantity) -> None:
    result = estimate({"groups": 3, "wedge": (quantity(1.0, "s"), quantity(2.0, "s"))})
    # 2 h, two more groups of half an hour, two exposures of 0.2 h.
    assert result.work[0].hours.likely == pytest.approx(3.4)
    assert estimate({"sort": "fluorescent"}).work[0].hours.likely == pytest.approx(3)


def test_it_shares_the_scale_of_the_element_it_is_a_pass_of(estimate) -> None:
    assert estimate().quantities["scale"].value == 24


def test_it_is_exposed_on_the_set_of_the_element_it_is_a_pass_of(estimate, quantity) -> None:
    town = {"scale": quantity(24.0, "1:N"), "build": "town"}
    elements = {"S010.town": ("miniature", town), "town": ("build", {"makes": "miniature"})}
    (first, *_others) = estimate(elements=elements).work
    assert [need.options for need in first.needs if need.sort == "build"] == [("town",)]
    assert first.set_up.startswith("town 1/24")


def test_a_room_that_is_not_black_is_exposed_into_the_pass(estimate, finding) -> None:
    told = finding(estimate({"sort": "glow", "room_black": False}), "room-not-black")
    assert "2 s a frame" in told.message
    assert "room-not-black" not in codes(estimate({"sort": "interactive", "room_black": False}))


def test_a_rig_lamp_left_on_is_told(estimate, finding) -> None:
    told = finding(estimate({"rig_lamp_off": False}), "rig-lamp-left-on")
    assert told.severity is Severity.WARNING


def test_a_light_cue_may_be_two_frames_off_and_no_more(estimate, finding) -> None:
    cued = {"sort": "interactive", "lit_with": "S010.town", "cue": 40}
    assert "light-cue-off" not in codes(estimate({**cued, "arrival": 42}))
    told = finding(estimate({**cued, "arrival": 43}), "light-cue-off")
    assert "3 frames late" in told.message
    assert "3 frames earlier" in told.remedy
    early = finding(estimate({**cued, "arrival": 35}), "light-cue-off")
    assert "5 frames early" in early.message


def test_a_cue_outside_the_cut_is_told(estimate, finding) -> None:
    facts = {"sort": "interactive", "lit_with": "S010.town", "cue": 140, "arrival": 140}
    assert "140" in finding(estimate(facts), "cue-outside-cut").message


def test_light_from_nothing_is_told(estimate, finding) -> None:
    told = finding(estimate({"sort": "interactive"}), "interactive-without-source")
    assert "lit_with" in told.remedy


def test_fluorescence_is_exposed_by_test(estimate, finding) -> None:
    result = estimate({"sort": "fluorescent", "exposure": None})
    assert "1, 2, 4, 8, 16 s" in finding(result, "exposure-not-tested").remedy
    assert "exposure" in [each.name for each in result.missing]


def test_the_lamps_load_is_summed_and_left_to_the_electrician(estimate, finding, quantity) -> None:
    result = estimate({"lamps": 40, "watts": quantity(60.0, "W")})
    assert result.quantities["load of the lamps"].value == 2400
    assert "2,400 W" in finding(result, "lamps-not-in-hazards").message


def test_nothing_stated_still_gives_a_whole_estimate(make) -> None:
    check_kind(
        LightPass(),
        [
            make("light_pass", {"sort": "glow"}, cut=None),
            make("light_pass", {"sort": "glow", "exposure": 0, "rate": 0, "groups": 0}),
        ],
    )
