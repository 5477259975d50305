"""``platewright order --must-hold``: promises that cannot all be kept, and how little must give."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING

import click

from planner.cli.opening import tell, unwaived

if TYPE_CHECKING:
    from planner.cli.opening import Opened


def tell_contradictions(opened: Opened, *, as_json: bool) -> None:
    """Print them; any ends the command with code 1, as does a show with no order at all."""
    from planner.order import ask
    from planner.order.kept import impossible
    from planner.order.must_hold import contradictions
    from planner.pages.order_must_hold import must_hold_json, must_hold_text

    question = ask(opened.show, opened.graph, opened.estimates)
    try:
        found = tuple(contradictions(opened.show, question))
    except ValueError:
        tell(unwaived(opened, impossible(opened.show, question)), opened.show)
        sys.exit(1)
    if as_json:
        click.echo(json.dumps({"cannot_hold": must_hold_json(found)}, indent=2, ensure_ascii=False))
    else:
        click.echo(must_hold_text(found, opened.show), nl=False)
    if found:
        sys.exit(1)
