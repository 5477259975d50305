"""Prints of the example show, measured: no word past the margins, none upon another.

Needs Debian's ``poppler-utils``; skipped where ``pdftotext`` is not to be had.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner

from planner.cli import group

if TYPE_CHECKING:
    from collections.abc import Iterator

EXAMPLE = Path(__file__).parents[3] / "example_shows" / "nine_bells_under"
PDFTOTEXT = shutil.which("pdftotext")
pytestmark = pytest.mark.skipif(PDFTOTEXT is None, reason="poppler-utils is not installed")

# A4 is 210 mm by 297 mm of 72 / 25.4 points; margins are 15 mm at the sides and 14 mm at the top,
# and what stands lowest is the foot, within the 18 mm below the text.
POINT = 72 / 25.4
LEFT, RIGHT, TOP, BOTTOM = 15 * POINT, 195 * POINT, 14 * POINT, 297 * POINT
ROUND = 1.5  # points by which a sign may stand out of its line
WORD = re.compile(
    r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>'
)
Word = tuple[float, float, float, float, str]

PRINTS = (
    ("card", "NB110.heron"),
    ("shot", "heron_walks"),
    ("roto", "heron_walks"),
    ("lineup", "heron_walks"),
    ("measure",),
    ("week",),
    ("call", "--date", "2027-03-22"),
    ("day", "--date", "2027-03-22"),
    ("bid",),
)


def pages(path: Path) -> Iterator[list[Word]]:
    told = subprocess.run(
        [PDFTOTEXT or "", "-bbox", path, "-"], capture_output=True, text=True, check=True
    ).stdout
    for page in told.split("<page ")[1:]:
        yield [(*map(float, each[:4]), each[4]) for each in WORD.findall(page)]


def faults(words: list[Word]) -> list[str]:
    """What a person would see wrong, in sentences; none is what is wanted."""
    found = [
        f"{said}: past the margin"
        for left, top, right, foot, said in words
        if left < LEFT - ROUND or right > RIGHT + ROUND or (top + foot) / 2 < TOP or foot > BOTTOM
    ]
    for number, (left, top, right, foot, said) in enumerate(words):
        for other in words[number + 1 :]:
            across = min(right, other[2]) - max(left, other[0])
            down = min(foot, other[3]) - max(top, other[1])
            # Boxes of words are as high as their line may be; lines touch.
            if across > ROUND and down > (foot - top) / 2:
                found.append(f"{said} | {other[4]}: one upon the other")
    return found


@pytest.mark.parametrize("words", PRINTS, ids=" ".join)
def test_no_word_is_past_the_margin_or_upon_another(words: tuple[str, ...], tmp_path: Path) -> None:
    to = tmp_path / "a.pdf"
    asked = ["print", str(EXAMPLE), *words, "--to", str(to), "--tries", "0"]
    result = CliRunner().invoke(group, asked)
    assert result.exit_code == 0, result.output
    found = list(pages(to))
    assert sum(map(len, found)) > 20  # words were found at all
    assert [fault for page in found for fault in faults(page)] == []


def test_the_measure_finds_what_it_looks_for() -> None:
    line = (60.0, 100.0, 90.0, 110.0, "one")
    assert (
        faults([line, (92.0, 100.0, 120.0, 110.0, "beside"), (60.0, 112.0, 90.0, 122.0, "x")]) == []
    )
    assert faults([line, (85.0, 102.0, 120.0, 112.0, "two")]) == ["one | two: one upon the other"]
    assert faults([(540.0, 100.0, 560.0, 110.0, "wide")]) == ["wide: past the margin"]
