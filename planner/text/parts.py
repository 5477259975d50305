"""What one file of a show says, read and checked by itself.

Takes the nodes of one file and the schemas, gives a `Part`: values and problems together, so that
a part kept from an earlier reading tells what that reading told. Knows nothing of the other files:
whether names exist, and whether two things share one, is settled where parts are joined.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Generic, NamedTuple, Protocol, TypeVar

from planner.model.facts import Facts
from planner.model.place import Problem, Severity
from planner.model.show import Element, Reference
from planner.text.checked import Checker
from planner.text.facts_reader import FactsReader
from planner.text.plans import Slot, compile_plan

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from planner.model.place import Place
    from planner.model.show import Sequence, Shot
    from planner.text.node import Node

Says = TypeVar("Says")
WORK_DATES = ("not_before", "due", "day")
"""Facts that say when work is to be done; a plate's report may well be older than the show."""


class KindSchemas(Protocol):
    """Where the schemas of element kinds come from."""

    @property
    def names(self) -> tuple[str, ...]:
        """Every kind there is."""
        ...

    def schema(self, name: str, place: Place) -> Mapping[str, object] | Problem:
        """Schema of one kind, or what is wrong with it; `place` is where it was asked for."""
        ...

    def distribution(self, name: str) -> str:
        """Distribution a kind comes from, for messages."""
        ...


class Pending(NamedTuple):
    """An element whose references have still to be looked up in the whole show.

    Attributes:
        element: as read; a bare name that is a piece of its own shot is spelled out already, which
            is what it means in all but odd shows.
        written: the targets of its references as they were written.
        resources: every resource it names, with its place.
        moves: every move it names, with its place.
    """

    element: Element
    written: tuple[str, ...]
    resources: tuple[tuple[str, Place], ...]
    moves: tuple[tuple[str, Place], ...]


class Piece(NamedTuple):
    """One element of a file.

    Attributes:
        pending: the element.
        problems: found in its text.
        is_readable: whether its text could be read whole.
    """

    pending: Pending
    problems: tuple[Problem, ...]
    is_readable: bool


@dataclass(frozen=True, slots=True)
class Pieces:
    """All elements of one file, and what it rests on that they mean what they were read as.

    Where the rest of the show leaves that alone they are taken together, and none is looked at.

    Attributes:
        each: in the order written.
        pending: by id.
        elements: by id, as read.
        unreadable: ids of those whose text holds errors.
        dated: ids of those that state a day of work, in the order written.
        wanted: ids that must be somewhere in the show.
        unwanted: ids that must not, as the same shot's own come before all others.
        resources: names of resources they name.
        moves: names of moves they name.
        is_plain: whether each has an id of its own, and none names itself.
    """

    each: tuple[Piece, ...]
    pending: Mapping[str, Pending]
    elements: Mapping[str, Element]
    unreadable: frozenset[str]
    dated: tuple[str, ...]
    wanted: frozenset[str]
    unwanted: frozenset[str]
    resources: frozenset[str]
    moves: frozenset[str]
    is_plain: bool


def together(each: tuple[Piece, ...]) -> Pieces:
    """Elements of one file as they are taken together. Cost linear in elements and references."""
    pending = {piece.pending.element.id: piece.pending for piece in each}
    elements = {id_: held.element for id_, held in pending.items()}
    bare = [
        (element, word)
        for id_, element in elements.items()
        for reference, word in zip(element.references, pending[id_].written, strict=True)
        if reference.target == word
    ]
    own = ((element.id, f"{element.shot}.{word}") for element, word in bare if element.shot)
    return Pieces(
        each,
        pending,
        elements,
        frozenset([piece.pending.element.id for piece in each if not piece.is_readable]),
        tuple([id_ for id_, held in elements.items() if is_dated(held)]),
        frozenset([word for _element, word in bare]),
        frozenset([name for id_, name in own if name != id_]),
        frozenset([name for held in pending.values() for name, _place in held.resources]),
        frozenset([name for held in pending.values() for name, _place in held.moves]),
        len(pending) == len(each) and all(element.id != word for element, word in bare),
    )


def is_dated(element: Element) -> bool:
    """Whether it states a day of work."""
    return not element.facts.values.keys().isdisjoint(WORK_DATES)


@dataclass(frozen=True, slots=True)
class ShotRead:
    """One shot of a file.

    Attributes:
        shot: as read.
        pieces: its elements, in the order written.
        problems: found in what it states beside them.
        named: (resource, place) it names beside them, as for its camera.
    """

    shot: Shot
    pieces: tuple[Piece, ...]
    problems: tuple[Problem, ...]
    named: tuple[tuple[str, Place], ...]


@dataclass(frozen=True, slots=True)
class SequenceRead:
    """One file of sequences/.

    Attributes:
        sequence: with all of its shots.
        shots: in the order written.
        by_id: the shots.
        pieces: of all its shots.
        problems: found in its shots and their elements, in the order written.
        named: (resource, place) its shots name beside their elements.
    """

    sequence: Sequence
    shots: tuple[ShotRead, ...]
    by_id: Mapping[str, Shot]
    pieces: Pieces
    problems: tuple[Problem, ...]
    named: tuple[tuple[str, Place], ...]


@dataclass(frozen=True, slots=True)
class ShowRead:
    """show.yaml.

    Attributes:
        facts: of it.
        chosen: distribution to take a kind from, by kind; None where the file says nothing of it.
    """

    facts: Facts
    chosen: Mapping[str, str] | None


