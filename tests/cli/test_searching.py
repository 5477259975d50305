"""A search as its user meets it: what it says while it lasts, and what Ctrl-C leaves."""

from __future__ import annotations

import os
import signal
import time
from typing import TYPE_CHECKING

import planner.schedule
from planner.cli import kept_answers
from planner.cli.searching import _Search, progress_words, solved
from planner.schedule import Budget, Progress, verify
from tests.cli.test_kept_answers import BUDGET, instance

if TYPE_CHECKING:
    from collections.abc import Callable

    import pytest

    from planner.schedule import Answer, Instance


class Clock:
    """Of seconds that do not pass; somebody presses Ctrl-C when it is read so many times."""

    def __init__(self, reads: int) -> None:
        self.left = reads

    def __call__(self) -> float:
        self.left -= 1
        if self.left == 0:
            os.kill(os.getpid(), signal.SIGINT)
        return 0.0


def test_ctrl_c_keeps_the_best_order_found_and_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    before = signal.getsignal(signal.SIGINT)
    clock = Clock(5)
    answer = solved(instance(), Budget(seconds=60.0, clock=clock))
    assert clock.left <= 0
    assert verify(instance(), answer) == ()
    told = capsys.readouterr()
    assert told.err.startswith("Stopped: this is the best order found so far")
    assert told.out == ""
    assert signal.getsignal(signal.SIGINT) is before


def test_a_search_that_was_stopped_is_not_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    kept: list[str] = []
    monkeypatch.setattr(kept_answers, "keep", lambda key, *_rest: kept.append(key))
    search = planner.schedule.solve

    def pressed(asked: Instance, budget: Budget, tell: Callable[[Progress], None]) -> Answer:
        def hear(news: Progress) -> None:
            tell(news)
            os.kill(os.getpid(), signal.SIGINT)

        return search(asked, budget, hear)

    with monkeypatch.context() as patched:
        patched.setattr("planner.schedule.solve", pressed)
        solved(instance(), BUDGET)
    assert kept == []
    solved(instance(), BUDGET)
    assert len(kept) == 1


def test_nothing_is_said_where_nobody_watches(capsys: pytest.CaptureFixture[str]) -> None:
    solved(instance(), BUDGET)
    assert capsys.readouterr() == ("", "")


def test_progress_is_best_bound_and_gap_in_a_line_of_80_columns() -> None:
    # 1 - 75 / 100 is a quarter.
    said = progress_words(Progress("local search", 100, 75, 9), 3.2)
    assert said == "Ordering, 3 s: weighs 100, bound 75, gap 25.0%; Ctrl-C keeps it"
    assert "gap" not in progress_words(Progress("local search", 100, 0, 9), 3.2)
    assert len(progress_words(Progress("local search", 12_345_678, 9_876_543, 9), 500)) <= 80


def test_before_the_first_order_a_long_search_is_told_too() -> None:
    said = _Search(time.monotonic() - 3).__rich__().plain
    assert said == "Ordering, 3 s: looking for a first order"
    assert _Search(time.monotonic()).__rich__().plain == ""
