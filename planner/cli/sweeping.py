"""Scenarios worked out side by side: in processes of this machine, or on a cluster.

Takes a show's files and scenarios, gives an `Outcome` for each, in their order, the same whoever
worked them out. A scenario carries the files it needs, so that a worker need not see the show.
"""

from __future__ import annotations

import sys
import tempfile
from contextlib import contextmanager
from dataclasses import dataclass, replace
from multiprocessing import get_context
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.cli.progress import unseen
from planner.model.place import Place, Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence
    from concurrent.futures import Future
    from datetime import date

    from planner.bid.lines import Figures
    from planner.bid.omitted import Left
    from planner.cli.opening import Effort, Opened
    from planner.estimate import Estimates
    from planner.kinds import Need
    from planner.order import IssuedOrder, StageOrder, Started
    from planner.order.around import Missed
    from planner.schedule import Instance
    from planner.text.scenarios import Scenario

AS_IT_STANDS = "as it stands"
PLANNED_AGAIN = "planned again"
PATIENCE = "10s"
"""How long a cluster may take to answer first."""


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of the floor, as planning again goes by it.

    Attributes:
        day: the first that may still be planned.
        started: what has begun by then.
        missed: what is posted as lost.
    """

    day: date
    started: Started
    missed: tuple[Missed, ...] = ()


@dataclass(frozen=True, slots=True)
class Task:
    """One scenario to be worked out.

    Attributes:
        scenario: with no problems; the show as it stands is one without changes.
        files: of the show as it stands, by name.
        effort: how long to look for an order; by trial orders, so that it is repeatable.
        base: the order in force, which every scenario goes on from.
        known: what has begun and what is lost by what is posted.
        asked: the question that it answers.
        left: what is posted as omitted, and ordered in no scenario; and what was spent.
        is_again: whether to plan again though the order in force answers it too.
    """

    scenario: Scenario
    files: Mapping[str, bytes]
    effort: Effort
    base: IssuedOrder
    known: Known
    asked: Instance
    left: Left
    is_again: bool = False


@dataclass(frozen=True, slots=True)
class Worked:
    """What a show comes to.

    Attributes:
        cost: with loads, in three figures.
        finish: day of the last call.
        late: shots whose composites are late.
        stage_days: working days that stages are held.
        errors: (about, code, sentence) of every error found in it.
        is_again: whether it was planned again, the order in force being no answer to it.
    """

    cost: Figures
    finish: date
    late: tuple[str, ...]
    stage_days: int
    errors: tuple[tuple[str, str, str], ...]
    is_again: bool


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of a scenario.

    Attributes:
        scenario: which.
        worked: what it comes to; None where it could not be worked out.
        problems: why not.
    """

    scenario: Scenario
    worked: Worked | None
    problems: tuple[Problem, ...] = ()


def files_of(folder: Path) -> dict[str, bytes]:
    """The files of a show that its plan is made from, by name."""
    names = [folder / f"{name}.yaml" for name in ("show", "resources", "builds", "rates")]
    names += [*(folder / "sequences").glob("*.yaml"), *(folder / "moves").glob("*.csv")]
    found = sorted(each for each in names if each.is_file())
    return {each.relative_to(folder).as_posix(): each.read_bytes() for each in found}


def work_out(task: Task) -> Outcome:
    """Order and price one scenario, going on from the order in force.

    What asks nothing else of the stages keeps that order, the show as it stands first of all: its
    figure is the bid's, and a scenario that changes nothing differs by nothing. All others are
    given the same search from the same turns.
    """
    from planner.text.scenarios import changed, told_where_changed

    made = changed(task.files, task.scenario)
    with unseen(), tempfile.TemporaryDirectory(prefix="platewright-") as scratch:
        for name, data in made.files.items():
            path = Path(scratch, name)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        worked, problems = _plan(Path(scratch), made.alike, task)
        inside = tuple(_within(each, Path(scratch)) for each in problems)
    return Outcome(task.scenario, worked, told_where_changed(inside, task.scenario, made))


def _within(problem: Problem, folder: Path) -> Problem:
    """A problem with its file named as in the show."""
    place = problem.place
    file = Path(place.file)
    name = file.relative_to(folder).as_posix() if file.is_relative_to(folder) else place.file
    return replace(problem, place=Place(name, place.line, place.column))


def _plan(
    folder: Path, alike: Mapping[str, tuple[str, ...]], task: Task
) -> tuple[Worked | None, tuple[Problem, ...]]:
    from planner.bid.omitted import price_left
    from planner.cli.opening import has_errors, open_show

    opened, problems = open_show(folder)
    if opened is None or has_errors(problems):
        return None, tuple(each for each in problems if each.severity is Severity.ERROR)
    estimates = _with_alike(opened.estimates, alike)
    order, is_again = _ordered(opened, estimates, task)
    if order.answer is None or not order.calls:
        return None, tuple(each for each in order.problems if each.severity is Severity.ERROR)
    bid = price_left(opened.show, estimates, order, task.left)
    found = (*opened.findings, *order.problems, *bid.problems)
    worked = Worked(
        bid.total,
        max(call.ends for call in order.calls).date(),
        tuple(order.late),
        sum(map(len, order.days_held.values())),
        tuple(
            dict.fromkeys(
                (each.about, each.code, each.message)
                for each in found
                if each.severity is Severity.ERROR
            )
        ),
        is_again,
    )
    return worked, ()


