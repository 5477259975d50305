"""``platewright post``: what happened, told on the floor."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from planner.cli.as_of import ON, told_at
from planner.cli.as_of import author as author_of
from planner.cli.kept_outline import LEDGER, known_show, open_known_ledger
from planner.cli.opening import SHOW
from planner.ledger import What

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from click.shell_completion import CompletionItem

    from planner.cli.posting import Desk, Teller, Told
    from planner.ledger import Event
    from planner.ledger.store import Ledger, Posted
    from planner.status.freed_calls import FreedCall, TakenCalls
    from planner.status.news import News


def _complete_event(
    _context: click.Context, _parameter: click.Parameter, begun: str
) -> list[CompletionItem]:
    from click.shell_completion import CompletionItem

    words = (each.value.replace(" ", "-") for each in What)
    return [CompletionItem(each) for each in words if each.startswith(begun.replace(" ", "-"))]


def _complete_about(
    context: click.Context, _parameter: click.Parameter, begun: str
) -> list[CompletionItem]:
    from click.shell_completion import CompletionItem

    folder = context.params.get("folder")
    if folder is None or not (Path(folder) / "show.yaml").is_file():
        return []
    names = known_show(Path(folder)).outline.names
    return [CompletionItem(each) for each in names if each.startswith(begun)]


@click.command("post")
@SHOW
@click.argument("event", required=False, shell_complete=_complete_event)
@click.argument("about", nargs=-1, shell_complete=_complete_about)
@click.option("--take", help="Number on the slate: of this take, or of the one approved.")
@click.option("--verdict", help="On a take: good, no good or kept.")
@click.option("--circled", is_flag=True, help="The take is the one to use.")
@click.option(
    "--note",
    "notes",
    multiple=True,
    metavar="'60-72 left 3 px: the toe slides'",
    help="Frames, direction and amount may be left out. May be given several times.",
)
@click.option("--plate-take", help="Plate and its take that it was checked against.")
@click.option("--program", help="Revision of the move.")
@click.option("--frames", help="Frames that exist, as 93-248.")
@click.option("--by", help="Who approved it, holds it or measured it.")
@click.option("--why", help="The reason.")
@click.option(
    "--value",
    "values",
    multiple=True,
    metavar="NAME=VALUE",
    help="What was measured; of a loss, back=2027-04-16.",
)
@click.option("--as", "chosen", help="Of a decision that is settled: what was chosen.")
@click.option("--words", help="Anything else people should know.")
@click.option("--at", help="When: 14:20, 2027-03-17 14:20, or with a zone; now unless said.")
@click.option("--author", envvar="PLATEWRIGHT_AUTHOR", help="Who tells it; you unless said.")
@click.option("--client", help="Your own word for it: told again under the same, it is kept once.")
@click.option(
    "--from",
    "file",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Post what a file tells instead: a list in YAML, or JSON lines. `editor` writes its"
    " schema, .editor/events.json.",
)
@ON
@click.option("--dry-run", is_flag=True, help="Only say what it would change.")
@click.option("--json", "as_json", is_flag=True, help="For machines.")
@LEDGER
def command(  # noqa: PLR0913 - one parameter per option
    folder: Path,
    event: str | None,
    about: tuple[str, ...],
    address: str | None,
    file: Path | None,
    *,
    day: datetime | None,
    dry_run: bool,
    as_json: bool,
    author: str | None,
    at: str | None,
    **details: object,
) -> None:
    """Post that EVENT happened to each ABOUT of SHOW, and say what that changes for whom.

    EVENT is one of measured, settled, built, proven, on-stage, set-up, take, in-the-can, scanned,
    approved, not-approved, held, freed, struck, lost, omitted, un-omitted, recut, corrected. ABOUT
    is an element (NB110.heron), a shot, a build or a resource; of corrected it is the id of the
    event that does not stand. What a camera does is told of a piece: take, in-the-can, scanned.
    Approved and not-approved of a shot are told of its composite. A take needs --take; approved,
    not-approved and held need --by; settled of a decision needs --as, one of its options; the other
    events need no option. A day two years before the show or after its last promise wants --why,
    and so do frames far beyond the cut. Nothing is ever deleted. All of a command is kept, or none.

        platewright post SHOW take NB110.heron --take 4 --verdict good --circled

        platewright post SHOW held NB110 --by "the director" --why "he may lose the shot"

    \b
    A take's --verdict is
        good      it will do
        kept      it will do, and is held while a better one is tried for
        no good   it will not; with no other, the piece is called again

    In use is the last take circled, else the last that is good or kept. One told as in the can is
    asked about where it is no good or was never posted, or what it shows was not built yet; no
    good, it is called again until it is told as good, kept or circled.

    A file told with --from, day.yaml, holds a line for each event; the options are names in it,
    notes and values in the plural, and what is chosen is a value:

    \b
        - {what: take, about: NB110.heron, take: 4, at: 2027-03-17 14:20}
        - {what: built, about: dam_face, at: 2027-03-17 17:00, notes: [wet]}
        - {what: settled, about: NB110.turn, values: {chosen: left}}
    """  # noqa: D301 - click wants the character itself
    from planner.cli.posting import Teller, from_file, from_words

    if (event is None) == (file is None) or (event is not None and not about):
        raise click.UsageError("say what happened and to what, EVENT ABOUT…, or --from FILE")
    known = known_show(folder)
    clock = told_at(None)
    now = told_at(day) if day else clock
    teller = Teller(known.outline, known.bases, author_of(author), now, clock, known.days)
    if file is not None:
        told = from_file(file)
    else:
        told = from_words(event or "", about, {**details, "at": at})
    _post(_Asked(folder, teller, told, dry_run, as_json), known.ledger, address)


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is told of which show, and how it is answered."""

    folder: Path
    teller: Teller
    told: tuple[Told, ...]
    is_tried: bool
    as_json: bool


