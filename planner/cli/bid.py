"""``platewright bid``: what it costs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import click

from planner.cli.opening import SHOW, arrange_opened, effort_options, open_sound, tell, unwaived

if TYPE_CHECKING:
    from datetime import date, datetime
    from pathlib import Path

    from planner.bid import By
    from planner.cli.opening import Effort, Opened
    from planner.order import StageOrder

SIDES = ("sequence", "shot", "kind", "craft", "phase", "month", "account", "use")


@click.command("bid")
@SHOW
@click.option(
    "--by",
    type=click.Choice(SIDES),
    default="sequence",
    show_default=True,
    help="What to sum by; `use` splits shared builds over the shots that use them.",
)
@click.option("--lines", is_flag=True, help="Every line, with its quantity and rate.")
@click.option(
    "--alternatives",
    is_flag=True,
    help="What is made in one of several ways: each way priced whole, in place of the bid.",
)
@click.option(
    "--rates-on",
    type=click.DateTime(["%Y-%m-%d"]),
    help="Price everything at the rates in force on one day.",
)
@effort_options
@click.option("--json", "as_json", is_flag=True, help="For machines.")
def command(  # noqa: PLR0913 - one parameter per option
    folder: Path,
    effort: Effort,
    *,
    by: By | Literal["use"],
    lines: bool,
    alternatives: bool,
    rates_on: datetime | None,
    as_json: bool,
) -> None:
    """Price SHOW at dated rates: low, likely and high, loads apart.

    Labour is hours at the rate in force when the stage order has the work done; stages are paid for
    the days held. Every way of summing comes to the same total to the cent. Methods not taken are
    left out, and shown by --alternatives.
    """
    from planner.bid import price
    from planner.pages.bid_text import bid_lines_text, bid_text
    from planner.pages.machine import bid_json

    opened = open_sound(folder)
    order = arrange_opened(opened, effort)
    day = rates_on.date() if rates_on else None
    if alternatives:
        _tell_alternatives(opened, order, day, as_json=as_json)
        return
    bid = price(opened.show, opened.estimates, order, rates_on=day)
    if as_json:
        click.echo(bid_json(bid))
        return
    click.echo(bid_lines_text(bid) if lines else bid_text(bid, by), nl=False)
    tell(unwaived(opened, bid.problems))


def _tell_alternatives(
    opened: Opened, order: StageOrder, day: date | None, *, as_json: bool
) -> None:
    from planner.bid import price_methods
    from planner.pages.alternatives import alternatives_json, alternatives_text

    choices = price_methods(opened.show, opened.estimates, order, rates_on=day)
    if as_json:
        click.echo(alternatives_json(choices))
    else:
        click.echo(alternatives_text(choices, opened.show.currency), nl=False)
