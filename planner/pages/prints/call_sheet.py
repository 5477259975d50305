"""Call sheets: who comes when, to which stage, what is held, and what can hurt them.

Takes dated work and a day, gives a sheet. Works nothing out: hands are those of each call.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from planner.kinds import Phase
from planner.kinds.estimate import FLOOR
from planner.kinds.leave import permits_of
from planner.kinds.strike import hazards_of_pieces
from planner.model.names import day_words, name_of, title_of
from planner.pages.order_text import NO_NOTES
from planner.pages.prints.cautioned import cautions_about
from planner.pages.prints.dated import by_day, call_and_wrap, clock, meal_words
from planner.pages.prints.sheet import BLANK, Listed, Rows, Said, Sheet, Table

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from datetime import date, datetime

    from planner.estimate import Estimates
    from planner.model.show import Element, Show
    from planner.pages.order_text import Notes
    from planner.pages.prints.dated import Dated, Stretch
    from planner.pages.prints.sheet import Block, Cell

HELD = {
    "rig": "Rigs",
    "camera": "Cameras",
    "lens": "Lenses",
    "screen": "Screens",
    "person": "People",
    "build": "Builds",
}
"""Sorts of things told of on their own lines, with their label; what is no resource is a build."""
UNKNOWN = f"First aider, nearest hospital, number to call: {'_' * 40}"


def call_sheets(
    show: Show,
    estimates: Estimates,
    dated: Dated,
    day: date | None,
    known: Known | None = None,
) -> tuple[Sheet, ...]:
    """The call sheet of a day, or of every day on which anything is called.

    Args:
        show: for names and the calendar.
        estimates: for what each work brings with it.
        dated: the order.
        day: the only day wanted; None for every one.
        known: what is posted and found beside the order; nothing where not given.
    """
    found = by_day(dated, show.calendar)
    days = found if day is None else {day: found.get(day, ())}
    hazards = hazards_of_pieces(show, estimates.by_element)
    told = known or Known()
    return tuple(_sheet(show, (told, hazards), dated, at) for at in days.items())


@dataclass(frozen=True, slots=True)
class Known:
    """What a call sheet tells beside the order.

    Attributes:
        settled: permits posted as in hand.
        notes: why something cannot be done as planned, without hazards: those are cautioned whole.
    """

    settled: frozenset[str] = frozenset()
    notes: Notes = NO_NOTES


def _sheet(
    show: Show,
    told: tuple[Known, Mapping[str, Sequence[str]]],
    dated: Dated,
    at: tuple[date, tuple[Stretch, ...]],
) -> Sheet:
    (known, hazards), (day, stretches) = told, at
    blocks: list[Block] = [
        Listed("Take care", _cautions(show, hazards, stretches), "care"),
        Listed("Leave and cover", tuple(_leave(show, known.settled, stretches)), "tick"),
        Table(
            ("Craft", "Call", "Until", "Hands", "Where", "Work"),
            tuple(_crews(show, stretches, known.notes)),
            (0, 0, 0, 0, 1, 2.4),
            "Who is called",
            right=(3,),
        ),
        Rows(tuple(_held(show, stretches)), "What is held"),
        Rows(tuple(_emergencies(show, stretches)), "In an emergency"),
        Said(_due(show, dated, day), "Due"),
    ]
    if not stretches:
        blocks.insert(0, Said("Nothing is called on this day."))
    says = f"{call_and_wrap(stretches)} {meal_words(show.calendar, stretches)}".strip()
    return Sheet("Call sheet", day_words(day), says, tuple(blocks), f"{dated.source}.")


def _crews(show: Show, stretches: Sequence[Stretch], notes: Notes) -> Iterator[tuple[Cell, ...]]:
    """Calls craft by craft, those on the floor first; a craft is named once.

    What is found of a piece, or of a build before it, is told at the first of its calls, and not
    at hands called beside one: who sets it up has to know first.
    """
    floor = {each.call.work.craft for each in stretches if _is_floor(each)}

    def place(each: Stretch) -> tuple[bool, str, datetime, str]:
        craft = each.call.work.craft
        return craft not in floor, craft, each.starts, each.call.id

    ordered = sorted(stretches, key=place)
    calls = sorted((each.call for each in stretches), key=lambda each: bool(each.work.beside))
    noted = notes.once(calls, show)
    for craft, group in groupby(ordered, key=lambda each: each.call.work.craft):
        for number, each in enumerate(group):
            call = each.call
            name = "" if number else craft.replace("_", " ")
            where = _where(show, each, stretches)
            work = f"{name_of(call.element, show)}: {call.work.name}"
            against = (f"! {said}" for said in call.against)
            told = (work, *dict.fromkeys((*noted[call.id], *against)))
            yield (name, *clock(each), str(call.work.heads), where, told)


def _is_floor(stretch: Stretch) -> bool:
    return stretch.call.work.phase in FLOOR


def _where(show: Show, stretch: Stretch, stretches: Sequence[Stretch]) -> str:
    """Where they go: with the piece's own stage that day, where their work names none."""
    call = stretch.call
    beside = (each.call for each in stretches if each.call.element == call.element)
    stages = [call.stage, *(each.stage for each in beside if _is_floor(stretch))]
    if stage := next(filter(None, stages), ""):
        return title_of(stage, show)
    element = show.elements.get(call.element)
    if call.work.phase is Phase.LOCATION and element is not None:
        return element.target("set").replace("_", " ") or "on location"
    return "own room"


