"""Files, each read by itself, to a show.

Takes the parts of one show, gives a `Show` and every problem found. An element that could not be
read whole is kept, so that references to it hold, and is named in `Show.unreadable`. Knows nothing
of the disk.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from datetime import date, time
from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING, TypeVar

from planner.model.facts import DateRange, Facts
from planner.model.methods import stand_aside
from planner.model.place import Place, Problem, Severity
from planner.model.show import Delivery, Loads, Meal, Move, Sequence, Shot, Show, WorkCalendar
from planner.text.gathering import Gathering
from planner.text.parts import WORK_DATES, Pending, is_dated
from planner.text.references import nearest, resolve
from planner.text.sections import join_sequences

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from planner.model.show import Element, Rate, Resource
    from planner.text.parts import Part, Pieces, SequenceRead, ShowRead

Says = TypeVar("Says")
RESOURCES = "resources.yaml"
_MOST_NAMED = 4
_WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


@dataclass(frozen=True, slots=True)
class Documents:
    """The files of one show, each read.

    Attributes:
        folder: as the user typed it.
        show: show.yaml, which could be read.
        resources: resources.yaml; None where there is none.
        builds: builds.yaml; None where there is none.
        rates: rates.yaml; None where there is none.
        sequences: sequences/*.yaml, in the order of their names.
        moves: moves/*.csv, read.
        lost: files and folders of which something is there and cannot be read: names that may
            stand in them are not told as unknown.
    """

    folder: str
    show: Part[ShowRead]
    resources: Part[Mapping[str, Resource]] | None
    builds: Part[Pieces] | None
    rates: Part[Mapping[str, Rate]] | None
    sequences: tuple[Part[SequenceRead], ...]
    moves: Mapping[str, Move]
    lost: frozenset[str] = frozenset()


def assemble(documents: Documents, facts: Facts) -> tuple[Show | None, tuple[Problem, ...]]:
    """Put a show together.

    Args:
        documents: its files.
        facts: of show.yaml.

    Returns:
        The show, None where show.yaml does not say when it starts or when people work; and every
        problem of every file but those of its YAML. Cost is linear in the size of the files.
    """
    work = Gathering()
    _taken(work, documents.show)
    builds = _taken(work, documents.builds)
    for piece in builds.each if builds else ():
        work.add(piece)
    sequences, shots = join_sequences(work, documents.sequences)
    resources = _taken(work, documents.resources) or MappingProxyType({})
    rates = _taken(work, documents.rates) or MappingProxyType({})
    faults = documents.resources.problems if documents.resources else ()
    damaged = _damaged(resources, faults)
    lost = documents.lost | _missing(work, documents)
    elements = resolve(work, resources, documents.moves, lost, damaged)
    deliveries = _deliveries(work, facts, (sequences, shots), lost)
    calendar = _calendar(facts)
    if calendar is None:
        return None, tuple(work.problems)
    show = Show(
        folder=documents.folder,
        title=facts.word("show"),
        currency=facts.word("currency"),
        calendar=calendar,
        sequences=MappingProxyType(sequences),
        shots=MappingProxyType(shots),
        elements=MappingProxyType(elements),
        resources=resources,
        rates=rates,
        moves=documents.moves,
        deliveries=deliveries,
        loads=_loads(facts),
        facts=facts,
        unreadable=frozenset(work.unreadable),
        aside=stand_aside(elements),
        lost_files=lost,
    )
    dated = [elements[id_] for each in work.taken for id_ in _dated(each)]
    return show, (*work.problems, *_dates_before_start(show, dated))


def _dated(taken: Pieces | Pending) -> Iterable[str]:
    if isinstance(taken, Pending):
        return [taken.element.id] if is_dated(taken.element) else ()
    return taken.dated


def _taken(work: Gathering, part: Part[Says] | None) -> Says | None:
    """What a file says, once its problems and names are remembered."""
    if part is None:
        return None
    work.problems += part.problems
    work.named += part.named
    return part.says


def _missing(work: Gathering, documents: Documents) -> frozenset[str]:
    """resources.yaml where things of it are named and it is not there, which is told once."""
    if documents.resources is not None or RESOURCES in documents.lost:
        return frozenset()
    named = {name for name, _place in work.named}
    named.update(name for each in work.pending.values() for name, _place in each.resources)
    if not named:
        return frozenset()
    listed = ", ".join(sorted(named)[:_MOST_NAMED])
    more = f" and {len(named) - _MOST_NAMED} more" if len(named) > _MOST_NAMED else ""
    work.error(
        "file-missing",
        Place(f"{documents.folder}/{RESOURCES}"),
        f"there is no such file, and the show names what it should list: {listed}{more}",
        "put it back, or write what there is of each",
    )
    return frozenset({RESOURCES})


def _damaged(resources: Mapping[str, Resource], faults: Iterable[Problem]) -> frozenset[str]:
    """Ids of resources in whose text a fault stands: of each the last that begins before it."""
    begins = sorted((each.place, id_) for id_, each in resources.items())
    places = [place for place, _id in begins]
    stands = (bisect_right(places, each.place) - 1 for each in faults)
    return frozenset(begins[n][1] for n in stands if n >= 0)


def _calendar(facts: Facts) -> WorkCalendar | None:
    starts, calendar = facts.day("starts"), facts.group("calendar")
    week = frozenset(_WEEK.index(day) for day in calendar.words("week") if day in _WEEK)
    hours = calendar.amount("day_hours", 8.0)
    if starts is None or not week or hours <= 0:
        return None
    opens = calendar.clock("day_starts") or time(8)
    holidays, meals = calendar.ranges("holidays"), _meals(calendar, hours)
    return WorkCalendar(starts, week, holidays, opens, hours, meals)


def _meals(calendar: Facts, day_hours: float) -> tuple[Meal, ...]:
    """To the quarter hour; one before the call or after the day is over is nobody's break."""
    stated = (
        (_quarter(each.amount("after", 0.0)), _quarter(each.amount("lasts", 0.0)))
        for each in calendar.groups("meals")
    )
    return tuple(
        Meal(after, lasts) for after, lasts in sorted(stated) if 0 < after < day_hours and lasts > 0
    )


def _quarter(hours: float) -> float:
    return round(hours * 4) / 4


def _loads(facts: Facts) -> Loads:
    shares = facts.group("contingency")
    ordinary = _share(shares, "ordinary", Decimal(0))
    contingency = {name: _share(shares, name, ordinary) for name in ("ordinary", "untried", "fire")}
    return Loads(
        _share(facts, "overhead", Decimal(0)),
        MappingProxyType(contingency),
        facts.flag("contingency_carries_overhead"),
    )


def _share(facts: Facts, name: str, default: Decimal) -> Decimal:
    """A share to a ten-thousandth of a per cent, so that no binary fraction reaches money."""
    stated = facts.number(name)
    return default if stated is None else round(Decimal(stated.value), 6).normalize()


def _deliveries(
    work: Gathering,
    facts: Facts,
    known: tuple[Mapping[str, Sequence], Mapping[str, Shot]],
    lost: frozenset[str],
) -> tuple[Delivery, ...]:
    """Deliveries of sequences and shots there are; what may stand in a lost file is not told."""
    sequences, shots = known
    deliveries = []
    for name, each in facts.named("deliveries").items():
        wanted: list[str] = []
        for word in each.words("of"):
            if word in sequences:
                wanted += sequences[word].shots
            elif word in shots:
                wanted.append(word)
            elif "sequences" not in lost:
                hint = nearest(word, (*sequences, *shots))
                message = f"{word} is neither a sequence nor a shot"
                work.error("reference-to-nothing", each.place_of("of"), message, hint)
        day = each.day("date")
        if day is not None:
            weight = each.amount("weight", 1.0)
            deliveries.append(Delivery(name, day, tuple(wanted), weight, each.place))
    return tuple(deliveries)


def _dates_before_start(show: Show, dated: Iterable[Element]) -> Iterator[Problem]:
    starts = show.calendar.starts
    later = "give a later date, or start the show earlier in show.yaml"
    code = "date-before-start"
    for element in dated:
        for name in WORK_DATES:
            value = element.facts.values.get(name)
            day = value.first if isinstance(value, DateRange) else value
            if isinstance(day, date) and day < starts:
                message = f"{name}: {day} is before the show starts ({starts})"
                place = element.facts.place_of(name)
                yield Problem(Severity.ERROR, place, code, message, later, element.id)
    for each in show.deliveries:
        if each.day < starts:
            message = f"delivery {each.id} is due {each.day}, before the show starts ({starts})"
            yield Problem(Severity.ERROR, each.place, code, message, later)
