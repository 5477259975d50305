"""What a show's ledger tells, and where every piece stands by it.

Takes an opened show and where its ledger is, gives events with the facts they rested on, those up
to a day, and the standing of all pieces, judged by how facts changed since. Whoever told an event
in another zone, it is told here by the clock of this machine, as calls are read by it.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import click

from planner.cli.kept_outline import open_known_ledger
from planner.cli.progress import going_on
from planner.model.names import counted

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable
    from datetime import date, datetime
    from pathlib import Path

    from planner.cli.opening import Opened
    from planner.ledger import Basis, Event, What
    from planner.status import Standing
    from planner.status.staleness import Judged


@dataclass(frozen=True, slots=True)
class Told:
    """What a ledger holds: events, and the facts they rested on."""

    events: tuple[Event, ...] = ()
    bases: tuple[Basis, ...] = ()


def told_of(folder: Path, stated: str, address: str | None) -> Told:
    """What the show's ledger holds; a ledger that cannot be read ends the command with code 1."""
    from planner.ledger.store import LedgerError

    try:
        with going_on("reading the ledger"):
            return read_told(folder, stated, address)
    except LedgerError as fault:
        click.echo(str(fault), err=True)
        sys.exit(1)


def told_of_opened(opened: Opened, address: str | None) -> Told:
    """The same of an opened show, read once where it has it already."""
    if opened.told is not None:
        return opened.told
    return told_of(opened.folder, opened.show.facts.word("ledger"), address)


def with_told(opened: Opened, address: str | None = None) -> Opened:
    """The show with what its ledger holds, which whoever asks for it then has without reading.

    Where it cannot be read it is left to be read: each who asks says why not in its own words.
    """
    from planner.ledger.store import LedgerError

    try:
        told = read_told(opened.folder, opened.show.facts.word("ledger"), address)
    except LedgerError:
        return opened
    return replace(opened, told=told)


def read_told(
    folder: Path, stated: str, address: str | None, sorts: Collection[What] | None = None
) -> Told:
    """What the show's ledger holds.

    Args:
        folder: of the show.
        stated: where its ledger is, as show.yaml says; empty where it does not.
        address: the same as the command line says, before all else.
        sorts: only events of these, and no facts that they rested on; None for all there is.

    Raises:
        LedgerError: it cannot be read.
    """
    ledger = open_known_ledger(folder, stated, address, make=False)
    if ledger is None:
        return Told()
    try:
        if sorts is not None:
            return Told(by_this_clock(ledger.events_of(sorts)))
        return Told(by_this_clock(ledger.events()), ledger.bases())
    finally:
        ledger.close()


def by_this_clock(events: Iterable[Event]) -> tuple[Event, ...]:
    """Events at the same moments, so that the day of each is the day it was here."""
    here = ((each, _here(each.at)) for each in events)
    return tuple(
        each if each.at.utcoffset() == at.utcoffset() else replace(each, at=at) for each, at in here
    )


def _here(moment: datetime) -> datetime:
    try:
        return moment.astimezone()
    except OverflowError:
        return moment  # on the first or the last day that there is


def until(told: Told, day: date | None) -> Told:
    """What had happened by the end of a day, its evening included; all of it where none is said."""
    if day is None:
        return told
    return Told(tuple(each for each in told.events if each.at.date() <= day), told.bases)


def judged_standing(opened: Opened, told: Told) -> tuple[Judged, Standing]:
    """What became of what was made, and where every piece stands with that."""
    from planner.status import Standing
    from planner.status.outlining import outline
    from planner.status.shown import with_shown
    from planner.status.staleness import judge

    with going_on(f"judging {counted(len(told.events), 'event')}"):
        judged = judge(opened.show, opened.estimates, told.events, told.bases)
        drawn = outline(opened.show, opened.graph, opened.estimates)
    return judged, with_shown(Standing(drawn, judged.states, judged.judgements))
