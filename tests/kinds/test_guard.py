"""Calls into what other people wrote are held, and given the time that imports take."""

from __future__ import annotations

import signal
import sys
from types import ModuleType

import pytest

from planner.kinds.guard import Answered, Failed, held

pytestmark = pytest.mark.skipif(not hasattr(signal, "setitimer"), reason="no interval timers")


def time_is_up() -> None:
    """What the timer does when it runs out, without waiting for it."""
    signal.raise_signal(signal.SIGALRM)


def test_time_that_went_to_imports_is_given_again(monkeypatch: pytest.MonkeyPatch) -> None:
    def ask() -> str:
        monkeypatch.setitem(sys.modules, "a_heavy_library", ModuleType("a_heavy_library"))
        time_is_up()
        return "an answer"

    assert held(ask, 10) == Answered("an answer")


def test_a_call_that_imports_nothing_more_is_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    def ask() -> str:
        monkeypatch.setitem(sys.modules, "a_heavy_library", ModuleType("a_heavy_library"))
        time_is_up()
        time_is_up()
        return "an answer"

    assert held(ask, 10) == Failed("took more than 10 s")


def test_a_call_that_imports_for_ever_is_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    def ask() -> str:
        for number in range(10):
            monkeypatch.setitem(sys.modules, f"library_{number}", ModuleType("a_library"))
            time_is_up()
        return "an answer"

    # 20 s are left for imports: twice 10 s more, and the third time is the last.
    assert held(ask, 10) == Failed("took more than 10 s")
