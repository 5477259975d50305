"""``platewright watch``: check again on every save, and tell what changed."""

from __future__ import annotations

import gc
import sys
from contextlib import suppress
from pathlib import Path
from time import sleep
from typing import TYPE_CHECKING

import click

from planner.cli.opening import SHOW, Held, effort_options, open_show, wants_colour

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping

    from planner.cli.opening import Effort, Opened
    from planner.model.place import Problem

PERIOD = 0.2
"""Seconds between two looks at the folder."""
FILES = ("*.yaml", "sequences/*.yaml", "moves/*.csv")
"""All that a show is read from."""


@click.command("watch")
@SHOW
@click.option(
    "--report",
    type=click.Path(path_type=Path, dir_okay=False),
    help="File to keep up to date: the show's report, written anew after each save.",
)
@effort_options
def command(folder: Path, effort: Effort, *, report: Path | None) -> None:
    """Check SHOW again on every save: print findings that are new and those that are gone.

    \b
    A finding is
        an error    it cannot be made as stated, or its files cannot be read
        a warning   somebody must decide; known and accepted, it may be waived
        a note      worth knowing; told as it comes and goes, and not counted

    Control-C ends it. What is said of the search for an order matters with --report only.
    """  # noqa: D301 - click wants the character itself
    from planner.cli.report import kept_up_to_date

    refresh = None if report is None else kept_up_to_date(report, effort)
    with suppress(KeyboardInterrupt):
        watch(folder, changes(folder, lambda: sleep(PERIOD)), refresh)
    click.echo("no longer watched", err=True)


def watch(
    folder: Path,
    saves: Iterable[tuple[str, ...]],
    refresh: Callable[[Opened], None] | None = None,
) -> None:
    """Tell of a show as it is, then after each save what changed.

    Args:
        folder: the show's.
        saves: names of the files saved, each time any were; ends when watching does.
        refresh: called after each check with the show, where it can be read; for pages that are
            kept up to date.
    """
    from planner.pages.watched import first_text, news_of, news_text

    colour = wants_colour(sys.stdout)
    held = Held()
    # A set reckons the hash of each but once, and is looked through again after every save.
    problems = frozenset(_check(folder, held, refresh))
    click.echo(first_text(problems, len(_marks(folder))), nl=False)
    if problems:
        click.echo(f"`platewright check {folder}` lists them.")
    click.echo(f"{folder} is watched; Control-C ends it.", err=True)
    for names in saves:
        click.echo(f"\nsaved: {', '.join(names)}")
        before, problems = problems, frozenset(_check(folder, held, refresh))
        show = held.graph[0] if held.graph else None
        click.echo(news_text(news_of(before, problems), show, colour=colour), nl=False)


def _check(
    folder: Path, held: Held, refresh: Callable[[Opened], None] | None
) -> tuple[Problem, ...]:
    opened, problems = open_show(folder, held)
    # What is held stays; looking through all of it for garbage again and again takes seconds.
    gc.freeze()
    if opened is None:
        return problems
    if refresh is not None:
        refresh(opened)
    return (*problems, *opened.findings)


def changes(folder: Path, wait: Callable[[], None]) -> Iterator[tuple[str, ...]]:
    """Names of files saved, added or removed between two looks, each time there are any.

    An editor that writes a file in several steps is waited for: a change is told once two looks
    after it agree.

    Args:
        folder: the show's.
        wait: passes the time between two looks.
    """
    told = seen = _marks(folder)
    while True:
        wait()
        now = _marks(folder)
        if now != told and now == seen:
            yield tuple(sorted({name for name, _mark in told.items() ^ now.items()}))
            told = now
        seen = now


def _marks(folder: Path) -> Mapping[str, tuple[int, int]]:
    """Of each file of the show, when it was written and how long it is."""
    marks = {}
    for path in (each for pattern in FILES for each in folder.glob(pattern)):
        with suppress(OSError):
            stat = path.stat()
            marks[path.relative_to(folder).as_posix()] = (stat.st_mtime_ns, stat.st_size)
    return marks
