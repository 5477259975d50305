"""Waivers as the user meets them: the mark is read off, written down, and follows the numbers."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING

from click.testing import CliRunner

from planner.cli import group

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import ShowFolder


def run(*words: str | Path) -> str:
    result = CliRunner().invoke(group, [str(word) for word in words])
    assert result.exception is None, result.output
    return result.output


def waive(show: ShowFolder, mark: str) -> None:
    show.replace(
        "sequences/hill.yaml",
        "    cut: 1-96\n",
        "    cut: 1-96\n    waivers:\n      - {finding: camera-height-differs, of: town,"
        f" mark: {mark}, by: the supervisor, on: 2027-03-11, why: nothing stands on the ground}}\n",
    )


def test_a_mark_copied_from_the_screen_silences_the_finding(show: ShowFolder) -> None:
    show.replace(
        "sequences/hill.yaml", "nearest: 40 m\n", "nearest: 40 m\n        camera_height: 4 m\n"
    )
    before = run("check", show.path)
    (mark,) = re.findall(r"\[camera-height-differs\s+([0-9a-f]{6})\]", before)
    waive(show, mark)
    after = run("check", show.path)
    standing, _, waived = after.partition("Waived: 1 finding")
    assert "camera-height-differs" not in standing
    assert f"camera-height-differs {mark}" in " ".join(waived.split())
    assert "waived by the supervisor, 2027-03-11: nothing stands on the ground" in waived
    told = json.loads(run("check", show.path, "--json"))
    assert [each["mark"] for each in told["waived"]] == [mark]


def test_the_finding_comes_back_when_its_numbers_change(show: ShowFolder) -> None:
    show.replace(
        "sequences/hill.yaml", "nearest: 40 m\n", "nearest: 40 m\n        camera_height: 4 m\n"
    )
    (mark,) = re.findall(r"\[camera-height-differs\s+([0-9a-f]{6})\]", run("check", show.path))
    waive(show, mark)
    show.replace("sequences/hill.yaml", "camera_height: 4 m", "camera_height: 3 m")
    told = run("check", show.path)
    assert "camera-height-differs" in told
    assert "[waiver-no-longer-stands" in told
    assert f"as {mark} on 2027-03-11" in " ".join(told.split())
    assert "Waived" not in told


def test_a_plan_writes_down_what_is_waived(show: ShowFolder, tmp_path: Path) -> None:
    show.replace(
        "sequences/hill.yaml", "nearest: 40 m\n", "nearest: 40 m\n        camera_height: 4 m\n"
    )
    (mark,) = re.findall(r"\[camera-height-differs\s+([0-9a-f]{6})\]", run("check", show.path))
    waive(show, mark)
    run("plan", show.path, "--to", tmp_path / "plan", "--tries", "0")
    assert "camera-height-differs" not in (tmp_path / "plan/findings.txt").read_text("utf-8")
    assert "camera-height-differs" in (tmp_path / "plan/waived.txt").read_text("utf-8")


def test_rules_between_pieces_are_listed() -> None:
    told = run("rules")
    assert "agreement.field" in told
    assert "hand_over.size" in told
