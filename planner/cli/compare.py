"""``platewright compare``: what became of a bid."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from planner.cli.as_of import DAY
from planner.cli.bid_issuing import bid_now, revision
from planner.cli.opening import SHOW, arrange_opened, effort_options, open_sound

if TYPE_CHECKING:
    from datetime import datetime
    from pathlib import Path

    from planner.bid.revision import Issued
    from planner.cli.opening import Effort, Opened


@click.command("compare")
@SHOW
@click.argument("first", metavar="N", type=click.IntRange(min=1))
@click.argument("second", metavar="[M]", type=click.IntRange(min=1), required=False)
@click.option("--every", is_flag=True, help="Every change, not the largest of each cause alone.")
@click.option(
    "--rates-on",
    type=DAY,
    help="Price both at the rates of rates.yaml in force on one day.",
)
@effort_options
@click.option("--json", "as_json", is_flag=True, help="For machines.")
def command(  # noqa: PLR0913 - one parameter per option
    folder: Path,
    effort: Effort,
    first: int,
    second: int | None,
    *,
    every: bool,
    rates_on: datetime | None,
    as_json: bool,
) -> None:
    """Compare revision N of SHOW's bid with revision M, or with the bid as it stands.

    Days held come first, thing by thing, as pieces share them; with --every, piece by piece. All
    else is told by its cause: more or less of a thing, another rate, a line new or gone, a thing
    made another way, or overhead and contingency. All of it sums to the difference of the totals
    to the cent.
    """
    from planner.bid.compare import compare
    from planner.pages.bid_changes import comparison_json, comparison_text

    before = revision(folder, first)
    opened = open_sound(folder) if second is None or rates_on is not None else None
    if second is not None:
        after = revision(folder, second)
    elif opened is not None:
        after = _now(opened, effort)
    if opened is not None and rates_on is not None:
        before, after = (_priced_on(each, opened, rates_on) for each in (before, after))
    found = compare(before, after)
    if as_json:
        click.echo(comparison_json(found))
    else:
        click.echo(comparison_text(found, every=every), nl=False)


def _now(opened: Opened, effort: Effort) -> Issued:
    from planner.cli.pricing import priced
    from planner.cli.told import with_told

    opened = with_told(opened)
    found = priced(opened, arrange_opened(opened, effort))
    return bid_now(found.opened, found.order, found.bid)


def _priced_on(issued: Issued, opened: Opened, day: datetime) -> Issued:
    from planner.bid.escalation import escalation_of
    from planner.bid.revision import repriced

    show = opened.show
    escalation = escalation_of(show.facts, show.calendar.starts)
    return repriced(issued, show.rates, day.date(), escalation)
