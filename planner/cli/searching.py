"""Searching for an order from the command line: shown while it lasts, stopped by Ctrl-C, kept.

Takes a question in plain scheduling words and a budget, gives the answer. What it does goes to
standard error, after a second and on a terminal only. Ctrl-C keeps the best answer so far, and says
so.
"""

from __future__ import annotations

import signal
import sys
import threading
import time
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass
from typing import TYPE_CHECKING, NoReturn

import click

from planner.cli import kept_answers
from planner.cli.progress import SHOWN_AFTER

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from contextlib import AbstractContextManager

    from rich.text import Text

    from planner.schedule import (
        Answer,
        Budget,
        Instance,
        MovePrice,
        Progress,
    )

    Tell = Callable[[Progress], None]


def solved(instance: Instance, budget: Budget) -> Answer:
    """The best order found within a budget.

    Raises:
        ValueError: the question has no answer on its face.
    """
    from planner.schedule import solve

    key = kept_answers.key_of("solve", instance, budget)
    kept = kept_answers.recall(key, instance)
    if kept is not None:
        return kept[1]
    with _searching() as search:
        answer = solve(instance, budget, search.tell)
    if search.is_stopped:
        _tell_stopped(answer)
    else:
        kept_answers.keep(key, instance, answer)
    return answer


def replanned(
    instance: Instance, previous: Answer, start: int, price: MovePrice, budget: Budget
) -> tuple[Instance, Answer]:
    """The best order found close to another, after the question as it was asked then.

    See `planner.schedule.replan`.

    Raises:
        ValueError: the question has no answer on its face.
    """
    from planner.schedule import replan

    key = kept_answers.key_of("replan", instance, budget, (previous, start, price))
    kept = kept_answers.recall(key, instance)
    if kept is not None:
        return kept
    with _searching() as search:
        found = replan(instance, previous, start, price, budget, progress=search.tell)
    if search.is_stopped:
        _tell_stopped(found.answer)
    else:
        kept_answers.keep(key, found.instance, found.answer)
    return found.instance, found.answer


_stopped: list[float] = []


def stops() -> int:
    """How many searches of this process were stopped, whose answers could be better."""
    return len(_stopped)


def _tell_stopped(answer: Answer) -> None:
    _stopped.append(answer.gap)
    about = f"; no order is lighter by more than {answer.gap:.1%}" if answer.lower_bound else ""
    click.echo(f"Stopped: this is the best order found so far{about}.", err=True)


@dataclass(slots=True)
class _Search:
    """A search that goes on.

    Attributes:
        began: on any clock of seconds.
        news: the last of it; None before the first order.
        is_stopped: whether somebody pressed Ctrl-C.
    """

    began: float
    news: Progress | None = None
    is_stopped: bool = False

    def tell(self, news: Progress) -> None:
        """Take note of news from the solver."""
        self.news = news

    def stop(self, *_signal: object) -> NoReturn:
        """What Ctrl-C does: the solver gives the best it has."""
        self.is_stopped = True
        raise KeyboardInterrupt

    def __rich__(self) -> Text:
        """The line shown."""
        from rich.text import Text

        seconds = time.monotonic() - self.began
        if seconds < SHOWN_AFTER:
            return Text("")
        if self.news is None:
            return Text(f"Ordering, {seconds:.0f} s: looking for a first order", style="dim")
        return Text(progress_words(self.news, seconds), style="dim", overflow="ellipsis")


def progress_words(news: Progress, seconds: float) -> str:
    """Best, bound and gap, in one line of 80 columns for any common order."""
    said = f"Ordering, {seconds:.0f} s: weighs {news.best:,}"
    if news.lower_bound > 0 and news.best > 0:
        gap = max(0.0, 1 - news.lower_bound / news.best)
        said += f", bound {news.lower_bound:,}, gap {gap:.1%}"
    return f"{said}; Ctrl-C keeps it"


@contextmanager
def _searching() -> Iterator[_Search]:
    search = _Search(time.monotonic())
    with _stopped_by(search), _shown(search):
        yield search


@contextmanager
def _stopped_by(search: _Search) -> Iterator[None]:
    """Ctrl-C stops the search and not the command; only the main thread hears of it."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, search.stop)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _shown(search: _Search) -> AbstractContextManager[object]:
    if not sys.stderr.isatty():
        return nullcontext()
    from rich.console import Console
    from rich.live import Live

    # Standard output is left alone: it may go to a file while the terminal shows this.
    return Live(
        search,
        console=Console(stderr=True),
        transient=True,
        redirect_stdout=False,
        redirect_stderr=False,
    )
