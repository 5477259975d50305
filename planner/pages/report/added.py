"""The door for sections of the report that other distributions add.

Takes the entry points of installed distributions and the matter of a report, gives sections and
what is wrong with those that gave none. A section says what stands in it as `Told`, plain frozen
values; the marks are all ours, so that nothing an author returns can carry any or break the page.
Knows nothing of files.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from dataclasses import dataclass, replace
from importlib.metadata import EntryPoint, entry_points
from types import MappingProxyType
from typing import TYPE_CHECKING, Protocol, TypeAlias, TypeVar, runtime_checkable

from planner.kinds.guard import (
    BUDGET_SECONDS,
    LOADING_SECONDS,
    Failed,
    door_refusal,
    door_remedy,
    held,
    origin_of,
)
from planner.model.place import Place, Problem, Severity
from planner.model.quantity import Quantity
from planner.pages.report.section import Section, rendered
from planner.pages.wording import figure, inert, plain

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping
    from datetime import date
    from decimal import Decimal

    from planner.kinds import Estimate
    from planner.model.show import Show
    from planner.pages.report.matter import Matter

    Teller: TypeAlias = Callable[[Matter], "Section | None"]

T = TypeVar("T")

GROUP = "platewright.report_sections"
DOOR = 1
NAME = re.compile(r"[a-z][a-z0-9_]{0,39}")
MOST_PARTS, MOST_ROWS, MOST_COLUMNS, MOST_LETTERS = 50, 2_000, 12, 4_000


@dataclass(frozen=True, slots=True)
class About:
    """The name of an element or shot, which leads to where the report tells of it.

    Attributes:
        id: ``SHOT.element``, a shot, or a thing outside shots; another is shown as text.
    """

    id: str


Cell: TypeAlias = "str | int | float | Quantity | About"
"""What may stand in a table: numbers are written as people write them, with their units."""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Plain words."""

    text: str


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under headings; the first cell of a row names it.

    Attributes:
        caption: what it shows.
        head: a heading a column, at most 12.
        rows: at most 2,000, each as long as `head`.
    """

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar.

    Attributes:
        name: what it is of.
        value: its length, 0 or more, against the longest of its `Bars`.
        says: the number beside it.
    """

    name: Cell
    value: float
    says: Cell


@dataclass(frozen=True, slots=True)
class Bars:
    """Bars under one another, each with its number beside it; at most 2,000."""

    caption: str
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True)
class Told:
    """What a section says, in order; at most 50 parts, each text of at most 4,000 characters."""

    parts: tuple[Paragraph | Table | Bars, ...]


@dataclass(frozen=True, slots=True)
class Seen:
    """What a section may look at: a show with what was worked out from it.

    Attributes:
        show: what the files state.
        estimates: what every element needs, by id.
        days: first and last day an element is worked on, by id; without those never called.
        likely: likely cost without loads by shot, in the show's currency; shared things split over
            the shots that use them.
        findings: what is wrong, errors first.
    """

    show: Show
    estimates: Mapping[str, Estimate]
    days: Mapping[str, tuple[date, date]]
    likely: Mapping[str, Decimal]
    findings: tuple[Problem, ...]


@runtime_checkable
class ReportSection(Protocol):
    """What a distribution provides: one class per section, made with no arguments.

    Attributes:
        name: small letters, digits and underscores; unique on the page.
        door: version of this door it was written for; see `DOOR`.
        title: its heading.
    """

    name: str
    door: int
    title: str

    def tell(self, seen: Seen) -> Told | None:
        """What stands in the section; None for no section. Pure: the same show, the same words."""
        ...


