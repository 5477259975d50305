"""``platewright blocking``: what each composite waits for."""

from __future__ import annotations

import sys
from datetime import datetime
from difflib import get_close_matches
from functools import partial
from typing import TYPE_CHECKING

import click

from planner.cli.kept_outline import LEDGER
from planner.cli.opening import SHOW, effort_options, open_sound
from planner.cli.order_begun import events_of
from planner.cli.order_issuing import search_left

if TYPE_CHECKING:
    from pathlib import Path

    from planner.cli.opening import Effort, Opened
    from planner.ledger import Event
    from planner.status.blocking import Blocking
    from planner.status.outline import Outline


@click.command("blocking")
@SHOW
@click.argument("what", required=False)
@click.option(
    "--roots",
    type=click.IntRange(min=0),
    default=5,
    show_default=True,
    help="How many roots to try for the days they would gain.",
)
@click.option(
    "--on",
    "day",
    type=click.DateTime(["%Y-%m-%d"]),
    help="The day from which everything goes on; today unless said.",
)
@effort_options
@click.option("--json", "as_json", is_flag=True, help="For machines.")
@LEDGER
def command(  # noqa: PLR0913 - one parameter per option
    folder: Path,
    what: str | None,
    effort: Effort,
    address: str | None,
    *,
    roots: int,
    day: datetime | None,
    as_json: bool,
) -> None:
    """Print what holds up WHAT in SHOW: a composite, its shot, a sequence, or the whole show.

    For one composite: every undone piece, who has it and since when, what it waits for down to the
    roots, the next act, the date that results, the single root that would bring it forward most,
    and what does not delay it. For several: a table, and the roots by what they cost.
    """
    from planner.pages.blocking import blocking_json, blocking_text

    now = (day or datetime.now()).astimezone()  # noqa: DTZ005, TID251 - the command line reads it
    opened = open_sound(folder)
    told = events_of(folder, opened.show.facts.word("ledger"), address)
    events = tuple(each for each in told if day is None or each.at.date() <= day.date())
    blocking = blocking_of(opened, events, what, now, (effort, roots))
    click.echo(blocking_json(blocking) if as_json else blocking_text(blocking), nl=as_json)


def blocking_of(
    opened: Opened,
    events: tuple[Event, ...],
    what: str | None,
    now: datetime,
    trying: tuple[Effort, int],
) -> Blocking:
    """What holds up a composite, sequence or the show; an unknown name ends the command."""
    from planner.status import Standing, states_of
    from planner.status.blocking import Blocker
    from planner.status.causes import Causes
    from planner.status.dates import dates_of, hours_between, show_from
    from planner.status.outlining import outline
    from planner.status.remaining import remaining

    effort, most = trying
    drawn = outline(opened.show, opened.graph, opened.estimates)
    composites = _named(drawn, what)
    stands = Standing(drawn, states_of(events))
    left = remaining(opened.estimates, stands, partial(hours_between, opened.show, last=now))
    show = show_from(opened.show, now.date())
    dates = dates_of(show, opened.graph, left, effort.budget, search_left(opened, effort))
    causes = Causes(opened.show, left, stands, opened.findings)
    return Blocker(opened.show, stands, causes, dates).ask(composites, now.date(), most)


def _named(outline: Outline, what: str | None) -> tuple[str, ...]:
    """Composites of what was asked about."""
    sinks = outline.shots
    if what is None:
        return tuple(each for each in sinks.values() if each)
    if what in outline.sequences:
        return tuple(sinks[shot] for shot in outline.sequences[what] if sinks[shot])
    shot = what if what in sinks else (outline.pieces[what].shot if what in outline.pieces else "")
    if shot and sinks[shot]:
        return (sinks[shot],)
    near = get_close_matches(what, [*sinks, *outline.sequences, *outline.pieces], n=1)
    hint = f"; did you mean {near[0]}?" if near else ""
    click.echo(f"no composite, shot or sequence is called {what}{hint}", err=True)
    sys.exit(2)
