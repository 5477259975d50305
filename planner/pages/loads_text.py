"""Load of each craft by the week, as text.

Takes the weeks of every craft, gives a block a craft. Works nothing out.
"""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from planner.model.names import counted
from planner.pages.wording import folded

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from planner.order.loads import CraftWeek

BAR = 30
"""Columns of a week in which every hand is called for."""


def loads_text(weeks: Iterable[CraftWeek]) -> str:
    """A block a craft: its hours of hands each week, of those there are; idle weeks in one line.

    Args:
        weeks: by craft, then by week, as `planner.order.loads.craft_weeks` gives them.
    """
    lines: list[str] = []
    for craft, mine in groupby(weeks, key=lambda each: each.craft):
        lines.extend(_block(craft.replace("_", " "), list(mine)))
    return "".join(f"{line}\n" for line in lines) or "Nothing is called for.\n"


def _block(craft: str, weeks: list[CraftWeek]) -> Iterator[str]:
    total = sum(each.hours.value for each in weeks)
    most = max(each.there_are for each in weeks)
    has = f"crews of {most:g} h a week" if most else "no crew listed"
    yield from folded(f"{craft}: {total:,.0f} h of hands, {has}")
    for is_idle, run in groupby(weeks, key=lambda each: not each.hours.value):
        same = list(run)
        if is_idle:
            yield f"  {same[0].monday}  idle for {counted(len(same), 'week')}"
        else:
            yield from map(_week, same)


def _week(week: CraftWeek) -> str:
    said = f"  {week.monday}{week.hours.value:8,.0f} h"
    if not week.there_are:
        return said
    bar = "#" * min(round(week.share * BAR), BAR)
    return f"{said} of {week.there_are:6,.0f} h  {bar}".rstrip()
