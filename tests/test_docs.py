"""What README.md says is so: its tour prints what it shows, and every command is told of.

``RENEW=1 pytest tests/test_docs.py`` writes the tour's output anew; read the difference.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from planner.cli import COMMANDS, group

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
TOUR = re.compile(
    r"(?P<head>    \$ \S*platewright plan [^\n]*\n)(?P<shown>(?:    [^$\n][^\n]*\n)+)"
)


def test_the_tour_prints_what_it_shows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "example_shows").symlink_to(ROOT / "example_shows")
    words = ["plan", "example_shows/nine_bells_under", "--to", "plan"]
    printed = CliRunner().invoke(group, words).stdout
    indented = "".join(f"    {line}\n" for line in printed.splitlines())
    text = README.read_text(encoding="utf-8")
    match = TOUR.search(text)
    assert match is not None
    if os.environ.get("RENEW"):
        README.write_text(text.replace(match["shown"], indented), encoding="utf-8")
        return
    assert match["shown"] == indented


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_is_told_of_in_the_readme(name: str) -> None:
    assert f"platewright {name} " in README.read_text(encoding="utf-8").replace("\n", " ")


def test_the_readme_names_no_command_there_is_not() -> None:
    named = set(re.findall(r"platewright ([a-z-]+)\b", README.read_text(encoding="utf-8")))
    assert named <= set(COMMANDS)