def _held(show: Show, stretches: Sequence[Stretch]) -> Iterator[tuple[str, Cell]]:
    """What is held, sort by sort, each with the work that holds it; people with their times."""
    holders: dict[str, dict[str, list[Stretch]]] = {}
    for each in stretches:
        for id_ in each.call.holds:
            resource = show.resources.get(id_)
            sort = resource.sort if resource else "build"
            if sort not in {"stage", "crew"}:
                holders.setdefault(sort, {}).setdefault(id_, []).append(each)
    for sort, label in HELD.items():
        for number, (id_, users) in enumerate(holders.get(sort, {}).items()):
            yield "" if number else label, _holder(show, id_, users)


def _holder(show: Show, id_: str, users: Sequence[Stretch]) -> Cell:
    """A thing with the pieces that hold it, and what is posted of it; a person's call and end."""
    name = title_of(id_, show)
    pieces = ", ".join(dict.fromkeys(name_of(each.call.element, show) for each in users))
    times = ""
    if id_ in show.resources and show.resources[id_].sort == "person":
        first, last = min(each.starts for each in users), max(each.ends for each in users)
        times = f", {first:%H:%M} to {last:%H:%M}"
    lost = dict.fromkeys(
        f"! {said}"
        for each in users
        for said in each.call.against
        if said.startswith(f"{name} was posted as lost")
    )
    return (f"{name}{times}: {pieces}", *lost) if lost else f"{name}{times}: {pieces}"


def _cautions(
    show: Show, hazards: Mapping[str, Sequence[str]], stretches: Sequence[Stretch]
) -> tuple[str, ...]:
    """One caution for each hazard on the floor today, with the work that brings it."""
    today = (each.call.element for each in stretches if _is_floor(each))
    return cautions_about(show, hazards, today, "Today")


def _leave(show: Show, settled: frozenset[str], stretches: Sequence[Stretch]) -> Iterator[str]:
    """Each permit that today's work on the floor goes by: what it asks, by which writing."""
    done: dict[str, dict[str, None]] = {}
    for each in stretches:
        for permit in permits_of(show, each.call.element) if _is_floor(each) else ():
            done.setdefault(permit.id, {})[name_of(each.call.element, show)] = None
    for id_, pieces in done.items():
        said = _permit(show, show.elements[id_], is_posted=id_ in settled)
        yield f"{said} Today: {', '.join(pieces)}."


def _permit(show: Show, permit: Element, *, is_posted: bool) -> str:
    """What it asks for, by which writing of whom, and whether anybody has it."""
    facts = permit.facts
    asked = "; ".join(filter(None, (facts.word("cover"), *facts.words("conditions"))))
    named = f"{name_of(permit.id, show)}, reference {facts.word('reference') or BLANK}"
    grantor = facts.word("from") or f"granted by {BLANK}"
    in_hand = is_posted or facts.flag("in_hand")
    held = "" if in_hand else " NOT IN HAND: nothing of it is done without it."
    return (
        f"{asked[:1].upper()}{asked[1:] or f'Cover {BLANK}'}: {named} ({grantor}), for"
        f" {facts.word('for') or BLANK}.{held} What it means on the day is for the licensed person"
        " in charge."
    )


def _emergencies(show: Show, stretches: Sequence[Stretch]) -> Iterator[tuple[str, Cell]]:
    """What each place on the floor today states; lines to fill in by hand where one states nothing.

    Nobody but those who know the place can say it.
    """
    floor = [each for each in stretches if _is_floor(each)]
    stated = {
        title_of(each.id, show): each.facts.word("emergency") for each in show.resources_of("stage")
    }
    for place in dict.fromkeys(_where(show, each, stretches) for each in floor):
        yield place, stated.get(place, "") or UNKNOWN


def _due(show: Show, dated: Dated, day: date) -> str:
    finals = [shot for shot, done in dated.finals.items() if done.date() == day]
    said = [f"{', '.join(finals)} to be final"] if finals else []
    said += [
        f"delivery of {each.id.replace('_', ' ')}" for each in show.deliveries if each.day == day
    ]
    return f"{'; '.join(said)}." if said else ""
