"""``platewright loads``: hands called for, craft by craft and week by week."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from planner.cli.opening import SHOW, arrange_opened, effort_options, open_sound

if TYPE_CHECKING:
    from pathlib import Path

    from planner.cli.opening import Effort


@click.command("loads")
@SHOW
@effort_options
@click.option("--json", "as_json", is_flag=True, help="For machines.")
def command(folder: Path, effort: Effort, *, as_json: bool) -> None:
    """Show the hours of hands that each craft of SHOW is called for, week by week.

    Against the hours its crews have, by the stage order.
    """
    from planner.order.loads import craft_weeks
    from planner.pages.loads_text import loads_text
    from planner.pages.machine import loads_json

    opened = open_sound(folder)
    order = arrange_opened(opened, effort)
    weeks = craft_weeks(opened.show, order.calls)
    click.echo(f"{loads_json(weeks)}\n" if as_json else loads_text(weeks), nl=False)
