"""Checks of photochemical counts (common practice), machine rates, passes and cautions."""

from __future__ import annotations

import pytest

from planner.craft import cautions, composite, passes
from planner.craft.mark import Mark


def test_three_foregrounds_take_eighteen_strips() -> None:
    # common practice: six strips each over the steps of the published process; 3 x 6
    assert composite.matte_strips(3) == 18


@pytest.mark.parametrize(("from_separations", "exposures"), [(False, 4), (True, 12)])
def test_three_foregrounds_and_a_background_are_exposed(
    from_separations: bool, exposures: int
) -> None:
    # common practice: k + 1 exposures, or 3 (k + 1) through three separation masters
    assert composite.optical_exposures(3, from_separations=from_separations) == exposures


@pytest.mark.parametrize(
    ("frames", "machine", "seconds"),
    [
        # published weakly: broadcast-technology glossary "film recorder"
        (120, "laser-4k", 8 * 60),
        (32_000, "laser-2k", 17.8 * 3600),  # 2000 ft
        (120, "tube-2k", 120),
        (120, "tube-4k", 420),
        (120, "liquid-crystal-2k", 40),
        # published weakly: encyclopedia "motion picture film scanner"
        (120, "scan", 120),
    ],
)
def test_machine_time(frames: int, machine: str, seconds: float) -> None:
    assert composite.machine_seconds(frames, machine) == pytest.approx(seconds, rel=2e-3)


def test_layers_cost_generations_only_on_film() -> None:
    # common practice: two printings on film, none once it is scanned
    assert composite.OPTICAL_GENERATIONS - composite.DIGITAL_GENERATIONS == 2


def test_an_unknown_machine_is_refused_with_those_there_are() -> None:
    with pytest.raises(ValueError, match=r"'lathe'.*laser-2k"):
        composite.machine_seconds(10, "lathe")


@pytest.mark.parametrize(
    ("slug", "is_locked", "frames"),
    # common practice, no source
    [
        ("beauty", True, 136),
        ("matte", False, 136),
        ("clean-plate", True, 1),
        ("clean-plate", False, 136),
        ("reference", False, 24),
    ],
)
def test_frames_of_a_pass(slug: str, is_locked: bool, frames: int) -> None:
    assert passes.pass_frames(slug, 136, is_locked=is_locked) == frames


def test_pass_rules_say_that_they_have_no_source() -> None:
    assert {rule.mark for rule in passes.PASS_RULES.values()} == {Mark.COMMON_PRACTICE}


def test_an_unknown_pass_is_refused() -> None:
    with pytest.raises(ValueError, match="no pass is called 'x-ray'"):
        passes.pass_frames("x-ray", 10, is_locked=True)


@pytest.mark.parametrize(
    "hazard",
    [
        "flame",
        "smoke",
        "water",
        "ultraviolet",
        "moving_rig",
        "overhead_load",
        "height",
        "chemicals",
        "electricity",
        "long_hours",
    ],
)
def test_a_caution_is_one_sentence_that_hands_over_to_local_codes(hazard: str) -> None:
    sentence = cautions.caution(hazard)
    assert "local codes" in sentence
    assert sentence.count(".") == 1
    assert sentence.endswith(".")
    assert any(word in sentence for word in ("licensed", "qualified", "competent", "responsible"))


def test_no_other_hazards_are_kept() -> None:
    assert len(cautions.CAUTIONS) == 10
    with pytest.raises(ValueError, match=r"'boredom'.*flame"):
        cautions.caution("boredom")
