"""``platewright graph``: a drawing of what waits for what."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from planner.cli.opening import SHOW, open_sound, tell


@click.command("graph")
@SHOW
@click.argument("part", required=False)
@click.option(
    "--to",
    type=click.Path(path_type=Path, dir_okay=False),
    help="File to write; its ending says the format: .svg, .pdf, .png or .dot.",
)
def command(folder: Path, part: str | None, to: Path | None) -> None:
    """Draw PART of SHOW: a shot, a sequence, or (without PART) the whole show, collapsed.

    Work runs from left to right; an arrow says in words why one thing waits for another.
    """
    from planner.pages.files import write_text
    from planner.pages.graph_drawing import draw_part
    from planner.pages.render import render

    opened = open_sound(folder)
    show = opened.show
    if part and part not in show.shots and part not in show.sequences:
        click.echo(f"{part} is neither a shot nor a sequence of {show.title}", err=True)
        sys.exit(2)
    dot = draw_part(show, opened.graph.arrows, part or "", opened.estimates)
    target = to or Path(f"{part or 'show'}.svg")
    if target.suffix == ".dot":
        write_text(target, dot)
    elif problem := render(dot, target.suffix.removeprefix("."), target):
        tell([problem])
        sys.exit(1)
    click.echo(f"wrote {target}")
