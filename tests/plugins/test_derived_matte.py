from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.kinds.testing import check_kind
from planner.model.facts import FrameRange
from planner_plugins.derived_matte import DerivedMatte

if TYPE_CHECKING:
    from planner.kinds import Estimate


@pytest.fixture
def estimate(make, quantity):
    def of(facts=None, revision="take 4", **surroundings):
        every = {"derived_from": "S010.smoke", "sort": "brightness", **(facts or {})}
        camera = {
            "format": "full-aperture-35",
            "focal_length": quantity(50.0, "mm"),
            "stop": quantity(4.0, "f"),
        }
        surroundings.setdefault("elements", {"S010.smoke": ("effect", {"revision": revision})})
        return DerivedMatte().estimate(
            make("derived_matte", every, shot_camera=camera, **surroundings)
        )

    return of


def codes(estimate: Estimate) -> list[str]:
    return [each.code for each in estimate.problems]


def test_a_matte_takes_hours_by_the_frame(estimate) -> None:
    (work,) = estimate().work
    assert work.hours.likely == pytest.approx(3)  # 1 + 100 x .02


def test_a_matte_made_from_what_is_still_used_needs_no_more_work(estimate) -> None:
    result = estimate({"made": True, "from_revision": "take 4"})
    assert result.work == ()
    assert codes(result) == []


def test_a_matte_goes_stale_when_its_source_changes(estimate, finding) -> None:
    result = estimate({"made": True, "from_revision": "take 2"})
    told = finding(result, "derived-from-old-revision")
    assert "take 2 of S010.smoke, which is take 4 now" in told.message
    assert [each.name for each in result.work] == ["make the matte"]


def test_a_source_that_says_nothing_cannot_be_compared(estimate) -> None:
    result = estimate({"made": True, "from_revision": "take 2"}, revision="")
    assert codes(result) == ["source-without-revision"]
    assert result.work == ()


def test_an_edge_is_as_soft_as_focus_and_movement_make_it(estimate, finding, quantity) -> None:
    edge = {
        "distance": quantity(2683.4, "mm"),
        "focus": quantity(3000.0, "mm"),
        "moves": quantity(8.0, "px"),
        "softness": quantity(1.0, "px"),
    }
    result = estimate({"edge": edge})
    # At 2683.4 mm a 50 mm f/4 focused at 3 m draws a disc of 0.025 mm (derived): of 2048 px on
    # 24.892 mm that is 2.06 px.
    assert result.quantities["softness by focus"].value == pytest.approx(2.057, abs=0.002)
    assert result.quantities["softness by movement"].value == pytest.approx(4)  # half of 8
    # sqrt(2.057^2 + 4^2) = 4.498.
    told = finding(result, "edge-not-as-due")
    assert "4.5 px" in told.message
    assert "soften it by 3.5 px" in told.remedy


def test_a_t_stop_is_softer_than_the_f_number_of_the_same_figure(make, quantity) -> None:
    edge = {"distance": quantity(2683.4, "mm"), "focus": quantity(3000.0, "mm")}
    camera = {
        "format": "full-aperture-35",
        "focal_length": quantity(50.0, "mm"),
        "stop": quantity(4.4, "T"),
    }
    context = make("derived_matte", {"sort": "brightness", "edge": edge}, shot_camera=camera)
    found = DerivedMatte().estimate(context).quantities
    # T4.4 is f/4 where the lens says nothing: the 2.057 px of the test above.
    assert found["softness by focus"].value == pytest.approx(2.057, abs=0.002)


def test_an_edge_within_a_pixel_is_left_alone(estimate, quantity) -> None:
    edge = {"moves": quantity(8.0, "px"), "softness": quantity(4.9, "px")}
    assert codes(estimate({"edge": edge})) == []
    smeared = estimate({"edge": {**edge, "softness": quantity(5.2, "px")}})
    assert codes(smeared) == ["edge-not-as-due"]


def test_a_line_found_is_mended_frame_by_frame(estimate, finding) -> None:
    facts = {
        "made": True,
        "from_revision": "take 4",
        "line_found": {"frames": FrameRange(11, 30), "where": "the left shoulder"},
    }
    result = estimate(facts)
    assert "11-30: 20 frames" in finding(result, "matte-line-found").message
    assert result.work[0].hours.likely == pytest.approx(3)  # 20 x .15


def test_nothing_stated_still_gives_a_whole_estimate(make) -> None:
    inside = {"edge": {"distance": 0, "focus": 0}, "focal_length": 50, "stop": 0}
    check_kind(DerivedMatte(), [make("derived_matte", {}, cut=None), make("derived_matte", inside)])
