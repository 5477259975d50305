"""What `blocking` said is said again while nothing has changed, and worked out anew when it has."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.cli import blocking, kept_blocking, searching
from tests.cli.test_commands import QUICK, run

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import ShowFolder

ASKED = (*QUICK, "--on", "2027-03-01")


@pytest.fixture
def asked(
    show: ShowFolder, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> tuple[list[object], str]:
    """A question that was asked once: how often it was worked out since, and what was said."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    said = run("blocking", show.path, *ASKED).output
    worked_out: list[object] = []
    real = blocking.blocking_of

    def counting(*told: object) -> object:
        worked_out.append(told)
        return real(*told)  # type: ignore[arg-type]

    monkeypatch.setattr(blocking, "blocking_of", counting)
    return worked_out, said


def test_the_same_question_is_answered_as_before(
    show: ShowFolder, asked: tuple[list[object], str]
) -> None:
    worked_out, said = asked
    assert "hill town" in said
    assert run("blocking", show.path, *ASKED).output == said
    assert worked_out == []


@pytest.mark.parametrize(
    "other",
    [
        ("--json",),
        ("--roots", "1"),
        ("--on", "2027-03-02"),
        ("--seed", "3"),
        ("HL010",),
        ("--ledger", "other.db"),
    ],
)
def test_another_question_is_worked_out(
    show: ShowFolder, asked: tuple[list[object], str], other: tuple[str, ...]
) -> None:
    ledger = show.path / "other.db"
    run("post", show.path, "held", "hill_town", "--by", "x", "--ledger", ledger)
    words = (str(ledger) if each == "other.db" else each for each in other)
    assert run("blocking", show.path, *ASKED, *words).exit_code == 0
    assert len(asked[0]) == 1


def test_what_is_posted_counts_at_once(show: ShowFolder, asked: tuple[list[object], str]) -> None:
    worked_out, said = asked
    for n, what in enumerate(("built", "lost", "built"), start=1):
        run("post", show.path, what, "hill_town", "--at", f"2026-01-0{n}")
        result = run("blocking", show.path, *ASKED).output
        assert len(worked_out) == n
        assert (result == said) is False
        assert run("blocking", show.path, *ASKED).output == result
        assert len(worked_out) == n


@pytest.mark.parametrize("name", ["sequences/hill.yaml", "show.yaml", "builds.yaml"])
def test_a_file_written_anew_counts_at_once(
    show: ShowFolder, asked: tuple[list[object], str], name: str
) -> None:
    path = show.path / name
    path.write_bytes(path.read_bytes())  # the same bytes, and the disk knows they were written
    assert run("blocking", show.path, *ASKED).output == asked[1]
    assert len(asked[0]) == 1


def test_an_answer_that_is_not_as_it_was_written_is_passed_over(
    show: ShowFolder, asked: tuple[list[object], str]
) -> None:
    for each in kept_blocking.KEPT.folder.glob("*.json"):
        each.write_text(each.read_text(encoding="utf-8").replace("hill town", "hill tawn"))
    assert run("blocking", show.path, *ASKED).output == asked[1]
    assert len(asked[0]) == 1


def test_a_search_by_the_clock_is_made_every_time(
    show: ShowFolder, asked: tuple[list[object], str]
) -> None:
    for _ in range(2):
        run("blocking", show.path, "--seconds", "0.01", "--on", "2027-03-01")
    assert len(asked[0]) == 2


def test_what_a_stopped_search_found_is_not_kept(
    show: ShowFolder, asked: tuple[list[object], str], monkeypatch: pytest.MonkeyPatch
) -> None:
    counts = iter(range(9))
    monkeypatch.setattr(searching, "stops", lambda: next(counts))
    for _ in range(2):
        run("blocking", show.path, *ASKED, "--seed", "5")
    assert len(asked[0]) == 2