def with_added(
    matter: Matter,
    points: Iterable[EntryPoint] | None = None,
    *,
    seconds: float = BUDGET_SECONDS,
) -> tuple[Matter, tuple[Teller, ...], tuple[Problem, ...]]:
    """The sections that installed distributions add, each told once for the whole show.

    Args:
        matter: of the show, before it is split over pages.
        points: entry points; those of the installed distributions unless given.
        seconds: each section may take.

    Returns:
        The matter with what is wrong with sections among its findings; a teller a section, which
        speaks on the first page only; and what is wrong by itself.
    """
    found = entry_points(group=GROUP) if points is None else points
    ordered = sorted(found, key=lambda each: (each.name, origin_of(each)))
    many = Counter(each.name for each in ordered)
    told: list[_Copied] = []
    problems: list[Problem] = []
    for point in ordered:
        if many[point.name] > 1:
            answer: _Copied | Problem | None = _clash(point, ordered)
        else:
            answer = _section(point, matter, seconds)
        if isinstance(answer, Problem):
            problems.append(answer)
        elif answer is not None:
            told.append(answer)
    wrong = tuple(dict.fromkeys(problems))
    if wrong:
        findings = {**matter.findings, "": sorted({*matter.findings[""], *wrong})}
        matter = replace(matter, findings=findings)
    return matter, tuple(each.teller() for each in told), wrong


def _clash(point: EntryPoint, points: Iterable[EntryPoint]) -> Problem:
    owners = " and ".join(origin_of(each) for each in points if each.name == point.name)
    says = f"{owners} both add a report section called {point.name}, so neither is shown"
    return _broken(says, "uninstall one of them")


def _broken(says: str, remedy: str) -> Problem:
    return Problem(Severity.ERROR, Place("report"), "report-section-broken", inert(says), remedy)


def _section(point: EntryPoint, matter: Matter, seconds: float) -> _Copied | Problem | None:
    def refuse(message: str, remedy: str = "ask its author") -> Problem:
        return _broken(f"the report section {point.name} of {origin_of(point)} {message}", remedy)

    made = held(lambda: _made(point), LOADING_SECONDS)
    if isinstance(made, Failed):
        return refuse(f"cannot be loaded: {made.how}")
    section, door = made.value
    if refusal := door_refusal(door, DOOR):
        return refuse(refusal, door_remedy(door, DOOR))
    if not isinstance(section, ReportSection):
        return refuse("does not provide name, door, title and tell")
    answer = held(lambda: _read(section, point.name, matter), seconds)
    if isinstance(answer, Failed):
        return refuse(f"failed: {answer.how}")
    if isinstance(answer.value, str):
        return refuse(answer.value)
    return answer.value


def _made(point: EntryPoint) -> tuple[object, object]:
    section = point.load()()
    return section, getattr(section, "door", None)


class _Nonsense(Exception):  # noqa: N818 - a clause for the user, not an error of ours
    pass


def _read(section: ReportSection, name: str, matter: Matter) -> _Copied | str | None:
    """What the section says as plain values, or what is wrong with it.

    It is copied within the time allowed, so that nothing of the author's is asked again while the
    page is made.
    """
    if NAME.fullmatch(name) is None or section.name != name:
        return f"calls itself {section.name!r}; it must be {name!r}, a plain name"
    try:
        title = _text(section.title, "its title")
        told = section.tell(_seen(matter))
        if told is None:
            return None
        parts = _row(_of(told, Told, "itself").parts, MOST_PARTS, "parts")
        return _Copied(f"added_{name}", title, tuple(_part(each) for each in parts))
    except _Nonsense as fault:
        return str(fault)


@dataclass(frozen=True, slots=True)
class _Copied:
    """A section in plain values of ours; texts are inert."""

    name: str
    title: str
    parts: tuple[dict[str, object], ...]

    def teller(self) -> Teller:
        """Speaks on the first page only, with links as they lead from there."""

        def tell(matter: Matter) -> Section | None:
            if not matter.is_first:
                return None

            def link(id_: str) -> str:
                return matter.link(id_) if matter.is_known(id_) else ""

            html = rendered("added.html", parts=self.parts, link=link)
            return Section(self.name, self.title, html, self.title)

        return tell


