"""``platewright report``: the whole plan as a page to read, print and hand out."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from planner.cli.opening import SHOW, effort_options, kinds_of, open_sound, plan_opened, tell

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.cli.opening import Effort
    from planner.pages.plan import Plan
    from planner.pages.report import Matter


@click.command("report")
@SHOW
@click.option(
    "--to",
    type=click.Path(path_type=Path),
    help="File to write, report.html unless given; with --split a folder, report unless given.",
)
@click.option("--split", is_flag=True, help="An index, a page a sequence, one a month on stage.")
@effort_options
def command(folder: Path, effort: Effort, *, to: Path | None, split: bool) -> None:
    """Write the plan of SHOW as HTML that needs no network and no script, and prints on A4.

    It holds the shot strip, what waits for what, the stage order week by week, the bid, scales of
    builds, findings, and what is missing, assumed or accepted.
    """
    from planner.pages.files import write_text
    from planner.pages.report import SECTIONS, report_html, report_pages
    from planner.pages.report.added import with_added

    matter, added, broken = with_added(matter_from(plan_opened(open_sound(folder), effort)))
    tell(broken)
    tellers = (*SECTIONS, *added)
    target = to or Path("report" if split else "report.html")
    try:
        if split:
            for name, text in report_pages(matter, tellers):
                write_text(target / name, text)
        else:
            write_text(target, report_html(matter, tellers))
    except OSError as error:
        click.echo(f"{target} cannot be written: {error.strerror}", err=True)
        sys.exit(1)
    click.echo(f"wrote {target / 'index.html' if split else target}")


def matter_from(plan: Plan) -> Matter:
    """What a report tells of: a plan with its builds' scales and the ways of making one thing."""
    from planner.bid import price_methods
    from planner.estimate.scales import Ground, study_scale
    from planner.pages.report import matter_of

    ground = Ground(plan.show, plan.graph, kinds_of(plan.show), plan.estimates)
    studies = [study_scale(ground, build, None) for build in _limited(plan)]
    choices = price_methods(plan.show, plan.estimates, plan.order)
    return matter_of(plan, studies, choices)


def _limited(plan: Plan) -> Iterator[str]:
    """Builds whose scale something limits."""
    for build, window in plan.estimates.windows.items():
        if window.bounds and build in plan.show.elements:
            yield build
