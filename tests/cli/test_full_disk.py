"""Every command that writes files, on a full disk and under a kill: all of a file, or nothing.

The disk is made full by the limit on the size of files that a process may write, which needs no
rights: from the first byte too many on, the system refuses as it would for want of space.
"""

from __future__ import annotations

import json
import os
import random
import re
import resource
import subprocess
import sys
import time
from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

import pytest

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import ShowFolder

QUICK = ("--tries", "0")
FULL = re.compile("File too large|disk (is|may be) full", re.IGNORECASE)
CUT = "changes:\n  - {shorten: HL010, tail: 4}\n"
WRITERS = {
    "plan": ("plan", "SHOW", "--to", "OUT/plan", *QUICK),
    "order": ("order", "SHOW", "--issue", *QUICK),
    "bid": ("bid", "SHOW", "--issue", *QUICK),
    "spreadsheet": ("bid", "SHOW", "--xlsx", "OUT/bid.xlsx", *QUICK),
    "table": ("bid", "SHOW", "--csv", "OUT/bid.csv", *QUICK),
    "report": ("report", "SHOW", "--to", "OUT/show.html", *QUICK),
    "split report": ("report", "SHOW", "--split", "--to", "OUT/report", *QUICK),
    "print": ("print", "SHOW", "day", "--to", "OUT/day.pdf", *QUICK),
    "calendar": ("calendar", "SHOW", "--to", "OUT/calls", *QUICK),
    "graph": ("graph", "SHOW", "HL010", "--to", "OUT/a.svg"),
    "new": ("new", "OUT/fresh"),
    "editor": ("editor", "SHOW"),
    "ledger": ("ledger", "SHOW", "--export", "OUT/ledger.jsonl"),
    "recut": ("recut", "SHOW", "OUT/cut.yaml", "--accept", *QUICK),
}


def start(words: tuple[str, ...], most: int | None) -> subprocess.Popen[str]:
    def full() -> None:
        if most is not None:
            resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))

    program = [sys.executable, "-c", "from planner.cli import main; main()", *words]
    pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    environment = os.environ | {"PYTHONDONTWRITEBYTECODE": "1"}
    return subprocess.Popen(
        program,
        text=True,
        preexec_fn=full,  # noqa: PLW1509 - the test has no threads
        env=environment,
        **pipes,
    )


def files_of(*folders: Path) -> dict[Path, bytes]:
    """Every file but the database, which keeps its own promise."""
    return {
        path: path.read_bytes()
        for folder in folders
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not path.name.startswith("ledger.db")
    }


@pytest.fixture
def places(show: ShowFolder, tmp_path: Path) -> dict[str, str]:
    out = tmp_path / "out"
    out.mkdir()
    (out / "cut.yaml").write_text(CUT)
    return {"SHOW": str(show.path), "OUT": str(out)}


def filled(words: tuple[str, ...], places: dict[str, str]) -> tuple[str, ...]:
    for name, path in places.items():
        words = tuple(word.replace(name, path) for word in words)
    return words


@pytest.mark.parametrize("name", WRITERS)
def test_a_full_disk_is_one_sentence_and_leaves_all_as_it_was(
    name: str, places: dict[str, str], show: ShowFolder, tmp_path: Path
) -> None:
    start(filled(("post", "SHOW", "on stage", "hill_town"), places), None).communicate()
    before = files_of(show.path, tmp_path / "out")
    process = start(filled(WRITERS[name], places), 40)
    _said, told = process.communicate()
    after = files_of(show.path, tmp_path / "out")
    assert process.returncode == 1, told
    assert "Traceback" not in told
    assert "unforeseen" not in told
    assert FULL.search(told), told
    assert {path: after.get(path) for path in before} == before
    # What is new is whole: a file of fewer than the 40 bytes that could be written.
    assert all(len(data) < 40 for path, data in after.items() if path not in before)


def is_whole(path: Path, data: bytes) -> bool:
    match path.suffix:
        case ".json":
            return bool(json.loads(data))
        case ".svg":
            return ET.fromstring(data.decode()).tag.endswith("svg")  # noqa: S314 - our own
        case ".html":
            return data.rstrip().endswith(b"</html>")
        case _:
            return data.endswith(b"\n")


@pytest.mark.parametrize("name", ["plan", "split report", "calendar"])
def test_a_kill_leaves_no_file_in_part(
    name: str, places: dict[str, str], show: ShowFolder, tmp_path: Path
) -> None:
    before = set(files_of(show.path, tmp_path / "out"))
    chance = random.Random(7)  # noqa: S311 - repeatable, not secret
    for _ in range(4):
        process = start(filled(WRITERS[name], places), None)
        time.sleep(chance.uniform(0.3, 1.5))
        process.kill()
        process.communicate()
        for path, data in files_of(show.path, tmp_path / "out").items():
            if path not in before and not path.name.startswith("."):
                assert is_whole(path, data), path
