"""``platewright stale``: what was made and no longer stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from planner.cli.as_of import ON, told_at
from planner.cli.kept_outline import LEDGER
from planner.cli.named import WHAT, meant
from planner.cli.opening import SHOW, open_sound, tell
from planner.cli.told import judged_standing, told_of, until

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import datetime
    from pathlib import Path

    from planner.bid.actuals import Posting
    from planner.bid.lines import PastMaking
    from planner.cli.opening import Opened
    from planner.cli.told import Told
    from planner.status import Standing


@click.command("stale")
@SHOW
@WHAT
@click.option("--numbers", is_flag=True, help="Open each judgement to its arithmetic.")
@click.option("--json", "as_json", is_flag=True, help="For machines.")
@ON
@LEDGER
def command(  # noqa: PLR0913 - one parameter per option
    folder: Path,
    what: str | None,
    address: str | None,
    *,
    numbers: bool,
    day: datetime | None,
    as_json: bool,
) -> None:
    """Print what was made for SHOW and no longer stands, as facts changed since; worst first.

    What is posted keeps the facts it rested on. When the cut, a lens, a camera place, a plate's
    take, a scale, a rate or a light is another now, each piece is judged by rule: still good, good
    with work, or dead, with what is lost and what making it good costs. What was made and is
    omitted since is told apart. The whole show unless a shot, sequence or piece is said. What is
    done is posted: another take, a piece built again, or an approval by somebody who has seen it as
    it is.
    """
    from planner.cli.bid_issuing import last_revision
    from planner.pages.bid_files import fetch_actuals
    from planner.pages.stale import stale_json, stale_text
    from planner.status.mending import Pricing

    today = told_at(day).date()
    opened = open_sound(folder)
    wanted = frozenset(meant(opened.show, opened.graph, what).pieces)
    told = until(told_of(folder, opened.show.facts.word("ledger"), address), day and day.date())
    judged, standing = judged_standing(opened, told)
    postings, problems = fetch_actuals(folder)
    tell(problems)
    pricing = Pricing(opened.show, opened.estimates, postings, today, last_revision(folder))
    omitted = {id_: each for id_, each in judged.unwanted.items() if id_ in wanted}
    mine = {id_: each for id_, each in judged.wanted.items() if id_ in wanted}
    stale = pricing.stale(mine, judged.made, standing)
    good = tuple(each for each in mine.values() if not each.short)
    unknown = tuple(each for each in judged.unknown if each in wanted)
    dead = {each.judgement.id for each in stale if each.lost is not None}
    again = [each for each in _made_again(opened, told, standing, postings) if each[0] in wanted]
    past = [each for id_, each in again if id_ not in dead]
    apart = unknown, pricing.unwanted(omitted), past
    if as_json:
        click.echo(stale_json(stale, good, apart, opened.show.currency))
    else:
        text = stale_text(stale, good, apart, opened.show.currency, numbers=numbers)
        click.echo(text, nl=False)


def _made_again(
    opened: Opened, told: Told, standing: Standing, postings: Sequence[Posting]
) -> Iterator[tuple[str, PastMaking]]:
    """What was spent on what is made again, whatever made that so, with the days of the orders."""
    from planner.bid.done import past_of
    from planner.cli.done import done_of, last_called

    done = [each for each in done_of(opened, told, standing) if each.is_again]
    ground = opened.show, opened.estimates, last_called(opened)
    return ((each.element, each) for each in past_of(ground, done, postings))
