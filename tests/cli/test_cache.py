"""One variable of the environment turns off every cache, whatever is kept in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from planner.cli import cache as caching
from planner.cli.cache import Cache, key_of
from tests.cli.test_commands import QUICK, run

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import ShowFolder


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where all caches lie, of this test alone."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache" / "platewright"


@pytest.mark.usefixtures("folder")
@pytest.mark.parametrize("word", ["off", " OFF "])
def test_what_was_kept_is_not_recalled_while_keeping_is_off(
    monkeypatch: pytest.MonkeyPatch, word: str
) -> None:
    cache, key = Cache("texts", most=3), key_of("a question")
    cache.keep(key, "an answer")
    monkeypatch.setenv("PLATEWRIGHT_CACHE", word)
    assert cache.recall(key) is None
    cache.keep(key, "another answer")
    monkeypatch.delenv("PLATEWRIGHT_CACHE")
    assert cache.recall(key) == "an answer"


@pytest.mark.parametrize(
    "asked",
    [("order", *QUICK), ("blocking", "--on", "2027-03-01", *QUICK), ("check",)],
    ids=["an order", "what blocks", "findings"],
)
def test_no_command_keeps_an_answer_while_keeping_is_off(
    show: ShowFolder, folder: Path, monkeypatch: pytest.MonkeyPatch, asked: tuple[str, ...]
) -> None:
    monkeypatch.setenv("PLATEWRIGHT_CACHE", "off")
    said = run(asked[0], show.path, *asked[1:])
    assert not list(folder.rglob("*.json"))
    monkeypatch.setenv("PLATEWRIGHT_CACHE", "on")
    assert run(asked[0], show.path, *asked[1:]).output == said.output
    assert list(folder.rglob("*.json"))


def test_a_link_to_nothing_among_the_programs_files_is_no_part_of_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "kites_of_ours"
    package.mkdir()
    (package / "__init__.py").write_text("", encoding="utf-8")
    (package / ".#kite.py").symlink_to("somebody@somewhere.1")
    monkeypatch.syspath_prepend(tmp_path)
    monkeypatch.setattr(caching, "_OURS", ("kites_of_ours",))
    monkeypatch.setattr(caching, "entry_points", lambda group: ())
    # Past what is remembered of the program that tests.
    _version, _kinds, stamps = caching.program.__wrapped__()
    assert [name for name, *_ in stamps] == [str(package / "__init__.py")]
