"""The measure list for the plate unit: what must be measured before each set goes, and by when.

Takes a show with what is missing in it, gives a sheet: soonest last day first. Works nothing out.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from planner.kinds import Context
from planner.model.names import day_words
from planner.pages.prints.sheet import BLANK, Rows, Said, Sheet, Table

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.estimate import Estimates
    from planner.model.show import Element, Show
    from planner.pages.prints.sheet import Block, Cell

NAMED = "set"
"""Role under which a plate names the set it is photographed on."""


def measure_list(show: Show, estimates: Estimates) -> Sheet:
    """Open measures of every set that stands, and facts still missing of what is shot on it.

    Args:
        show: its sets, with their measures and last days.
        estimates: for what is missing.
    """
    places = sorted(
        (each for each in show.elements.values() if show.is_live(each) and _is_measured(each)),
        key=lambda each: (_last(each), each.id),
    )
    blocks: list[Block] = []
    for each in places:
        blocks.extend(_place(show, estimates, each))
    if not blocks:
        blocks = [Said("Nothing is left to measure.")]
    says = "Soonest last day first. What is not measured by then is reconstructed from pictures."
    return Sheet("Measure list", "plate unit", says, tuple(blocks), "")


def _is_measured(element: Element) -> bool:
    return element.facts.days("stands") is not None or bool(element.facts.groups("measures"))


def _last(element: Element) -> date:
    stands = element.facts.days("stands")
    return stands.last if stands else date.max


def _place(show: Show, estimates: Estimates, place: Element) -> Iterator[Block]:
    users = [each for each in Context(show, place, {}).users(NAMED) if show.is_live(each)]
    rows = (*_open(place), *_unreported(estimates, users), *_missing(estimates, place, users))
    if not rows:
        return
    stands = place.facts.days("stands")
    until = f"last day {day_words(stands.last)}" if stands else "no last day is known"
    yield Rows(tuple(_facts(place, users)), f"{place.name.replace('_', ' ').capitalize()}: {until}")
    heads = ("Measure", "For", "By", "Size", "Taken on")
    yield Table(heads, rows, (3, 2, 1.4, 1, 1))


def _facts(place: Element, users: list[Element]) -> Iterator[tuple[str, Cell]]:
    stands = place.facts.days("stands")
    if stands:
        yield "Stands", f"{day_words(stands.first)} to {day_words(stands.last)}"
    if seen := place.facts.word("contains") or place.facts.word("says"):
        yield "Seen", seen
    if users:
        yield "Plates", ", ".join(each.id for each in users)
    taken = [
        each.word("what") for each in place.facts.groups("measures") if each.values.get("taken")
    ]
    if taken:
        yield "Taken", "; ".join(taken)


def _open(place: Element) -> Iterator[tuple[Cell, ...]]:
    for measure in place.facts.groups("measures"):
        if measure.values.get("taken") is not True:
            yield measure.word("what"), place.id, measure.word("by") or BLANK, BLANK, BLANK


def _unreported(estimates: Estimates, users: list[Element]) -> Iterator[tuple[Cell, ...]]:
    """What the reports of plates photographed on the set do not hold, while it can be measured.

    What is told as a missing fact has a row of its own, with what rests on it.
    """
    told = {(fact.about, fact.name.replace("_", " ")) for fact in estimates.missing}
    for plate in users:
        unwritten = estimates.by_element[plate.id].unwritten
        if lacks := ", ".join(each for each in unwritten if (plate.id, each) not in told):
            yield f"the report lacks {lacks}", plate.id, BLANK, BLANK, BLANK


def _missing(
    estimates: Estimates, place: Element, users: list[Element]
) -> Iterator[tuple[Cell, ...]]:
    """Facts nobody has of the set and of what is photographed on it."""
    ids = {place.id, *(each.id for each in users)}
    for fact in estimates.missing:
        if fact.about in ids:
            name, by = fact.name.replace("_", " "), fact.by or BLANK
            yield name, (fact.about, fact.rests), by, BLANK, BLANK
