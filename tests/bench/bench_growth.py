"""How loading, checking and an edit grow with a show: ``python tests/bench/bench_growth.py``.

Writes shows of 100, 1,000 and 10,000 shots (other sizes as arguments) and prints seconds of
processor time: of reading the files, of everything that `check` does, of `check` told again from
what was kept, of one save seen by `watch` (median of five); of the first feasible order, searched
and issued; then of a bid and of what blocks, which go by that order and search nothing, of a post,
and of what blocks after it; of whole commands the peak memory too. The growth beside a figure is
its exponent against the size before: 1.0 where growth is linear. Each size has a process of its
own, whose peak memory after reading is printed.
`bench_schedule` has the searching alone, and `bench_bid` the pricing.

What was found by profile: the checker went over all work once for each resource, and later once for
each set-up that is kept, which was 16 of 20 seconds of a bid of 1,000 shots; the calendar gathered
its weekdays anew for every date past its end. From 100 to 10,000 shots reading, checking, a save, a
bid and a post grow no faster than the show. What blocks grew as n^1.6 from 1,000 on, four minutes
at 10,000: each late composite walked day by day from its delivery to its final, and all work was
placed once for the dates and once for each root that is tried, each time looking at all quarters
since the first day. Days are counted by weeks now, only what comes after a root is placed again,
and room is looked for from where work is ready. From 1,000 to 2,000 shots that is n^1.0 (6.9 s,
14.1 s), and 10,000 have not been measured since. What is left of it that grows faster: a stretch of
work is written into planes as long as the order.
"""

from __future__ import annotations

import gc
import math
import os
import resource
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path
from time import process_time

from generated_show import write_show

SIZES = (100, 1_000, 10_000)
PLATEWRIGHT = str(Path(sys.executable).with_name("platewright"))
QUICK = ("--tries", "0")
COMMANDS: dict[str, tuple[str, ...]] = {
    "check": ("check",),
    "check again": ("check",),
    "first order": ("order", "--issue", *QUICK),
    "bid": ("bid",),
    "blocking": ("blocking",),
    "a post": ("post", "built", "town_1"),
    "after a post": ("blocking",),
}
"""Whole commands in the order they are run, by the name of their figures."""


def within(folder: Path) -> dict[str, float]:
    """Figures of this very process: reading, opening, and saves of a held show."""
    from planner.kinds import Registry
    from planner.text.show_folder import load_show

    gc.freeze()
    gc.set_threshold(200_000, 20, 20)
    begun = process_time()
    loaded = load_show(folder, Registry())
    figures = {"read": process_time() - begun}
    figures["peak MB"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    del loaded
    return figures | saved(folder)


def saved(folder: Path) -> dict[str, float]:
    """Figures of opening a show to hold it, and of saves after that."""
    from planner.cli.opening import Held, open_show
    from planner.pages.watched import news_of

    held = Held()
    begun = process_time()
    opened, before = open_show(folder, held)
    figures = {"open, held": process_time() - begun}
    gc.freeze()
    path = folder / "sequences" / "s0001.yaml"
    whole = path.read_text(encoding="utf-8")
    saves = []
    for metres in range(33, 38):
        edited = whole.replace("nearest: {is: 32 m", f"nearest: {{is: {metres} m", 1)
        path.write_text(edited, encoding="utf-8")
        begun = process_time()
        opened, problems = open_show(folder, held)
        assert opened is not None
        now = (*problems, *opened.findings)
        news_of(before, now)
        saves.append(process_time() - begun)
        before = now
        gc.freeze()
    path.write_text(whole, encoding="utf-8")
    figures["one save"] = statistics.median(saves)
    return figures


def command(*arguments: str, cache: Path) -> tuple[float, float]:
    """Seconds of processor time of a whole command, and its peak memory in MB."""
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    env = {**os.environ, "XDG_CACHE_HOME": str(cache)}
    running = subprocess.Popen([PLATEWRIGHT, *arguments], env=env, **quiet)  # type: ignore[call-overload]
    _pid, _status, used = os.wait4(running.pid, 0)
    return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def figures_of(shots: int) -> dict[str, float]:
    """Every figure of a show of so many shots."""
    with tempfile.TemporaryDirectory() as scratch:
        folder, cache = Path(scratch, "show"), Path(scratch, "cache")
        write_show(folder, shots)
        asked = [sys.executable, __file__, "--within", str(folder)]
        told = subprocess.run(asked, check=True, capture_output=True, text=True).stdout
        figures = {
            name: float(value)
            for name, _, value in (line.rpartition(" ") for line in told.splitlines())
        }
        for name, arguments in COMMANDS.items():
            what, *rest = arguments
            seconds, peak = command(what, str(folder), *rest, cache=cache)
            figures[name], figures[f"{name}, MB"] = seconds, peak
    return figures


def main(sizes: tuple[int, ...]) -> None:
    """Print the figures of each size, and how they grew."""
    before: tuple[int, dict[str, float]] | None = None
    for shots in sizes:
        figures = figures_of(shots)
        sys.stdout.write(f"{shots:,} shots\n")
        for name, value in figures.items():
            growth = ""
            if before is not None and name in before[1]:
                growth = math.log(value / before[1][name]) / math.log(shots / before[0])
                growth = f"  growth {growth:.2f}"
            sys.stdout.write(f"  {name:<18}{value:10.2f}{growth}\n")
        sys.stdout.flush()
        before = shots, figures


if __name__ == "__main__":
    if "--within" in sys.argv:
        for figure, number in within(Path(sys.argv[2])).items():
            sys.stdout.write(f"{figure} {number}\n")
    else:
        main(tuple(int(each) for each in sys.argv[1:]) or SIZES)