def _seen(matter: Matter) -> Seen:
    days = {
        element: (calls[0].starts.date(), max(each.ends for each in calls).date())
        for element, calls in matter.calls.items()
        if calls
    }
    return Seen(
        show=matter.plan.show,
        estimates=MappingProxyType(dict(matter.plan.estimates.by_element)),
        days=MappingProxyType(days),
        likely=MappingProxyType({shot: each.likely for shot, each in matter.use.items()}),
        findings=tuple(matter.findings[""]),
    )


def _part(part: object) -> dict[str, object]:
    match part:
        case Paragraph():
            return {"sort": "text", "text": _text(part.text, "a paragraph")}
        case Table():
            return _table(part)
        case Bars():
            return _bars(part)
    raise _Nonsense(f"put {type(part).__name__} where a Paragraph, Table or Bars is wanted")


def _table(table: Table) -> dict[str, object]:
    head = [_text(each, "a heading") for each in _row(table.head, MOST_COLUMNS, "columns")]
    rows = []
    # Set to the right under their headings; the first names its row, whatever it is.
    numbers = set(range(1, len(head)))
    for row in _row(table.rows, MOST_ROWS, "rows"):
        given = list(_row(row, MOST_COLUMNS, "cells in a row"))
        if len(given) != len(head) or not given:
            raise _Nonsense(f"gave {len(given)} cells under {len(head)} headings")
        numbers &= {at for at, each in enumerate(given) if type(each) in {Quantity, int, float}}
        rows.append([_cell(each) for each in given])
    return {
        "sort": "table",
        "numbers": numbers,
        "caption": _text(table.caption, "a caption"),
        "head": head,
        "rows": rows,
    }


def _bars(bars: Bars) -> dict[str, object]:
    held_bars = [_of(each, Bar, "a bar") for each in _row(bars.bars, MOST_ROWS, "bars")]
    lengths = [_number(each.value, "a bar") for each in held_bars]
    if min(lengths, default=0) < 0:
        raise _Nonsense(f"gave {min(lengths):g} as the length of a bar; the least is 0")
    longest = max(lengths, default=0) or 1.0
    rows = [
        (_cell(each.name), f"{100 * (length / longest):.1f}", _cell(each.says))
        for each, length in zip(held_bars, lengths, strict=True)
    ]
    return {"sort": "bars", "caption": _text(bars.caption, "a caption"), "rows": rows}


def _cell(cell: object) -> tuple[str, str]:
    """Text, and the id it leads to; empty for none."""
    if type(cell) is About:
        name = _text(cell.id, "a name")
        return name, name
    if type(cell) is Quantity:
        value = _number(cell.value, "a cell")
        return figure(value, _text(cell.unit, "a unit")), ""
    if type(cell) in {int, float}:
        return plain(_number(cell, "a cell")), ""
    return _text(cell, "a cell"), ""


def _of(value: object, sort: type[T], what: str) -> T:
    if not isinstance(value, sort) or type(value) is not sort:
        raise _Nonsense(f"gave {type(value).__name__} as {what}, not {sort.__name__}")
    return value


def _row(values: object, most: int, what: str) -> Iterator[object]:
    if type(values) is not tuple:
        raise _Nonsense(f"gave {type(values).__name__} for its {what}, not a tuple")
    if len(values) > most:
        raise _Nonsense(f"gave {len(values):,} {what}; the most is {most:,}")
    yield from values


def _text(value: object, what: str) -> str:
    # Exactly text: a subclass may hold that it is HTML, and be believed.
    if type(value) is not str:
        raise _Nonsense(f"gave {type(value).__name__} as {what}, not plain text")
    if len(value) > MOST_LETTERS:
        raise _Nonsense(f"gave {len(value):,} characters as {what}; the most is {MOST_LETTERS:,}")
    return inert(value)


def _number(value: object, what: str) -> float:
    if type(value) not in {int, float}:
        raise _Nonsense(f"gave {type(value).__name__} as the number of {what}")
    number = float(value)  # type: ignore[arg-type]
    if not math.isfinite(number):
        raise _Nonsense(f"gave {number} as the number of {what}")
    return number
