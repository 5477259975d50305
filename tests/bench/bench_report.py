"""The figures the report is held to, by hand: ``python tests/bench/bench_report.py``.

Prints bytes, and seconds of the processor beyond planning, of the example show followed for a
month (some 300 activities, an order and a bid issued, four weeks posted), of a generated one as
large, and of a large one on several pages; asserts nothing, as machines differ. Give a number of
shots to change the large one.
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from click.testing import CliRunner
from generated_show import write_show

from planner.cli import group
from planner.cli.opening import Effort, open_sound, plan_opened
from planner.cli.report import AsOf, followed_of, matter_from
from planner.pages.files import write_text
from planner.pages.report import report_html, report_pages

if TYPE_CHECKING:
    from planner.pages.plan import Plan
    from planner.pages.report import Followed

EXAMPLE = Path(__file__).parents[2] / "example_shows" / "nine_bells_under"
WEEKS = ("0305", "0312", "0319", "0402")
DAY = "2027-04-02"
QUICK = Effort(None, 0, 0)
SHOTS_OF_300_ACTIVITIES = 30
LARGE = 2_000


def main() -> None:
    """Run every figure in turn."""
    shots = int(sys.argv[1]) if len(sys.argv) > 1 else LARGE
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        _follow(folder / "example")
        _one_page("the example show, followed", folder / "example")
        write_show(folder / "some", SHOTS_OF_300_ACTIVITIES)
        _one_page("a generated show", folder / "some")
        write_show(folder / "many", shots)
        _many_pages(f"{shots:,} shots", folder / "many", folder / "report")


def _follow(folder: Path) -> None:
    """The example with an order and a bid issued, a month posted, a shot held, overhead dearer."""
    shutil.copytree(EXAMPLE, folder, ignore=shutil.ignore_patterns("season"))
    _said(folder, "order", "--issue", "--by", "the manager", "--tries", "0")
    _said(folder, "bid", "--issue", "--issued-by", "the producer", "--tries", "0")
    for week in WEEKS:
        _said(folder, "post", "--from", f"{EXAMPLE}/season/{week}.yaml", "--on", DAY)
    held = ("held", "NB110", "--by", "the director", "--why", "he may lose it")
    _said(folder, "post", *held, "--at", "2027-03-30 10:00", "--on", DAY)
    show = folder / "show.yaml"
    text = show.read_text(encoding="utf-8").replace("overhead: 12 %", "overhead: 13 %")
    show.write_text(text, encoding="utf-8")


def _said(folder: Path, command: str, *words: str) -> None:
    result = CliRunner().invoke(group, [command, str(folder), *words])
    if result.exit_code:
        sys.exit(result.output)


def _worked() -> float:
    """Seconds of the processor, those of children that have ended among them."""
    return sum(os.times()[:4])


def _planned(name: str, folder: Path) -> tuple[Plan, Followed]:
    began = _worked()
    opened = open_sound(folder)
    plan = plan_opened(opened, QUICK)
    planned = _worked()
    followed = followed_of(opened, plan, QUICK, AsOf(datetime.fromisoformat(DAY)))
    print(
        f"{name}: opened and planned in {planned - began:.1f} s, chances, standing and changes in"
        f" {_worked() - planned:.1f} s"
    )
    return plan, followed


def _one_page(name: str, folder: Path) -> None:
    plan, followed = _planned(name, folder)
    seconds = []
    for _ in range(5):
        began = _worked()
        text = report_html(matter_from(plan, followed))
        seconds.append(_worked() - began)
    kilobytes = len(text.encode()) / 1000
    print(
        f"{name}, {len(plan.order.calls)} activities: {kilobytes:.0f} KB,"
        f" first {seconds[0]:.2f} s, then {min(seconds):.2f} s"
    )


def _many_pages(name: str, folder: Path, target: Path) -> None:
    plan, followed = _planned(name, folder)
    began = _worked()
    sizes = []
    for page, text in report_pages(matter_from(plan, followed)):
        write_text(target / page, text)
        sizes.append(len(text.encode()) / 1000)
    print(
        f"{name}, {len(plan.order.calls):,} activities: {len(sizes)} pages, {sum(sizes):,.0f} KB,"
        f" the largest {max(sizes):.0f} KB, written in {_worked() - began:.2f} s"
    )


if __name__ == "__main__":
    main()
