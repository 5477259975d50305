"""``platewright blocking``: what each composite waits for."""

from __future__ import annotations

from contextlib import nullcontext
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

import click

from planner.cli import kept_blocking
from planner.cli.as_of import GOING_ON, morning
from planner.cli.kept_outline import LEDGER, reached
from planner.cli.named import WHAT, composites_meant
from planner.cli.opening import SHOW, effort_options, open_sound
from planner.cli.order_issuing import order_left, search_left, tell_left
from planner.cli.progress import going_on
from planner.cli.told import judged_standing, told_of, until

if TYPE_CHECKING:
    from datetime import datetime
    from pathlib import Path

    from planner.cli.opening import Effort, Opened
    from planner.status import Standing
    from planner.status.blocking import Blocking


@click.command("blocking")
@SHOW
@WHAT
@click.option(
    "--roots",
    type=click.IntRange(min=0),
    default=5,
    show_default=True,
    help="How many roots to try for the days they would gain.",
)
@GOING_ON
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
    """Print what holds up SHOW's composites: of a shot, a sequence, those a piece is for, or all.

    For one composite: every undone piece, who has it and since when, what it waits for down to the
    roots, the next act, the date that results, the single root that would bring it forward most,
    and what does not delay it. For several: a table, and the roots by what they cost. What no
    longer stands since facts changed (see `stale`) is waited for again. Past calls of the issued
    order that nobody posted are told: while nothing at all is posted they are taken as done, from
    the first post on as still to be done, as in `order --from`.
    """
    now = morning(day)
    asked = _Asked(what, now, day is None, effort, roots)
    files = kept_blocking.seen(folder)
    where = kept_blocking.key_of(files, "which ledger")
    stated, opened = kept_blocking.recall(where), None
    if stated is None:
        opened = open_sound(folder)
        stated = opened.show.facts.word("ledger")
        kept_blocking.keep(where, stated)
    key = _key(files, reached(folder, stated, address), asked, as_json=as_json)
    said = kept_blocking.recall(key)
    if said is None:
        said, is_whole = _said(opened or open_sound(folder), address, asked, as_json=as_json)
        kept_blocking.keep(key if is_whole else "", said)
    else:
        tell_left(folder, effort)
    click.echo(said, nl=False)


@dataclass(frozen=True, slots=True)
class _Asked:
    """A question.

    Attributes:
        what: it is about; None for the whole show.
        now: the beginning of the day from which everything goes on.
        is_today: whether all events count, or only those up to that day.
        effort: of the search.
        roots: how many to try.
    """

    what: str | None
    now: datetime
    is_today: bool
    effort: Effort
    roots: int


def _key(files: tuple[object, ...], come: str, asked: _Asked, *, as_json: bool) -> str:
    """Under what the answer is kept; empty where it depends on a clock, or may not be the same."""
    if not come or asked.effort.seconds is not None:
        return ""
    return kept_blocking.key_of(files, come, repr(asked), asked.now.isoformat(), as_json)


def _said(opened: Opened, address: str | None, asked: _Asked, *, as_json: bool) -> tuple[str, bool]:
    """The answer as it is printed, and whether no search for it was stopped."""
    from planner.cli import searching
    from planner.pages.blocking import blocking_json, blocking_text

    before = searching.stops()
    told = told_of(opened.folder, opened.show.facts.word("ledger"), address)
    told = until(told, None if asked.is_today else asked.now.date())
    _judged, stands = judged_standing(opened, told)
    trying = (asked.effort, asked.roots)
    blocking = blocking_of(opened, stands, asked.what, asked.now, trying)
    said = f"{blocking_json(blocking)}\n" if as_json else blocking_text(blocking, opened.show)
    return said, searching.stops() == before


def blocking_of(
    opened: Opened,
    stands: Standing,
    what: str | None,
    now: datetime,
    trying: tuple[Effort, int],
) -> Blocking:
    """What holds up a composite, sequence or the show; an unknown name ends the command."""
    from planner.status.arrows_left import arrows_left
    from planner.status.blocking import Blocker
    from planner.status.causes import Causes
    from planner.status.dates import dates_of, hours_between, show_from
    from planner.status.left_by_order import left_by_order
    from planner.status.remaining import remaining
    from planner.status.too_soon import without_early
    from planner.status.unposted import (
        as_taken,
        unposted,
        untold,
    )

    effort, most = trying
    composites = composites_meant(opened.show, opened.graph, what)
    known, as_called, issued = None, None, order_left(opened.folder, effort)
    if issued is not None:
        known = unposted(issued, now.date(), opened.estimates, stands)
        as_called = untold(issued, stands) if known and known.is_taken_as_done else None
        stands = as_taken(stands, known, issued)
    stands = without_early(stands)
    left = remaining(opened.estimates, stands, partial(hours_between, opened.show, last=now))
    at = (now.date(), partial(hours_between, opened.show, now))
    left = left_by_order(left, issued, as_called, stands, at)
    show = show_from(opened.show, now.date(), stands)
    graph = arrows_left(opened.graph, stands)
    # Where no order is issued one is searched, which shows itself.
    with going_on("placing what is left") if issued else nullcontext():
        dates = dates_of(show, graph, left, effort.budget, search_left(opened, effort, issued))
    with going_on("trying what would shorten it"):
        causes = Causes(opened.show, left, stands, opened.findings, now.date())
        blocking = Blocker(opened.show, stands, causes, dates).ask(composites, now.date(), most)
    return replace(blocking, unposted=known, order=issued.stamp.number if issued else None)
