"""Every page of the bid kept as a file, of the small show that `platewright new` writes.

The files in bids/ are read by a person before they are renewed, with ``RENEW=1 pytest``.
"""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner

from planner.cli import bid_issuing, group

if TYPE_CHECKING:
    from tests.conftest import ShowFolder

KEPT = Path(__file__).parent / "bids"
PAGES = {
    "sums": ("bid",),
    "by_use": ("bid", "--by", "use"),
    "lines": ("bid", "--lines"),
    "shots": ("bid", "--shots"),
    "summary": ("bid", "--summary"),
    "choose": ("bid", "--choose"),
    "nothing_fits": ("bid", "--choose", "--at-most", "100 GBP"),
    "actuals": ("bid", "--actuals"),
    "revision": ("bid", "--revision", "1"),
    "repriced": ("bid", "--revision", "1", "--rates-on", "2027-10-01"),
    "change_order": ("bid", "--change-order", "1", "--cause", "director"),
    "compared": ("compare", "1"),
}
STATED = """
costs:
  supervisor: {over: show, from: 2027-03-01, to: 2027-03-12}
  insurance: {amount: 900 GBP}
  stills: {each: shot, amount: 35 GBP}
overtime:
  bands: [{over: 7 h, times: 1.5}]
escalation: {share: 4 %, base: 2027-03-01}
bid:
  excludes: [music and sound]
  supplied_by_production: [the location unit]
  versions: 3
  retakes: 1
  valid_until: 2027-04-30
  payment: a third at signing
  signatures: [the producer]
"""
ACTUALS = """week,element,what,hours,cost,left
2027-03-01,,insurance,,950,0
2027-03-08,,a crane nobody bid,,400,
"""


@pytest.fixture
def offered(show: ShowFolder, monkeypatch: pytest.MonkeyPatch) -> ShowFolder:
    """Issued once, then made dearer in one cost, with a scale to be chosen and two postings."""
    monkeypatch.setattr(bid_issuing, "today", lambda: date(2027, 2, 15))
    text = (show.path / "show.yaml").read_text(encoding="utf-8")
    show.write("show.yaml", text + STATED)
    rates = (show.path / "rates.yaml").read_text(encoding="utf-8")
    week = "{per: week, amounts: [{from: 2027-01-01, is: 2400 GBP}]}"
    show.write("rates.yaml", f"{rates}  supervisor: {week}\n")
    show.replace("builds.yaml", "scale: 1/24", "candidates: [1/24, 1/12]")
    run(show, "bid", "--issue", "--issued-by", "R. Vane", "--note", "first offer")
    show.replace("show.yaml", "{amount: 900 GBP}", "{amount: 1000 GBP}")
    show.write("actuals.csv", ACTUALS)
    return show


def run(show: ShowFolder, *words: str) -> str:
    asked = [words[0], str(show.path), *words[1:], "--tries", "0"]
    return CliRunner().invoke(group, asked, catch_exceptions=False).stdout


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_as_it_was_read_last(name: str, offered: ShowFolder) -> None:
    printed = run(offered, *PAGES[name])
    kept = KEPT / f"{name}.txt"
    if os.environ.get("RENEW"):
        kept.write_text(printed, encoding="utf-8")
    assert printed == kept.read_text(encoding="utf-8")
    assert max(map(len, printed.splitlines())) <= 80
