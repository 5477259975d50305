"""Opening a show for a command: read, join, estimate; then print or stop.

Takes a folder, gives everything that every command starts from.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from functools import wraps
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING

import click

from planner.cli.progress import going_on

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from planner.cli.told import Told
    from planner.estimate import Estimates
    from planner.graph import ElementGraph
    from planner.kinds import Registry
    from planner.model.place import Problem
    from planner.model.show import Show
    from planner.order import StageOrder
    from planner.pages.order_text import Notes
    from planner.pages.plan import Plan
    from planner.schedule import Budget

SHOW = click.argument("folder", metavar="SHOW", type=click.Path(path_type=Path))


@dataclass(frozen=True, slots=True)
class Opened:
    """A show with its graph and estimates.

    Attributes:
        folder: it was read from.
        show: the show.
        graph: its element graph.
        estimates: what its elements need.
        text_problems: faults in its files.
        findings: faults in the graph, and what the kinds found; what nobody waived of them, and
            what is wrong with the waivers.
        found: the same with what is waived, and without what is wrong with the waivers.
        told: what its ledger holds, where that is read already; None to read it when it is asked.
    """

    folder: Path
    show: Show
    graph: ElementGraph
    estimates: Estimates
    text_problems: tuple[Problem, ...]
    findings: tuple[Problem, ...]
    found: tuple[Problem, ...]
    told: Told | None = None


class Held:
    """A show held in memory by what opens it again and again.

    Attributes:
        parts: its files, as they were read.
        memory: what was worked out of it.
        graph: the show as it was opened last, and its graph.
    """

    __slots__ = ("graph", "memory", "parts")

    def __init__(self) -> None:
        from planner.estimate.memory import Memory
        from planner.text.parts import Shelf

        self.parts = Shelf()
        self.memory = Memory()
        self.graph: tuple[Show, ElementGraph] | None = None


def open_show(folder: Path, held: Held | None = None) -> tuple[Opened | None, tuple[Problem, ...]]:
    """Read a show as far as it can be read; all problems of its files come along.

    Args:
        folder: the show's.
        held: the same show as it was opened before; only what has changed is read and worked out
            again, and the outcome is that of opening it afresh.
    """
    from planner.estimate import apply_waivers
    from planner.kinds import Registry
    from planner.text.show_folder import load_show

    kinds = Registry()
    show, problems = load_show(folder, kinds, held.parts if held else None)
    if show is None:
        return None, problems
    graph, estimates, found = _estimated(show, kinds, held)
    judged = apply_waivers(show, found, more_to_come=True)
    findings = (*judged.standing, *judged.told)
    estimates = judged.applied_to(estimates)
    return Opened(folder, show, graph, estimates, problems, findings, found), problems


def worked_out(opened: Opened, show: Show, held: Held | None = None) -> Opened:
    """The same for a show that is not written yet, whose files then hold no other fault.

    Args:
        opened: the show as it is written.
        show: as it would be.
        held: what was worked out of one like it, as for `open_show`.
    """
    from planner.estimate import apply_waivers

    graph, estimates, found = _estimated(show, kinds_of(show), held)
    judged = apply_waivers(show, found, more_to_come=True)
    findings = (*judged.standing, *judged.told)
    return replace(
        opened,
        show=show,
        graph=graph,
        estimates=judged.applied_to(estimates),
        findings=findings,
        found=found,
    )


def _estimated(
    show: Show, kinds: Registry, held: Held | None
) -> tuple[ElementGraph, Estimates, tuple[Problem, ...]]:
    """A show's graph and estimates, and what is found wrong with either."""
    from planner.estimate import estimate_show
    from planner.graph import build_graph, build_graph_again

    if held and held.graph:
        graph, problems = build_graph_again(show, held.graph)
    else:
        graph, problems = build_graph(show)
    if held:
        held.graph = show, graph
    estimates = estimate_show(show, graph, kinds, held.memory if held else None)
    return graph, estimates, (*problems, *estimates.problems)


def notes_on(opened: Opened | Plan, *, in_ids: bool = False) -> Notes:
    """What is said at calls: faults, and every hazard on the floor; lamps once for a stage.

    Args:
        opened: the show.
        in_ids: whether ids stand for names and each element has all its hazards, as programs want.
    """
    from planner.kinds.strike import hazards_of_pieces, lit_alone
    from planner.pages.order_text import notes_of

    estimates = opened.estimates.by_element
    hazards = hazards_of_pieces(opened.show, estimates)
    if in_ids:
        return notes_of(opened.findings, None, hazards)
    lit = lit_alone(opened.show, estimates, hazards)
    return notes_of(opened.findings, opened.show, hazards, lit)


def open_sound(folder: Path, held: Held | None = None) -> Opened:
    """Read a show whose files hold no error; else print every problem and end with code 1."""
    with going_on("reading the show"):
        opened, problems = open_show(folder, held)
    if opened is None or has_errors(problems):
        tell(problems)
        sys.exit(1)
    return opened


def kinds_of(show: Show) -> Registry:
    """Kinds from the distributions that the show chooses."""
    from planner.kinds import Registry

    chosen = show.facts.group("kinds").values
    return Registry({name: origin for name, origin in chosen.items() if isinstance(origin, str)})


