from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from planner.kinds.testing import check_kind
from planner.model.facts import FrameRange, Money
from planner_plugins.stock import Stock

if TYPE_CHECKING:
    from planner.kinds import Estimate


@pytest.fixture
def estimate(make, quantity):
    def of(facts=None, **surroundings):
        sound = {
            "library": "Harbour Films, reel 12",
            "cleared": True,
            "cleared_by": "the producer, 3 March",
            "fee": Money(Decimal(400), "GBP"),
            "width": quantity(2048.0, "px"),
            "length": 200,
        }
        return Stock().estimate(make("stock", {**sound, **(facts or {})}, **surroundings))

    return of


def codes(estimate: Estimate) -> list[str]:
    return [each.code for each in estimate.problems]


def test_a_sound_library_element_is_found_fitted_and_paid_for(estimate) -> None:
    result = estimate({"on_film": True})
    assert [(each.craft, each.hours.likely) for each in result.work] == [
        ("editorial", 3),
        ("compositing", 1.5),
    ]
    assert [each.name for each in result.charges] == ["fee for its use", "scans"]
    assert result.charges[1].quantity.value == 116  # 100 and two handles of 8
    assert codes(result) == []


def test_rights_that_are_not_cleared_are_told(estimate, finding) -> None:
    assert "Harbour Films" in finding(estimate({"cleared": False}), "stock-not-cleared").message
    assert codes(estimate({"cleared_by": ""})) == ["cleared-by-nobody"]


def test_too_few_frames_are_told(estimate, finding) -> None:
    told = finding(estimate({"length": 96}), "stock-too-short")
    assert "116 frames are needed and there are 96: 20 short" in told.message
    by_range = estimate({"length": None, "frames_in_hand": FrameRange(1, 96)})
    assert "20 short" in finding(by_range, "stock-too-short").message


def test_too_few_pixels_are_told(estimate, finding, quantity) -> None:
    result = estimate({"width": quantity(1024.0, "px"), "fills": quantity(0.75, "1")})
    # 2048 x .75 / 1024 = 1.5; 1024 x 1.15 / 2048 = 57.5 %.
    assert result.quantities["enlargement"].value == pytest.approx(1.5)
    told = finding(result, "stock-too-small")
    assert "1.50 times" in told.message
    assert "57 %" in told.remedy or "58 %" in told.remedy


def test_a_rate_unlike_its_scale_stretches_the_frames(estimate, finding, quantity) -> None:
    facts = {"filmed_at": quantity(48.0, "fps"), "scale": quantity(16.0, "1:N")}
    result = estimate(facts)
    # 1:16 wants 96 fps: each frame twice, so that 58 of them do for 116.
    assert result.quantities["rate it should have been filmed at"].value == 96
    assert result.quantities["frames needed of it"].value == 58
    # Only those are scanned.
    scanned = estimate({**facts, "on_film": True})
    assert scanned.charges[-1].quantity.value == 58
    assert "96 fps" in finding(result, "stock-at-another-rate").message


def test_the_same_stretch_seen_twice_is_remarked(estimate) -> None:
    assert codes(estimate({"used_in": 2})) == ["stock-seen-elsewhere"]


def test_nothing_stated_still_gives_a_whole_estimate(make) -> None:
    zeros = {"width": 0, "filmed_at": 0, "scale": 0, "length": 0}
    check_kind(Stock(), [make("stock", {}, cut=None), make("stock", zeros)])
