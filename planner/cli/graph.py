"""``platewright graph``: a drawing of what waits for what."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from planner.cli.kept_outline import LEDGER
from planner.cli.opening import SHOW, open_sound, tell
from planner.cli.progress import shown
from planner.cli.sentences import say
from planner.model.names import counted

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from planner.cli.opening import Opened
    from planner.model.show import Show


@click.command("graph")
@SHOW
@click.argument("part", required=False)
@click.option(
    "--to",
    type=click.Path(path_type=Path),
    help="File to write; its ending says the format: .svg, .pdf, .png or .dot. With --split a"
    " folder, graph unless given.",
)
@click.option("--split", is_flag=True, help="Each shot of PART, or of SHOW, in an .svg of its own.")
@click.option(
    "--blocked",
    is_flag=True,
    help="Draw thick what the composites of PART still wait for, and say what is in the way.",
)
@LEDGER
def command(  # noqa: PLR0913 - one parameter per option
    folder: Path,
    part: str | None,
    to: Path | None,
    address: str | None,
    *,
    split: bool,
    blocked: bool,
) -> None:
    """Draw PART of SHOW: a shot, a sequence, or (without PART) the whole show, collapsed.

    Work runs from left to right; an arrow says in words why one thing waits for another. A shot
    is drawn alike in every format and needs no other program; sequences, the show and .dot are
    drawn by Graphviz.
    """
    opened = open_sound(folder)
    show = opened.show
    if part and part not in show.shots and part not in show.sequences:
        say(f"{part} is neither a shot nor a sequence of {show.title}")
        sys.exit(2)
    if blocked and not part:
        raise click.UsageError("--blocked draws one PART: say a shot or a sequence")
    waiting = _waiting(opened, part or "", address) if blocked else None
    if split:
        _draw_each(opened, _shots(show, part), to or Path("graph"), waiting)
    else:
        _draw(opened, part or "", to or Path(f"{part or 'show'}.svg"), waiting)


def _draw(opened: Opened, part: str, target: Path, waiting: dict[str, str] | None) -> None:
    from planner.pages.graph_drawing import draw_part
    from planner.pages.render import render, render_svg, written

    fmt = target.suffix.removeprefix(".")
    bare = fmt == "dot"
    if part in opened.show.shots and not bare:
        problem = render_svg(next(_shot_drawings(opened, (part,), waiting)), fmt, target)
    else:
        dot = draw_part(opened.show, opened.graph.arrows, part, opened.estimates, waiting)
        problem = written(target, dot.encode()) if bare else render(dot, fmt, target)
    if problem:
        tell([problem])
        sys.exit(1)
    click.echo(f"wrote {target}")


def _draw_each(
    opened: Opened, shots: Sequence[str], target: Path, waiting: dict[str, str] | None
) -> None:
    from concurrent.futures import ThreadPoolExecutor

    from planner.pages.graph_nodes import slug
    from planner.pages.render import written

    files = (target / f"{slug(shot)}.svg" for shot in shots)
    # A disk takes its time over each file: others are drawn and written meanwhile.
    with ThreadPoolExecutor() as hands:
        done = hands.map(written, files, _shot_drawings(opened, shots, waiting))
        problems = [each for each in shown(done, "drawings", len(shots)) if each]
    tell(problems)
    click.echo(f"wrote {counted(len(shots) - len(problems), 'drawing')} to {target}/")
    if problems:
        sys.exit(1)


def _shot_drawings(
    opened: Opened, shots: Sequence[str], waiting: dict[str, str] | None
) -> Iterator[bytes]:
    from planner.pages.shot_drawing import shot_drawings

    arrows = opened.graph.arrows
    drawings = shot_drawings(opened.show, arrows, shots, opened.estimates, waiting)
    return (each.encode() for each in drawings)


def _shots(show: Show, part: str | None) -> tuple[str, ...]:
    if not part:
        return tuple(show.shots)
    return show.sequences[part].shots if part in show.sequences else (part,)


def _waiting(opened: Opened, part: str, address: str | None) -> dict[str, str]:
    """By id, every undone piece of a part's composites, with what stands in its own way."""
    from planner.cli.told import judged_standing, told_of
    from planner.pages.blocking import cause_words
    from planner.status.blocking import Blocker
    from planner.status.causes import Causes

    show = opened.show
    told = told_of(opened.folder, show.facts.word("ledger"), address)
    _judged, standing = judged_standing(opened, told)
    today = datetime.now().date()  # noqa: DTZ005, TID251 - the command line reads it
    causes = Causes(show, opened.estimates, standing, opened.findings, today)
    blocker = Blocker(show, standing, causes, None)
    known = (opened.graph.composites.get(shot, "") for shot in _shots(show, part))
    undone = standing.undone(each for each in known if each and standing.is_wanted(each))
    chain = dict.fromkeys(id_ for each in undone for id_ in blocker.chain(each))
    return {
        id_: "; ".join(cause_words(each) for each in causes.of(id_) if each.sort != "work")
        for id_ in chain
    }
