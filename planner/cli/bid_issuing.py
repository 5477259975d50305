"""Revisions of the bid for the command line: issued, fetched, compared, changed, posted against.

The only place of theirs that reads the clock.
"""

from __future__ import annotations

import sys
from dataclasses import replace
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
    from planner.bid.outlook import Outlook
    from planner.bid.revision import Issued
    from planner.cli.opening import Effort, Opened
    from planner.cli.pricing import Priced
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


def last_revision(folder: Path) -> Issued | None:
    """The last revision issued; None where none was."""
    from planner.pages.bid_files import numbers

    known = numbers(folder)
    return revision(folder, max(known)) if known else None


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
    issued: Issued,
    folder: Path,
    omitted: Collection[str] = frozenset(),
    dead: Collection[str] = frozenset(),
) -> Standing:
    """Where the money stands against a revision; of no rows where nothing is posted.

    Faults in actuals.csv end the command with code 1.

    Args:
        issued: the revision.
        folder: the show's.
        omitted: elements on which nothing more is to be spent.
        dead: elements that are to be made again.
    """
    from planner.bid.actuals import standing_of
    from planner.pages.bid_files import fetch_actuals

    postings, problems = fetch_actuals(folder)
    if has_errors(problems):
        tell(problems)
        sys.exit(1)
    standing, strays = standing_of(issued.bid.lines, postings, omitted, dead)
    tell(strays)
    return standing


def changed(
    whole: Opened, known: Priced, before: Issued, cause: ChangeCause | None, effort: Effort
) -> ChangeOrder:
    """What the change since a revision costs.

    Args:
        whole: the show, as its files have it.
        known: the same priced as it is wanted.
        before: the revision.
        cause: whose the change is; None where nobody says.
        effort: how `known` was ordered.
    """
    from planner.bid.change_order import Terms, change_order
    from planner.bid.compare import compare

    show, folder = known.opened.show, whole.folder
    stated = show.facts.group("bid")
    spares = (each.id for each in show.elements.values() if each.facts.values.get("spare") is True)
    terms = Terms(
        cause or "",
        stated.words("signatures"),
        stated.day("valid_until"),
        frozenset(spares),
        _without_the_cut(whole, known, before, effort),
        known.order.method if _stands_since(known) else "",
    )
    if known.judged is None:
        # Why the ledger cannot be read has been said; without it the sums would be too small.
        sys.exit(1)
    standing = standing_against(before, folder)
    return change_order(
        compare(before, bid_now(known.opened, known.order, known.bid)),
        terms,
        show.calendar,
        standing if standing.rows else None,
    )


def _stands_since(known: Priced) -> bool:
    """Whether an order stands as issued though what is made again was lost after it was planned."""
    order = known.order
    again = (each.over.date() for each in known.done if each.is_again)
    day = order.planned_from
    return order.is_issued and any(day is None or day < over for over in again)


def _without_the_cut(
    whole: Opened, known: Priced, before: Issued, effort: Effort
) -> Outlook | None:
    """What would come of the show with the cut of a revision, its order planned on alike.

    None where the cut is the same, or where no order can be planned on alike.
    """
    from planner.bid.outlook import outlook
    from planner.cli.opening import worked_out
    from planner.cli.pricing import priced
    from planner.cli.told import told_of_opened
    from planner.status.taken_back import taken_back

    wanted = known.opened.show
    omitted = {
        id_
        for id_, each in whole.show.shots.items()
        if each.is_live and not wanted.shots[id_].is_live
    }
    back = taken_back(whole.show, omitted, before.shots, today())
    if back is None:
        return None
    told = told_of_opened(whole, None)
    told = replace(told, events=back.without(told.events))
    opened = replace(worked_out(whole, back.show), told=told)
    order = _planned_alike(opened, known.order, effort)
    return None if order is None else outlook(priced(opened, order).bid, order)


def _planned_alike(opened: Opened, now: StageOrder, effort: Effort) -> StageOrder | None:
    """The last issued order that a show still fits, kept or planned on as the order now is.

    Where none is issued, arranged as that is; None where the show fits none.
    """
    from planner.cli.omitted import still_wanted
    from planner.cli.opening import arrange_opened
    from planner.cli.order_issuing import Again, issued_order, order_again
    from planner.order.working import as_issued, ask_since
    from planner.pages.order_files import numbers

    known = sorted(numbers(opened.folder), reverse=True)
    if effort.is_afresh or not known:
        return arrange_opened(opened, effort, is_told=False)
    wanted = still_wanted(opened).opened
    for number in known:
        issued = issued_order(opened.folder, number)
        question = ask_since(wanted.show, wanted.graph, wanted.estimates, issued)
        kept = as_issued(wanted.show, wanted.graph, question, issued)
        if kept is not None and now.is_issued and number == known[0]:
            return kept
        if kept is not None and now.planned_from is not None:
            return order_again(opened, issued, Again(now.planned_from, None), effort)
    return None