@dataclass(frozen=True, slots=True)
class Part(Generic[Says]):
    """One file, read.

    Attributes:
        faults: of its YAML.
        says: what it says; None where its YAML cannot be read.
        problems: of its schema and values, but for those of shots and elements.
        named: (resource, place) named outside shots and elements.
    """

    faults: tuple[Problem, ...]
    says: Says | None = None
    problems: tuple[Problem, ...] = ()
    named: tuple[tuple[str, Place], ...] = ()


class Shelf:
    """Parts of one show kept in memory, the latest of each file."""

    def __init__(self) -> None:
        self._held: dict[str, tuple[bytes, Part[Any]]] = {}

    def recall(self, file: str, mark: bytes) -> Part[Any] | None:
        """What was kept of a file under this very mark; None where nothing was."""
        held = self._held.get(file)
        return held[1] if held is not None and held[0] == mark else None

    def keep(self, file: str, mark: bytes, part: Part[Any]) -> None:
        """Keep a part in the place of whatever was kept of the file."""
        self._held[file] = mark, part


class PartReader:
    """Reads the parts of one show; compiled schemas are kept between them.

    Attributes:
        schemas: the file schemas, by ``$id``.
        is_sure: whether every kind asked for could be used since this was last set: what is read
            without the schema of a kind may read otherwise once that is mended.
    """

    def __init__(self, kinds: KindSchemas, schemas: Mapping[str, Mapping[str, Any]]) -> None:
        self.schemas = schemas
        self.is_sure = True
        self._kinds = kinds
        self._readers: dict[str, tuple[Checker, Mapping[str, Slot]]] = {}
        self._checkers: dict[str, Checker] = {}
        self._plans: dict[str, Mapping[str, Slot]] = {}

    def plan(self, name: str) -> Mapping[str, Slot]:
        """Plan of a file schema."""
        if name not in self._plans:
            self._plans[name] = compile_plan(self.schemas[name], self.schemas)
        return self._plans[name]

    def check(self, name: str, node: Node) -> tuple[Problem, ...]:
        """Check a file against its schema; what can be read is read all the same."""
        if name not in self._checkers:
            self._checkers[name] = Checker(self.schemas[name], self.schemas)
        return self._checkers[name].check(node)

    def piece(
        self,
        name: str,
        node: Node,
        shot: str = "",
        default_kind: str = "",
        own: Collection[str] = (),
    ) -> Piece:
        """Read one element.

        Args:
            name: of the element in its shot or file.
            node: what is written of it.
            shot: id of its shot; empty outside shots.
            default_kind: its kind where it names none.
            own: names of all elements of its shot.
        """
        id_ = f"{shot}.{name}" if shot else name
        kind = default_kind
        if isinstance(node.value, dict) and "kind" in node.value:
            kind = str(node.value["kind"])
        problems: tuple[Problem, ...] = ()
        ready = self._readers.get(kind) or self._made_ready(kind, node)
        if isinstance(ready, Problem):
            problems, ready = (ready,), None
        reader = FactsReader()
        if ready is None:
            facts = Facts(node.place)
        else:
            checker, plan = ready
            if faults := checker.check(node):
                reader = FactsReader(faults)
                reader.problems += faults
            facts = reader.facts(node, plan)
        if reader.problems:
            problems += tuple([replace(each, about=id_) for each in reader.problems])
        written = tuple([word for _role, word, _place, _waits in reader.references])
        meant = [f"{shot}.{word}" if word in own and word != name else word for word in written]
        references = tuple(
            [
                Reference(role, target, place, waits)
                for (role, _word, place, waits), target in zip(
                    reader.references, meant, strict=True
                )
            ]
        )
        element = Element(id_, kind, shot, facts, references, facts.place)
        pending = Pending(element, written, tuple(reader.resources), tuple(reader.moves))
        return Piece(pending, problems, ready is not None and not reader.problems)

    def _made_ready(
        self, kind: str, node: Node
    ) -> tuple[Checker, Mapping[str, Slot]] | Problem | None:
        """Checker and plan of a kind; what is wrong with it, where it is named; None for no kind.

        The place is worked out for what is wrong alone: few of ten thousand shots ever want it.
        """
        if not kind:
            return None
        place = (node.get("kind") or node).place
        schema = self._kinds.schema(kind, place)
        if isinstance(schema, Problem):
            self.is_sure = False
            return schema
        try:
            whole = element_schema(schema, self.schemas["element.json"])
            checker = Checker(whole, self.schemas)
            self._readers[kind] = checker, compile_plan(whole, self.schemas)
        except (ValueError, LookupError, TypeError, AttributeError) as error:
            self.is_sure = False
            return self._refused(kind, place, error)
        return self._readers[kind]

    def _refused(self, kind: str, place: Place, error: Exception) -> Problem:
        """What is wrong with a kind whose schema is none: its author's mistake, not the show's."""
        why = str(error).partition("\n")[0]
        says = (
            f"the kind {kind} of {self._kinds.distribution(kind)} gave a schema that cannot be"
            f" used: {why}"
        )
        return Problem(Severity.ERROR, place, "kind-broken", says, "ask its author")


def element_schema(kind: Mapping[str, Any], shared: Mapping[str, Any]) -> Mapping[str, Any]:
    """A kind's schema with what every element may state added; unknown keys are refused."""
    own = kind.get("properties", {})
    # Its own stand first, so that whoever asks what is known here is told of them.
    properties = {**own, **shared["properties"], **own}
    return {**kind, "properties": properties, "additionalProperties": False}