def _post(asked: _Asked, stated: str, address: str | None) -> None:
    """Keep it and say what changed; a ledger that cannot be had ends the command with code 1."""
    from planner.ledger.store import LedgerError

    ledger: Ledger | None = None
    try:
        ledger = open_known_ledger(asked.folder, stated, address, make=not asked.is_tried)
        _tell(asked, ledger)
    except LedgerError as fault:
        click.echo(str(fault), err=True)
        sys.exit(1)
    finally:
        if ledger is not None:
            ledger.close()


def _tell(asked: _Asked, ledger: Ledger | None) -> None:
    from planner.cli.posting import Desk
    from planner.cli.told import by_this_clock

    desk = Desk(asked.teller, ledger)
    events = desk.read(asked.told)
    if desk.problems:
        _refuse(desk, asked.told)
    news = desk.news(events)
    moved = _moved(asked.folder, news, by_this_clock(events))
    posted: Posted | None = None
    if ledger is not None and not asked.is_tried:
        posted = ledger.post(events, desk.bases(events))
        _stop_at_another(posted)
    if asked.as_json:
        from planner.pages.posted import posted_json

        click.echo(posted_json(news, moved.freed, moved.taken, posted.kept if posted else ()))
        return
    from planner.pages.posted import (
        chosen_text,
        freed_text,
        news_text,
        posted_text,
        taken_text,
    )

    said = news_text(news) + freed_text(moved.freed, moved.order)
    said += taken_text(moved.taken, moved.order, _guesses(moved, asked.teller.outline.resources))
    if posted is None:
        click.echo(f"{said}Nothing was written.")
        return
    kept = posted_text(posted.kept, len(posted.known))
    click.echo(f"{chosen_text(posted.kept)}{said}{kept}", nl=False)


def _stop_at_another(posted: Posted) -> None:
    """End the command where the ledger knows a word as another thing."""
    if posted.otherwise:
        other = posted.otherwise[0]
        click.echo(
            f"the ledger knows {other.client} as another thing than {other.what} of {other.about};"
            " use another word for it. Nothing was written",
            err=True,
        )
        sys.exit(1)


def _guesses(moved: _Moved, resources: Sequence[str]) -> dict[str, int]:
    """For how long planning takes what is lost to be away, where nobody gives a day."""
    if not moved.taken:
        return {}
    from planner.ledger.event import DAYS_AWAY

    return dict.fromkeys({each.thing for each in moved.taken}.intersection(resources), DAYS_AWAY)


@dataclass(frozen=True, slots=True)
class _Moved:
    """What becomes of the calls of an issued order: its number, whom nobody needs, what is lost."""

    order: int = 0
    freed: tuple[FreedCall, ...] = ()
    taken: tuple[TakenCalls, ...] = ()


def _moved(folder: Path, news: Sequence[News], events: Sequence[Event]) -> _Moved:
    """Calls of the issued order that an omission leaves without a use, or a loss without a thing.

    The order is read for that only.
    """
    if not any(each.spared for each in news) and all(each.what is not What.LOST for each in events):
        return _Moved()
    from planner.model.place import Problem
    from planner.pages.order_files import fetch
    from planner.status.freed_calls import freed_calls, taken_calls

    issued = fetch(folder)
    if isinstance(issued, Problem):
        return _Moved()
    day = min(each.at for each in events).date()
    freed = freed_calls(issued, news, day)
    return _Moved(issued.stamp.number, freed, taken_calls(issued, events))


def _refuse(desk: Desk, told: tuple[Told, ...]) -> None:
    """Say what is wrong: of a file with places and code 1, of the command line with code 2."""
    from planner.cli.opening import tell
    from planner.cli.sentences import say

    if any(each.is_from_file for each in told) or not told:
        tell(desk.problems)
        click.echo("Nothing was written.", err=True)
        sys.exit(1)
    for problem in desk.problems:
        remedy = f"; {problem.remedy}" if problem.remedy else ""
        said = f"{problem.message}{remedy}"
        stop = "" if said.endswith("?") else "."
        say(f"{said}{stop} Nothing was written.")
    sys.exit(2)
