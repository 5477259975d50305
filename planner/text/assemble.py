"""Located documents to a show.

Takes the parsed files of one show and the schemas of its kinds, gives a `Show` and every problem
found. An element that could not be read whole is kept, so that references to it hold, and is named
in `Show.unreadable`. Knows nothing of the disk.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, time
from decimal import Decimal
from difflib import get_close_matches
from types import MappingProxyType
from typing import TYPE_CHECKING, Protocol

from planner.model.facts import DateRange, Facts
from planner.model.place import Place, Problem, Severity
from planner.model.show import (
    Delivery,
    Element,
    Loads,
    Move,
    Rate,
    Reference,
    Resource,
    Sequence,
    Shot,
    Show,
    WorkCalendar,
)
from planner.text.checked import Checker
from planner.text.facts_reader import FactsReader
from planner.text.plans import Slot, compile_plan

if TYPE_CHECKING:
    from planner.text.located import Node

# A section of builds.yaml says the kind of what it holds, unless the thing itself does.
SECTION_KINDS = {
    "builds": "build",
    "tests": "test",
    "permits": "permit",
    "sets": "standing_set",
    "decisions": "decision",
}
RESOURCE_SORTS = {
    "stages": "stage",
    "rigs": "rig",
    "cameras": "camera",
    "lenses": "lens",
    "screens": "screen",
    "crews": "crew",
    "people": "person",
}
_WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


class KindSchemas(Protocol):
    """Where the schemas of element kinds come from."""

    @property
    def names(self) -> tuple[str, ...]:
        """Every kind there is."""
        ...

    def schema(self, name: str, place: Place) -> Mapping[str, object] | Problem:
        """Schema of one kind, or what is wrong with it; `place` is where it was asked for."""
        ...


@dataclass(frozen=True, slots=True)
class Documents:
    """The files of one show, parsed.

    Attributes:
        folder: as the user typed it.
        show: show.yaml.
        resources: resources.yaml; None where there is none.
        builds: builds.yaml; None where there is none.
        rates: rates.yaml; None where there is none.
        sequences: sequences/*.yaml, in the order of their names.
        moves: moves/*.csv, read.
    """

    folder: str
    show: Node
    resources: Node | None
    builds: Node | None
    rates: Node | None
    sequences: tuple[Node, ...]
    moves: Mapping[str, Move]


@dataclass(slots=True)
class _Pending:
    """An element whose references are still as written."""

    element: Element
    node: Node
    resources: tuple[tuple[str, Place], ...]
    moves: tuple[tuple[str, Place], ...]


@dataclass(slots=True)
class _Assembly:
    """What gathers while one show is put together."""

    kinds: KindSchemas
    schemas: Mapping[str, Mapping[str, object]]
    problems: list[Problem] = field(default_factory=list)
    pending: dict[str, _Pending] = field(default_factory=dict)
    unreadable: set[str] = field(default_factory=set)
    _kinds_ready: dict[str, tuple[Checker, Mapping[str, Slot]] | None] = field(default_factory=dict)
    _plans: dict[str, Mapping[str, Slot]] = field(default_factory=dict)

    def plan(self, name: str) -> Mapping[str, Slot]:
        if name not in self._plans:
            self._plans[name] = compile_plan(self.schemas[name], self.schemas)
        return self._plans[name]

    def check(self, name: str, node: Node) -> bool:
        """Check a file against its schema; whether it holds."""
        faults = Checker(dict(self.schemas[name]), self.schemas).check(node)
        self.problems += faults
        return not faults

    def read(self, node: Node, plan: Mapping[str, Slot]) -> Facts:
        reader = FactsReader()
        facts = reader.facts(node, plan)
        self.problems += reader.problems
        return facts

    def error(self, code: str, place: Place, message: str, remedy: str = "") -> None:
        self.problems.append(Problem(Severity.ERROR, place, code, message, remedy))

    # Elements -------------------------------------------------------------------------------

    def add_element(self, name: str, node: Node, shot: str, default_kind: str) -> str:
        """Read one element; its id, under which it can be referred to even when unreadable."""
        id_ = f"{shot}.{name}" if shot else name
        kind_node = node.get("kind") if isinstance(node.value, dict) else None
        kind = str(kind_node.value) if kind_node is not None else default_kind
        if id_ in self.pending:
            self.error("name-used-twice", node.place, f"{id_} is already the name of another thing")
            return id_
        ready = self._kind(kind, kind_node.place if kind_node is not None else node.place)
        reader = FactsReader()
        facts = Facts(node.place)
        if ready is not None:
            checker, plan = ready
            reader.problems += checker.check(node)
            if isinstance(node.value, dict):
                facts = reader.facts(node, plan)
        if ready is None or reader.problems:
            self.unreadable.add(id_)
        self.problems += (_about(each, id_) for each in reader.problems)
        element = Element(id_, kind, shot, facts, tuple(reader.references), node.place)
        self.pending[id_] = _Pending(element, node, tuple(reader.resources), tuple(reader.moves))
        return id_

    def _kind(self, name: str, place: Place) -> tuple[Checker, Mapping[str, Slot]] | None:
        if name not in self._kinds_ready:
            schema = self.kinds.schema(name, place)
            if isinstance(schema, Problem):
                self.problems.append(schema)
                self._kinds_ready[name] = None
            else:
                whole = element_schema(schema, self.schemas["element.json"])
                checker = Checker(dict(whole), self.schemas)
                self._kinds_ready[name] = checker, compile_plan(whole, self.schemas)
        elif self._kinds_ready[name] is None:
            known = self.kinds.schema(name, place)
            if isinstance(known, Problem):
                self.problems.append(known)
        return self._kinds_ready[name]


def element_schema(
    kind: Mapping[str, object], shared: Mapping[str, object]
) -> Mapping[str, object]:
    """A kind's schema with what every element may state added; unknown keys are refused."""
    own = kind.get("properties", {})
    common = shared["properties"]
    if not isinstance(own, Mapping) or not isinstance(common, Mapping):
        raise TypeError("a kind's schema must be an object with properties")
    return {**kind, "properties": {**common, **own}, "additionalProperties": False}


def assemble(
    documents: Documents, kinds: KindSchemas, schemas: Mapping[str, Mapping[str, object]]
) -> tuple[Show | None, tuple[Problem, ...]]:
    """Put a show together.

    Args:
        documents: its parsed files.
        kinds: schemas of element kinds.
        schemas: the file schemas, by ``$id``.

    Returns:
        The show, None where show.yaml itself cannot be read; and every problem found. Cost is
        linear in the size of the files.
    """
    work = _Assembly(kinds, schemas)
    if not work.check("show.json", documents.show):
        return None, tuple(work.problems)
    facts = work.read(documents.show, work.plan("show.json"))
    starts = facts.day("starts")
    if starts is None:
        return None, tuple(work.problems)
    _read_builds(work, documents.builds)
    sequences, shots = _read_sequences(work, documents.sequences)
    resources = _read_resources(work, documents.resources)
    show = Show(
        folder=documents.folder,
        title=facts.word("show"),
        currency=facts.word("currency"),
        calendar=_calendar(facts, starts),
        sequences=MappingProxyType(sequences),
        shots=MappingProxyType(shots),
        elements=MappingProxyType(_resolve(work, resources, documents.moves)),
        resources=MappingProxyType(resources),
        rates=MappingProxyType(_read_rates(work, documents.rates, facts.word("currency"))),
        moves=documents.moves,
        deliveries=_deliveries(work, facts, sequences, shots),
        loads=_loads(facts),
        facts=facts,
        unreadable=frozenset(work.unreadable),
    )
    work.problems += _dates_before_start(show)
    return show, tuple(work.problems)


# Sections -----------------------------------------------------------------------------------


def _read_builds(work: _Assembly, node: Node | None) -> None:
    if node is None or not work.check("builds.json", node):
        return
    for section, _place, things in node.items():
        for name, _key_place, thing in things.items():
            work.add_element(name, thing, "", SECTION_KINDS[section])


def _read_sequences(
    work: _Assembly, nodes: tuple[Node, ...]
) -> tuple[dict[str, Sequence], dict[str, Shot]]:
    sequences: dict[str, Sequence] = {}
    shots: dict[str, Shot] = {}
    plan = work.plan("sequence.json")
    shot_slot = plan["shots"].inner
    shot_plan = dict(shot_slot.plan or {}) if shot_slot else {}
    shot_plan.pop("elements", None)
    own_plan = {name: slot for name, slot in plan.items() if name != "shots"}
    for node in nodes:
        if not work.check("sequence.json", node):
            continue
        facts = work.read(node, own_plan)
        id_ = facts.word("sequence")
        if id_ in sequences:
            place = facts.place_of("sequence")
            work.error("name-used-twice", place, f"{id_} is already the name of a sequence")
            continue
        mine = _read_shots(work, node, id_, shot_plan, shots)
        sequences[id_] = Sequence(id_, facts.word("title"), mine, facts, node.place)
    return sequences, shots


def _read_shots(
    work: _Assembly,
    node: Node,
    sequence: str,
    plan: Mapping[str, Slot],
    shots: dict[str, Shot],
) -> tuple[str, ...]:
    listed = node.get("shots")
    mine = []
    for shot, key_place, child in listed.items() if listed is not None else ():
        if shot in shots:
            work.error("name-used-twice", key_place, f"{shot} is already the number of a shot")
            continue
        facts = work.read(child, plan)
        pieces = child.get("elements")
        elements = tuple(
            work.add_element(name, each, shot, "")
            for name, _place, each in (pieces.items() if pieces is not None else ())
        )
        shots[shot] = Shot(
            shot,
            sequence,
            facts.word("says"),
            facts.frames("cut"),
            facts.word("state", "live"),
            facts,
            elements,
            key_place,
        )
        mine.append(shot)
    return tuple(mine)


def _read_resources(work: _Assembly, node: Node | None) -> dict[str, Resource]:
    resources: dict[str, Resource] = {}
    if node is None or not work.check("resources.json", node):
        return resources
    plan = work.plan("resources.json")
    for section, _place, things in node.items():
        inner = plan[section].inner
        for name, key_place, thing in things.items():
            if name in resources:
                work.error(
                    "name-used-twice", key_place, f"{name} is already the name of a resource"
                )
                continue
            facts = work.read(thing, (inner.plan if inner else None) or {})
            resources[name] = Resource(
                name,
                RESOURCE_SORTS[section],
                facts.word("title", name.replace("_", " ")),
                int(facts.amount("heads", 1)),
                facts.word("craft"),
                facts.ranges("away"),
                facts,
                key_place,
            )
    return resources


def _read_rates(work: _Assembly, node: Node | None, currency: str) -> dict[str, Rate]:
    rates: dict[str, Rate] = {}
    if node is None or not work.check("rates.json", node):
        return rates
    facts = work.read(node, work.plan("rates.json"))
    for name, each in facts.named("rates").items():
        amounts = []
        for entry in each.groups("amounts"):
            since, money = entry.day("from"), entry.money("is")
            if since is None or money is None:
                continue
            if money.currency != currency:
                work.error(
                    "currency-differs",
                    entry.place_of("is"),
                    f"{money} is not in {currency}, the show's currency",
                    f"write the sum in {currency}",
                )
            amounts.append((since, money))
        amounts.sort(key=lambda pair: pair[0])
        rates[name] = Rate(name, each.word("per"), tuple(amounts), each.word("account"), each.place)
    return rates


# show.yaml ----------------------------------------------------------------------------------


def _calendar(facts: Facts, starts: date) -> WorkCalendar:
    calendar = facts.group("calendar")
    return WorkCalendar(
        starts,
        frozenset(_WEEK.index(day) for day in calendar.words("week")),
        calendar.ranges("holidays"),
        calendar.clock("day_starts") or time(8),
        calendar.amount("day_hours", 8.0),
    )


def _loads(facts: Facts) -> Loads:
    shares = facts.group("contingency")
    ordinary = _share(shares, "ordinary", "0")
    return Loads(
        _share(facts, "overhead", "0"),
        MappingProxyType(
            {
                "ordinary": ordinary,
                "untried": _share(shares, "untried", str(ordinary)),
                "fire": _share(shares, "fire", str(ordinary)),
            }
        ),
        facts.flag("contingency_carries_overhead"),
    )


def _share(facts: Facts, name: str, default: str) -> Decimal:
    """A share as written, to a hundredth of a per cent, so that no binary fraction reaches money."""
    stated = facts.number(name)
    return Decimal(default) if stated is None else round(Decimal(stated.value), 6).normalize()


def _deliveries(
    work: _Assembly,
    facts: Facts,
    sequences: Mapping[str, Sequence],
    shots: Mapping[str, Shot],
) -> tuple[Delivery, ...]:
    deliveries = []
    for name, each in facts.named("deliveries").items():
        wanted: list[str] = []
        for word in each.words("of"):
            if word in sequences:
                wanted += sequences[word].shots
            elif word in shots:
                wanted.append(word)
            else:
                hint = _nearest(word, (*sequences, *shots))
                message = f"{word} is neither a sequence nor a shot"
                work.error("reference-to-nothing", each.place_of("of"), message, hint)
        day = each.day("date")
        if day is not None:
            deliveries.append(
                Delivery(name, day, tuple(wanted), each.amount("weight", 1.0), each.place)
            )
    return tuple(deliveries)


def _dates_before_start(show: Show) -> list[Problem]:
    starts = show.calendar.starts
    found = []
    for element in show.elements.values():
        for name, value in element.facts.values.items():
            day = value.first if isinstance(value, DateRange) else value
            if isinstance(day, date) and day < starts and name in {"not_before", "due", "day"}:
                message = f"{name}: {day} is before the show starts ({starts})"
                remedy = "give a later date, or start the show earlier in show.yaml"
                place = element.facts.place_of(name)
                found.append(
                    Problem(Severity.ERROR, place, "date-before-start", message, remedy, element.id)
                )
    for delivery in show.deliveries:
        if delivery.day < starts:
            message = (
                f"delivery {delivery.id} is due {delivery.day}, before the show starts ({starts})"
            )
            found.append(Problem(Severity.ERROR, delivery.place, "date-before-start", message))
    return found


# References ---------------------------------------------------------------------------------


def _resolve(
    work: _Assembly, resources: Mapping[str, Resource], moves: Mapping[str, Move]
) -> dict[str, Element]:
    """Elements with every reference spelled out as an id that exists."""
    elements: dict[str, Element] = {}
    for id_, pending in work.pending.items():
        element = pending.element
        references = []
        for each in element.references:
            target = _target(each.target, element.shot, work.pending)
            if target and target != id_:
                references.append(Reference(each.role, target, each.place, each.waits))
                continue
            work.unreadable.add(id_)
            _tell_lost_reference(work, element, each, target)
        for sort, known, named in (
            ("resource", resources, pending.resources),
            ("move", moves, pending.moves),
        ):
            for name, place in named:
                if name not in known:
                    work.unreadable.add(id_)
                    where = "resources.yaml lists" if sort == "resource" else "moves/ holds"
                    problem = Problem(
                        Severity.ERROR,
                        place,
                        f"{sort}-unknown",
                        f"{where} no {name}",
                        _nearest(name, tuple(known)),
                        id_,
                    )
                    work.problems.append(problem)
        elements[id_] = Element(
            id_, element.kind, element.shot, element.facts, tuple(references), element.place
        )
    return elements


def _target(written: str, shot: str, known: Mapping[str, _Pending]) -> str:
    """The id a reference means: a piece of the same shot first, then anything by its full id."""
    own = f"{shot}.{written}"
    if shot and own in known:
        return own
    return written if written in known else ""


def _tell_lost_reference(
    work: _Assembly, element: Element, reference: Reference, target: str
) -> None:
    role = reference.role.replace("_", " ")
    if target:
        message, hint = f"{role}: {reference.target} is the thing itself", "name another"
    else:
        message = f"{role}: nothing is called {reference.target}"
        near = [id_.removeprefix(f"{element.shot}.") for id_ in work.pending]
        hint = _nearest(reference.target, tuple(near))
    code = "reference-to-nothing"
    work.problems.append(Problem(Severity.ERROR, reference.place, code, message, hint, element.id))


def _nearest(word: str, known: tuple[str, ...]) -> str:
    near = get_close_matches(word, known, n=1, cutoff=0.6)
    return f"did you mean {near[0]}?" if near else ""


def _about(problem: Problem, element: str) -> Problem:
    return Problem(
        problem.severity, problem.place, problem.code, problem.message, problem.remedy, element
    )
