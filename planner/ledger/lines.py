"""A ledger as JSON lines that merge in version control.

Takes events and the facts they rested on, gives text, one a line, sorted; takes such text, also
after a merge, gives what it holds and every line that does not read. Knows nothing of databases.
"""

from __future__ import annotations

import codecs
import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.ledger.event import Basis
from planner.ledger.written import UnreadableError, plain, read_event
from planner.model.place import Place, Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Iterable

    from planner.ledger.event import Event

VERSION = 1
_NO_OBJECT = "this is not one whole JSON object"
_MEND = "mend or remove the line"
_MERGE_MARKS = ("<<<<<<<", "=======", ">>>>>>>", "|||||||")


@dataclass(frozen=True, slots=True)
class Pages:
    """What a ledger's text holds.

    Attributes:
        events: in their order, each once.
        bases: facts they rested on.
        problems: lines that do not read, and marks that a merge has left.
    """

    events: tuple[Event, ...]
    bases: tuple[Basis, ...]
    problems: tuple[Problem, ...] = ()


def write_lines(events: Iterable[Event], bases: Iterable[Basis]) -> str:
    """A whole ledger as text: its version, the facts rested on by mark, the events by time."""
    rested = {each.mark: dict(each.facts) for each in bases}
    told = {each.client: each for each in events}
    lines: list[object] = [{"ledger": VERSION}]
    lines += [{"mark": mark, "facts": rested[mark]} for mark in sorted(rested)]
    lines += [plain(each) for each in sorted(told.values(), key=lambda each: each.order)]
    return "".join(f"{json.dumps(each, ensure_ascii=False, sort_keys=True)}\n" for each in lines)


def read_lines(data: bytes, file: str) -> Pages:
    """What a ledger's text holds.

    Both sides of a merge are taken: nothing in a ledger contradicts by being there twice. The same
    event written twice is one; two that differ under one client's word are a problem.

    Args:
        data: of the file.
        file: its name, for problems.
    """
    reading = _Reading(file)
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        reading.tell(1, "line-unreadable", "the file is in UTF-16", "save it as UTF-8")
        return Pages((), (), tuple(reading.problems))
    # Some editors begin a file so; it says nothing.
    for number, line in enumerate(data.removeprefix(codecs.BOM_UTF8).split(b"\n"), start=1):
        if line.strip():
            reading.line(line.rstrip(b"\r"), number)
    events = sorted(reading.events.values(), key=lambda each: each.order)
    return Pages(tuple(events), tuple(reading.bases.values()), tuple(reading.problems))


class _Reading:
    def __init__(self, file: str) -> None:
        self.file = file
        self.events: dict[str, Event] = {}
        self.bases: dict[str, Basis] = {}
        self.problems: list[Problem] = []

    def line(self, line: bytes, number: int) -> None:
        if line.startswith(tuple(mark.encode() for mark in _MERGE_MARKS)):
            said = "a merge has left a mark here; both sides of it are taken"
            remedy = "export the ledger again, and the mark is gone"
            place = Place(self.file, number, 1)
            self.problems.append(Problem(Severity.NOTE, place, "merge-mark", said, remedy))
            return
        try:
            values = json.loads(line.decode("utf-8"))
        except UnicodeDecodeError as fault:
            said = f"byte {fault.start + 1} of the line is not UTF-8"
            self.tell(number, "line-unreadable", said, "take the line from the other copy")
        except json.JSONDecodeError as fault:
            self.tell(
                number,
                "line-unreadable",
                f"{_NO_OBJECT}: it breaks after {fault.pos} characters",
                _MEND,
            )
        except (RecursionError, ValueError):  # nested too deep; a number of thousands of digits
            self.tell(number, "line-unreadable", _NO_OBJECT, _MEND)
        else:
            self.value(values, number)

    def value(self, values: object, number: int) -> None:
        if not isinstance(values, dict):
            self.tell(number, "line-unreadable", _NO_OBJECT, _MEND)
        elif "ledger" in values:
            self.version(values["ledger"], number)
        elif "facts" in values:
            self.basis(values, number)
        else:
            self.event(values, number)

    def version(self, version: object, number: int) -> None:
        if version != VERSION:
            said = f"this ledger is of version {version!r:.20}, and {VERSION} is known here"
            self.tell(number, "ledger-newer", said, "install the version that wrote it")

    def basis(self, values: dict[str, object], number: int) -> None:
        facts = values["facts"]
        if not isinstance(facts, dict) or not all(map(_is_text, (*facts, *facts.values()))):
            said = "facts want names with text"
            self.tell(number, "event-unreadable", said, "take the line from the other copy")
            return
        basis = Basis(facts)
        if values.get("mark") != basis.mark:
            said = f"these facts have the mark {basis.mark}, not {values.get('mark')!r:.40}"
            self.tell(number, "event-unreadable", said, "take the line from the other copy")
            return
        self.bases[basis.mark] = basis

    def event(self, values: dict[str, object], number: int) -> None:
        try:
            event = read_event(values)
        except UnreadableError as fault:
            self.tell(number, "event-unreadable", str(fault), "mend the line")
            return
        known = self.events.setdefault(event.client, event)
        if event.order < known.order:
            self.events[event.client] = event
        if not known.tells_as(event):
            said = f"{event.client} tells {known.what} of {known.about} and another thing too"
            remedy = "a client's word is used once; leave out one of the two"
            self.tell(number, "told-otherwise", said, remedy)

    def tell(self, number: int, code: str, message: str, remedy: str) -> None:
        place = Place(self.file, number, 1)
        self.problems.append(Problem(Severity.ERROR, place, code, message, remedy))


def _is_text(value: object) -> bool:
    """Whether it is text that can be written: JSON may tell half of a character."""
    return isinstance(value, str) and not any("\ud800" <= each <= "\udfff" for each in value)
