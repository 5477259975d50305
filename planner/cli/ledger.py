"""``platewright ledger``: what happened, printed, as lines for version control, and back."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from planner.cli.kept_outline import LEDGER, known_show, open_known_ledger
from planner.cli.named import did_you_mean
from planner.cli.opening import SHOW
from planner.cli.sentences import say

if TYPE_CHECKING:
    from planner.ledger.store import Ledger
    from planner.status.outline import Outline

FILE = click.Path(path_type=Path, dir_okay=False)


@click.command("ledger")
@SHOW
@click.argument("about", nargs=-1)
@click.option("--export", "to", type=FILE, help="Write all of it as JSON lines; - prints them.")
@click.option("--import", "files", type=FILE, multiple=True, help="Take in such lines.")
@click.option("--json", "as_json", is_flag=True, help="For machines.")
@LEDGER
def command(  # noqa: PLR0913 - one parameter per option
    folder: Path,
    about: tuple[str, ...],
    address: str | None,
    *,
    to: Path | None,
    files: tuple[Path, ...],
    as_json: bool,
) -> None:
    """Print what happened in SHOW, or only to each ABOUT, oldest first; to a shot, its pieces too.

    Exported lines are sorted, one event each, so that two people's ledgers merge in version
    control: keep `ledger.jsonl merge=union` in .gitattributes. Taking lines in that are known
    already changes nothing. Files with a bad line are not taken in at all.
    """
    from planner.ledger.store import LedgerError

    ledger: Ledger | None = None
    try:
        known = known_show(folder)
        ledger = open_known_ledger(folder, known.ledger, address, make=bool(files))
        if ledger is not None and files:
            _take_in(ledger, files)
        if to is not None:
            _export(ledger, to)
        elif not files:
            _print(ledger, known.outline, about, as_json=as_json)
    except LedgerError as fault:
        click.echo(str(fault), err=True)
        sys.exit(1)
    finally:
        if ledger is not None:
            ledger.close()


def _with_pieces(outline: Outline, about: tuple[str, ...]) -> tuple[str, ...]:
    shots = outline.shots.keys() & set(about)
    pieces = (id_ for id_, piece in outline.pieces.items() if piece.shot in shots) if shots else ()
    return tuple(dict.fromkeys((*about, *pieces)))


def _take_in(ledger: Ledger, files: tuple[Path, ...]) -> None:
    """Keep what files tell; all of one file, or nothing of it."""
    from planner.cli.opening import has_errors, tell
    from planner.ledger import read_lines

    for file in files:
        try:
            data = file.read_bytes()
        except OSError as fault:
            click.echo(f"{file} cannot be read: {fault.strerror}", err=True)
            sys.exit(1)
        pages = read_lines(data, str(file))
        tell(pages.problems)
        if has_errors(pages.problems):
            click.echo(f"Nothing of {file} was taken in.", err=True)
            sys.exit(1)
        posted = ledger.post(pages.events, pages.bases)
        if posted.otherwise:
            first = posted.otherwise[0]
            click.echo(
                f"{file}: the ledger knows {first.client} as another thing than {first.what} of"
                f" {first.about}; nothing of the file was taken in",
                err=True,
            )
            sys.exit(1)
        click.echo(f"{file}: {len(posted.kept):,} new, {len(posted.known):,} known already")


def _export(ledger: Ledger | None, to: Path) -> None:
    from planner.ledger import write_lines
    from planner.pages.files import write_text

    text = write_lines(ledger.events(), ledger.bases()) if ledger else write_lines((), ())
    if str(to) == "-":
        click.echo(text, nl=False)
        return
    try:
        write_text(to, text)
    except OSError as fault:
        click.echo(f"{to} cannot be written: {fault.strerror}", err=True)
        sys.exit(1)
    click.echo(f"wrote {to}")


def _print(
    ledger: Ledger | None, outline: Outline, about: tuple[str, ...], *, as_json: bool
) -> None:
    from planner.pages.posted import events_json, events_text

    wanted = _with_pieces(outline, about)
    events = ledger.events(wanted or None) if ledger else ()
    # What is no longer in the show may still have been posted of.
    told = {each.about for each in events}.union(outline.names)
    if stray := next((each for each in about if each not in told), ""):
        says = f"nothing in the show is called {stray}, and nothing is posted of it"
        say(f"{says}{did_you_mean(stray, outline.names)}")
        sys.exit(2)
    click.echo(f"{events_json(events)}\n" if as_json else events_text(events), nl=False)
