"""``platewright scale``: which scales serve a build, and what each asks."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from planner.cli.named import did_you_mean
from planner.cli.opening import SHOW, kinds_of, open_sound
from planner.cli.sentences import say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.estimate.scales import ScaleStudy
    from planner.model.quantity import Quantity
    from planner.model.show import Show


@click.command("scale")
@SHOW
@click.argument("build", required=False)
@click.option("--at", help="Scales to compare, such as 1/3,1/4,1/5.")
@click.option(
    "--svg",
    type=click.Path(path_type=Path, dir_okay=False),
    help="File to write the chart of scales to.",
)
@click.option("--json", "as_json", is_flag=True, help="For machines.")
def command(
    folder: Path, build: str | None, at: str | None, svg: Path | None, *, as_json: bool
) -> None:
    """Compare scales of BUILD in SHOW: what limits it, what would give way, what each scale asks.

    Scales compared are those of --at, else the build's candidates, else what it is made at and the
    ends of its window. Without BUILD every build is told of, at length those that are not settled
    or do not serve.
    """
    from planner.estimate.scales import Ground, study_scale
    from planner.pages.scale_json import studies_json
    from planner.pages.scale_text import studies_text

    tried = _scales(at) if at is not None else ()
    opened = open_sound(folder)
    builds = _builds(opened.show, build)
    ground = Ground(opened.show, opened.graph, kinds_of(opened.show), opened.estimates)
    studies = [study_scale(ground, each, tried) for each in builds]
    if as_json:
        click.echo(studies_json(studies))
    else:
        click.echo(studies_text(studies, opened.show, full=bool(build or at)), nl=False)
    if svg is not None:
        _draw(svg, studies)


def _scales(written: str) -> tuple[Quantity, ...]:
    """Scales of ``--at``; one that is not a scale ends the command."""
    from planner.model.quantity import Quantity, Standing
    from planner.text.measures import read_scale

    found = {}
    for part in filter(None, (each.strip() for each in written.split(","))):
        read = read_scale(part)
        if isinstance(read, str):
            click.echo(f"--at: {read}", err=True)
            sys.exit(2)
        found[read] = Quantity("scale", read, "1:N", Standing.ASSUMED, text=part, reason="tried")
    if not found:
        say("--at names no scale; write one or more, such as 1/3,1/4,1/5")
        sys.exit(2)
    return tuple(found[n] for n in sorted(found))


def _builds(show: Show, build: str | None) -> tuple[str, ...]:
    """The build named, or every one; a name that is no build ends the command."""
    builds = tuple(each.id for each in show.elements.values() if each.kind == "build")
    if build is None:
        return builds
    if build in builds:
        return (build,)
    hint = did_you_mean(build, builds) or f"; builds are {', '.join(builds) or 'none'}"
    say(f"no build of {show.title} is called {build}{hint}")
    sys.exit(2)


def _draw(path: Path, studies: Sequence[ScaleStudy]) -> None:
    from planner.pages.files import write_text
    from planner.pages.scale_drawing import studies_svg

    try:
        write_text(path, studies_svg(studies))
    except OSError as error:
        click.echo(f"{path} cannot be written: {error.strerror}", err=True)
        sys.exit(1)
    click.echo(f"wrote {path}", err=True)
