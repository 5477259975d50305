"""``platewright forecast``: when what is left will be done, and what moved since."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from functools import partial
from typing import TYPE_CHECKING

import click

from planner.cli.as_of import DAY, GOING_ON
from planner.cli.kept_outline import LEDGER
from planner.cli.named import WHAT, composites_meant
from planner.cli.opening import SHOW, effort_options, open_sound
from planner.cli.order_issuing import issued_order, order_left, search_left
from planner.cli.risk import SAMPLES, terms_of
from planner.cli.told import judged_standing, told_of, until

if TYPE_CHECKING:
    from datetime import date
    from pathlib import Path

    from planner.cli.opening import Effort, Opened
    from planner.cli.told import Told
    from planner.order import IssuedOrder
    from planner.order.risk import Terms
    from planner.status import Standing
    from planner.status.forecast import Ground


@click.command("forecast")
@SHOW
@WHAT
@GOING_ON
@click.option(
    "--since", "earlier", type=DAY, help="Compare with this day; a week earlier unless said."
)
@SAMPLES
@effort_options
@click.option("--json", "as_json", is_flag=True, help="For machines.")
@LEDGER
def command(  # noqa: PLR0913 - one parameter per option
    folder: Path,
    what: str | None,
    effort: Effort,
    address: str | None,
    *,
    day: datetime | None,
    earlier: datetime | None,
    samples: int,
    as_json: bool,
) -> None:
    """Print when SHOW's deliveries and composites will be done by what is posted so far.

    The work left goes through the order and its chances, as `platewright blocking` and
    `platewright risk` do. The same is worked out by the events up to an earlier day, and each
    difference told with its cause: days that went by, what was done or came back, turns taken anew,
    an order issued since. Each day goes by the order in force on it or, where none is issued, by
    the turns of this show's own.
    """
    from planner.pages.forecast_text import forecast_json, forecast_text
    from planner.status.forecast import forecast

    now = (day or datetime.now()).astimezone()  # noqa: DTZ005, TID251 - the command line reads it
    since = (earlier or now.replace(tzinfo=None) - timedelta(days=7)).astimezone()
    if since.date() >= now.date():
        message = f"{since.date()} is not before {now.date()}; say --on for a show of another time"
        raise click.BadParameter(message, param_hint="--since")
    opened = open_sound(folder)
    asked = composites_meant(opened.show, opened.graph, what)
    told = told_of(folder, opened.show.facts.word("ledger"), address)
    terms = terms_of(opened, samples, effort.seed)
    issued = order_left(folder, effort)
    past = _taken_as_done(opened, told, issued, now.date())
    by = partial(_ground, opened, told, (effort, terms), (now.date(), past))
    ground = by(issued)
    if issued is not None and (was := _in_force(folder, issued, since.date())) is not None:
        ground = replace(ground, earlier=by(was))
    found = forecast(ground, now, since, asked)
    if as_json:
        click.echo(forecast_json(found))
    else:
        click.echo(forecast_text(found, opened.show.title), nl=False)


def _ground(
    opened: Opened,
    told: Told,
    asked: tuple[Effort, Terms],
    past: tuple[date, Standing | None],
    issued: IssuedOrder | None,
) -> Ground:
    """What is known by one order; where it stood before a day is told, calls till then are done."""
    from planner.status.forecast import Ground
    from planner.status.unposted import as_called, untold

    effort, terms = asked
    known = (opened.show, opened.graph, opened.estimates)
    search = search_left(opened, effort, issued)
    ground = Ground(*known, told.events, effort.budget, terms, told.bases, search, issued=issued)
    day, stands = past
    if issued is None or stands is None:
        return ground
    called = untold(issued, stands)
    events = as_called(called, day, stands.outline)
    return replace(ground, events=(*told.events, *events), as_called=called)


def _in_force(folder: Path, issued: IssuedOrder, day: date) -> IssuedOrder | None:
    """The order that was in force on an earlier day; None where it is the one in force now.

    One planned again is in force from the day it was planned from, others from their issue; what
    came before the first goes by that.
    """
    from planner.pages.order_files import numbers

    known = sorted(numbers(folder), reverse=True)
    for number in known:
        each = issued if number == issued.stamp.number else issued_order(folder, number)
        if (each.stamp.planned_from or each.stamp.on) <= day or number == known[-1]:
            return None if each is issued else each
    return None


def _taken_as_done(
    opened: Opened, told: Told, issued: IssuedOrder | None, day: date
) -> Standing | None:
    """Where all stands by a day, if past calls are taken as done; those nobody posted are told."""
    from planner.model.names import in_names
    from planner.pages.wording import folded
    from planner.status.unposted import unposted

    if issued is None:
        return None
    _judged, stands = judged_standing(opened, until(told, day))
    known = unposted(issued, day, opened.estimates, stands)
    if known is None:
        return None
    said = in_names(f"{known.says}; {known.remedy}.", opened.show)
    click.echo("\n".join(folded(said, "", "  ")), err=True)
    return stands if known.is_taken_as_done else None
