"""Every pair of colours of the report that a reader must tell apart, in light and in dark.

What a browser's audit cannot judge, the words and lines of drawings, is judged here by the colours
themselves.
"""

from __future__ import annotations

import re

import pytest

from planner.pages.report.section import source

_COLOUR = re.compile(r"--(\w+):(#[0-9a-fA-F]{3,6})\b")
KINDS = tuple("abcdefg")
"""What boxes of drawings are filled with."""
WORDS = (
    *(("ink", behind) for behind in ("paper", "pane", "lit", *KINDS)),
    *((said, behind) for said in ("soft", "link", "no") for behind in ("paper", "pane")),
    ("link", "lit"),
)
"""Text, and what is behind it."""
SHAPES = (
    *((line, "paper") for line in ("ink", "soft", "bar", "no")),
    ("bar", "pane"),
    *(("no", fill) for fill in KINDS),
    ("ink", "c"),
)
"""Lines and bars, and what is beside them."""


def colours() -> dict[str, dict[str, str]]:
    """By name, on a light screen, on a dark one and on paper, as the page's rules set them."""
    light, *others = re.findall(r":root\{([^}]*)\}", source("look.css"))
    sets = [dict(_COLOUR.findall(light))]
    sets += [sets[0] | dict(_COLOUR.findall(each)) for each in others]
    return dict(zip(("light", "dark", "print"), sets, strict=True))


def luminance(colour: str) -> float:
    """Relative luminance, 0 to 1 (WCAG 2.2)."""
    digits = colour.removeprefix("#")
    wide = "".join(each * 2 for each in digits) if len(digits) == 3 else digits
    parts = [int(wide[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (
        each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4 for each in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """1 to 21 (WCAG 2.2)."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_reckoned_as_published() -> None:
    assert contrast("#000", "#fff") == pytest.approx(21)
    # The grey that the guideline's tables name as just enough on white.
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("mode", ["light", "dark", "print"])
def test_words_can_be_read_on_what_is_behind_them(mode) -> None:
    named = colours()[mode]
    # 4.5 to 1 for text of any size (WCAG 2.2, 1.4.3).
    faint = [pair for pair in WORDS if contrast(*(named[each] for each in pair)) < 4.5]
    assert faint == []


@pytest.mark.parametrize("mode", ["light", "dark", "print"])
def test_lines_and_bars_stand_off_what_is_beside_them(mode) -> None:
    named = colours()[mode]
    # 3 to 1 for graphics that say something (WCAG 2.2, 1.4.11).
    faint = [pair for pair in SHAPES if contrast(*(named[each] for each in pair)) < 3]
    assert faint == []
