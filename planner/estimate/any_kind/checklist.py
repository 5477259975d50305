"""Checks before strike that are still open.

Takes what an element asks to be checked and what has been checked, gives counts and a finding where
its set-up is wrapped too soon. Knows nothing of cards.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds.strike import checks_before_strike
from planner.model.names import noun

if TYPE_CHECKING:
    from planner.kinds import Estimate, Worksheet


def check_checklist(sheet: Worksheet, estimate: Estimate) -> None:
    """Checks due and open; those open after the wrap are told."""
    due = checks_before_strike(sheet.context, estimate)
    checked = {_plain(each) for each in sheet.element.facts.words("checked")}
    still = [each for each in due if _plain(each) not in checked]
    sheet.reckon("checks before strike", len(due), "1", "checks that what it is asks for")
    sheet.reckon("checks still open", len(still), "1", "checks asked for and not ticked")
    if still and sheet.element.facts.flag("wrapped"):
        told = "; ".join(still[:2]) + ("; …" if len(still) > 2 else "")
        sheet.warn(
            "wrapped-with-checks-open",
            f"its set-up is wrapped and {len(still)} of {len(due)} checks"
            f" {noun(len(still), 'is', 'are')} open: {told}",
            "make them before it is struck, and write them under checked",
            at="wrapped",
        )


def _plain(check: str) -> str:
    return check.partition(":")[0].partition(" (since ")[0].strip().lower()
