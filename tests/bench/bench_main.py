"""The figures the main job is held to, by hand: ``python tests/bench/bench_main.py``.

Prints medians of whole processes and ratios; asserts nothing, as machines differ.
"""

from __future__ import annotations

import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from generated_show import write_show

ROOT = Path(__file__).parents[2]
EXAMPLE = ROOT / "example_shows" / "nine_bells_under"


def main() -> None:
    """Run every figure in turn."""
    platewright = str(Path(sys.executable).with_name("platewright"))
    bare = _median([sys.executable, "-c", "pass"], 9)
    told = _median([platewright, "--help"], 9)
    print(f"--help {told * 1000:.0f} ms, bare Python {bare * 1000:.0f} ms, {told / bare:.1f} x")
    with tempfile.TemporaryDirectory() as scratch:
        plan = [platewright, "plan", str(EXAMPLE), "--to", str(Path(scratch, "plan"))]
        print(f"plan of the example show {_median(plan, 3):.2f} s")
        first = [*plan, "--tries", "0"]
        print(f"the same with the first feasible order {_median(first, 3):.2f} s")
        for shots in (1_000, 10_000):
            show = Path(scratch, f"show_{shots}")
            write_show(show, shots)
            check = [platewright, "check", str(show), "--json", "--afresh"]
            print(f"check of {shots} shots {_median(check, 3 if shots == 1_000 else 1):.2f} s")
            load = [sys.executable, __file__, "--load", str(show)]
            done = subprocess.run(load, check=True, capture_output=True, text=True)
            print(f"load of {shots} shots, positions and schemas: {done.stdout.strip()}")


def _median(command: list[str], runs: int) -> float:
    times = []
    for _ in range(runs):
        began = time.perf_counter()
        subprocess.run(command, check=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        times.append(time.perf_counter() - began)
    return statistics.median(times)


def load(folder: Path) -> None:
    """Read and check a show's files alone; print seconds and peak memory."""
    from planner.kinds import Registry
    from planner.text.show_folder import load_show

    began = time.perf_counter()
    _show, problems = load_show(folder, Registry())
    took = time.perf_counter() - began
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{took:.2f} s, {peak:.0f} MB, {len(problems)} problems")


if __name__ == "__main__":
    if "--load" in sys.argv:
        load(Path(sys.argv[2]))
    else:
        main()
