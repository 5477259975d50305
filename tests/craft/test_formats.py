"""Published checks of frame formats and scans.

Published dimensions disagree at the 0.2 to 1 per cent level, so these check that inches,
millimetres and ratios agree with each other rather than one truth. Not used: the 12.40 x 7.49 mm
Super 16 of rec.arts.movies.tech FAQ 2.4.2 and the 52.15 and 52.48 mm widths of 65 mm.
"""

from __future__ import annotations

import math

import pytest

from planner.craft import formats
from planner.craft.mark import Mark

MM_PER_INCH = 25.4


@pytest.mark.parametrize(
    ("slug", "width_in", "height_in", "tolerance_mm"),
    [
        # published: Practical Cinematography 2nd ed. ch. 20; 0.980 x 25.4 = 24.892 exactly
        ("full-aperture-35", 0.980, 0.735, 1e-9),
        # from memory of SMPTE ST 59: 0.864 x 25.4 = 21.946, 0.630 x 25.4 = 16.002
        ("academy-35", 0.864, 0.630, 0.005),
        # published weakly: technical specification of 35 mm film; 0.866 x 25.4 = 21.996
        ("scope-camera-35", 0.866, 0.732, 0.005),
        # published weakly: comments in public source code; 1.485 x 25.4 = 37.719
        ("horizontal-8-perf-35", 1.485, 0.981, 0.005),
        # published weakly: forum post on 65 mm; 2.072 x 25.4 = 52.629
        ("wide-65", 2.072, 0.906, 0.005),
    ],
)
def test_dimensions_agree_in_inches_and_millimetres(
    slug: str, width_in: float, height_in: float, tolerance_mm: float
) -> None:
    frame = formats.frame_format(slug)
    assert frame.width_mm == pytest.approx(width_in * MM_PER_INCH, abs=tolerance_mm)
    assert frame.height_mm == pytest.approx(height_in * MM_PER_INCH, abs=tolerance_mm)


@pytest.mark.parametrize(
    ("slug", "ratio", "tolerance"),
    [
        ("flat-185", 1.85, 0.002),  # published: ISO 2907:2002 style A; 20.95 / 11.32 = 1.851
        ("flat-137", 1.37, 0.001),  # published: ISO 2907:2002 style C; 20.95 / 15.29 = 1.370
        ("scope-239", 2.39, 0.002),  # published: ISO 2907:2002 style B; 41.90 / 17.53 = 2.390
        ("full-width-239", 2.40, 0.01),  # published weakly; 24.00 / 10.00, named 2.39
        ("full-width-185", 1.85, 0.001),  # published weakly; 24.00 / 12.97 = 1.850
        ("full-aperture-35", 4 / 3, 0.001),  # derived: 0.980 / 0.735 = 4/3
        ("super-16", 1.69, 0.001),  # derived: 12.52 / 7.41 = 1.690
    ],
)
def test_shown_ratio_is_the_one_the_format_is_named_for(
    slug: str, ratio: float, tolerance: float
) -> None:
    assert formats.frame_format(slug).aspect_ratio == pytest.approx(ratio, abs=tolerance)


@pytest.mark.parametrize(
    ("slug", "frames_per_foot"),
    [
        ("full-aperture-35", 64 / 4),  # published weakly: encyclopedia citing a manual, 8th ed.
        ("horizontal-8-perf-35", 64 / 8),  # derived
        ("wide-65", 64 / 5),  # published weakly: "film foot", 5 ft hold 64 frames
        ("super-16", 40),  # published weakly: "film foot"
    ],
)
def test_a_foot_holds_64_perforations(slug: str, frames_per_foot: float) -> None:
    assert formats.frame_format(slug).frames_per_foot == frames_per_foot


@pytest.mark.parametrize(
    ("slug", "ratio"),
    # published weakly: broadcast-technology glossary "film formats"
    [("full-4k", 1.316), ("academy-4k", 1.372), ("scope-4k", 1.175)],
)
def test_scan_ratio_matches_the_glossary(slug: str, ratio: float) -> None:
    assert formats.scan_size(slug).aspect_ratio == pytest.approx(ratio, abs=5e-4)


@pytest.mark.parametrize("gate", ["full", "academy", "scope"])
def test_2k_is_half_of_4k_each_way(gate: str) -> None:
    # published weakly: broadcast-technology glossary, film formats
    large, small = formats.scan_size(f"{gate}-4k"), formats.scan_size(f"{gate}-2k")
    assert (small.width_px * 2, small.height_px * 2) == (large.width_px, large.height_px)


def test_scan_of_a_full_frame_takes_four_bytes_a_pixel() -> None:
    # derived: 2048 x 1556 x 4 = 12 746 752; the glossary says 12 MB (12.16 in units of 2^20)
    assert formats.scan_size("full-2k").frame_bytes == 12_746_752
    assert formats.scan_size("full-4k").frame_bytes == 50_987_008


def test_4k_scan_of_full_aperture_resolves_82_line_pairs() -> None:
    # derived: 4096 / 24.892 = 164.55 px/mm; half of it 82.3; 2K 41.1
    assert formats.pixels_per_mm(4096, 24.892) == pytest.approx(164.55, abs=0.01)
    assert formats.nyquist_line_pairs_per_mm(4096, 24.892) == pytest.approx(82.3, abs=0.05)
    assert formats.nyquist_line_pairs_per_mm(2048, 24.892) == pytest.approx(41.1, abs=0.05)


def test_every_format_says_where_it_comes_from() -> None:
    for slug, frame in formats.FRAME_FORMATS.items():
        assert frame.slug == slug
        assert frame.source
        assert isinstance(frame.mark, Mark)
        assert math.isfinite(frame.aspect_ratio)


def test_an_unknown_format_is_refused_with_those_there_are() -> None:
    with pytest.raises(ValueError, match=r"no frame format is called 'imagined'.*academy-35"):
        formats.frame_format("imagined")
    with pytest.raises(ValueError, match=r"no scan size is called '8k'.*full-2k"):
        formats.scan_size("8k")


def test_a_scan_without_width_is_refused() -> None:
    with pytest.raises(ValueError, match="not a picture"):
        formats.pixels_per_mm(0, 24.892)
