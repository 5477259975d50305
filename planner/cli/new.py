"""``platewright new``: a small commented show to begin from."""

from __future__ import annotations

import sys
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Iterator
    from importlib.resources.abc import Traversable


@click.command("new")
@click.argument("folder", type=click.Path(path_type=Path))
def command(folder: Path) -> None:
    """Write a small commented show into FOLDER, which must be new or empty.

    It plans cleanly as it stands: change one thing at a time and run `platewright check FOLDER`.
    """
    from planner.pages.files import write_bytes

    if refusal := in_use(folder):
        click.echo(refusal, err=True)
        sys.exit(2)
    try:
        for name, each in _starter_files():
            write_bytes(folder / name, each.read_bytes())
            click.echo(f"wrote {folder / name}")
    except OSError as error:
        click.echo(f"{folder} cannot be written: {error.strerror}", err=True)
        sys.exit(1)
    click.echo(f"now: platewright check {folder}")


def in_use(folder: Path, name_with: str = "") -> str:
    """Why nothing new can be written into a folder; empty where it is new or empty.

    Args:
        folder: to be written.
        name_with: how another is named on the command line, where that is not plain.
    """
    try:
        is_free = not folder.exists() or (folder.is_dir() and not any(folder.iterdir()))
    except OSError as error:
        return f"{folder} cannot be looked into: {error.strerror}; name another{name_with}"
    if is_free:
        return ""
    return f"{folder} is there already and not an empty folder; name a new one{name_with}"


def _starter_files() -> Iterator[tuple[str, Traversable]]:
    root = files("planner.cli") / "starter_show"
    for each in sorted(root.iterdir(), key=lambda file: file.name):
        if each.is_dir():
            yield from ((f"{each.name}/{file.name}", file) for file in each.iterdir())
        else:
            yield each.name, each
