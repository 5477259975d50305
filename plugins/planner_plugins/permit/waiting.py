"""What waits on a thing outside shots, and how a day is written on a worksheet.

Takes a show and an id, gives the live elements that rest on it, near or far; takes a day, gives a
number counted from the show's first day. Knows nothing of permits, tests or decisions themselves.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from planner.kinds import Worksheet
    from planner.model.show import Element, Show

LISTED_AT_MOST = 4


def resting_on(show: Show, thing: str) -> tuple[Element, ...]:
    """Live elements of shots whose work waits for `thing`, directly or through others.

    In the order of the show's files. Cost linear in the elements and references of the show.
    """
    waiting: dict[str, list[Element]] = defaultdict(list)
    for element in show.elements.values():
        for reference in element.references:
            if reference.waits:
                waiting[reference.target].append(element)
    reached: set[str] = set()
    edge = [thing]
    while edge:
        edge = [each.id for target in edge for each in waiting[target] if each.id not in reached]
        reached.update(edge)
    return tuple(
        each
        for each in show.elements.values()
        if each.id in reached and each.shot and show.is_live(each)
    )


def shots_of(elements: Sequence[Element]) -> tuple[str, ...]:
    """Shots the elements belong to, each once, in order."""
    return tuple(dict.fromkeys(each.shot for each in elements))


def listed(names: Sequence[str]) -> str:
    """Names in a sentence; the first few and a count where there are many."""
    if len(names) <= LISTED_AT_MOST:
        return ", ".join(names)
    return f"{', '.join(names[:LISTED_AT_MOST])} and {len(names) - LISTED_AT_MOST} more"


def counted(count: int, one: str, many: str = "") -> str:
    """A count with its noun: ``1 shot``, ``3 shots``."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def dated(sheet: Worksheet, name: str, day: date, at: str) -> Quantity:
    """Keep a day as the number of days after the show's first, with the date as its text."""
    starts = sheet.context.show.calendar.starts
    return sheet.note(
        Quantity(
            name,
            (day - starts).days,
            "d",
            Standing.GIVEN,
            place=sheet.element.facts.place_of(at),
            text=str(day),
            reason=f"days after the show's first day, {starts}",
        )
    )
