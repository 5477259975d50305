"""What waits on a thing outside shots, and how a day is written on a worksheet.

Takes a context, gives the live elements that rest on its element, near or far; takes a day, gives a
number counted from the show's first day. Knows nothing of permits, tests or decisions themselves.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds.context import names_in
from planner.model.quantity import Quantity, Standing

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from planner.kinds.context import Context
    from planner.kinds.worksheet import Worksheet
    from planner.model.show import Element


def resting_on(context: Context) -> tuple[Element, ...]:
    """Live elements of shots whose work waits for the context's, directly or through others.

    In the order of the show's files. Cost linear in the show's elements and in what is reached.
    """
    show = context.show
    named_by = names_in(show) if context.named_by is None else context.named_by
    reached: set[str] = set()
    edge = {context.element.id}
    while edge:
        edge = {
            name
            for target in edge
            for name in named_by.get(target, ())
            if name not in reached and _waits(show.elements[name], target)
        }
        reached |= edge
    return tuple(
        each
        for each in show.elements.values()
        if each.id in reached and each.shot and show.is_live(each)
    )


def _waits(element: Element, target: str) -> bool:
    return any(each.target == target and each.waits for each in element.references)


def shots_of(elements: Sequence[Element]) -> tuple[str, ...]:
    """Shots the elements belong to, each once, in order."""
    return tuple(dict.fromkeys(each.shot for each in elements))


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
