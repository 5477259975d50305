"""People without whom work stops.

Takes a show and the estimates of its elements, gives a finding for each person whom much waits for
and nobody could stand in for. Knows nothing of dates on which that work falls.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from planner.model.place import Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from planner.kinds import Estimate
    from planner.model.facts import DateRange
    from planner.model.show import Resource, Show

MOST = 1
"""Elements that may wait for one person who is never away; common practice, no source."""


def people_problems(show: Show, by_element: Mapping[str, Estimate]) -> Iterator[Problem]:
    """Tell of every person nobody stands in for, who is away or whom more than `MOST` wait for.

    Args:
        show: the show.
        by_element: estimates of all elements, by id.

    Yields:
        Warnings; cost linear in the work of the show.
    """
    people = show.resources_of("person")
    waiting = _waiting(show, by_element) if people else {}
    for person in people:
        elements = waiting.get(person.id, ())
        if not elements or person.facts.word("stand_in").strip():
            continue
        if person.away or len(elements) > MOST:
            yield _alone(person, len(elements))


def _waiting(show: Show, by_element: Mapping[str, Estimate]) -> Mapping[str, tuple[str, ...]]:
    """Live elements with work that nobody but one person can do, by that person."""
    found: dict[str, dict[str, None]] = defaultdict(dict)
    for id_, estimate in by_element.items():
        if not show.is_live(show.elements[id_]):
            continue
        for work in estimate.work:
            for need in work.needs:
                if need.sort == "person" and len(need.options) == 1:
                    found[need.options[0]][id_] = None
    return {person: tuple(elements) for person, elements in found.items()}


def _alone(person: Resource, count: int) -> Problem:
    name = person.title or person.id
    what = "1 element waits" if count == 1 else f"{count} elements wait"
    spans = ", ".join(map(_span, person.away))
    away = f", who is away {spans}" if spans else ""
    before = f", or do that work before {person.away[0].first}" if person.away else ""
    return Problem(
        Severity.WARNING,
        person.facts.place_of("stand_in"),
        "no-stand-in",
        f"{what} for {name}{away}, and nobody can stand in",
        f"have somebody learn it and name them under `stand_in`{before}",
        person.id,
    )


def _span(span: DateRange) -> str:
    return str(span.first) if span.first == span.last else f"{span.first} to {span.last}"
