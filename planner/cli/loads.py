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
def command(folder: Path, effort: Effort) -> None:
    """Show the hours of hands that each craft of SHOW is called for, week by week.

    Against the hours its crews have, by the stage order.
    """
    from planner.order.loads import craft_weeks
    from planner.pages.loads_text import loads_text

    opened = open_sound(folder)
    order = arrange_opened(opened, effort)
    click.echo(loads_text(craft_weeks(opened.show, order.calls)), nl=False)
