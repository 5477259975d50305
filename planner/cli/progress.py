"""What goes on while many pages are made, on standard error and on a terminal only.

Takes what is made one after the other, gives the same, and shows how many are made once a second
has gone by. Says nothing where nobody looks on, and uses no colour where NO_COLOR is set.
"""

from __future__ import annotations

import sys
import time
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

Made = TypeVar("Made")
SHOWN_AFTER = 1.0
"""Seconds after which it is shown."""


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
