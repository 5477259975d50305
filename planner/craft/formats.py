"""Film frames and scan sizes as data.

Takes a slug, gives `FrameFormat` or `ScanSize` with the source of its figures. Published figures
differ by up to one per cent, so every entry says where it comes from. Knows nothing of lenses.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.craft.mark import Mark

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class FrameFormat:
    """A frame on film.

    Attributes:
        slug: name used in shows.
        name: name for people.
        width_mm: width on film, millimetres.
        height_mm: height on film, millimetres.
        frames_per_foot: frames in a nominal foot of film.
        squeeze: sideways compression undone by the projection lens, a ratio; 1 for ordinary
            lenses.
        source: where the dimensions come from.
        mark: how well they are supported.
    """

    slug: str
    name: str
    width_mm: float
    height_mm: float
    frames_per_foot: float
    squeeze: float
    source: str
    mark: Mark

    @property
    def seen_width_mm(self) -> float:
        """Width with the squeeze undone, millimetres: use it for angles and field widths."""
        return self.width_mm * self.squeeze

    @property
    def aspect_ratio(self) -> float:
        """Ratio of the width shown to the height."""
        return self.seen_width_mm / self.height_mm


@dataclass(frozen=True, slots=True)
class ScanSize:
    """A scan of a frame.

    Attributes:
        slug: name used in shows.
        width_px: width, pixels.
        height_px: height, pixels.
        source: where the size comes from.
        mark: how well it is supported.
    """

    slug: str
    width_px: int
    height_px: int
    source: str
    mark: Mark

    @property
    def aspect_ratio(self) -> float:
        """Width over height in pixels, squeeze not undone."""
        return self.width_px / self.height_px

    @property
    def frame_bytes(self) -> int:
        """Bytes of one frame, three 10-bit values packed into four bytes a pixel, no header."""
        return self.width_px * self.height_px * 4


_STANDARD_2907 = "ISO 2907:2002 overview with dimensions (catalogue)"
_FILM_SPECIFICATION = "encyclopedia-derived technical specification of 35 mm film"
_SCANS = 'broadcast-technology glossary "film formats"'

_FRAMES = (
    FrameFormat(
        "full-aperture-35",
        "35 mm four-perforation full aperture",
        24.892,
        18.669,
        16,
        1,
        "Practical Cinematography, 2nd ed., ch. 20 (0.980 x 0.735 in)",
        Mark.PUBLISHED,
    ),
    FrameFormat(
        "academy-35",
        "35 mm Academy camera frame",
        21.95,
        16.00,
        16,
        1,
        "SMPTE ST 59 style A",
        Mark.FROM_MEMORY,
    ),
    FrameFormat(
        "flat-185",
        "35 mm 1.85 projectable area",
        20.95,
        11.32,
        16,
        1,
        f"{_STANDARD_2907}, style A, minimum height",
        Mark.PUBLISHED,
    ),
    FrameFormat(
        "flat-137",
        "35 mm 1.37 projectable area",
        20.95,
        15.29,
        16,
        1,
        f"{_STANDARD_2907}, style C",
        Mark.PUBLISHED,
    ),
    FrameFormat(
        "scope-239",
        "35 mm 2.39 anamorphic projectable area",
        20.95,
        17.53,
        16,
        2,
        f"{_STANDARD_2907}, style B",
        Mark.PUBLISHED,
    ),
    FrameFormat(
        "scope-camera-35",
        "35 mm 2.39 anamorphic camera frame",
        22.00,
        18.59,
        16,
        2,
        f"{_FILM_SPECIFICATION}; later standard 21.95 x 18.60",
        Mark.PUBLISHED_WEAKLY,
    ),
    FrameFormat(
        "full-width-239",
        "35 mm full-width 2.39 extraction",
        24.00,
        10.00,
        16,
        1,
        _FILM_SPECIFICATION,
        Mark.PUBLISHED_WEAKLY,
    ),
    FrameFormat(
        "full-width-185",
        "35 mm full-width 1.85 extraction",
        24.00,
        12.97,
        16,
        1,
        _FILM_SPECIFICATION,
        Mark.PUBLISHED_WEAKLY,
    ),
    FrameFormat(
        "horizontal-8-perf-35",
        "35 mm eight-perforation horizontal frame",
        37.72,
        24.92,
        8,
        1,
        "comments in public source code (1.485 x 0.981 in); camera handbooks from memory",
        Mark.PUBLISHED_WEAKLY,
    ),
    FrameFormat(
        "wide-65",
        "65 mm five-perforation frame",
        52.63,
        23.01,
        12.8,
        1,
        "forum post on 65 mm (2.072 x 0.906 in); other pages print 52.48 and 52.15 wide",
        Mark.PUBLISHED_WEAKLY,
    ),
    FrameFormat(
        "super-16",
        "Super 16 frame",
        12.52,
        7.41,
        40,
        1,
        "format notes in a public lens-calculator repository; a FAQ prints 12.40 x 7.49",
        Mark.PUBLISHED_WEAKLY,
    ),
)

_SCAN_SIZES = (
    ScanSize("full-4k", 4096, 3112, _SCANS, Mark.PUBLISHED_WEAKLY),
    ScanSize("full-2k", 2048, 1556, _SCANS, Mark.PUBLISHED_WEAKLY),
    ScanSize("academy-4k", 3656, 2664, _SCANS, Mark.PUBLISHED_WEAKLY),
    ScanSize("academy-2k", 1828, 1332, _SCANS, Mark.PUBLISHED_WEAKLY),
    ScanSize("scope-4k", 3656, 3112, _SCANS, Mark.PUBLISHED_WEAKLY),
    ScanSize("scope-2k", 1828, 1556, _SCANS, Mark.PUBLISHED_WEAKLY),
)

FRAME_FORMATS: Mapping[str, FrameFormat] = MappingProxyType(
    {frame.slug: frame for frame in _FRAMES}
)
SCAN_SIZES: Mapping[str, ScanSize] = MappingProxyType({scan.slug: scan for scan in _SCAN_SIZES})


def frame_format(slug: str) -> FrameFormat:
    """Frame format of a slug such as ``full-aperture-35``.

    Args:
        slug: as the table names it, such as full-aperture-35.

    Raises:
        ValueError: no format has that slug; the sentence lists those there are.

    Source:
        The table of formats; each names its own.
    """
    if slug not in FRAME_FORMATS:
        message = f"no frame format is called {slug!r}; there are {', '.join(FRAME_FORMATS)}"
        raise ValueError(message)
    return FRAME_FORMATS[slug]


def scan_size(slug: str) -> ScanSize:
    """Scan size of a slug such as ``full-2k``.

    Args:
        slug: as the table names it, such as full-2k.

    Raises:
        ValueError: no scan size has that slug; the sentence lists those there are.

    Source:
        The table of scan sizes; each names its own.
    """
    if slug not in SCAN_SIZES:
        raise ValueError(f"no scan size is called {slug!r}; there are {', '.join(SCAN_SIZES)}")
    return SCAN_SIZES[slug]


def pixels_per_mm(width_px: float, width_mm: float) -> float:
    """Pixels in a millimetre of film.

    Args:
        width_px: frame width, pixels.
        width_mm: frame width on film, millimetres.

    Raises:
        ValueError: either width is not above zero.

    Source:
        Definition.
    """
    if width_px <= 0 or width_mm <= 0:
        raise ValueError(f"a scan {width_px:g} px wide of {width_mm:g} mm is not a picture")
    return width_px / width_mm


def nyquist_line_pairs_per_mm(width_px: float, width_mm: float) -> float:
    """Finest line pairs per millimetre a scan can hold: half its pixels per millimetre.

    Args:
        width_px: frame width, pixels.
        width_mm: frame width on film, millimetres.

    Raises:
        ValueError: either width is not above zero.

    Source:
        Sampling theorem: a line pair wants two samples.
    """
    return pixels_per_mm(width_px, width_mm) / 2
