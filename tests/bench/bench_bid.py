"""How long a long bid takes, by hand: ``python tests/bench/bench_bid.py [SHOTS ...]``.

Prints seconds of pricing, of the draws and of the spreadsheet for generated shows, on calls laid
end to end rather than solved for, the medians of three; asserts nothing, as machines differ. Most
of its own time goes to reading the show.
"""

from __future__ import annotations

import gc
import sys
import tempfile
import time
from collections import defaultdict
from datetime import date, datetime, timedelta
from datetime import time as clock
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING

from generated_show import write_show

from planner.bid import price
from planner.bid.compare import compare
from planner.bid.frozen import from_text, to_text
from planner.bid.revision import Stamp, freeze
from planner.bid.spread import chances
from planner.cli.opening import open_show
from planner.order.stage_order import Call, StageOrder
from planner.pages.spreadsheet import spreadsheet

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import TypeVar

    from planner.cli.opening import Opened

    T = TypeVar("T")


def main(shots: int) -> None:
    """Time one size."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch, "show")
        write_show(folder, shots)
        opened, _problems = open_show(folder)
    assert opened is not None
    order = end_to_end(opened)
    gc.collect()
    gc.freeze()
    gc.set_threshold(200_000, 20, 20)
    chances((), draws=10)  # the libraries, once
    bid = timed(f"price {shots} shots", lambda: price(opened.show, opened.estimates, order), 3)
    print(f"  {len(bid.lines)} lines")
    timed("10,000 draws", lambda: chances(bid.lines))
    data = timed("spreadsheet", lambda: spreadsheet(bid), 3)
    print(f"  {len(data) / 1e6:.1f} MB")
    stamp = Stamp(1, date(2027, 1, 1))
    first = timed("freeze", lambda: freeze(opened.show, opened.estimates, order, bid, stamp))
    text = timed("write a revision", lambda: to_text(first))
    again = timed("read a revision", lambda: from_text(text))
    timed("compare", lambda: compare(first, again))


def end_to_end(opened: Opened) -> StageOrder:
    """Each piece of work a half day, so many a day that all is done in about two years."""
    show = opened.show
    days = [show.calendar.starts + timedelta(day) for day in range(1, 730)]
    days = [day for day in days if show.calendar.is_working(day)]
    works = [(each, work) for each, e in opened.estimates.by_element.items() for work in e.work]
    calls, held = [], defaultdict(set)
    for number, (element, work) in enumerate(works):
        day = days[number * len(days) // len(works)]
        stages = (need.options[:1] for need in work.needs if need.sort == "stage")
        stage = next((name for options in stages for name in options), "")
        starts = datetime.combine(day, clock(8))
        holds = (stage,) if stage else ()
        calls.append(Call(element, work, starts, starts + timedelta(hours=4), 4.0, holds, stage))
        if stage:
            held[stage].add(day)
    days_held = {stage: tuple(sorted(each)) for stage, each in held.items()}
    return StageOrder(tuple(calls), days_held, {}, {}, 0.0, False, "end to end", ())


def timed(what: str, work: Callable[[], T], times: int = 1) -> T:
    """What it gives, the median of its seconds printed: on the wall, and of this process."""
    walls, owns = [], []
    for _ in range(times):
        wall, own = time.perf_counter(), time.process_time()
        found = work()
        walls.append(time.perf_counter() - wall)
        owns.append(time.process_time() - own)
    print(f"{what}: {median(walls):.2f} s, {median(owns):.2f} s of CPU", flush=True)
    return found


if __name__ == "__main__":
    for size in [int(each) for each in sys.argv[1:]] or [2_000, 10_000]:
        main(size)
