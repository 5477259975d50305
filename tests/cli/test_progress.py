"""What is shown while pages are made."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from planner.cli import progress

if TYPE_CHECKING:
    import pytest


class Terminal(io.StringIO):
    """A stream that somebody looks at."""

    def isatty(self) -> bool:
        return True


def test_a_terminal_is_told_how_many_are_made_once_a_second_has_gone_by(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setattr(progress, "SHOWN_AFTER", 0.0)
    stream = Terminal()
    monkeypatch.setattr(progress.sys, "stderr", stream)
    assert list(progress.shown(["a", "b"], "pages", 2)) == ["a", "b"]
    assert "2 of 2 pages made" in stream.getvalue()
    assert "\x1b[3" not in stream.getvalue()  # no colour


def test_what_is_quick_is_not_told_of(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = Terminal()
    monkeypatch.setattr(progress, "SHOWN_AFTER", 1e9)
    monkeypatch.setattr(progress.sys, "stderr", stream)
    assert list(progress.shown(["a", "b"], "pages")) == ["a", "b"]
    assert "made" not in stream.getvalue()


def test_a_file_is_told_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = io.StringIO()
    monkeypatch.setattr(progress, "SHOWN_AFTER", 0.0)
    monkeypatch.setattr(progress.sys, "stderr", stream)
    assert list(progress.shown(["a"], "pages")) == ["a"]
    assert stream.getvalue() == ""


def test_one_thing_that_takes_long_is_said_with_its_seconds(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("TERM", "xterm")
    stream = Terminal()
    monkeypatch.setattr(progress.sys, "stderr", stream)
    monkeypatch.setattr(progress, "SHOWN_AFTER", 0.0)
    with progress.going_on("setting 150 sheets in type"):
        pass
    assert "setting 150 sheets in type, 0 s" in stream.getvalue()


def test_one_thing_is_not_said_before_its_time_nor_where_nobody_looks_on(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("TERM", "xterm")
    stream = Terminal()
    monkeypatch.setattr(progress.sys, "stderr", stream)
    monkeypatch.setattr(progress, "SHOWN_AFTER", 1e9)
    with progress.going_on("setting"):
        pass
    assert "setting" not in stream.getvalue()
    nobody = io.StringIO()
    monkeypatch.setattr(progress.sys, "stderr", nobody)
    monkeypatch.setattr(progress, "SHOWN_AFTER", 0.0)
    with progress.going_on("setting"):
        pass
    assert nobody.getvalue() == ""


def test_what_is_part_of_something_shown_is_not_said_by_itself(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(progress, "SHOWN_AFTER", 0.0)
    stream = Terminal()
    monkeypatch.setattr(progress.sys, "stderr", stream)
    with progress.unseen(), progress.going_on("pricing"):
        pass
    assert stream.getvalue() == ""
