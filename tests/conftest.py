"""Fixtures shared by every room's tests."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path
from textwrap import dedent
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, settings

from planner.cli import group

if TYPE_CHECKING:
    from collections.abc import Callable

# What is slow on a busy machine is not wrong; speed is measured in tests/bench.
settings.register_profile("untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("untimed")

SMALL_SHOW = {
    "show.yaml": """\
        show: A small show
        currency: GBP
        starts: 2027-03-01
        handles: 8
        camera:
          format: full-aperture-35
          frame_rate: 24 fps
          shutter: 180 deg
          image_width: 2048 px
        calendar:
          week: [mon, tue, wed, thu, fri]
          day_starts: 08:00
          day_hours: 10 h
        overhead: 12 %
        contingency: {ordinary: 10 %}
        deliveries:
          reel: {date: 2027-12-01, of: [hill]}
        """,
    "resources.yaml": """\
        stages:
          north: {width: 18 m, depth: 24 m, height: 7 m}
        cameras:
          cam: {top_rate: 120 fps}
        lenses:
          prime_35: {focal_length: 35 mm, smallest_stop: f/22, close_focus: 0.5 m}
        crews:
          stage_crew: {craft: stage, heads: 6}
          modellers: {craft: model_making, heads: 4}
        """,
    "builds.yaml": """\
        builds:
          hill_town:
            makes: miniature
            scale: 1/24
            full_size: {width: 60 m, depth: 40 m, height: 12 m}
            drawing: sheet 1 revision a
        """,
    "rates.yaml": """\
        rates:
          stage: {per: hour, amounts: [{from: 2027-01-01, is: 40.00 GBP}]}
          model_making:
            per: hour
            amounts:
              - {from: 2027-01-01, is: 35.50 GBP}
              - {from: 2027-06-01, is: 36.25 GBP}
          north: {per: day, amounts: [{from: 2027-01-01, is: 2400 GBP}]}
        """,
    "sequences/hill.yaml": """\
        sequence: hill
        title: On the hill
        shots:
          HL010:
            says: The town below.
            cut: 1-96
            camera: {lens: prime_35, height: 6 m, stop: f/8}
            elements:
              sky: {kind: plate, sort: live, on: location}
              town:
                kind: miniature
                build: hill_town
                action: still
                nearest: 40 m
                holds: {from: 40 m, to: 90 m}
                extent: {width: 50 m, depth: 40 m, height: 12 m}
                light: 250 fc
              final: {kind: composite, joins: [sky, town]}
        """,
}


class ShowFolder:
    """A small sound show on disk, to be spoiled one line at a time."""

    def __init__(self, path: Path) -> None:
        self.path = path
        for name, text in SMALL_SHOW.items():
            self.write(name, dedent(text))

    def write(self, name: str, text: str) -> None:
        file = self.path / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")

    def replace(self, name: str, old: str, new: str) -> None:
        text = (self.path / name).read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {name}"
        self.write(name, text.replace(old, new))

    def place(self, name: str, text: str) -> str:
        """``name:line:column`` of the only occurrence of `text` in a file."""
        lines = (self.path / name).read_text(encoding="utf-8").splitlines()
        found = [(n, line.index(text)) for n, line in enumerate(lines, start=1) if text in line]
        assert len(found) == 1, f"{text!r} stands {len(found)} times in {name}"
        line, column = found[0]
        return f"{self.path / name}:{line}:{column + 1}"


@pytest.fixture(autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Answers kept in no cache but the tests' own."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.getbasetemp() / "cache"))


# A command line of a page, and what stands under it.
COMMAND = re.compile(
    r"^    \$ ([^\n]*)\n((?:    (?!\$ )[^\n]*\n|\n(?=    (?!\$ )))*)", re.MULTILINE
)


@pytest.fixture
def as_printed() -> Callable[[str], str]:
    """Of a page, the same page with every line after a ``$`` run, and what it prints beneath it."""
    return lambda page: COMMAND.sub(lambda match: f"    $ {match[1]}\n{_printed(match[1])}", page)


def _printed(line: str) -> str:
    """What a command prints, indented; the few other commands of a page are done here."""
    whole, _, cut = line.partition(" | ")
    words = shlex.split(whole)
    name = Path(words[0]).name
    if name == "cp":
        shutil.copytree(words[2], words[3], ignore=shutil.ignore_patterns("season"))
        return ""
    if name == "sed":
        _, old, new, _ = words[2].split("/")
        text = Path(words[3]).read_text(encoding="utf-8")
        assert text.count(old) == 1, line
        Path(words[3]).write_text(text.replace(old, new), encoding="utf-8")
        return ""
    assert name == "platewright", line
    result = CliRunner().invoke(group, words[1:])
    assert result.exit_code in (0, 1), result.output
    assert not isinstance(result.exception, Exception) or isinstance(result.exception, SystemExit)
    lines = result.stdout.splitlines()
    if cut:
        way, count = re.fullmatch(r"(head|tail) -(\d+)", cut).groups()  # type: ignore[union-attr]
        lines = lines[: int(count)] if way == "head" else lines[-int(count) :]
    while lines and not lines[-1]:
        lines.pop()
    return "".join(f"    {each}\n" if each else "\n" for each in lines)


@pytest.fixture
def show(tmp_path: Path) -> ShowFolder:
    return ShowFolder(tmp_path / "small_show")
