"""``platewright plan``: the whole job, written to a folder."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from planner.cli.opening import (
    SHOW,
    Effort,
    Opened,
    arrange_opened,
    effort_options,
    open_sound,
    tell,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.bid import Bid
    from planner.order import StageOrder


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
def command(folder: Path, *, to: Path, seconds: float | None, tries: int, seed: int) -> None:
    """Do the whole job on SHOW: element graph, stage order, bid, findings, what is missing.

    Nothing is written while the show's own files hold errors. Findings do not stop the plan.
    """
    from planner.bid import price
    from planner.pages.files import write_text
    from planner.pages.render import render

    opened = open_sound(folder)
    order = arrange_opened(opened, Effort(seconds, tries, seed))
    bid = price(opened.show, opened.estimates, order)
    try:
        for name, text in _texts(opened, order, bid):
            write_text(to / name, text)
        problems = [
            problem
            for name, dot in _drawings(opened)
            if (problem := render(dot, "svg", to / "graph" / f"{name}.svg"))
        ]
    except OSError as error:
        click.echo(f"{to} cannot be written: {error.strerror}", err=True)
        sys.exit(1)
    tell(problems)
    click.echo(_summary(opened, order, bid, to), nl=False)


def _texts(opened: Opened, order: StageOrder, bid: Bid) -> Iterator[tuple[str, str]]:
    from planner.pages import machine, terminal

    findings = (*opened.findings, *order.problems, *bid.problems)
    yield "order.txt", terminal.order_text(order, opened.show)
    yield "order.json", machine.order_json(order)
    yield "bid.txt", terminal.bid_text(bid, "sequence")
    yield "bid_by_shot.txt", terminal.bid_text(bid, "use")
    yield "bid.json", machine.bid_json(bid)
    yield "findings.txt", terminal.problems_text(findings)
    yield "missing.txt", terminal.missing_text(opened.estimates.missing)
    yield "check.json", machine.problems_json(findings, opened.estimates.missing)


def _drawings(opened: Opened) -> Iterator[tuple[str, str]]:
    from planner.pages.graph_drawing import draw_part

    yield "show", draw_part(opened.show, opened.graph.arrows, "")
    for sequence in opened.show.sequences:
        yield sequence, draw_part(opened.show, opened.graph.arrows, sequence)


def _summary(opened: Opened, order: StageOrder, bid: Bid, to: Path) -> str:
    from planner.pages.terminal import plan_text

    findings = (*opened.findings, *order.problems, *bid.problems)
    return plan_text(opened.show, order, bid, findings, opened.estimates.missing) + f"\n{to}/\n"
