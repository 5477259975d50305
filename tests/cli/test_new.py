"""A new show: what is written, that it plans cleanly, and that nothing is written over."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner

from planner.cli import group

if TYPE_CHECKING:
    from pathlib import Path


def test_a_new_show_checks_without_a_finding(tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    assert CliRunner().invoke(group, ["new", str(folder)]).exit_code == 0
    checked = CliRunner().invoke(group, ["check", str(folder)])
    assert (checked.exit_code, checked.output) == (0, "No problems.\n")


def test_a_new_show_is_priced_to_the_last_line(tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    CliRunner().invoke(group, ["new", str(folder)])
    told = CliRunner().invoke(group, ["bid", str(folder), "--tries", "0"])
    assert told.exit_code == 0
    assert "for want of a rate" not in told.output


def test_a_folder_that_holds_something_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    result = CliRunner().invoke(group, ["new", str(tmp_path)])
    assert result.exit_code == 2
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]


@pytest.mark.parametrize("words", [("new",), ("new-kind", "kite", "--to")])
def test_a_folder_that_may_not_be_looked_into_is_one_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    def refuse(_path: Path) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("pathlib.Path.iterdir", refuse)
    result = CliRunner().invoke(group, [*words, str(tmp_path)])
    assert result.exit_code == 2
    assert "cannot be looked into: Permission denied" in " ".join(result.output.split())
