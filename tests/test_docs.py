"""What README.md and DEVELOPERS.md say is so: the tour prints what it shows, the map names what is.

``RENEW=1 pytest tests/test_docs.py`` writes the tour's output anew; read the difference.
"""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from planner.cli import COMMANDS

if TYPE_CHECKING:
    from collections.abc import Callable

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
MAP = ROOT / "DEVELOPERS.md"


def test_the_tour_prints_what_it_shows(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, as_printed: Callable[[str], str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "example_shows").symlink_to(ROOT / "example_shows")
    text = README.read_text(encoding="utf-8")
    told = as_printed(text)
    if os.environ.get("RENEW"):
        README.write_text(told, encoding="utf-8")
        return
    assert told == text


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_is_told_of_in_the_readme(name: str) -> None:
    assert f"platewright {name} " in README.read_text(encoding="utf-8").replace("\n", " ")


def test_the_readme_names_no_command_there_is_not() -> None:
    named = set(re.findall(r"platewright ([a-z-]+)\b", README.read_text(encoding="utf-8")))
    assert named <= set(COMMANDS)


def test_the_map_shows_every_room() -> None:
    shown = set(re.findall(r"(?m)^\| `planner/(\w+)` \|", MAP.read_text(encoding="utf-8")))
    assert shown == {each.parent.name for each in (ROOT / "planner").glob("*/__init__.py")}


def test_the_map_names_modules_there_are() -> None:
    rows = re.findall(r"(?m)^\| [^`].*", MAP.read_text(encoding="utf-8"))
    named = {each for row in rows for each in re.findall(r"`(\w+/\w+)`", row)}
    assert "status/shown" in named
    assert {each for each in named if not (ROOT / "planner" / f"{each}.py").is_file()} == set()
