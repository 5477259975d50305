"""Located values to facts.

Takes a node of a checked file and the plan of its schema, gives `Facts` and `Reference`s; what
cannot be read becomes a problem at its own place and is left out. Knows nothing of whole shows.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Any, ClassVar

from planner.model.facts import DateRange, Facts, FrameRange, Missing, Money, Value
from planner.model.place import Place, Problem, Severity
from planner.model.quantity import Quantity, Standing
from planner.text import measures
from planner.text.measures import Measure, read_measure

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping

    from planner.text.node import Node
    from planner.text.plans import Slot

UNKNOWN = "?"
REFUSED_VALUE = "value-"
"""How the codes of faults begin that a schema finds in a value, and not in what is around it."""
_STANDINGS = {str(each): each for each in Standing}
_MISSING = Missing()


class FactsReader:
    """Reads facts of one file or element; problems and references gather on it.

    A value that its schema has refused already is told once: what is no name is not looked up, and
    what is no number is not told as that too.

    Attributes:
        problems: what could not be read.
        references: (role, target as written, place, waits) of every reference.
        resources: (name, place) of every resource named.
        moves: (name, place) of every move named.
    """

    __slots__ = ("_refused", "moves", "problems", "references", "resources")

    def __init__(self, faults: Iterable[Problem] = ()) -> None:
        """Begin to read what a schema found these faults in."""
        self._refused = frozenset(
            [each.place for each in faults if each.code.startswith(REFUSED_VALUE)]
        )
        self.problems: list[Problem] = []
        self.references: list[tuple[str, str, Place, bool]] = []
        self.resources: list[tuple[str, Place]] = []
        self.moves: list[tuple[str, Place]] = []

    def facts(self, node: Node, plan: Mapping[str, Slot]) -> Facts:
        """Facts of one thing; properties its schema does not know are left out."""
        values: dict[str, Value] = {}
        for name, child in node.children():
            slot = plan.get(name)
            if slot is None:
                continue
            value = self._value(name, child, slot)
            if value is not None:
                values[name] = value
        return Facts(node.place, MappingProxyType(values), node.value_places())

    def _value(self, name: str, node: Node, slot: Slot) -> Value | None:
        written = node.value
        sort = slot.sort
        if written is None or (written == UNKNOWN and sort not in {"reference", "references"}):
            return _MISSING
        read = self._read_as.get(sort)
        return read(self, name, node, slot) if read else self._measured(name, node, slot)

    def _refer(self, role: str, node: Node, slot: Slot) -> None:
        for each in node if isinstance(node.value, list) else (node,):
            if isinstance(each.value, str):
                self.references.append((role, each.value, each.place, slot.waits))

    def _resource(self, _name: str, node: Node, _slot: Slot) -> Value:
        if isinstance(node.value, str):
            self.resources.append((node.value, node.place))
        if not isinstance(node.value, list):
            return str(node.value)
        named = [(each.value, each.place) for each in node if isinstance(each.value, str)]
        self.resources += named
        return tuple([name for name, _place in named])

    def _nested(self, name: str, node: Node, slot: Slot) -> Value | None:
        if isinstance(node.value, list):
            inner = slot.inner
            read = [self._value(name, each, inner) for each in node] if inner else []
            return tuple([each for each in read if each is not None])
        if not isinstance(node.value, dict):
            return None
        if slot.plan is not None:
            return self.facts(node, slot.plan)
        if slot.inner is not None:
            return self.facts(node, dict.fromkeys(node.value, slot.inner))
        return None

    def _word(self, _name: str, node: Node, _slot: Slot) -> str | None:
        return None if node.place in self._refused else str(node.value)

    def _flag(self, _name: str, node: Node, _slot: Slot) -> bool | None:
        return node.value if isinstance(node.value, bool) else None

    def _move(self, _name: str, node: Node, _slot: Slot) -> str:
        if isinstance(node.value, str):
            self.moves.append((node.value, node.place))
        return str(node.value)

    def _measured(self, name: str, node: Node, slot: Slot) -> Value | None:
        """Whatever has a spelling of its own: frames, days, sums and every number with a unit."""
        simple = _SIMPLE.get(slot.sort)
        if simple is None:
            return self._quantity(name, node, slot.sort)
        value: Value | None = self._or_tell(name, node, simple(node.value))
        return value

    def _quantity(self, name: str, node: Node, sort: str) -> Quantity | Missing | None:
        """A number, bare or with its standing; or who is to find the one that nobody knows yet."""
        written = node.value
        words = name.replace("_", " ")
        if not isinstance(written, dict):
            read = self._or_tell(name, node, _number(written, sort))
            if read is None:
                return None
            given = Standing.GIVEN
            return Quantity(words, read.value, read.unit, given, None, node.place, node.written)
        inner, by = node.get("is"), str(written.get("by") or "")
        if inner is None or inner.value is None or inner.value == UNKNOWN:
            return Missing("" if by == UNKNOWN else by)
        read = self._or_tell(name, inner, _number(inner.value, sort))
        if read is None:
            return None
        return Quantity(
            words,
            read.value,
            read.unit,
            _STANDINGS.get(str(written.get("standing", "given")), Standing.GIVEN),
            spread=self._spread(name, node.get("spread"), sort),
            place=inner.place,
            text=inner.written,
            reason=by,
        )

    def _spread(self, name: str, node: Node | None, sort: str) -> float | None:
        if node is None:
            return None
        read: Measure | None = self._or_tell(name, node, _number(node.value, sort))
        return None if read is None else read.value

    def _or_tell(self, name: str, node: Node, read: Any) -> Any:
        """`read` where it is a value; where it is the sentence of a fault, the problem is told."""
        if not isinstance(read, str):
            return read
        if node.place in self._refused:
            return None
        message = f"{name}: {read}"
        self.problems.append(Problem(Severity.ERROR, node.place, "value-unreadable", message))
        return None

    _read_as: ClassVar[Mapping[str, Callable[[FactsReader, str, Node, Slot], Value | None]]] = {
        **dict.fromkeys(("reference", "references"), _refer),
        **dict.fromkeys(("resource", "resources"), _resource),
        **dict.fromkeys(("group", "named", "list"), _nested),
        "word": _word,
        "flag": _flag,
        "move": _move,
    }


def _number(written: Any, sort: str) -> Measure | str:
    if sort == "scale":
        scale = measures.read_scale(written)
        return scale if isinstance(scale, str) else Measure(scale, "1:N")
    if sort not in _EITHER:
        return read_measure(written, sort)
    tried = [read_measure(written, dimension) for dimension in _EITHER[sort]]
    return next((each for each in tried if not isinstance(each, str)), tried[0])


# Axes of a rig travel or turn; the unit written says which.
_EITHER: Mapping[str, tuple[str, ...]] = {
    "axis_speed": ("speed", "angular_speed"),
    "axis_acceleration": ("acceleration", "angular_acceleration"),
    "axis_jerk": ("jerk", "angular_jerk"),
    "axis_step": ("length", "angle"),
}


def _frames(written: Any) -> FrameRange | str:
    read = measures.read_frames(written)
    return read if isinstance(read, str) else FrameRange(*read)


def _money(written: Any) -> Money | str:
    read = measures.read_money(written)
    return read if isinstance(read, str) else Money(*read)


def _days(written: Any) -> DateRange | str:
    read = measures.read_date_range(written)
    return read if isinstance(read, str) else DateRange(*read)


_SIMPLE: Mapping[str, Callable[[Any], Any]] = {
    "frames": _frames,
    "money": _money,
    "date": measures.read_date,
    "date_range": _days,
    "clock": measures.read_clock,
}


def entries(node: Node | None) -> Iterator[tuple[str, Place, Node]]:
    """(key, its place, value) of a map; nothing where there is no map."""
    if node is not None and isinstance(node.value, dict):
        yield from node.items()
