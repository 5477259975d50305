"""``platewright report``: the whole plan as a page to read, print and hand out."""

from __future__ import annotations

import sys
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from planner.cli.as_of import DAY, morning
from planner.cli.kept_outline import LEDGER
from planner.cli.opening import (
    SHOW,
    effort_options,
    has_errors,
    kinds_of,
    open_sound,
    plan_opened,
    tell,
)
from planner.cli.progress import going_on, shown

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from datetime import datetime

    from planner.bid.compare import Comparison
    from planner.cli.opening import Effort, Opened
    from planner.order.changes import Changes
    from planner.order.risk import Risk
    from planner.pages.plan import Plan
    from planner.pages.report import Followed, Matter, Stands

MOST_CELLS = 6_000_000
"""Draws times calls of the chances in a report: seconds of work at most."""
MOST_DRAWS, LEAST_DRAWS = 10_000, 500
ROOTS = 5
"""How many roots are tried for the days they would gain, as many as `blocking` tries."""


@click.command("report")
@SHOW
@click.option(
    "--to",
    type=click.Path(path_type=Path),
    help="File to write, report.html unless given; with --split a folder, report unless given.",
)
@click.option("--split", is_flag=True, help="An index, a page a sequence, one a month on stage.")
@click.option(
    "--on",
    "day",
    type=DAY,
    help="The day as of which it tells where things stand, by all that was posted on it, evening"
    " included; today unless said.",
)
@effort_options
@LEDGER
def command(  # noqa: PLR0913 - one parameter per option
    folder: Path,
    effort: Effort,
    address: str | None,
    *,
    to: Path | None,
    split: bool,
    day: datetime | None,
) -> None:
    """Write the plan of SHOW as HTML that needs no network and no script, and prints on A4.

    It holds where things stand and what changed since the last issue, where anything is posted or
    issued; the shot strip, what waits for what, the stage order week by week, the chance of each
    date, the bid, scales of builds, findings, and what is missing, assumed or accepted.
    """
    from planner.pages.files import write_text
    from planner.pages.report import SECTIONS, report_html, report_pages
    from planner.pages.report.added import with_added

    opened = open_sound(folder)
    plan = plan_opened(opened, effort)
    matter, added, broken = with_added(
        matter_from(plan, followed_of(opened, plan, effort, AsOf(day, address)))
    )
    tell(broken)
    tellers = (*SECTIONS, *added)
    target = to or Path("report" if split else "report.html")
    try:
        if split:
            for name, text in shown(report_pages(matter, tellers), "pages"):
                write_text(target / name, text)
        else:
            write_text(target, report_html(matter, tellers))
    except OSError as error:
        click.echo(f"{target} cannot be written: {error.strerror}", err=True)
        sys.exit(1)
    click.echo(f"wrote {target / 'index.html' if split else target}")


@dataclass(frozen=True, slots=True)
class AsOf:
    """Of when and by which ledger it is told where things stand.

    Attributes:
        day: the last whose events count; None for today and all of them.
        address: of the ledger, as the command line says; None for where the show says.
    """

    day: datetime | None = None
    address: str | None = None


def kept_up_to_date(target: Path, effort: Effort) -> Callable[[Opened], None]:
    """What `watch` does after each save: the report written anew, or left while files hold errors.

    Args:
        target: file to write.
        effort: how to look for an order.
    """
    from planner.pages.files import write_text
    from planner.pages.report import report_html

    def refresh(opened: Opened) -> None:
        if has_errors(opened.text_problems):
            click.echo(f"{target} is left as it is: the files hold errors", err=True)
            return
        # What cannot be read of the ledger or of issues has been said; watching goes on.
        with suppress(SystemExit):
            plan = plan_opened(opened, effort)
            matter = matter_from(plan, followed_of(opened, plan, effort, AsOf()))
            try:
                write_text(target, report_html(matter))
            except OSError as error:
                click.echo(f"{target} cannot be written: {error.strerror}", err=True)
            else:
                click.echo(f"wrote {target}", err=True)

    return refresh


