"""Revisions of the bid for the command line: issued, fetched, compared, changed, posted against.

The only place of theirs that reads the clock.
"""

from __future__ import annotations

import sys
from datetime import datetime
from typing import TYPE_CHECKING

import click

from planner.cli.opening import has_errors, tell

if TYPE_CHECKING:
    from collections.abc import Collection
    from datetime import date
    from pathlib import Path

    from planner.bid import Bid
    from planner.bid.actuals import Standing
    from planner.bid.change_order import ChangeCause, ChangeOrder
    from planner.bid.revision import Issued
    from planner.cli.opening import Opened
    from planner.order import StageOrder

CAUSES = ("recut", "late plate", "director", "our error", "act of weather")
"""Of a change: those of `planner.bid.change_order`, which is too slow to import for `--help`."""


def today() -> date:
    """The day on this machine's clock."""
    return datetime.now().astimezone().date()  # noqa: TID251 - the command line reads the clock


def revision(folder: Path, number: int) -> Issued:
    """A revision as issued; else say why not and end with code 1."""
    from planner.model.place import Problem
    from planner.pages.bid_files import fetch

    issued = fetch(folder, number)
    if isinstance(issued, Problem):
        tell([issued])
        sys.exit(1)
    return issued


def bid_now(opened: Opened, order: StageOrder, bid: Bid) -> Issued:
    """The bid as it stands, in the form of a revision without a number."""
    from planner.bid.revision import Stamp, freeze

    return freeze(opened.show, opened.estimates, order, bid, Stamp(0, today()))


def issue_bid(
    opened: Opened, order: StageOrder, bid: Bid, folder: Path, said: tuple[str, str]
) -> Path:
    """Keep the bid as the next revision; where the disk refuses, say so and end with code 1.

    Args:
        opened: the show.
        order: behind the bid.
        bid: to be kept.
        folder: the show's.
        said: who issues it, and what they say of it.
    """
    from planner import __version__
    from planner.bid.revision import Stamp, drawn, freeze
    from planner.pages.bid_files import keep, numbers
    from planner.pages.order_files import fingerprint

    by, note = said
    try:
        number = max(numbers(folder), default=0) + 1
        stamp = Stamp(number, today(), by, note, __version__, fingerprint(folder))
        stated = opened.show.facts.group("bid").number("correlation")
        issued = freeze(opened.show, opened.estimates, order, bid, stamp)
        return keep(folder, drawn(issued, None if stated is None else stated.value))
    except FileExistsError:
        click.echo("another revision was issued at the same time; issue this one again", err=True)
    except OSError as error:
        click.echo(f"{folder} cannot keep a revision: {error.strerror}", err=True)
    sys.exit(1)


def standing_against(
    issued: Issued, folder: Path, omitted: Collection[str] = frozenset()
) -> Standing | None:
    """Where the money stands against a revision; None where nothing is posted.

    Faults in actuals.csv end the command with code 1.

    Args:
        issued: the revision.
        folder: the show's.
        omitted: elements on which nothing more is to be spent.
    """
    from planner.bid.actuals import standing_of
    from planner.pages.bid_files import fetch_actuals

    postings, problems = fetch_actuals(folder)
    if has_errors(problems):
        tell(problems)
        sys.exit(1)
    if not postings:
        return None
    standing, strays = standing_of(issued.bid.lines, postings, omitted)
    tell(strays)
    return standing


def changed(
    opened: Opened, before: Issued, after: Issued, folder: Path, cause: ChangeCause | None
) -> ChangeOrder:
    """What the change since a revision costs."""
    from planner.bid.change_order import Terms, change_order
    from planner.bid.compare import compare

    show = opened.show
    stated = show.facts.group("bid")
    spares = (each.id for each in show.elements.values() if each.facts.values.get("spare") is True)
    terms = Terms(
        cause or "", stated.words("signatures"), stated.day("valid_until"), frozenset(spares)
    )
    standing = standing_against(before, folder)
    dead = _dead(opened, folder)
    return change_order(compare(before, after), terms, show.calendar, standing, dead)


def _dead(opened: Opened, folder: Path) -> tuple[str, ...]:
    """What was made and is dead as facts changed, as `stale` says."""
    from planner.cli.told import judged_standing, told_of

    told = told_of(folder, opened.show.facts.word("ledger"), None)
    if not told.events:
        return ()
    judged, _standing = judged_standing(opened, told)
    return tuple(each.id for each in judged.judgements.values() if each.is_dead)
