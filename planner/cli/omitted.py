"""A show without what people posted as omitted, for commands that order its work.

Takes an opened show and its ledger, gives the show with the work that is still wanted, and what to
say of the rest.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import click

from planner.cli.kept_outline import open_known_ledger

if TYPE_CHECKING:
    from datetime import date

    from planner.cli.opening import Opened
    from planner.ledger import Event
    from planner.model.place import Problem


def still_wanted(
    opened: Opened, address: str | None = None, day: date | None = None
) -> tuple[Opened, tuple[Problem, ...]]:
    """The show without the work of what is posted as omitted, and a note for each such thing.

    Of a show that was given before, nothing more is left out and nothing told again. A ledger that
    cannot be read is told, and the show is ordered by its files.

    Args:
        opened: the show.
        address: where its ledger is, as the command line says; None for where the show says.
        day: what was posted later is left aside; None for all.
    """
    events = _events(opened, address, day)
    if not events:
        return opened, ()
    from planner.status import states_of
    from planner.status.left_out import left_out, left_out_notes, without

    omitted = left_out(opened.show, opened.estimates, states_of(events))
    if not omitted:
        return opened, ()
    ids = [id_ for each in omitted for id_ in each.pieces]
    graph, estimates = without(opened.graph, opened.estimates, ids)
    wanted = replace(opened, graph=graph, estimates=estimates)
    return wanted, tuple(left_out_notes(opened.show, omitted))


def _events(opened: Opened, address: str | None, day: date | None) -> tuple[Event, ...]:
    from planner.cli.order_begun import day_of
    from planner.ledger.store import LedgerError

    stated = opened.show.facts.word("ledger")
    try:
        ledger = open_known_ledger(opened.folder, stated, address, make=False)
        if ledger is None:
            return ()
        events = tuple(ledger.events())
        ledger.close()
    except LedgerError as fault:
        click.echo(f"{fault}; what is posted as omitted is ordered all the same.", err=True)
        return ()
    return tuple(each for each in events if day is None or day_of(each.at).date() <= day)
