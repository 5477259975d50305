"""How long the chances of a long order take, by hand: ``python tests/bench/bench_risk.py [N ...]``.

Generated questions of about N activities, ordered once with no improvement, then drawn 10,000
times with every duration uncertain. Prints seconds of the processor and the peak of memory;
asserts nothing, as machines differ.
"""

from __future__ import annotations

import sys
import time
from functools import partial
from resource import RUSAGE_SELF, getrusage

from bench_schedule import generated

from planner.craft.pert import drawn
from planner.craft.planning import ThreePoint
from planner.schedule import Budget, solve
from planner.schedule.risk import Varied, ends_of


def main(activities: int) -> None:
    """Time one size."""
    instance = generated(activities // 9)
    answer = solve(instance, Budget(evaluations=0))
    durations = {}
    shared = {}
    for activity in instance.activities:
        usual = activity.modes[answer.modes[activity.id]].duration_quarters
        if usual:
            point = ThreePoint(0.8 * usual, usual, 1.6 * usual)
            durations[activity.id] = partial(drawn, point)
            shared[activity.id] = f"craft {len(activity.id) % 5}"
    due = [activity.id for activity in instance.activities if activity.due is not None]
    targets = {"all": due, **{id_: [id_] for id_ in due}}
    varied = Varied(durations, shared, 0.5)
    begun = time.process_time()
    found = ends_of(instance, answer, targets, varied, ["all"])
    seconds = time.process_time() - begun
    peak = getrusage(RUSAGE_SELF).ru_maxrss / 1024
    print(
        f"{len(instance.activities)} activities, {len(targets)} targets, {varied.draws} draws:"
        f" {seconds:.2f} s, {peak:.0f} MB at most, mean {found['all'].ends.mean():.1f},"
        f" ordered {max(answer.finishes[id_] for id_ in due)}"
    )


if __name__ == "__main__":
    for size in [int(each) for each in sys.argv[1:]] or [300, 2_500]:
        main(size)
