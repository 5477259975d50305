"""Files are written whole or not at all."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.pages.files import write_bytes, write_once

if TYPE_CHECKING:
    from pathlib import Path


def test_what_is_written_once_stays(tmp_path: Path) -> None:
    path = tmp_path / "issued" / "bid_001.json"
    write_once(path, b"first")
    with pytest.raises(FileExistsError):
        write_once(path, b"second")
    assert path.read_bytes() == b"first"
    assert list(path.parent.iterdir()) == [path]


def test_a_folder_that_is_a_file_is_no_file_that_stands_there(tmp_path: Path) -> None:
    # Who issues is told to try again where another was quicker; here that would never do.
    (tmp_path / "issued").write_text("mine")
    with pytest.raises(NotADirectoryError, match="issued is a file"):
        write_once(tmp_path / "issued" / "bid_001.json", b"first")
    assert (tmp_path / "issued").read_text() == "mine"


def test_nothing_is_left_beside_a_place_that_refuses(tmp_path: Path) -> None:
    (tmp_path / "page").mkdir()
    with pytest.raises(OSError, match="page"):
        write_bytes(tmp_path / "page", b"text")
    assert [each.name for each in tmp_path.iterdir()] == ["page"]
