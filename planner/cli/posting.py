"""What is told on the floor, from words or a file to events ready to be kept.

Takes options of a command or a file's bytes, gives events with their names looked up, or what is
wrong with them. Writes nothing.
"""

from __future__ import annotations

import codecs
import hashlib
import json
import re
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from planner.cli.as_of import EVENING, MOMENT, after, out_of_years
from planner.cli.may_be_told import early, misfit
from planner.cli.named import did_you_mean
from planner.ledger import Event, UnreadableError, What, read_event
from planner.ledger.event import NEEDED
from planner.model.place import Place, Problem, Severity
from planner.status.in_the_can import doubts
from planner.status.news import News, concerned, news
from planner.status.state import states_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

    from planner.ledger import Basis
    from planner.ledger.store import Ledger
    from planner.model.facts import DateRange
    from planner.status.outline import Outline

AHEAD = timedelta(minutes=10)
"""How far a clock on the floor may be ahead of this one."""
EXAMPLE = "{what: built, about: dam_face, at: 2027-03-15 17:00}"
"""An event as a line of a file tells it."""
_FILLED_IN = ("at", "author", "client")
_OF_A_TAKE = {What.APPROVED, What.NOT_APPROVED, What.SCANNED}
_CLOCK = re.compile(r"(\d{1,2}):(\d{2})")
_FRAMES = re.compile(r"-?\d+(?:-\d+)?")
_AMOUNT = re.compile(r"[-+]?\d|half\b|a\b|one\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Teller:
    """Who tells it, when, and of which show.

    Attributes:
        outline: of the show.
        resting: facts that pieces rest on, by id.
        author: who tells it.
        now: the moment it is, for them: what is told without a time happened then.
        clock: the moment it is, by this computer.
        days: the show's first day, and its last promise.
    """

    outline: Outline
    resting: Mapping[str, Basis]
    author: str
    now: datetime
    clock: datetime
    days: DateRange


@dataclass(frozen=True, slots=True)
class Told:
    """One event as it was written.

    Attributes:
        values: by name.
        place: where it was written; of the command line, without a line.
    """

    values: Mapping[str, object]
    place: Place
    fault: str = ""

    @property
    def is_from_file(self) -> bool:
        """Whether it has a line to point at."""
        return self.place.line > 0


def from_words(what: str, about: Sequence[str], options: Mapping[str, Any]) -> tuple[Told, ...]:
    """One event for each thing named on the command line."""
    stated = {name: value for name, value in options.items() if value not in (None, False, ())}
    client = str(stated.pop("client", None) or uuid4())
    stated["what"] = what
    place = Place("command line")
    if "notes" in stated:
        stated["notes"] = [note_values(each) for each in stated["notes"]]
    if "values" in stated:
        pairs = [each.partition("=") for each in stated["values"]]
        if unnamed := next(
            ("".join(each) for each in pairs if not (each[0].strip() and each[1])), ""
        ):
            says = f"--value {unnamed} does not say of what; write --value NAME=VALUE"
            return (Told({}, place, says),)
        stated["values"] = {name.strip(): value.strip() for name, _, value in pairs}
    if chosen := stated.pop("chosen", None):
        stated["values"] = {**stated.get("values", {}), "chosen": str(chosen)}
    told = []
    for each in dict.fromkeys(about):
        name = "corrects" if _is_correction(stated) else "about"
        word = client if len(about) == 1 else f"{client} {each}"
        told.append(Told({"client": word, **stated, name: each}, place))
    return tuple(told)


def note_values(text: str) -> dict[str, str]:
    """``60-72 left 3 px: the toe slides`` in its parts; those before the colon are optional."""
    head, colon, says = text.partition(":")
    if not colon:
        return {"says": text.strip()}
    words = head.split()
    frames = words.pop(0) if words and _FRAMES.fullmatch(words[0]) else ""
    first = next((n for n, word in enumerate(words) if _AMOUNT.match(word)), len(words))
    parts = {
        "says": says.strip(),
        "frames": frames,
        "direction": " ".join(words[:first]),
        "amount": " ".join(words[first:]),
    }
    return {name: value for name, value in parts.items() if value}


def from_file(path: Path) -> tuple[Told, ...]:
    """What a file tells: JSON lines where its name ends so, else YAML."""
    try:
        data = path.read_bytes()
    except OSError as fault:
        return (Told({}, Place(str(path), 1, 1), f"cannot be read: {fault.strerror}"),)
    if path.suffix == ".jsonl":
        lines = enumerate(data.removeprefix(codecs.BOM_UTF8).splitlines(), start=1)
        return tuple(_from_line(line, Place(str(path), n, 1)) for n, line in lines if line.strip())
    return _from_yaml(data, str(path))


def _from_line(line: bytes, place: Place) -> Told:
    try:
        values = json.loads(line)
    except (ValueError, RecursionError):
        return Told({}, place, "this is not one whole JSON object")
    if not isinstance(values, dict):
        return Told({}, place, "this is not one whole JSON object")
    return Told(values, place)


def _from_yaml(data: bytes, name: str) -> tuple[Told, ...]:
    from planner.text.located import read_yaml

    node, problems = read_yaml(data, name)
    faults = tuple(Told({}, each.place, each.message) for each in problems)
    if node is None or faults:
        return faults or (Told({}, Place(name, 1, 1), "the file tells nothing"),)
    listed = list(node) if isinstance(node.value, list) else [node]
    return tuple(
        Told(each.value, each.place)
        if isinstance(each.value, dict)
        else Told({}, each.place, "wants an event: what, about and the rest by name")
        for each in listed
    )


class Desk:
    """Reads what was told against the show and its ledger, and collects what is wrong."""

    def __init__(self, teller: Teller, ledger: Ledger | None) -> None:
        self.teller = teller
        self.ledger = ledger
        self.problems: list[Problem] = []
        self.corrected: list[Event] = []
        self.resting: dict[str, Basis] = {}
        self.near: dict[frozenset[str], tuple[Event, ...]] = {}
        self.places: dict[str, Place] = {}

    def read(self, told: Iterable[Told]) -> tuple[Event, ...]:
        """Events ready to be kept; `problems` says what is wrong with the others."""
        events = []
        now = self._now()
        for n, each in enumerate(told):
            try:
                event = self._event(each, now + n * MOMENT)
                self.places[event.id] = each.place
                events.append(replace(event, told=event.told or self.teller.clock + n * MOMENT))
            except UnreadableError as fault:
                self.problems.append(
                    Problem(Severity.ERROR, each.place, "event-unreadable", str(fault))
                )
        return self._of_takes(events) if not self.problems else ()

    def _now(self) -> datetime:
        """When what has no time happened; of another day than this, after all told of it so."""
        now = self.teller.now
        if now == self.teller.clock or self.ledger is None:
            return now
        return after(now, self.ledger.latest(now, now + EVENING))

    def _event(self, told: Told, now: datetime) -> Event:
        if told.fault:
            raise UnreadableError(told.fault)
        values = {name: value for name, value in told.values.items() if value is not None}
        values.setdefault("author", self.teller.author)
        values["at"] = moment(values.get("at"), now).isoformat()
        if _is_correction(values):
            values |= self._target(values)
        values.setdefault("client", _own_word(values))
        self._need(values)
        event = read_event(values)
        event = self._of_composite(event)
        self._look_up(event)
        self._look_up_choice(event)
        basis = self._basis(event.about)
        return replace(event, against=basis.mark) if basis else event

    def _of_composite(self, event: Event) -> Event:
        """A shot is approved, or is not, as its composite is seen: it is told of that."""
        composite = self.teller.outline.shots.get(event.about, "")
        is_ruling = event.what in {What.APPROVED, What.NOT_APPROVED}
        return replace(event, about=composite) if is_ruling and composite else event

    def _basis(self, id_: str) -> Basis | None:
        if id_ in self.teller.resting and id_ not in self.resting:
            self.resting[id_] = self.teller.resting[id_]
        return self.resting.get(id_)

    def _need(self, values: Mapping[str, object]) -> None:
        """Everything that is wanting, and a name that is not there, told in one go."""
        if unsaid := [name for name in ("what", "about") if name not in values]:
            given = ", ".join(name for name in values if name not in _FILLED_IN)
            raise UnreadableError(
                f"no {' and no '.join(unsaid)} is given{given and f', only {given}'}; "
                f"an event is written {EXAMPLE}"
            )
        word = str(values.get("what", "")).strip().lower().replace("-", " ").replace("_", " ")
        about, names = str(values.get("about", "")), self.teller.outline.names
        needed = [name for what, each in NEEDED.items() if what.value == word for name in each]
        wrong = [f"--{name} is wanted" for name in needed if not values.get(name)]
        if wrong and about not in names:
            wrong.append(f"nothing in the show is called {about}{did_you_mean(about, names)}")
        if wrong:
            raise UnreadableError("; ".join(wrong))

    def _look_up(self, event: Event) -> None:
        if event.at > self.teller.now + AHEAD:
            raise UnreadableError(f"at {event.at:%Y-%m-%d %H:%M} has not come yet")
        names = self.teller.outline.names
        if event.about not in names and event.what is not What.CORRECTED:
            raise UnreadableError(
                f"nothing in the show is called {event.about}{did_you_mean(event.about, names)}"
            )
        told = self.teller
        basis = self._basis(event.about)
        cut = basis.facts.get("shot cut", "") if basis else ""
        if fault := misfit(event, told.outline, told.days, told.clock.date(), cut):
            raise UnreadableError(fault)

    def _look_up_choice(self, event: Event) -> None:
        """A decision is settled as one of its options, where any are stated."""
        piece = self.teller.outline.pieces.get(event.about)
        if event.what is not What.SETTLED or piece is None or piece.kind != "decision":
            return
        basis = self.teller.resting.get(event.about)
        options = basis.facts.get("options", "") if basis else ""
        chosen = event.details.values.get("chosen", "")
        if not chosen:
            raise UnreadableError(
                f"--as is wanted, what was chosen{options and f': {options}'}; "
                "in a file, values: {chosen: …}"
            )
        if options and chosen not in options.split(", "):
            raise UnreadableError(f"{chosen} is none of the options of {event.about}: {options}")

    def _target(self, values: Mapping[str, object]) -> dict[str, object]:
        """The event that a correction is about, by how its id begins."""
        beginning = str(values.get("corrects", "")).strip().lower()
        found = self.ledger.begins(beginning) if self.ledger and beginning else ()
        if len(found) != 1:
            which = f"{len(found)} events" if found else "no event"
            has = f"{which} of the ledger {'have' if found else 'has'}"
            raise UnreadableError(f"{has} an id that begins with {beginning!r}")
        self.corrected.append(found[0])
        return {"about": found[0].about, "corrects": found[0].id}

    def _of_takes(self, events: Sequence[Event]) -> tuple[Event, ...]:
        """Approvals name their take: what is approved is the take in use when it was approved."""
        if not any(each.what in _OF_A_TAKE and not each.details.take for each in events):
            return tuple(events)
        done: list[Event] = []
        known = self._known(events)
        kept = {each.client: each.details.take for each in known}
        for each in events:
            take = each.details.take or kept.get(each.client, "")
            if each.what in _OF_A_TAKE and not take:
                new = (e for e in done if e.client not in kept)
                until = [e for e in (*known, *new) if e.about == each.about and e.at <= each.at]
                state = states_of(until).get(each.about)
                take = state.in_use if state else ""
            done.append(replace(each, details=replace(each.details, take=take)))
        return tuple(done)

    def _known(self, events: Iterable[Event]) -> tuple[Event, ...]:
        if self.ledger is None:
            return ()
        names = frozenset(concerned(self.teller.outline, events, self.corrected))
        if names not in self.near:
            self.near[names] = self.ledger.events(names)
        return self.near[names]

    def news(self, events: Sequence[Event]) -> tuple[News, ...]:
        """What the events change, and for whom; what is doubtful is said with its line."""
        known = self._known(events)
        found = news(self.teller.outline, known, events)
        doubted = doubts(self.teller.outline, known, events)
        said: dict[str, list[str]] = {}
        for each in events:
            where = self.places[each.id]
            line = f"{where}: " if where.line else ""
            is_early = early(each, self.teller.days.first, self.teller.clock.date())
            asked = (*doubted.get(each.id, ()), *([is_early] if is_early else []))
            said.setdefault(each.about, []).extend(f"{line}{d}" for d in asked)
        return tuple(replace(n, remarks=(*n.remarks, *said.get(n.about, ()))) for n in found)

    def bases(self, events: Iterable[Event]) -> tuple[Basis, ...]:
        """The facts the events rest on."""
        about = dict.fromkeys(each.about for each in events)
        return tuple(self.resting[id_] for id_ in about if id_ in self.resting)


def moment(told: object, now: datetime) -> datetime:
    """When it happened: ``14:20`` today, ``2027-03-17 14:20`` here, or with a zone; else now.

    Raises:
        UnreadableError: it is none of these.
    """
    if told is None:
        return now
    text = str(told).strip()
    if found := _CLOCK.fullmatch(text):
        text = f"{now:%Y-%m-%d}T{int(found[1]):02}:{found[2]}"
    try:
        read = datetime.fromisoformat(text)
    except ValueError:
        wanted = "14:20, 2027-03-17 14:20 or 2027-03-17T14:20:00+00:00"
        raise UnreadableError(f"at is {text!r:.40}, and a time is wanted: {wanted}") from None
    if fault := out_of_years(read):
        raise UnreadableError(f"at is wrong: {fault}")
    return read if read.tzinfo else read.astimezone()


def _is_correction(values: Mapping[str, object]) -> bool:
    return str(values.get("what", "")).strip().lower() == What.CORRECTED.value


def _own_word(values: Mapping[str, object]) -> str:
    """A client's word for an event in a file without one: the same event, the same word."""
    written = json.dumps(values, sort_keys=True, ensure_ascii=False, default=str)
    return f"told {hashlib.sha256(written.encode('utf-8', 'replace')).hexdigest()[:24]}"