def _ordered(opened: Opened, estimates: Estimates, task: Task) -> tuple[StageOrder, bool]:
    """The order in force where it answers this question too, else planned again, which is told.

    A call moves only where that is worth what moving is held to cost, by the bid: with free moves a
    search wanders, and the figures would tell its luck.
    """
    from planner.cli.weighing import grounds, settled_beside
    from planner.order import Terms
    from planner.order.working import as_issued, ask_since
    from planner.status.left_out import without

    show = opened.show
    ids = [id_ for each in task.left.within(show) for id_ in each.pieces]
    graph, left = without(opened.graph, estimates, ids)
    question = ask_since(show, graph, left, task.base)
    if question.instance == task.asked and not task.is_again:
        kept = as_issued(show, graph, question, task.base)
        if kept is not None:
            return kept, False
    budget = task.effort.budget(len(question.instance.activities))
    terms = Terms(task.known.day, task.known.started, held_until=None, budget=budget)
    missed = tuple(each for each in task.known.missed if each.id in show.resources)
    wanted = replace(opened, graph=graph, estimates=left)
    on = grounds(wanted, task.base, (task.known.started, task.known.day), missed)
    return settled_beside(on.waits, on.around, terms), True


def _with_alike(estimates: Estimates, alike: Mapping[str, tuple[str, ...]]) -> Estimates:
    """Whatever would do with a thing, though its file names that one, does with others like it."""
    if not alike:
        return estimates

    def with_others(need: Need) -> Need:
        more = [other for each in need.options for other in alike.get(each, ())]
        return replace(need, options=tuple(dict.fromkeys((*need.options, *more))))

    by_element = {
        id_: replace(
            estimate,
            work=tuple(
                replace(work, needs=tuple(map(with_others, work.needs))) for work in estimate.work
            ),
        )
        for id_, estimate in estimates.by_element.items()
    }
    return replace(estimates, by_element=by_element)


def in_processes(tasks: Sequence[Task], jobs: int, tell: Callable[[], None]) -> list[Outcome]:
    """Outcomes in the order of the tasks, worked out in so many processes of this machine.

    Args:
        tasks: what to work out.
        jobs: processes at once; 1 for this one alone.
        tell: called as each is done.
    """
    if jobs == 1:
        return [_told(_outcome(task, _here(task)), tell) for task in tasks]
    from concurrent.futures import ProcessPoolExecutor, as_completed

    # Processes are begun afresh: what is forked from a process with threads may hang.
    with ProcessPoolExecutor(min(jobs, len(tasks)), get_context("spawn")) as pool:
        futures = [pool.submit(work_out, task) for task in tasks]
        for _done in as_completed(futures):
            tell()
        return [_outcome(task, each) for task, each in zip(tasks, futures, strict=True)]


def on_cluster(tasks: Sequence[Task], address: str, tell: Callable[[], None]) -> list[Outcome]:
    """The same on the workers of a Dask cluster, on which Platewright is installed too.

    Args:
        tasks: what to work out.
        address: of its scheduler, such as ``tcp://planner:8786``.
        tell: called as each is done.

    Raises:
        OSError: nothing answers there.
    """
    from distributed import Client, as_completed

    with Client(address, timeout=PATIENCE, set_as_default=False) as client:  # type: ignore[no-untyped-call, unused-ignore]
        futures = [client.submit(work_out, task, pure=False) for task in tasks]
        for _done in as_completed(futures, loop=client.loop):  # type: ignore[no-untyped-call, unused-ignore]
            tell()
        return [_outcome(task, each) for task, each in zip(tasks, futures, strict=True)]


def _here(task: Task) -> Future[Outcome]:
    """As a worker would, in this process: one that fails keeps no other from an answer."""
    from concurrent.futures import Future

    done: Future[Outcome] = Future()
    try:
        done.set_result(work_out(task))
    except Exception as fault:  # noqa: BLE001 - a pool of processes holds them all alike
        done.set_exception(fault)
    return done


def _told(outcome: Outcome, tell: Callable[[], None]) -> Outcome:
    tell()
    return outcome


def _outcome(task: Task, future: Future[Outcome] | Any) -> Outcome:
    """What a worker found, or how it failed."""
    fault = future.exception()
    if fault is None:
        found: Outcome = future.result()
        return found
    why = str(fault).strip().partition("\n")[0]
    said = f"its worker failed: {type(fault).__name__}{f': {why}' if why else ''}"
    scenario = task.scenario
    problem = Problem(
        Severity.ERROR, scenario.place, "scenario-failed", said, "try it again", scenario.name
    )
    return Outcome(scenario, None, (problem,))


@contextmanager
def progress(count: int) -> Iterator[Callable[[], None]]:
    """A bar on standard error where that is a terminal, told of each scenario done."""
    if not sys.stderr.isatty():
        yield lambda: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

    columns = (TextColumn("Scenarios"), BarColumn(), MofNCompleteColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=count)
        yield lambda: bar.advance(task)
