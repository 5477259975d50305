"""Sentences for people on standard error, at the width of the pages.

Takes a sentence, prints it folded at its spaces. A word wider than a line, such as a path, stays
whole, so that it can be copied.
"""

from __future__ import annotations

import textwrap
from typing import IO, Any

import click

WIDTH = 80


def wrapped(text: str, first: str = "") -> str:
    """Lines of at most `WIDTH` columns; all but the first of each line of `text` are set in.

    Args:
        text: sentences; a line end in it stays one.
        first: what stands before the text on its first line and is not part of what is given back.
    """
    lines = (
        textwrap.wrap(
            each,
            WIDTH,
            initial_indent="" if n else first,
            subsequent_indent="  ",
            break_long_words=False,
            break_on_hyphens=False,
        )
        for n, each in enumerate(text.split("\n"))
    )
    return "\n".join("\n".join(each) for each in lines).removeprefix(first)


def say(text: str) -> None:
    """Print it on standard error."""
    click.echo(wrapped(text), err=True)


class Misused(click.UsageError):
    """A wrong usage whose sentence is folded when it is shown."""

    def show(self, file: IO[Any] | None = None) -> None:
        """Print usage and sentence, as click does."""
        click.UsageError(wrapped(self.message, "Error: "), self.ctx).show(file)


def folded_usage(fault: click.UsageError) -> Misused:
    """The same fault, folded when it is shown."""
    return Misused(fault.format_message(), fault.ctx)
