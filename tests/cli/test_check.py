"""What `check` said is said again while no file differs, and looked for anew when one does."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.cli import cache, check, kept_findings
from planner.kinds import Registry
from planner.model.place import Place, Problem, Severity
from tests.cli.test_commands import run

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import ShowFolder

HILL = "sequences/hill.yaml"
FILES = ("show.yaml", "resources.yaml", "builds.yaml", "rates.yaml", HILL)


@pytest.fixture
def looked(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[Path]:
    """A cache of its own; gives the folders that were really looked at."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.delenv("PLATEWRIGHT_CACHE", raising=False)
    seen: list[Path] = []
    real = check.open_show

    def counting(folder: Path) -> object:
        seen.append(folder)
        return real(folder)

    monkeypatch.setattr(check, "open_show", counting)
    return seen


def kept() -> list[Path]:
    return list(kept_findings.KEPT.folder.glob("*"))


def test_a_show_that_has_not_changed_is_not_looked_at_again_and_its_faults_are_told(
    show: ShowFolder, looked: list[Path]
) -> None:
    show.replace(HILL, "nearest: 40 m", "nearest: 40 kg")
    first, second = run("check", show.path), run("check", show.path)
    assert len(looked) == 1
    assert "40 kg is a mass" in second.output
    assert (second.output, second.exit_code) == (first.output, 1)


def test_the_same_bytes_written_again_are_no_change(show: ShowFolder, looked: list[Path]) -> None:
    run("check", show.path)
    text = (show.path / HILL).read_text(encoding="utf-8")
    show.write(HILL, text)
    run("check", show.path)
    assert len(looked) == 1


@pytest.mark.parametrize("name", FILES)
def test_a_remark_in_any_file_has_the_show_looked_at_again(
    show: ShowFolder, looked: list[Path], name: str
) -> None:
    run("check", show.path)
    text = (show.path / name).read_text(encoding="utf-8")
    show.write(name, f"{text}# a remark\n")
    run("check", show.path)
    assert len(looked) == 2


def test_a_file_added_or_renamed_has_the_show_looked_at_again(
    show: ShowFolder, looked: list[Path]
) -> None:
    run("check", show.path)
    show.write("moves/pan.csv", "frame,pan [deg]\n1,0\n2,1\n")
    run("check", show.path)
    (show.path / HILL).rename(show.path / "sequences" / "down.yaml")
    told = run("check", show.path)
    assert len(looked) == 3
    assert "hill.yaml" not in told.output


def test_text_and_json_are_kept_apart(show: ShowFolder, looked: list[Path]) -> None:
    run("check", show.path)
    told = run("check", show.path, "--json")
    assert json.loads(told.output)
    assert run("check", show.path, "--json").output == told.output
    assert len(looked) == 2


def test_afresh_and_the_environment_have_the_show_looked_at_again(
    show: ShowFolder, looked: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    run("check", show.path)
    run("check", show.path, "--afresh")
    assert len(looked) == 2
    monkeypatch.setenv("PLATEWRIGHT_CACHE", "off")
    before = kept()
    run("check", show.path)
    assert len(looked) == 3
    assert kept() == before


@pytest.mark.parametrize(
    "spoiled",
    [
        lambda data: data[: len(data) // 2],
        lambda data: data.replace(b"without it", b"with it"),
        lambda _data: b"",
        lambda _data: b"[1, 2]",
        lambda _data: b"\xff\x00",
    ],
)
def test_what_is_not_as_it_was_kept_is_passed_over_and_written_again(
    show: ShowFolder, looked: list[Path], spoiled
) -> None:
    said = run("check", show.path).output
    (path,) = kept()
    whole = path.read_bytes()
    path.write_bytes(spoiled(whole))
    assert path.read_bytes() != whole
    assert run("check", show.path).output == said
    assert len(looked) == 2
    assert path.read_bytes() == whole


def test_another_version_of_the_program_looks_itself(
    show: ShowFolder, looked: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    run("check", show.path)
    monkeypatch.setattr(cache, "program", lambda: ("another",))
    run("check", show.path)
    assert len(looked) == 2


def test_nothing_is_kept_of_a_show_written_to_while_it_is_looked_at(
    show: ShowFolder, looked: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    real = check.open_show

    def saved_meanwhile(folder: Path) -> object:
        found = real(folder)
        text = (show.path / HILL).read_text(encoding="utf-8")
        show.write(HILL, f"{text}# saved\n")
        return found

    monkeypatch.setattr(check, "open_show", saved_meanwhile)
    run("check", show.path)
    assert looked
    assert kept() == []


def test_nothing_is_kept_of_a_plugin_that_failed(show: ShowFolder, looked: list[Path]) -> None:
    asked = kept_findings.ask(show.path)
    broken = Problem(Severity.ERROR, Place("a.yaml"), "kind-broken", "it took more than 2 s")
    kept_findings.keep(asked, kept_findings.Said("text", 1), [broken])
    assert kept() == []
    assert kept_findings.recall(asked) is None


def test_a_cache_that_cannot_be_written_is_gone_without(
    show: ShowFolder, looked: list[Path], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    stands_there = tmp_path / "a file"
    stands_there.write_text("", encoding="utf-8")
    monkeypatch.setenv("XDG_CACHE_HOME", str(stands_there))
    assert run("check", show.path).exit_code == 0
    assert run("check", show.path).exit_code == 0
    assert len(looked) == 2


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    name=st.sampled_from(FILES),
    at=st.integers(0, 40),
    edit=st.sampled_from(["drop", "repeat", "cut short", "nothing"]),
)
def test_after_any_edit_the_answer_is_that_of_a_show_never_seen(
    show: ShowFolder, looked: list[Path], name: str, at: int, edit: str
) -> None:
    # Edits pile up from one example to the next, as a folder's do.
    lines = (show.path / name).read_text(encoding="utf-8").splitlines() or [""]
    at %= len(lines)
    now = {
        "drop": [*lines[:at], *lines[at + 1 :]],
        "repeat": [*lines[: at + 1], *lines[at:]],
        "cut short": [*lines[:at], lines[at][:-1], *lines[at + 1 :]],
        "nothing": lines,
    }[edit]
    show.write(name, "\n".join(now) + "\n")
    told = run("check", show.path)
    again = run("check", show.path)
    fresh = run("check", show.path, "--afresh")
    assert told.output == again.output == fresh.output
    assert told.exit_code == again.exit_code == fresh.exit_code


def test_kinds_are_part_of_the_program() -> None:
    # Every kind's own package is among the files by whose times an answer is kept.
    packages = {point.module.partition(".")[0] for point in Registry().points}
    files = repr(cache.program())
    assert all(f"{package}/" in files for package in packages)


def test_a_build_is_not_called_unused_while_a_sequence_cannot_be_read(show: ShowFolder) -> None:
    show.replace("sequences/hill.yaml", "joins: [sky, town]", "joins: [sky, town")
    told = run("check", show.path).stdout
    assert "yaml-syntax" in told
    assert "built-and-not-used" not in told
    show.replace("sequences/hill.yaml", "build: hill_town", "build: ?")
    show.replace("sequences/hill.yaml", "joins: [sky, town", "joins: [sky, town]")
    assert "built-and-not-used" in run("check", show.path).stdout
