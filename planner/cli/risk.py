"""``platewright risk``: the chance of each date of the stage order."""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import TYPE_CHECKING

import click

from planner.cli.named import did_you_mean
from planner.cli.opening import SHOW, arrange_opened, effort_options, open_sound, tell, unwaived
from planner.cli.sentences import say

if TYPE_CHECKING:
    from pathlib import Path

    from planner.cli.opening import Effort, Opened
    from planner.order import StageOrder
    from planner.order.risk import Terms

SAMPLES = click.option(
    "--samples",
    type=click.IntRange(min=100, max=1_000_000),
    default=10_000,
    show_default=True,
    help="How often every duration is drawn; --seed is also of the draws.",
)


def as_called(terms: Terms, order: StageOrder) -> Terms:
    """The same, but nothing sooner than called where the order is issued or rests on one that is.

    An order that nobody was given holds nobody to its days.
    """
    return replace(terms, from_calls=order.is_issued or order.planned_from is not None)


def terms_of(opened: Opened, samples: int, seed: int) -> Terms:
    """How to draw for a show: crafts err together as its bid states."""
    from planner.craft.pert import CORRELATION
    from planner.order.risk import Terms

    stated = opened.show.facts.group("bid").amount("correlation", CORRELATION)
    return Terms(samples, seed, min(max(stated, 0.0), 1.0))


@click.command("risk")
@SHOW
@click.argument("what", metavar="[SHOT|DELIVERY]", required=False)
@SAMPLES
@effort_options
@click.option("--json", "as_json", is_flag=True, help="For machines.")
def command(folder: Path, what: str | None, effort: Effort, *, samples: int, as_json: bool) -> None:
    """Print how likely SHOW's dates are to be kept, and what decides them.

    The stage order dates everything at likely durations. Here its turns are kept and durations
    drawn between low and high: for each delivery and composite the date as ordered, the chance of
    the day it is due, and the days kept with 5, 8 and 9 chances in 10. By an issued order nothing
    begins before it is called for.
    """
    from planner.order.risk import risk_of
    from planner.pages.risk_text import risk_json, risk_text

    opened = open_sound(folder)
    asked = _asked(opened, what) if what else ""
    order = arrange_opened(opened, effort)
    if order.question is None or order.answer is None:
        tell(unwaived(opened, order.problems), opened.show)
        sys.exit(1)
    terms = as_called(terms_of(opened, samples, effort.seed), order)
    ordered = order.question, order.answer
    driven = (asked,) if asked else None
    risk = risk_of(opened.show, opened.graph, ordered, terms, driven)
    if asked and asked not in {each.id for each in (*risk.deliveries, *risk.composites)}:
        say(f"nothing of {what} is in the stage order, so it has no date")
        sys.exit(1)
    if as_json:
        click.echo(risk_json(risk))
    else:
        click.echo(risk_text(risk, opened.show.title, asked), nl=False)


def _asked(opened: Opened, what: str) -> str:
    """Id of the delivery or composite asked about; an unknown name ends the command."""
    show, composites = opened.show, opened.graph.composites
    known = {each.id: each.id for each in show.deliveries}
    known |= {each: each for each in composites.values()} | composites
    if what in known:
        return known[what]
    hint = did_you_mean(what, known)
    say(f"no delivery, shot or composite is called {what}{hint}")
    sys.exit(2)
