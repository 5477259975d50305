"""``platewright why``: any number opened to its arithmetic."""

from __future__ import annotations

import sys
from difflib import get_close_matches
from typing import TYPE_CHECKING

import click

from planner.cli.named import did_you_mean
from planner.cli.opening import SHOW, effort_options, open_sound, plan_opened
from planner.cli.sentences import say

if TYPE_CHECKING:
    from pathlib import Path

    from planner.cli.opening import Effort
    from planner.model.show import Show


@click.command("why")
@SHOW
@click.argument("place")
@click.argument("name", required=False)
@effort_options
@click.option("--json", "as_json", is_flag=True, help="For machines.")
def command(folder: Path, place: str, name: str | None, effort: Effort, *, as_json: bool) -> None:
    """Open the numbers of PLACE in SHOW: formula, inputs with their standing, and where written.

    PLACE is an element (`NB010.town`), a build, or a shot, which means its composite. NAME (or how
    it begins) asks for one number or one stretch of work.
    """
    from planner.pages.why import names_of, why_json, why_text

    opened = open_sound(folder)
    show = opened.show
    id_ = opened.graph.composites.get(place, place)
    if id_ not in show.elements:
        _tell_unknown(show, place)
        sys.exit(2)
    plan = plan_opened(opened, effort)
    text = why_text(plan, id_, name or "")
    if not text:
        _tell_unknown_name(name or "", id_, names_of(plan, id_))
        sys.exit(2)
    if as_json:
        text = why_json(plan, id_, name or "") + "\n"
    click.echo(text, nl=False)


def _tell_unknown(show: Show, place: str) -> None:
    hint = did_you_mean(place, (*show.elements, *show.shots))
    say(f"nothing in {show.title} is called {place}{hint}")


def _tell_unknown_name(name: str, id_: str, known: list[str]) -> None:
    from planner.pages.wording import folded

    near = get_close_matches(name, known, n=3, cutoff=0.4)
    said = f"{id_} has nothing called {name}; nearest are {', '.join(near) or 'none'}"
    click.echo("\n".join(folded(said)), err=True)