def has_errors(problems: Iterable[Problem]) -> bool:
    """Whether any of them stops the plan."""
    return any(problem.severity == 0 for problem in problems)


def tell(problems: Iterable[Problem], show: Show | None = None) -> None:
    """Print problems on standard error, things of `show` by name."""
    from planner.pages.problems import problems_text

    problems = tuple(problems)
    if not problems:
        return
    text = problems_text(problems, show, colour=wants_colour(sys.stderr))
    click.echo(text, err=True, nl=False)


def unwaived(opened: Opened, problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Those of a room's problems that nobody has waived."""
    from planner.estimate import apply_waivers

    return apply_waivers(opened.show, problems).standing


def wants_colour(stream: object) -> bool:
    """Whether `stream` is a terminal whose user did not say NO_COLOR."""
    import os

    is_terminal = getattr(stream, "isatty", lambda: False)
    return bool(is_terminal()) and not os.environ.get("NO_COLOR")


def plan_opened(opened: Opened, effort: Effort) -> Plan:
    """Everything worked out from a show; what is posted as omitted is omitted in it."""
    from planner.cli.pricing import priced
    from planner.cli.told import with_told
    from planner.estimate import apply_waivers
    from planner.pages.plan import Plan

    opened = with_told(opened)
    order = arrange_opened(opened, effort)
    known = priced(opened, order)
    show, bid = known.opened.show, known.bid
    judged = apply_waivers(opened.show, (*opened.found, *order.problems, *bid.problems))
    findings = (*opened.text_problems, *judged.standing, *judged.told)
    estimates = judged.applied_to(opened.estimates)
    return Plan(show, opened.graph, estimates, order, bid, findings)


def arrange_opened(
    opened: Opened, effort: Effort, ledger: str | None = None, *, is_told: bool = True
) -> StageOrder:
    """The order people work by: the last issued while it can be kept, else planned again from it.

    Where none is issued, or afresh is asked for, it is arranged from scratch. What is posted as
    omitted is not in it, and is told in its problems.

    Args:
        opened: the show.
        effort: how to look for an order.
        ledger: where its ledger is, as the command line says; None for where the show says.
        is_told: whether to say on standard error which issued order it goes by.
    """
    from planner.cli.omitted import still_wanted

    wanted = still_wanted(opened, ledger)
    return wanted.told_with(arrange_whole(wanted.opened, effort, ledger, is_told=is_told))


def arrange_whole(
    opened: Opened, effort: Effort, ledger: str | None = None, *, is_told: bool = True
) -> StageOrder:
    """The order people work by with all that the show's files want, whatever is posted."""
    from planner.cli.order_issuing import working_order

    working = working_order(opened, effort, ledger, is_told=is_told)
    return working or arrange_afresh(opened, effort)


def arrange_afresh(opened: Opened, effort: Effort) -> StageOrder:
    """An order arranged from scratch, whatever was issued."""
    from planner.cli.searching import solved
    from planner.order import arrange

    return arrange(opened.show, opened.graph, opened.estimates, effort.budget, solved)


@dataclass(frozen=True, slots=True)
class Effort:
    """How to look for an order.

    Attributes:
        seconds: by the clock; None for so many trial orders, which is repeatable.
        tries: trial orders; None for as many as are usual.
        seed: of the search.
        is_afresh: whether to arrange from scratch though an order is issued.
    """

    seconds: float | None
    tries: int | None
    seed: int
    is_afresh: bool = False

    def budget(self, calls: int) -> Budget:
        """As the solver takes it, for an order of so many calls."""
        from planner.order import usual_budget
        from planner.schedule import Budget

        if self.seconds is not None:
            return Budget(seconds=self.seconds, seed=self.seed)
        if self.tries is not None:
            return Budget(evaluations=self.tries, seed=self.seed)
        return usual_budget(calls, self.seed)


def _finite(
    context: click.Context, parameter: click.Parameter, seconds: float | None
) -> float | None:
    """Seconds, where they are a number of them: a search would else go on for ever."""
    if seconds is None or isfinite(seconds):
        return seconds
    raise click.BadParameter(f"{seconds} is no number of seconds", context, parameter)


def effort_options(command: Callable[..., None]) -> Callable[..., None]:
    """Options of every command that orders; the command gets them as one ``effort``."""

    @wraps(command)
    def with_effort(
        *args: object,
        seconds: float | None,
        tries: int | None,
        seed: int,
        afresh: bool,
        **others: object,
    ) -> None:
        command(*args, effort=Effort(seconds, tries, seed, afresh), **others)

    for option in (
        click.option(
            "--afresh", is_flag=True, help="Arrange from scratch, though an order is issued."
        ),
        click.option("--seed", default=0, show_default=True, help="Of the search; any number."),
        click.option(
            "--tries",
            type=click.IntRange(min=0),
            help="Trial orders, else as many as take about 5 s; the same number, the same order.",
        ),
        click.option(
            "--seconds",
            type=click.FloatRange(min=0),
            callback=_finite,
            help="Search by the clock instead; the order may differ from run to run.",
        ),
    ):
        with_effort = option(with_effort)
    return with_effort
