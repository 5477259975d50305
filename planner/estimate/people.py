"""People without whom work stops, and work for which nobody is called.

Takes a show and the estimates of its elements, gives a finding for each person whom much waits for
and nobody could stand in for, for each craft that is wanted and not there, and for hands of a craft
that nobody wants. Knows nothing of dates on which that work falls.
"""

from __future__ import annotations

from collections import defaultdict
from difflib import get_close_matches
from typing import TYPE_CHECKING

from planner.kinds.sentences import listed
from planner.model.place import Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from planner.kinds import Estimate, Work
    from planner.model.facts import DateRange
    from planner.model.show import Resource, Show

MOST = 1
"""Elements that may wait for one person who is never away; common practice, no source."""
UNASKED_LIKENESS, ASKED_LIKENESS = 0.7, 0.75
"""Least likeness (`difflib`, 0 to 1) of a craft that may have been meant: where no other work asks
for it, and where some does. `puppet_making` is to `puppet_makers` 0.77, to `puppeteering` 0.72, to
`model_making` 0.64."""


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
    name = person.called
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


def uncalled_problems(show: Show, by_element: Mapping[str, Estimate]) -> Iterator[Problem]:
    """Tell of work that holds nobody, as it names no craft or one that has no crew.

    Work that waits for a person by name is somebody's. A show without any crew has not listed its
    hands yet, and hears of work without a craft only.

    Args:
        show: the show.
        by_element: estimates of all elements, by id.

    Yields:
        A warning for each element, a note for each craft; cost linear in the work of the show.
    """
    crews = {crew.craft for crew in show.resources_of("crew")}
    lacking: dict[str, list[str]] = defaultdict(list)
    # Crews that some work calls: of their craft nothing more can be found out.
    called: set[str] = set()
    for id_, estimate in by_element.items():
        rest = [work for work in estimate.work if work.craft not in called]
        if not rest or not show.is_live(show.elements[id_]):
            continue
        uncalled = [work for work in rest if _wants_hands(work)]
        if nameless := [work.name for work in uncalled if not work.craft]:
            yield _craftless(show, id_, nameless)
        for work in uncalled if crews else ():
            if work.craft and work.craft in crews:
                called.add(work.craft)
            elif work.craft:
                lacking[work.craft].append(f"{work.name} of {id_}")
    for craft, works in lacking.items():
        yield _crewless(show, craft, works, _near(craft, crews, called))


def unasked_problems(show: Show, by_element: Mapping[str, Estimate]) -> Iterator[Problem]:
    """Tell of crews and people whose craft no work asks for: likely a slip of the pen.

    A craft that has a rate is known to the show, and may merely have nothing to do yet.

    Args:
        show: the show.
        by_element: estimates of all elements, by id.

    Yields:
        A note for each; cost linear in the work of the show.
    """
    hands = (*show.resources_of("crew"), *show.resources_of("person"))
    unpriced = [each for each in hands if each.craft and each.craft not in show.rates]
    if not unpriced:
        return
    asked = {work.craft for each in by_element.values() for work in each.work if work.craft}
    for each in unpriced:
        if asked and each.craft not in asked:
            yield _unasked(each, sorted(asked))


def _unasked(hands: Resource, asked: list[str]) -> Problem:
    near = get_close_matches(hands.craft, asked, n=1, cutoff=UNASKED_LIKENESS)
    known = f"crafts asked for are {', '.join(asked)}"
    return Problem(
        Severity.NOTE,
        hands.facts.place_of("craft"),
        "craft-not-asked",
        f"no work asks for {hands.craft}, the craft of {hands.called}",
        f"did you mean {near[0]}?" if near else known,
        hands.id,
    )


def _wants_hands(work: Work) -> bool:
    by_name = any(need.sort == "person" for need in work.needs)
    return work.hours.likely > 0 and work.heads > 0 and not by_name


def _craftless(show: Show, element: str, names: list[str]) -> Problem:
    does = "names" if len(names) == 1 else "name"
    return Problem(
        Severity.WARNING,
        show.elements[element].place,
        "work-without-craft",
        f"{listed(names)} {does} no craft: nobody is called for it, and no rate prices it",
        "state its craft; where it has none to state, its kind must name one",
        element,
    )


def _near(craft: str, crews: set[str], called: set[str]) -> str:
    """The craft of a crew that may have been meant; empty for none.

    One that no work asks for is likelier a slip of the pen than one that is called.
    """
    near = get_close_matches(craft, sorted(crews - called), n=1, cutoff=UNASKED_LIKENESS)
    near += get_close_matches(craft, sorted(called), n=1, cutoff=ASKED_LIKENESS)
    return next(iter(near), "")


def _crewless(show: Show, craft: str, works: list[str], near: str) -> Problem:
    more = f" and {len(works) - 1} more" if len(works) > 1 else ""
    name = craft.replace("_", " ")
    return Problem(
        Severity.NOTE,
        show.resources_of("crew")[0].place,
        "nobody-to-call",
        f"no crew of {name} is listed, and {works[0]}{more} "
        f"{'is' if len(works) == 1 else 'are'} dated as if hands were always there",
        f"list a crew with `craft: {craft}` and its heads under crews"
        + (f"; did you mean {near}, of which there is a crew?" if near else ""),
        craft,
    )