def followed_of(opened: Opened, plan: Plan, effort: Effort, as_of: AsOf) -> Followed:
    """Chances of the plan's dates, where things stand, and what changed since the last issue."""
    from planner.pages.report import Followed

    return Followed(
        risk=_risk(opened, plan, effort),
        stands=_stands(opened, effort, as_of),
        changes=_changes(opened, plan),
        compared=_compared(opened, plan),
        day=morning(as_of.day).date(),
    )


def _risk(opened: Opened, plan: Plan, effort: Effort) -> Risk | None:
    """As many draws as seconds allow, and what decides deliveries and late composites only."""
    from planner.cli.risk import as_called, terms_of
    from planner.model.names import counted
    from planner.order.risk import risk_of
    from planner.pages.report import driven_of

    order = plan.order
    if order.question is None or order.answer is None or not order.calls:
        return None
    draws = min(MOST_DRAWS, max(LEAST_DRAWS, MOST_CELLS // len(order.calls)))
    terms = as_called(terms_of(opened, draws, effort.seed), order)
    ordered = order.question, order.answer
    with going_on(f"drawing the durations of {counted(len(order.calls), 'call')}"):
        return risk_of(plan.show, plan.graph, ordered, terms, driven_of(plan))


def _stands(opened: Opened, effort: Effort, as_of: AsOf) -> Stands | None:
    from planner.cli.bid_issuing import last_revision
    from planner.cli.blocking import blocking_of
    from planner.cli.told import judged_standing, told_of, until
    from planner.pages.bid_files import fetch_actuals
    from planner.pages.report import Stands
    from planner.status.mending import Pricing
    from planner.status.too_soon import without_early

    now = morning(as_of.day)
    told = told_of(opened.folder, opened.show.facts.word("ledger"), as_of.address)
    told = until(told, as_of.day and as_of.day.date())
    if not told.events:
        return None
    judged, standing = judged_standing(opened, told)
    postings, _problems = fetch_actuals(opened.folder)
    with going_on("pricing what no longer stands"):
        accepted = last_revision(opened.folder)
        pricing = Pricing(opened.show, opened.estimates, postings, now.date(), accepted)
        stale = pricing.stale(judged.wanted, judged.made, standing)
    return Stands(
        events=len(told.events),
        last=max(each.at for each in told.events).astimezone(),
        standing=without_early(standing),
        blocking=blocking_of(opened, standing, None, now, (effort, ROOTS)),
        stale=stale,
        unknown=judged.unknown,
    )


def _changes(opened: Opened, plan: Plan) -> Changes | None:
    from planner.cli.order_issuing import issued_order
    from planner.order.changes import compare
    from planner.pages.order_files import numbers

    if not numbers(opened.folder):
        return None
    return compare(plan.show.calendar, issued_order(opened.folder, None), plan.order)


def _compared(opened: Opened, plan: Plan) -> Comparison | None:
    from planner.bid.compare import compare
    from planner.cli.bid_issuing import bid_now, last_revision

    issued = last_revision(opened.folder)
    if issued is None:
        return None
    with going_on("pricing what changed since the last bid"):
        return compare(issued, bid_now(opened, plan.order, plan.bid))


def matter_from(plan: Plan, followed: Followed | None = None) -> Matter:
    """What a report tells of: a plan with its builds' scales and the ways of making one thing.

    Args:
        plan: of the show.
        followed: chances, where things stand and what changed; None to tell nothing of them.
    """
    from planner.bid import price_methods
    from planner.estimate.scales import Ground, study_scale
    from planner.pages.report import Followed, matter_of

    ground = Ground(plan.show, plan.graph, kinds_of(plan.show), plan.estimates)
    with going_on("studying scales and pricing the ways of making things"):
        studies = [study_scale(ground, build, None) for build in _limited(plan)]
        choices = price_methods(plan.show, plan.estimates, plan.order)
    return matter_of(plan, studies, choices, followed or Followed())


def _limited(plan: Plan) -> Iterator[str]:
    """Builds whose scale something limits."""
    for build, window in plan.estimates.windows.items():
        if window.bounds and build in plan.show.elements:
            yield build
