"""``platewright calibrate``: rules of thumb fitted to finished shots."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from planner.cli.opening import SHOW, has_errors, kinds_of, open_sound, tell

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from planner.kinds import Rule
    from planner.model.show import Show


@click.command("calibrate")
@SHOW
@click.option("--json", "as_json", is_flag=True, help="For machines.")
def command(folder: Path, *, as_json: bool) -> None:
    """Fit rod removal and set-up times to the finished shots in SHOW/history.yaml.

    Prints each rule before and after, what the shots leave unexplained, and a block to paste into
    show.yaml. Nothing is written: whether to take the new figures is for people to say.
    """
    from planner.estimate.calibration import calibrate
    from planner.pages.calibration_text import calibration_text
    from planner.pages.machine import values_json
    from planner.text.history import load_history

    show = open_sound(folder).show
    history, problems = load_history(folder)
    tell(problems)
    if history is None or has_errors(problems):
        sys.exit(1)
    found = calibrate(history, _rules(show))
    click.echo(f"{values_json(found)}\n" if as_json else calibration_text(found), nl=False)


def _rules(show: Show) -> Mapping[str, Rule]:
    """Every rule of every kind, with the figures this show uses now."""
    from planner.estimate.calibration import as_stated
    from planner.kinds import rules_of
    from planner.model.place import Place, Problem

    kinds = kinds_of(show)
    loaded = [kinds.get(name, Place(name)) for name in kinds.names]
    modules = [type(each).__module__ for each in loaded if not isinstance(each, Problem)]
    own = show.facts.group("rules")
    rules = (rule for module in ("planner.kinds", *modules) for rule in rules_of(module))
    return {rule.name: as_stated(rule, own) for rule in rules}
