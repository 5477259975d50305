"""``platewright sweep``: many scenarios of a show, ordered and priced side by side."""

from __future__ import annotations

import os
import sys
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

import click

from planner.cli.opening import (
    SHOW,
    Effort,
    arrange_opened,
    has_errors,
    open_sound,
    tell,
    unwaived,
)
from planner.cli.sweeping import (
    AS_IT_STANDS,
    PLANNED_AGAIN,
    Known,
    Outcome,
    Task,
    files_of,
    in_processes,
    on_cluster,
    progress,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.bid.omitted import Left
    from planner.cli.opening import Opened
    from planner.order import IssuedOrder
    from planner.pages.sweep_text import Row
    from planner.schedule import Instance


@click.command("sweep")
@SHOW
@click.argument("scenarios", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option(
    "--jobs",
    type=click.IntRange(min=1),
    help="Scenarios at once, a process each; as many as there are processors unless said.",
)
@click.option(
    "--cluster",
    metavar="tcp://HOST:PORT",
    default="",
    help="Work them out on a Dask cluster instead; needs platewright[cluster] here and there.",
)
@click.option("--seed", default=0, show_default=True, help="Of each search; any number.")
@click.option(
    "--tries",
    type=click.IntRange(min=0),
    help="Trial orders of each, else as many as take about 5 s; the same number, the same answers.",
)
@click.option("--json", "as_json", is_flag=True, help="For machines.")
def command(  # noqa: PLR0913 - one parameter per option
    folder: Path,
    scenarios: Path,
    *,
    jobs: int | None,
    cluster: str,
    seed: int,
    tries: int | None,
    as_json: bool,
) -> None:
    """Order and price SHOW under each of SCENARIOS, a YAML file, beside the show as it stands.

    \b
        scenarios:
          a second table rig:
            set: {Table rig.count: 2}
          a smaller town:
            says: One in twenty-four.
            set: {town.scale: 1/24, modellers.heads: 6}

    A path is a shot, element, build, resource (by id or title), delivery or key of show.yaml, then
    its facts; a count of 0 takes a resource away. A scenario without an answer says why; the others
    answer all the same. The show as it stands keeps the order in force, the last issued or, where
    none is, this show's own, and costs what its bid does; so does what asks no more of the stages.
    Every other goes on from there: a call moves only where that is worth what show.yaml holds a
    move to cost. What that alone makes, with nothing else changed, is the last row.
    """  # noqa: D301 - click wants the character itself
    from planner.pages.sweep_text import sweep_json, sweep_text
    from planner.text.scenarios import Scenario, read_scenarios

    opened = open_sound(folder)
    files = files_of(folder)
    listed, problems = read_scenarios(scenarios.read_bytes(), str(scenarios), files)
    if has_errors(problems):
        tell(problems)
        sys.exit(1)
    base = Scenario(AS_IT_STANDS, "", (), opened.show.facts.place)
    effort = Effort(None, tries, seed)
    first = Task(base, files, effort, *_in_force(opened, effort))
    again = replace(first, scenario=replace(base, name=PLANNED_AGAIN), is_again=True)
    asked = [replace(first, scenario=each) for each in listed if not each.problems]
    found = iter(_worked_out([first, *asked, again], jobs, cluster))
    outcomes = [
        Outcome(each, None, each.problems) if each.problems else next(found)
        for each in (base, *listed)
    ]
    if any(each.worked and each.worked.is_again for each in outcomes):
        outcomes.append(next(found))
    if outcomes[0].worked is None:
        tell(outcomes[0].problems)
        sys.exit(1)
    rows = _rows(outcomes)
    if as_json:
        click.echo(sweep_json(rows, opened.show.currency))
    else:
        click.echo(sweep_text(rows, opened.show), nl=False)


def _in_force(opened: Opened, effort: Effort) -> tuple[IssuedOrder, Known, Instance, Left]:
    """The order that scenarios go on from, what is known of it, its question, what it leaves out.

    A show that cannot be ordered ends the command with code 1.
    """
    from planner.cli.omitted import still_wanted
    from planner.cli.order_issuing import known_of, unissued
    from planner.cli.pricing import left_of
    from planner.order.working import ask_since
    from planner.pages.bid_files import fetch_actuals

    wanted = still_wanted(opened)
    order = arrange_opened(opened, effort)
    if order.answer is None or not order.calls:
        tell(unwaived(opened, order.problems), opened.show)
        sys.exit(1)
    postings, problems = fetch_actuals(opened.folder)
    tell(problems)
    _judged, left = left_of(opened, order, wanted.omitted, postings)
    base = unissued(opened, order, effort.seed)
    question = ask_since(opened.show, wanted.opened.graph, wanted.opened.estimates, base)
    day, started, missed = known_of(opened, base)
    return base, Known(day, started, missed), question.instance, left


def _worked_out(tasks: Sequence[Task], jobs: int | None, cluster: str) -> list[Outcome]:
    with progress(len(tasks)) as told:
        if not cluster:
            return in_processes(tasks, jobs or os.cpu_count() or 1, told)
        try:
            return on_cluster(tasks, cluster, told)
        except ImportError:
            said = "a cluster needs one package more: pip install 'platewright[cluster]'"
        except (OSError, ValueError) as fault:
            said = f"no cluster answers at {cluster}: {fault}"
    click.echo(said, err=True)
    sys.exit(1)


def _rows(outcomes: Sequence[Outcome]) -> list[Row]:
    base = outcomes[0].worked
    return [_row(each, set(base.errors) if base else set()) for each in outcomes]


def _row(outcome: Outcome, usual: set[tuple[str, str, str]]) -> Row:
    from planner.pages.sweep_text import Row

    scenario, worked = outcome.scenario, outcome.worked
    if worked is None:
        nothing = Decimal(0)
        return Row(
            scenario.name,
            scenario.says,
            nothing,
            nothing,
            nothing,
            None,
            (),
            0,
            problems=outcome.problems,
        )
    errors = set(worked.errors)
    return Row(
        scenario.name,
        scenario.says,
        worked.cost.low,
        worked.cost.likely,
        worked.cost.high,
        worked.finish,
        worked.late,
        worked.stage_days,
        tuple(_error(each) for each in worked.errors if each not in usual),
        tuple(_error(each) for each in sorted(usual - errors)),
    )


def _error(error: tuple[str, str, str]) -> str:
    about, _code, message = error
    return f"{about}: {message}" if about else message
