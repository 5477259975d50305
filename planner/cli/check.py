"""``platewright check``: every problem and finding."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from planner.cli.opening import SHOW, has_errors, open_show, wants_colour

if TYPE_CHECKING:
    from pathlib import Path


@click.command("check")
@SHOW
@click.option("--json", "as_json", is_flag=True, help="For machines: one object, sorted.")
def command(folder: Path, *, as_json: bool) -> None:
    """Print every problem and finding of SHOW, errors before warnings.

    Each comes with its place, a sentence and what would mend it. Ends with code 1 where there is an
    error. Things whose text holds errors are not judged further until those are mended. In brackets
    stand a finding's code and its mark, by which a shot's `waivers` accept it; what is waived comes
    last.

    What only the stage order or the bid can find comes with `order`, `bid` and `plan`.
    """
    from planner.pages.machine import problems_json
    from planner.pages.problems import missing_text, problems_text
    from planner.pages.waived import waived_text

    opened, problems = open_show(folder)
    if opened is not None:
        problems = (*problems, *opened.findings)
    missing = opened.estimates.missing if opened is not None else ()
    waived = opened.estimates.waived if opened is not None else ()
    if as_json:
        click.echo(problems_json(problems, missing, waived))
    else:
        click.echo(problems_text(problems, colour=wants_colour(sys.stdout)), nl=False)
        if missing:
            click.echo()
            click.echo(missing_text(missing), nl=False)
        if waived:
            click.echo()
            click.echo(waived_text(waived), nl=False)
    if has_errors(problems):
        sys.exit(1)
