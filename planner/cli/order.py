"""``platewright order``: the dated stage order."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from planner.cli.opening import SHOW, arrange_opened, effort_options, open_sound, tell, unwaived

if TYPE_CHECKING:
    from pathlib import Path

    from planner.cli.opening import Effort


@click.command("order")
@SHOW
@effort_options
@click.option("--json", "as_json", is_flag=True, help="For machines.")
def command(folder: Path, effort: Effort, *, as_json: bool) -> None:
    """Print SHOW's work by stage and day, with what is late and why.

    The order keeps what waits for what, stages, rigs, cameras, crews, the calendar, absences and
    changes of set-up, and gathers work that shares a set-up.
    """
    from planner.pages.machine import order_json
    from planner.pages.order_text import order_text

    opened = open_sound(folder)
    order = arrange_opened(opened, effort)
    click.echo(order_json(order) if as_json else order_text(order, opened.show), nl=as_json)
    tell(unwaived(opened, order.problems))
