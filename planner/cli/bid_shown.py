"""The bid in the shape asked for, as it stands or as a revision was issued.

Takes a bid and how to have it as a revision, gives text or JSON. Knows nothing of options.
"""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Literal

import click

from planner.cli.bid_issuing import revision
from planner.cli.opening import open_sound
from planner.cli.sentences import say

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import date
    from pathlib import Path

    from planner.bid import Bid, By
    from planner.bid.revision import Issued

BARE = frozenset({None, "lines", "shots", "summary"})
"""Shapes in which a revision can be printed."""


def shown(bid: Bid, now: Callable[[], Issued], shape: str | None, by: By | Literal["use"]) -> str:
    """Text of 80 columns.

    Args:
        bid: priced.
        now: the same as a revision, asked for only where the shape wants more than the bid.
        shape: lines, shots, summary, or None for its sums.
        by: side of the sums.
    """
    from planner.bid.revision import drawn
    from planner.pages.bid_summary import bid_shots_text, bid_summary_text
    from planner.pages.bid_text import bid_lines_text, bid_text

    if shape == "lines":
        return bid_lines_text(bid)
    if shape == "shots":
        return bid_shots_text(bid, now().shots)
    if shape == "summary":
        issued = drawn(now())
        if issued.chances is not None:
            return bid_summary_text(bid, issued.conditions, issued.chances)
    return bid_text(bid, by)


def shown_json(
    bid: Bid, now: Callable[[], Issued], shape: str | None, by: By | Literal["use"]
) -> str:
    """The same for machines; sums and every line where no page is asked for."""
    from planner.bid.revision import drawn
    from planner.pages.bid_json import bid_json, shots_json, summary_json

    if shape == "shots":
        return shots_json(bid, now().shots)
    if shape == "summary":
        return summary_json(drawn(now()))
    return bid_json(bid, by)


def tell_revision(
    folder: Path,
    number: int,
    day: date | None,
    asked: tuple[str | None, By | Literal["use"]],
    *,
    as_json: bool,
) -> Issued:
    """Print a revision as it was issued, or its quantities at the rates of another day.

    As it was issued it needs nothing but its own file.

    Args:
        folder: the show's.
        number: of the revision.
        day: on which the rates of rates.yaml are read; None for the rates it was issued on.
        asked: shape, and side of the sums.
        as_json: for machines.
    """
    shape, by = asked
    if shape not in BARE:
        say(f"--revision prints an issued bid; --{shape} is of the bid as it stands")
        sys.exit(2)
    issued = revision(folder, number)
    kept: Mapping[str, str] = {}
    if day is not None:
        issued, kept = _at_rates_of(issued, folder, day)
    if as_json:
        click.echo(_revision_json(issued, asked))
    else:
        click.echo(_headed(issued, day), nl=False)
        click.echo(shown(issued.bid, lambda: issued, shape, by), nl=False)
    for name, why in kept.items():
        say(f"{name} stays as issued: {why}")
    return issued


def _revision_json(issued: Issued, asked: tuple[str | None, By | Literal["use"]]) -> str:
    from planner.pages.bid_json import bid_json

    shape, by = asked
    if shape in {"shots", "summary"}:
        return shown_json(issued.bid, lambda: issued, shape, by)
    return bid_json(issued.bid, by, issued)


def _at_rates_of(issued: Issued, folder: Path, day: date) -> tuple[Issued, Mapping[str, str]]:
    from planner.bid.escalation import escalation_of
    from planner.bid.revision import kept_as_issued, repriced

    show = open_sound(folder).show
    escalation = escalation_of(show.facts, show.calendar.starts)
    kept = kept_as_issued(issued, show.rates, day)
    return repriced(issued, show.rates, day, escalation), kept


def _headed(issued: Issued, day: date | None) -> str:
    from planner.pages.bid_changes import stamp_text

    anew = "" if day is None else f"its quantities at the rates of {day}\n"
    return f"{stamp_text(issued)}{anew}\n"
