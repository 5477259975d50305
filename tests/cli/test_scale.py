"""``platewright scale`` as its user meets it."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner, Result

from planner.cli import group

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import ShowFolder


def run(*words: str | Path) -> Result:
    result = CliRunner().invoke(group, ["scale", *(str(word) for word in words)])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def test_one_build_is_told_with_its_limits_and_scales(show: ShowFolder) -> None:
    result = run(show.path, "hill_town")
    assert result.exit_code == 0, result.output
    assert result.output.startswith("hill town, made at 1:24\n")
    assert "No smaller than" in result.output
    assert "stop to hold" in result.output


def test_without_a_build_a_sound_one_is_told_in_short(show: ShowFolder) -> None:
    result = run(show.path)
    assert result.exit_code == 0, result.output
    assert "hill town, made at 1:24" in result.output
    assert "stop to hold" not in result.output
    assert "Name a build" in result.output


def test_a_build_not_settled_is_compared_without_being_named(show: ShowFolder) -> None:
    show.replace("builds.yaml", "scale: 1/24", "candidates: [1/12, 1/24]")
    result = run(show.path)
    assert "still to be chosen from 1:12, 1:24" in result.output
    assert "stop to hold" in result.output


def test_scales_of_ones_own_are_compared_in_order_each_once(show: ShowFolder) -> None:
    told = json.loads(run(show.path, "hill_town", "--at", "1/48, 1:12,1/48", "--json").output)
    assert [each["scale"] for each in told[0]["scales"]] == [12, 48]


@pytest.mark.parametrize(
    ("at", "told"),
    [
        ("3", "3 is 3 times full size; write 1/3 or 1:3"),
        ("1/12,big", "big is not a scale"),
        (" , ", "names no scale"),
    ],
)
def test_what_is_no_scale_is_refused_in_a_sentence(show: ShowFolder, at: str, told: str) -> None:
    result = run(show.path, "hill_town", "--at", at)
    assert result.exit_code == 2
    assert told in result.output


def test_an_unknown_build_suggests_the_nearest(show: ShowFolder) -> None:
    result = run(show.path, "hil_town")
    assert result.exit_code == 2
    assert "did you mean hill_town?" in result.output
    assert "builds are hill_town" in run(show.path, "zzz").output


def test_the_chart_is_written_whole(show: ShowFolder, tmp_path: Path) -> None:
    target = tmp_path / "charts" / "town.svg"
    result = run(show.path, "hill_town", "--svg", target)
    assert result.exit_code == 0, result.output
    drawing = target.read_text(encoding="utf-8")
    assert drawing.startswith("<svg")
    assert drawing.endswith("</svg>\n")
    assert "HL010.town" in drawing


def test_a_chart_that_cannot_be_written_is_told(show: ShowFolder) -> None:
    result = run(show.path, "--svg", show.path / "show.yaml" / "chart.svg")
    assert result.exit_code == 1
    assert "cannot be written" in result.output


def test_a_show_with_errors_is_not_judged(show: ShowFolder) -> None:
    show.replace("builds.yaml", "scale: 1/24", "scale: 24")
    result = run(show.path, "hill_town")
    assert result.exit_code == 1
    assert "24 is 24 times full size" in result.output
