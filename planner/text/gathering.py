"""What gathers while a show is put together: elements by id, and every problem found.

Takes nodes of one thing at a time, gives facts and elements read by the schema of their kind. Knows
nothing of which file a thing came from.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Protocol

from planner.model.facts import Facts
from planner.model.place import Place, Problem, Severity
from planner.model.show import Element
from planner.text.checked import Checker
from planner.text.facts_reader import FactsReader
from planner.text.plans import Slot, compile_plan

if TYPE_CHECKING:
    from collections.abc import Mapping

    from planner.text.located import Node


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
class Pending:
    """An element whose references are still as written.

    Attributes:
        element: as read.
        resources: every resource it names, with its place.
        moves: every move it names, with its place.
    """

    element: Element
    resources: tuple[tuple[str, Place], ...]
    moves: tuple[tuple[str, Place], ...]


@dataclass(slots=True)
class Gathering:
    """One show in the making; local to one call of `assemble`.

    Attributes:
        kinds: where the schemas of kinds come from.
        schemas: the file schemas, by ``$id``.
        problems: found so far.
        pending: elements by id, in the order met.
        unreadable: ids of elements whose text holds errors.
        named: (resource, place) named outside elements, as by a shot's camera.
    """

    kinds: KindSchemas
    schemas: Mapping[str, Mapping[str, Any]]
    problems: list[Problem] = field(default_factory=list)
    pending: dict[str, Pending] = field(default_factory=dict)
    unreadable: set[str] = field(default_factory=set)
    named: list[tuple[str, Place]] = field(default_factory=list)
    _readers: dict[str, tuple[Checker, Mapping[str, Slot]] | None] = field(default_factory=dict)
    _checkers: dict[str, Checker] = field(default_factory=dict)
    _plans: dict[str, Mapping[str, Slot]] = field(default_factory=dict)

    def plan(self, name: str) -> Mapping[str, Slot]:
        """Plan of a file schema."""
        if name not in self._plans:
            self._plans[name] = compile_plan(self.schemas[name], self.schemas)
        return self._plans[name]

    def check(self, name: str, node: Node) -> None:
        """Check a file against its schema; what can be read is read all the same."""
        if name not in self._checkers:
            self._checkers[name] = Checker(self.schemas[name], self.schemas)
        self.problems += self._checkers[name].check(node)

    def read(self, node: Node, plan: Mapping[str, Slot]) -> Facts:
        """Facts of one thing."""
        reader = FactsReader()
        facts = reader.facts(node, plan)
        self.problems += reader.problems
        self.named += reader.resources
        return facts

    def error(self, code: str, place: Place, message: str, remedy: str = "") -> None:
        """Remember an error."""
        self.problems.append(Problem(Severity.ERROR, place, code, message, remedy))

    def add_element(self, name: str, node: Node, shot: str, default_kind: str) -> str:
        """Read one element; its id, under which it can be named even when unreadable."""
        id_ = f"{shot}.{name}" if shot else name
        if id_ in self.pending:
            self.error("name-used-twice", node.place, f"{id_} is already the name of another thing")
            return id_
        kind_node = node.get("kind") if isinstance(node.value, dict) else None
        kind = str(kind_node.value) if kind_node is not None else default_kind
        ready = self._reader(kind, kind_node.place if kind_node is not None else node.place)
        reader = FactsReader()
        facts = Facts(node.place)
        if ready is not None:
            checker, plan = ready
            reader.problems += checker.check(node)
            facts = reader.facts(node, plan)
        if ready is None or reader.problems:
            self.unreadable.add(id_)
        self.problems += (replace(each, about=id_) for each in reader.problems)
        element = Element(id_, kind, shot, facts, tuple(reader.references), node.place)
        self.pending[id_] = Pending(element, tuple(reader.resources), tuple(reader.moves))
        return id_

    def _reader(self, kind: str, place: Place) -> tuple[Checker, Mapping[str, Slot]] | None:
        """Checker and plan of a kind; None, with the problem told at `place`, where it has none."""
        if self._readers.get(kind) is None and kind:
            schema = self.kinds.schema(kind, place)
            if isinstance(schema, Problem):
                self.problems.append(schema)
                self._readers[kind] = None
            else:
                whole = element_schema(schema, self.schemas["element.json"])
                self._readers[kind] = (
                    Checker(whole, self.schemas),
                    compile_plan(whole, self.schemas),
                )
        return self._readers.get(kind)


def element_schema(kind: Mapping[str, Any], shared: Mapping[str, Any]) -> Mapping[str, Any]:
    """A kind's schema with what every element may state added; unknown keys are refused."""
    properties = {**shared["properties"], **kind.get("properties", {})}
    return {**kind, "properties": properties, "additionalProperties": False}
