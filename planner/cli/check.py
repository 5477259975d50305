"""``platewright check``: every problem and finding."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from planner.cli.opening import SHOW, has_errors, open_show, wants_colour

if TYPE_CHECKING:
    from pathlib import Path

    from planner.cli.kept_findings import Asked, Said


@click.command("check")
@SHOW
@click.option("--json", "as_json", is_flag=True, help="For machines: one object, sorted.")
@click.option(
    "--afresh", is_flag=True, help="Look again, though no file has changed since it was looked at."
)
def command(folder: Path, *, as_json: bool, afresh: bool) -> None:
    """Print every problem and finding of SHOW, errors before warnings.

    Each comes with its place, a sentence and what would mend it. Ends with code 1 where there is an
    error. Things whose text holds errors are not judged further until those are mended. In brackets
    stand a finding's code and its mark, by which a shot's `waivers` accept it; what is waived comes
    last.

    What only the stage order or the bid can find comes with `order`, `bid` and `plan`. The show's
    files alone are judged; what is posted as omitted is named at the end.
    """
    from planner.cli.kept_findings import ask, recall

    colour = not as_json and wants_colour(sys.stdout)
    asked = ask(folder, as_json, colour)
    said = None if afresh else recall(asked)
    if said is None:
        said = _looked(asked, as_json=as_json, colour=colour)
    click.echo(said.text, nl=False)
    _tell_omitted(folder, said.ledger)
    if said.code:
        sys.exit(said.code)


def _tell_omitted(folder: Path, ledger: str) -> None:
    """Say on standard error what is posted as omitted, as the show's files alone are judged here.

    A ledger that cannot be read is for the commands that go by it to tell.
    """
    from planner.cli.told import read_told
    from planner.ledger import What
    from planner.ledger.store import LedgerError
    from planner.pages.wording import folded
    from planner.status import states_of

    try:
        told = read_told(folder, ledger, None, {What.OMITTED, What.UN_OMITTED, What.CORRECTED})
    except LedgerError:
        return
    omitted = [id_ for id_, state in states_of(told.events).items() if state.omitted]
    if omitted:
        said = (
            f"Posted as omitted, and counted here as the show's files have it:"
            f" {', '.join(omitted)}. State it in the files too, for check to follow."
        )
        click.echo("\n".join(folded(said, rest="  ")), err=True)


def _looked(asked: Asked, *, as_json: bool, colour: bool) -> Said:
    """What there is to say, kept for the next time."""
    from planner.cli.kept_findings import Said, keep
    from planner.pages.machine import problems_json
    from planner.pages.problems import missing_text, problems_text
    from planner.pages.waived import waived_text

    opened, problems = open_show(asked.folder)
    if opened is not None:
        problems = (*problems, *opened.findings)
    show = opened.show if opened is not None else None
    missing = opened.estimates.missing if opened is not None else ()
    waived = opened.estimates.waived if opened is not None else ()
    if as_json:
        text = f"{problems_json(problems, missing, waived)}\n"
    else:
        texts = [problems_text(problems, show, colour=colour)]
        texts += [missing_text(missing)] if missing else []
        texts += [waived_text(waived, show)] if waived else []
        text = "\n".join(texts)
    ledger = show.facts.word("ledger") if show is not None else ""
    said = Said(text, int(has_errors(problems)), ledger)
    if opened is not None:
        keep(asked, said, problems)
    return said
