"""``platewright calendar``: calls as calendars that people subscribe to."""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from planner.cli.as_of import out_of_years
from planner.cli.opening import SHOW, effort_options, open_sound, tell
from planner.cli.print_ import dated_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from zoneinfo import ZoneInfo

    from planner.cli.opening import Effort, Opened
    from planner.model.place import Problem
    from planner.model.show import Show
    from planner.pages.prints.dated import Dated


@click.command("calendar")
@SHOW
@click.option(
    "--to",
    type=click.Path(path_type=Path, file_okay=False),
    required=True,
    help="Folder to write; give out again into the same one, so that changes are numbered.",
)
@click.option("--at", help="When they are given out: 2027-03-17T14:20Z; now unless said.")
@effort_options
def command(folder: Path, effort: Effort, *, to: Path, at: str | None) -> None:
    """Write SHOW's calls as calendar files (RFC 5545): one a stage, one a crew, one a person.

    Calls are those of the last issued order, planned again where it can no longer be kept; or of
    one worked out now where none has been issued. What an issued order called and this one does not
    is cancelled, in a new folder too.
    Times are local and of no zone, unless show.yaml states one (`zone: Europe/London`).
    """
    from planner.model.names import counted
    from planner.model.place import Problem
    from planner.pages.calendar import Issue, calendar_bytes, calendars
    from planner.pages.files import write_bytes

    opened = open_sound(folder)
    stamp = _moment(at)
    zone = zone_of(opened.show)
    if isinstance(zone, Problem):
        tell((zone,))
        sys.exit(1)
    dated = dated_of(opened, effort)
    issue = Issue(stamp, zone, dated.source, _number(opened))
    earlier = [calendars(opened.show, each) for each in _issued(opened)]
    files = {}
    try:
        for name, (title, entries) in calendars(opened.show, dated).items():
            called = [entry for each in earlier for entry in each[name][1]]
            files[to / name] = calendar_bytes(title, entries, issue, _before(to / name), called)
        for path, data in files.items():
            write_bytes(path, data)
    except OSError as error:
        click.echo(f"{to} cannot be written: {error.strerror}", err=True)
        sys.exit(1)
    click.echo(f"{counted(len(files), 'calendar')} written to {to}/: {dated.source}")


def _number(opened: Opened) -> int:
    """How often calls may have changed so far: by orders issued after the first, and by posts."""
    from planner.cli.told import told_of
    from planner.pages.order_files import numbers

    events = told_of(opened.folder, opened.show.facts.word("ledger"), None).events
    return max(0, len(numbers(opened.folder)) - 1) + len(events)


def _issued(opened: Opened) -> Iterator[Dated]:
    """Every order issued so far, oldest first; one that cannot be read is told of."""
    from planner.model.place import Problem
    from planner.pages.order_files import fetch, numbers
    from planner.pages.prints.dated import as_issued

    for number in numbers(opened.folder):
        issued = fetch(opened.folder, number)
        if isinstance(issued, Problem):
            tell((issued,))
        else:
            yield as_issued(issued, opened.estimates)


def _before(path: Path) -> bytes | None:
    """The file as last given out; one that is not ours ends the command, and stays."""
    from planner.pages.calendar import checked

    if not path.exists():
        return None
    data = path.read_bytes()
    if fault := checked(data):
        click.echo(f"{path} is left alone: {fault}; move it away, or write elsewhere", err=True)
        sys.exit(1)
    return data


def zone_of(show: Show) -> ZoneInfo | Problem | None:
    """The zone of the show's wall clock; None where it states none, a problem where unknown."""
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

    from planner.model.place import Problem, Severity

    name = show.facts.word("zone")
    if not name:
        return None
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        says = f"{name} is no time zone that this machine knows"
        remedy = "write it as `Europe/London` or `America/New_York`, or leave it out"
        return Problem(Severity.ERROR, show.facts.place_of("zone"), "zone-unknown", says, remedy)


def _moment(at: str | None) -> datetime:
    if at is None:
        return datetime.now(UTC)  # noqa: TID251 - the command line reads the clock
    try:
        moment = datetime.fromisoformat(at)
    except ValueError as error:
        says = f"{at} is no moment, such as 2027-03-17T14:20Z"
        raise click.BadParameter(says, param_hint="--at") from error
    if fault := out_of_years(moment):
        raise click.BadParameter(fault, param_hint="--at")
    return moment.astimezone(UTC).replace(microsecond=0)
