"""The figures the report is held to, by hand: ``python tests/bench/bench_report.py``.

Prints bytes, and seconds beyond planning, of the example show (some 300 activities), of a generated
one as large, and of a large one on several pages; asserts nothing, as machines differ. Give a
number of shots to change the large one.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

from generated_show import write_show

from planner.cli.opening import Effort, open_sound, plan_opened
from planner.cli.report import matter_from
from planner.pages.files import write_text
from planner.pages.report import report_html, report_pages

if TYPE_CHECKING:
    from planner.pages.plan import Plan

EXAMPLE = Path(__file__).parents[2] / "example_shows" / "nine_bells_under"
SHOTS_OF_300_ACTIVITIES = 30
LARGE = 2_000


def main() -> None:
    """Run every figure in turn."""
    shots = int(sys.argv[1]) if len(sys.argv) > 1 else LARGE
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        _one_page("the example show", _planned(EXAMPLE))
        write_show(folder / "some", SHOTS_OF_300_ACTIVITIES)
        _one_page("a generated show", _planned(folder / "some"))
        write_show(folder / "many", shots)
        _many_pages(f"{shots:,} shots", _planned(folder / "many"), folder / "report")


def _planned(folder: Path) -> Plan:
    return plan_opened(open_sound(folder), Effort(None, 0, 0))


def _one_page(name: str, plan: Plan) -> None:
    seconds = []
    for _ in range(5):
        began = time.perf_counter()
        text = report_html(matter_from(plan))
        seconds.append(time.perf_counter() - began)
    kilobytes = len(text.encode()) / 1000
    print(
        f"{name}, {len(plan.order.calls)} activities: {kilobytes:.0f} KB,"
        f" first {seconds[0]:.2f} s, then {min(seconds):.2f} s"
    )


def _many_pages(name: str, plan: Plan, target: Path) -> None:
    began, worked = time.perf_counter(), time.process_time()
    sizes = []
    for page, text in report_pages(matter_from(plan)):
        write_text(target / page, text)
        sizes.append(len(text.encode()) / 1000)
    took, worked = time.perf_counter() - began, time.process_time() - worked
    print(
        f"{name}, {len(plan.order.calls):,} activities: {len(sizes)} pages, {sum(sizes):,.0f} KB,"
        f" the largest {max(sizes):.0f} KB, written in {took:.2f} s, {worked:.2f} s of them work"
    )


if __name__ == "__main__":
    main()
