"""``platewright plan``: the whole job, written to a folder."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from planner.cli.opening import SHOW, effort_options, notes_on, open_sound, plan_opened, tell
from planner.cli.progress import shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.cli.opening import Effort
    from planner.pages.plan import Plan


@click.command("plan")
@SHOW
@click.option(
    "--to",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("plan"),
    show_default=True,
    help="Folder to write; files of the same names in it are replaced, others left alone.",
)
@effort_options
@click.option("--json", "as_json", is_flag=True, help="For machines.")
def command(folder: Path, effort: Effort, *, to: Path, as_json: bool) -> None:
    """Do the whole job on SHOW: element graph, stage order, bid, findings, what is missing.

    Nothing is written while the show's own files hold errors. Findings do not stop the plan.
    """
    from planner.pages.files import write_text
    from planner.pages.machine import plan_json
    from planner.pages.plan import summary_text
    from planner.pages.render import render_all

    plan = plan_opened(open_sound(folder), effort)
    try:
        for name, text in shown(_texts(plan), "files"):
            write_text(to / name, text)
        files = ((to / "graph" / f"{name}.svg", dot) for name, dot in _drawings(plan))
        drawn = list(shown(render_all(files), "drawings", len(plan.show.sequences) + 1))
    except OSError as error:
        click.echo(f"{to} cannot be written: {error.strerror}", err=True)
        sys.exit(1)
    tell(problem for problem in drawn if problem is not None)
    click.echo(plan_json(plan) if as_json else f"{summary_text(plan)}Written to {to}/")


def _texts(plan: Plan) -> Iterator[tuple[str, str]]:
    from planner.pages import machine
    from planner.pages.bid_json import bid_json
    from planner.pages.bid_text import bid_text
    from planner.pages.order_text import order_text
    from planner.pages.problems import missing_text, problems_text
    from planner.pages.waived import waived_text

    missing, waived = plan.estimates.missing, plan.estimates.waived
    yield "order.txt", order_text(plan.order, plan.show, notes_on(plan))
    yield "order.json", machine.order_json(plan.order, notes_on(plan, in_ids=True))
    yield "bid.txt", bid_text(plan.bid, "sequence")
    yield "bid_by_shot.txt", bid_text(plan.bid, "use")
    yield "bid.json", bid_json(plan.bid)
    yield "findings.txt", problems_text(plan.findings, plan.show)
    yield "missing.txt", missing_text(missing)
    yield "waived.txt", waived_text(waived, plan.show) or "Nothing is waived.\n"
    yield "check.json", machine.problems_json(plan.findings, missing, waived)


def _drawings(plan: Plan) -> Iterator[tuple[str, str]]:
    from planner.pages.graph_drawing import draw_part

    for part in ("", *plan.show.sequences):
        yield part or "show", draw_part(plan.show, plan.graph.arrows, part, plan.estimates)
