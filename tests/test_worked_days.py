"""The worked days print what they show: each day is run, on a copy of the show.

``RENEW=1 pytest tests/test_worked_days.py`` writes what is printed anew; read the difference.
"""

from __future__ import annotations

import os
import re
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "example_shows" / "worked_days.md"
FILE = re.compile(r"```yaml (\S+)\n(.*?)```\n", re.DOTALL)
# The day on which each issues what it issues.
DAYS = {
    "Bidding from boards in two days": datetime(2027, 2, 23, 18),
    "The Monday a rig breaks": datetime(2027, 4, 26, 9),
    "The Thursday of a recut": datetime(2027, 4, 15, 10),
}


@pytest.mark.parametrize("title", DAYS)
def test_a_day_prints_what_it_shows(
    title: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, as_printed: Callable[[str], str]
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    _set_clock(monkeypatch, DAYS[title])
    (tmp_path / "example_shows").symlink_to(ROOT / "example_shows")
    text = PAGE.read_text(encoding="utf-8")
    head, day, rest = _parted(text, title)
    for name, held in FILE.findall(day):
        Path(name).write_text(held, encoding="utf-8")
    told = as_printed(day)
    if os.environ.get("RENEW"):
        PAGE.write_text(head + told + rest, encoding="utf-8")
        return
    assert told == day


def test_every_day_of_the_page_is_run() -> None:
    assert re.findall(r"^## (.*)$", PAGE.read_text(encoding="utf-8"), re.MULTILINE) == list(DAYS)


def _parted(text: str, title: str) -> tuple[str, str, str]:
    first = text.index(f"## {title}\n")
    after = text.find("\n## ", first)
    last = after + 1 if after >= 0 else len(text)
    return text[:first], text[first:last], text[last:]


def _set_clock(monkeypatch: pytest.MonkeyPatch, now: datetime) -> None:
    """The day is read where orders and bids are issued; elsewhere `--on` says it."""

    class Clock(datetime):
        @classmethod
        def now(cls, tz: object = None) -> datetime:  # type: ignore[override]
            del tz
            return now

    for module in ("order_issuing", "bid_issuing"):
        monkeypatch.setattr(f"planner.cli.{module}.datetime", Clock)
