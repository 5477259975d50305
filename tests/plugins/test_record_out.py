from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.kinds.testing import check_kind
from planner.model.facts import FrameRange
from planner_plugins.composite import Composite
from planner_plugins.record_out import RecordOut

if TYPE_CHECKING:
    from planner.kinds import Estimate

RECORD = {"records": "S010.shade", "machine": "laser-4k", "tests": 24}
SHADE = {"shadow_of": "S010.town", "falls_on": "S010.town", "sort": "computer"}


@pytest.fixture
def estimate(make):
    def of(facts=None, finish="mixed", joins=("S010.it",), **surroundings):
        elements = {
            "S010.shade": ("shadow", SHADE),
            "S010.comp": ("composite", {"joins": list(joins), "finish": finish}),
        }
        every = {**RECORD, **(facts or {})}
        return RecordOut().estimate(make("record_out", every, elements=elements, **surroundings))

    return of


def codes(estimate: Estimate) -> list[str]:
    return [each.code for each in estimate.problems]


def test_the_recorder_takes_published_seconds_a_frame(estimate) -> None:
    result = estimate({"frames": FrameRange(1, 96)})
    # 96 and 24 of tests: 120 frames on a laser recorder at 4K take 8 minutes (published figure of
    # 4 s a frame).
    assert result.quantities["frames to record"].value == 120
    assert result.quantities["hours to record on film"].value == pytest.approx(8 / 60)
    assert result.quantities["film of the record"].value == pytest.approx(7.5)
    # Of a ten-hour day.
    assert result.quantities["days at the recorder"].value == pytest.approx(8 / 600)
    assert [each.name for each in result.work] == [
        "set the recorder",
        "record on film",
        "look at the record",
    ]
    assert {each.name for each in result.charges} == {
        "recording on film",
        "record stock",
        "processing",
        "prints",
    }
    assert codes(result) == []


def test_pieces_and_copies_multiply_the_frames(estimate) -> None:
    facts = {"records": ["S010.shade", "S010.rods"], "copies": 3, "frames": FrameRange(1, 10)}
    assert estimate(facts).quantities["frames to record"].value == 84  # 10 x 2 x 3 + 24


def test_a_record_for_a_digital_finish_is_not_wanted(estimate) -> None:
    assert codes(estimate(finish="digital")) == ["record-out-not-wanted"]


def test_a_record_that_nothing_joins_is_told(estimate) -> None:
    assert codes(estimate(joins=("S010.shade",))) == ["record-joined-by-nothing"]


def test_a_recorder_coarser_than_the_picture_is_told(estimate, finding, quantity) -> None:
    facts = {"machine": "laser-2k"}
    wide = {"image_width": quantity(4096.0, "px")}
    told = finding(estimate(facts, shot_camera=wide), "recorder-too-coarse")
    assert "4096 px wide" in told.message
    assert "recorder-too-coarse" not in codes(estimate(shot_camera=wide))


def test_a_composite_does_not_record_again_what_is_recorded(make) -> None:
    elements = {
        "S010.town": ("plate", {}),
        "S010.shade": ("shadow", SHADE),
        "S010.film": ("record_out", RECORD),
    }
    joins = ["S010.town", "S010.shade", "S010.film"]
    facts = {"joins": joins, "finish": "mixed", "approved_by": "the director", "versions": 1}
    result = Composite().estimate(make("composite", facts, elements=elements))
    assert "record on film" not in [each.name for each in result.work]
    assert "nothing-to-record" not in codes(result)
    # The record stands for the shadow: two layers, not three.
    assert result.quantities["layers"].value == 2
    once = {**facts, "joins": joins[:2]}
    again = Composite().estimate(make("composite", once, elements=elements))
    assert "record on film" in [each.name for each in again.work]


def test_nothing_stated_still_gives_a_whole_estimate(make) -> None:
    check_kind(
        RecordOut(),
        [make("record_out", {}, cut=None), make("record_out", {"copies": 0, "tests": 0})],
    )
