from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.kinds.testing import check_kind
from planner.model.facts import FrameRange
from planner_plugins.performer import Performer

if TYPE_CHECKING:
    from planner.kinds import Estimate

SUIT = {"sort": "suit", "in_plate": "S010.town"}


@pytest.fixture
def estimate(make, quantity):
    def of(facts=None, heron=None, height=4800.0, **surroundings):
        full_size = {"height": quantity(height, "mm")}
        surroundings.setdefault(
            "elements",
            {
                "S010.town": ("plate", {}),
                "S010.clean": ("plate", {"sort": "clean"}),
                "S010.heron": ("puppet", {"build": "heron", **(heron or {})}),
                "heron": ("build", {"full_size": full_size}),
            },
        )
        camera = {"format": "full-aperture-35", "focal_length": quantity(35.0, "mm")}
        return Performer().estimate(
            make("performer", {**SUIT, **(facts or {})}, shot_camera=camera, **surroundings)
        )

    return of


def codes(estimate: Estimate) -> list[str]:
    return [each.code for each in estimate.problems]


def hours(estimate: Estimate) -> dict[str, float]:
    return {each.name: each.hours.likely for each in estimate.work}


def test_a_suit_that_is_wanted_in_the_picture_is_fitted_and_dressed(estimate) -> None:
    result = estimate({"performers": 2})
    assert hours(result) == {"fit the suit": 12, "dress and place it": 4}  # 2 x 6, 2 x 2
    assert codes(result) == []


def test_a_suit_for_coverage_that_nothing_covers_is_left_in_the_plate(estimate, finding) -> None:
    told = finding(estimate({"purpose": "coverage only"}), "suit-left-in-plate")
    assert "100 frames of S010.town" in told.message


def test_a_suit_painted_out_takes_published_outlines_by_the_frame(estimate) -> None:
    facts = {"removed": "painted_out", "clean_plate": "S010.clean", "frames": FrameRange(1, 56)}
    result = estimate(facts)
    # 28 isolated figures a day of 8 h (published) are 0.286 h a frame: 2 + 56 x 0.286.
    assert hours(result)["paint it out"] == pytest.approx(2 + 56 * 0.286)
    assert codes(result) == []


def test_without_a_clean_plate_what_it_hides_is_painted_anew(estimate, finding) -> None:
    result = estimate({"removed": "painted_out", "frames": FrameRange(1, 56)})
    told = finding(result, "suit-without-clean-plate")
    assert "56 frames" in told.message
    assert hours(result)["paint it out"] == pytest.approx(2 + 3 * 56 * 0.286)


def test_a_replacement_as_large_leaves_nothing_to_paint(estimate, quantity) -> None:
    facts = {"replaced_by": "S010.heron", "height": quantity(2100.0, "mm")}
    result = estimate(facts)
    assert result.quantities["frames painted"].value == 0
    # 4.8 m over 2.1 m.
    assert result.quantities["size of what covers it over its own"].value == pytest.approx(
        4.8 / 2.1
    )
    assert codes(result) == []


def test_a_puppet_smaller_than_the_suit_is_told_in_pixels(estimate, finding, quantity) -> None:
    facts = {
        "replaced_by": "S010.heron",
        "height": quantity(2000.0, "mm"),
        "distance": quantity(10035.0, "mm"),
    }
    told = finding(estimate(facts, height=1800.0), "replacement-too-small")
    # The field at 10.035 m is 24.892 x 10000 / 35 = 7112 mm over 2048 px: 0.288 px a mm.
    assert "518 px against 576 px" in told.message
    assert "2.10 m high" in told.remedy  # 2 m x 1.05


def test_frames_on_which_the_replacement_is_not_there_are_bare(estimate, finding) -> None:
    facts = {"replaced_by": "S010.heron", "clean_plate": "S010.clean"}
    result = estimate(facts, heron={"in_frame": FrameRange(21, 100)})
    told = finding(result, "performer-shows-alone")
    assert "covers it on 80 of those 100 frames" in told.message
    assert result.quantities["frames painted"].value == 20


def test_a_suit_worn_too_long_is_told(estimate, finding, quantity) -> None:
    told = finding(estimate({"worn": quantity(2700.0, "s")}), "suit-worn-too-long")
    assert "45 min" in told.message
    assert "20 min" in told.remedy


def test_a_lens_inside_the_performer_is_told_not_raised(estimate, quantity) -> None:
    facts = {
        "replaced_by": "S010.heron",
        "height": quantity(6000.0, "mm"),
        "distance": quantity(10.0, "mm"),
    }
    assert "performer-inside-lens" in codes(estimate(facts))


def test_nothing_stated_still_gives_a_whole_estimate(make) -> None:
    check_kind(
        Performer(),
        [
            make("performer", {}, cut=None),
            make("performer", {"sort": "eyeline", "height": 0, "distance": 0}),
        ],
    )
