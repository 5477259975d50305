"""Issued orders for the command line: fetched, planned on from, kept.

The only place of theirs that reads the clock.
"""

from __future__ import annotations

import sys
from datetime import datetime
from typing import TYPE_CHECKING

import click

from planner.cli.opening import tell

if TYPE_CHECKING:
    from datetime import date
    from pathlib import Path

    from planner.cli.opening import Effort, Opened
    from planner.order import IssuedOrder, StageOrder


def issued_order(folder: Path, number: int | None) -> IssuedOrder:
    """The order issued under a number, or the last one; else say why not and end with code 1."""
    from planner.model.place import Problem
    from planner.pages.order_files import fetch

    issued = fetch(folder, number)
    if isinstance(issued, Problem):
        tell([issued])
        sys.exit(1)
    return issued


def order_again(
    opened: Opened, issued: IssuedOrder, day: date, hold_days: int | None, effort: Effort
) -> StageOrder:
    """The order from a day on, close to the one issued.

    Args:
        opened: the show.
        issued: the order people work by.
        day: the first that may be planned.
        hold_days: working days from it whose calls move for a price only; None for all calls.
        effort: how long to look.
    """
    from planner.order import Terms, ask, rearrange, started_by_dates, working_days_on

    question = ask(opened.show, opened.graph, opened.estimates)
    calendar = opened.show.calendar
    until = None if hold_days is None else working_days_on(calendar, day, hold_days)
    terms = Terms(
        day=day,
        started=started_by_dates(issued, day),
        held_until=until,
        budget=effort.budget(len(question.instance.activities)),
    )
    return rearrange(opened.show, opened.graph, question, issued, terms)


def issue_order(
    opened: Opened, order: StageOrder, folder: Path, said: tuple[str, str, int]
) -> Path:
    """Keep an order as the next one issued; where the disk refuses, say so and end with code 1.

    Args:
        opened: the show.
        order: to be kept.
        folder: the show's.
        said: who issues it, what they say of it, and the seed of the search.
    """
    from planner import __version__
    from planner.order import Stamp, issue
    from planner.pages.order_files import fingerprint, keep, numbers

    by, note, seed = said
    today = datetime.now().astimezone().date()  # noqa: TID251 - the command line reads the clock
    try:
        number = max(numbers(folder), default=0) + 1
        stamp = Stamp(number, today, by, note, __version__, seed, fingerprint(folder))
        return keep(folder, issue(order, opened.show.title, stamp))
    except FileExistsError:
        click.echo("another order was issued at the same time; issue this one again", err=True)
    except OSError as error:
        click.echo(f"{folder} cannot keep an issued order: {error.strerror}", err=True)
    sys.exit(1)
