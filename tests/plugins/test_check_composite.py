from __future__ import annotations

from datetime import time
from typing import TYPE_CHECKING

import pytest

from planner.kinds.testing import check_kind
from planner_plugins.check_composite import CheckComposite

if TYPE_CHECKING:
    from planner.kinds import Estimate

CHECK = {
    "of": "S010.town",
    "against": "S010.street",
    "way": "monitor",
    "take": "take 3",
    "plate_take": "take 7",
    "program": "B",
}


@pytest.fixture
def estimate(make, quantity):
    def of(facts=None, town="take 3", plate="take 7", program="B", **surroundings):
        elements = {
            "S010.town": (
                "miniature",
                {"move_from": "S010.crane", "scale": quantity(24.0, "1:N"), "revision": town},
            ),
            "S010.crane": ("camera_move", {"revision": program}),
            "S010.street": ("plate", {"report": {"take": plate}}),
        }
        camera = {"format": "full-aperture-35", "focal_length": quantity(35.0, "mm")}
        every = {**CHECK, **(facts or {})}
        return CheckComposite().estimate(
            make("check_composite", every, elements=elements, shot_camera=camera, **surroundings)
        )

    return of


def codes(estimate: Estimate) -> list[str]:
    return [each.code for each in estimate.problems]


def test_a_check_on_a_monitor_holds_the_stage(estimate) -> None:
    stage = {"north_stage": {"sort": "stage"}}
    result = estimate({"stage": "north_stage"}, resources=stage)
    (work,) = result.work
    assert (work.craft, work.hours.likely) == ("camera", 0.5)
    assert work.needs[0].options == ("north_stage",)
    assert codes(result) == []


def test_a_check_on_film_waits_for_the_laboratory(estimate, finding) -> None:
    result = estimate({"way": "print"}, show_facts={"turnaround": {"lab": 10, "scan": 4}})
    # 10 h and 4 h of scanning.
    assert result.quantities["delay from take to check"].value == 840
    assert "14 working hours" in finding(result, "set-waits-for-laboratory").message


def test_a_check_against_a_superseded_plate_take_is_told(estimate, finding) -> None:
    told = finding(estimate(plate="take 9"), "check-against-old-plate")
    assert "take 7 of S010.street, which is take 9 now" in told.message


def test_a_check_of_a_take_no_longer_used_is_told(estimate) -> None:
    assert codes(estimate(town="take 5")) == ["check-against-old-element"]


def test_a_check_on_another_program_is_told(estimate, finding) -> None:
    assert (
        "B of S010.crane, which is C now"
        in finding(estimate(program="C"), "check-on-other-program").message
    )


def test_a_check_without_its_takes_cannot_be_trusted(estimate) -> None:
    result = estimate({"plate_take": "", "program": ""})
    assert {"plate_take", "program"} <= {each.name for each in result.missing}


def test_a_check_long_after_the_take_is_told(estimate, finding) -> None:
    told = finding(estimate({"taken_at": time(9, 40), "seen_at": time(11, 5)}), "check-too-late")
    assert "85 min" in told.message
    soon = estimate({"taken_at": time(9, 40), "seen_at": time(10, 10)})
    assert codes(soon) == []
    before = estimate({"taken_at": time(9, 40), "seen_at": time(9, 10)})
    assert codes(before) == ["checked-before-taken"]


def test_what_is_seen_off_is_moved_at_the_models_own_size(estimate, finding, quantity) -> None:
    facts = {"seen_off": quantity(6.0, "px"), "distance": quantity(40_000.0, "mm")}
    result = estimate(facts)
    # 35 mm on 24.892 mm of 2048 px is 2879.6 px: 6 x 40 m / 2879.6 = 83.3 mm, a 24th of it 3.5.
    assert result.quantities["correction on the stage"].value == pytest.approx(3.473, abs=0.001)
    told = finding(result, "check-not-answered")
    assert "6 px" in told.message
    assert "3.5 mm" in told.remedy
    assert codes(estimate({**facts, "answered": True})) == []


def test_nothing_stated_still_gives_a_whole_estimate(make) -> None:
    zeros = {"seen_off": 0, "distance": 0}
    check_kind(
        CheckComposite(), [make("check_composite", {}), make("check_composite", zeros, cut=None)]
    )
