"""What goes on while many pages or one long thing are made, on standard error of a terminal only.

Takes what is made one after the other, gives the same, and shows how many are made once a second
has gone by; of one thing that takes long, shows for how long it has been made. Says nothing where
nobody looks on, and uses no colour where NO_COLOR is set.
"""

from __future__ import annotations

import sys
import time
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from rich.text import Text

Made = TypeVar("Made")
_unseen: ContextVar[bool] = ContextVar("unseen", default=False)
SHOWN_AFTER = 1.0
"""Seconds after which it is shown; of a search likewise."""


def shown(made: Iterable[Made], what: str, total: int | None = None) -> Iterator[Made]:
    """The same things, counted on the terminal while they are made.

    Args:
        made: one after the other.
        what: they are, in the plural: ``pages``.
        total: how many there will be; None where nobody knows yet.
    """
    if not sys.stderr.isatty():
        yield from made
        return
    from rich.console import Console
    from rich.live import Live
    from rich.text import Text

    of = f" of {total:,}" if total is not None else ""
    began = time.monotonic()
    console = Console(stderr=True)
    with Live(
        console=console, transient=True, redirect_stdout=False, redirect_stderr=False
    ) as live:
        for number, each in enumerate(made, start=1):
            seconds = time.monotonic() - began
            if seconds >= SHOWN_AFTER:
                live.update(Text(f"{number:,}{of} {what} made, {seconds:.0f} s", style="dim"))
            yield each


@contextmanager
def unseen() -> Iterator[None]:
    """Show nothing of what goes on in the block, as whoever began it shows how far all of it is."""
    before = _unseen.set(True)
    try:
        yield
    finally:
        _unseen.reset(before)


@contextmanager
def going_on(what: str) -> Iterator[None]:
    """Say on the terminal what is done in the block, and for how long, once a second has gone by.

    Args:
        what: ``setting 150 sheets in type``.
    """
    if _unseen.get() or not sys.stderr.isatty():
        yield
        return
    from rich.console import Console
    from rich.live import Live

    console = Console(stderr=True)
    with Live(
        _Going(what, time.monotonic()),
        console=console,
        transient=True,
        redirect_stdout=False,
        redirect_stderr=False,
    ):
        yield


@dataclass(frozen=True, slots=True)
class _Going:
    """A line that says how long something has gone on, each time it is drawn."""

    what: str
    began: float

    def __rich__(self) -> Text:
        from rich.text import Text

        seconds = time.monotonic() - self.began
        return Text(f"{self.what}, {seconds:.0f} s" if seconds >= SHOWN_AFTER else "", style="dim")
