"""How long estimates take: run by hand, ``python tests/bench/bench_estimate.py [ELEMENTS …]``.

Writes shows of 1,000, 10,000 and 50,000 elements, four to a shot, loads each, and prints the
seconds of processor time that estimating takes, agreement of the shots included and loading not
counted, and how it grows: time over elements against the size before, 1.0 where growth is linear.
Dead objects are collected as seldom as the command line has it.
With ``--profile`` the functions that take longest are printed for the first size instead.
"""

from __future__ import annotations

import cProfile
import gc
import pstats
import sys
import tempfile
from pathlib import Path
from time import process_time
from typing import TYPE_CHECKING

from planner.estimate import estimate_show
from planner.estimate.agreement import disagreements
from planner.graph import build_graph
from planner.kinds import Registry
from planner.text.show_folder import load_show

sys.path.insert(0, str(Path(__file__).parent))
from generated_show import write_show

if TYPE_CHECKING:
    from planner.graph import ElementGraph
    from planner.model.show import Show

SIZES = (1_000, 10_000, 50_000)
ELEMENTS_A_SHOT = 4


def loaded(elements: int) -> tuple[Show, ElementGraph, Registry]:
    """A generated show of so many elements of shots, its graph and the kinds."""
    kinds = Registry()
    with tempfile.TemporaryDirectory() as folder:
        write_show(Path(folder), elements // ELEMENTS_A_SHOT)
        show, _ = load_show(Path(folder), kinds)
    if show is None:
        raise SystemExit("the generated show cannot be read")
    graph, _ = build_graph(show)
    return show, graph, kinds


def profile(elements: int) -> None:
    """Print the functions that take longest."""
    show, graph, kinds = loaded(elements)
    with cProfile.Profile() as run:
        estimate_show(show, graph, kinds)
    pstats.Stats(run, stream=sys.stdout).sort_stats("tottime").print_stats(45)


def main(sizes: tuple[int, ...]) -> None:
    """Print the figures."""
    sys.stdout.write(
        f"{'elements':>10}{'estimates, s':>14}{'agreement, s':>14}{'all, s':>10}{'growth':>9}\n"
    )
    gc.set_threshold(200_000, 20, 20)
    before: tuple[int, float] | None = None
    for elements in sizes:
        show, graph, kinds = loaded(elements)
        gc.freeze()
        begun = process_time()
        estimates = estimate_show(show, graph, kinds)
        took = process_time() - begun
        begun = process_time()
        disagreements(show, graph, estimates.by_element)
        agreement = process_time() - begun
        growth = f"{took / elements / (before[1] / before[0]):9.2f}" if before else ""
        sys.stdout.write(
            f"{elements:>10,}{took - agreement:14.2f}{agreement:14.2f}{took:10.2f}{growth}\n"
        )
        sys.stdout.flush()
        before = (elements, took)


if __name__ == "__main__":
    arguments = [each for each in sys.argv[1:] if each != "--profile"]
    wanted = tuple(int(each) for each in arguments) or SIZES
    if "--profile" in sys.argv:
        profile(wanted[0])
    else:
        main(wanted)
