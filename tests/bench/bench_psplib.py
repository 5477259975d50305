"""How near to the best known makespans orders get, beside two other solvers; run by hand.

    python tests/bench/bench_psplib.py FOLDER [--seconds S] [--sets j30 j60] [--sample N]
    python tests/bench/bench_psplib.py FOLDER --seconds 5 --sets j30 --sample 48
    python tests/bench/bench_psplib.py FOLDER --seconds 20 --sets j60 --sample 24
    python tests/bench/bench_psplib.py FOLDER --seconds 60 --sets j120

Few of j60 are hard, so that every second file is the least sample that tells anything.

The folder holds a folder of `.sm` files for each set, and a `bounds.csv` (`instance,lb,ub`). The
plain cumulative model of CP-SAT and PyJobShop (`pip install platewright[bench]`) take their turns
with ours on each file, two workers each. PyJobShop goes first, by the wall clock; ours gets as many
seconds of the processor as that got, however busy the machine is. The mean of them is shown last:
where it is far below twice the seconds asked for, it is the figure to compare by.
"""

from __future__ import annotations

import argparse
import csv
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from statistics import fmean

from ortools.sat.python import cp_model
from pyjobshop import Model

from planner.schedule import Budget, Instance, read_psplib, solve, verify

WORKERS = 2
LEAST_SECONDS = 2.0
"""Given to ours where the library is done at once."""


@dataclass(frozen=True, slots=True)
class Result:
    """Gaps over the best known, ours to our own bound; whether ours is proven; seconds it had."""

    ours: float
    library: float
    plain: float
    own: float
    proven: bool
    processor: float


def by_cp_sat(instance: Instance, seconds: float) -> float:
    """Makespan by the plain cumulative model."""
    model = cp_model.CpModel()
    longest = sum(a.modes[0].duration_quarters for a in instance.activities)
    starts = {a.id: model.new_int_var(0, longest, "") for a in instance.activities}
    spans = {
        a.id: model.new_fixed_size_interval_var(starts[a.id], a.modes[0].duration_quarters, "")
        for a in instance.activities
    }
    finish = model.new_int_var(0, longest, "")
    for a in instance.activities:
        model.add(finish >= spans[a.id].end_expr())
        for wait in a.after:
            model.add(starts[a.id] >= spans[wait.id].end_expr())
    for resource in instance.resources:
        users = [a for a in instance.activities if a.modes[0].uses.get(resource.id)]
        model.add_cumulative(
            [spans[a.id] for a in users],
            [a.modes[0].uses[resource.id] for a in users],
            resource.capacity,
        )
    model.minimize(finish)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = WORKERS
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model)
    found = status in {cp_model.OPTIMAL, cp_model.FEASIBLE}
    return solver.objective_value if found else float(longest)


def by_library(instance: Instance, seconds: float) -> float:
    """Makespan by PyJobShop."""
    model = Model()
    resources = {r.id: model.add_renewable(capacity=r.capacity) for r in instance.resources}
    tasks = {}
    for activity in instance.activities:
        task = tasks[activity.id] = model.add_task()
        mode = activity.modes[0]
        model.add_mode(
            task,
            [resources[name] for name in mode.uses],
            duration=mode.duration_quarters,
            demands=list(mode.uses.values()),
        )
    for activity in instance.activities:
        for wait in activity.after:
            model.add_end_before_start(tasks[wait.id], tasks[activity.id])
    found = model.solve(time_limit=seconds, display=False, num_workers=WORKERS)
    longest = sum(a.modes[0].duration_quarters for a in instance.activities)
    return min(found.objective, float(longest))


def measured(path: Path, known: int, seconds: float) -> Result:
    """Solve one file three ways."""
    instance = read_psplib(path.read_text(encoding="latin-1"))
    began = time.process_time()
    library = by_library(instance, seconds)
    spent = time.process_time() - began
    budget = Budget(seconds=max(spent, LEAST_SECONDS), clock=time.process_time)
    answer = solve(instance, budget)
    if verify(instance, answer):
        print("BROKEN", path)
    return Result(
        answer.parts.finish / known - 1,
        library / known - 1,
        by_cp_sat(instance, seconds) / known - 1,
        answer.gap,
        answer.proven,
        spent,
    )


def main() -> int:
    """Print one line a set."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--seconds", type=float, default=20.0)
    parser.add_argument("--sets", nargs="*", default=["j30", "j60", "j120"])
    parser.add_argument("--sample", type=int, default=8, help="files of each set")
    chosen = parser.parse_args()
    with (chosen.folder / "bounds.csv").open(encoding="utf-8") as file:
        known = {row["instance"]: int(row["ub"]) for row in csv.DictReader(file)}
    print("set   files seconds    ours PyJobShop  CP-SAT  ours/PyJobShop  proven  own gap  cpu s")
    for group in chosen.sets:
        paths = sorted((chosen.folder / group).glob("*.sm"))
        paths = paths[:: max(1, len(paths) // chosen.sample)][: chosen.sample]
        results = [measured(path, known[path.stem], chosen.seconds) for path in paths]
        ours, library = fmean(r.ours for r in results), fmean(r.library for r in results)
        plain, own = fmean(r.plain for r in results), fmean(r.own for r in results)
        ratio = f"{ours / library:.2f}" if library else "-"
        print(
            f"{group:5} {len(results):5} {chosen.seconds:7g} {100 * ours:5.2f} %"
            f" {100 * library:7.2f} % {100 * plain:5.2f} % {ratio:>15}"
            f" {sum(r.proven for r in results):4}/{len(results)} {100 * own:6.2f} %"
            f" {fmean(r.processor for r in results):6.1f}",
            flush=True,
        )
    return 0


if __name__ == "__main__":
    sys.exit(main())
