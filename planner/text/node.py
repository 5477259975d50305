"""A value of a file, of which every key and value knows where it was written.

Takes plain values and where each began, gives `Node`. Knows nothing of how the file was read.
"""

from __future__ import annotations

import re
from array import array
from bisect import bisect_right
from collections.abc import Mapping
from itertools import accumulate
from typing import TYPE_CHECKING, Any, TypeAlias

from planner.model.place import Place

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

Value: TypeAlias = "dict[str, Value] | list[Value] | str | int | float | bool | None"

COLUMN_BITS = 24
"""Of a position are its column; more than a line of the longest file has."""
_COLUMN = (1 << COLUMN_BITS) - 1
_LINE_BREAK = re.compile(r"\r\n?|\n")


class Source:
    """One file's text with the positions of its keys and values, shared by all its nodes.

    A position is a line and a column in one number, so that adding to it goes along the line.

    Attributes:
        file: its name, for the places.
        text: of it.
        positions: of each key and each value, in the order written.
        sizes: how many of these the value at the same index spans, itself included.
        spelled: how a value that is neither text nor a mapping nor a list was written, by index.
    """

    __slots__ = ("_line_starts", "file", "positions", "sizes", "spelled", "text")

    def __init__(self, file: str, text: str) -> None:
        self.file = file
        self.text = text
        self.positions = array("Q")
        self.sizes = array("I")
        self.spelled: Mapping[int, str] = {}
        self._line_starts: array[int] | None = None

    def keep(
        self,
        positions: Iterable[int],
        spans: Iterable[tuple[int, int]],
        spelled: Mapping[int, str],
    ) -> None:
        """Take over where everything stands, with (index, size) of mappings and lists."""
        self.positions = array("Q", positions)
        self.sizes = array("I", [1]) * len(self.positions)
        for index, size in spans:
            self.sizes[index] = size
        self.spelled = spelled

    def positions_of(self, offsets: Iterable[int]) -> Iterator[int]:
        """Of characters of the text, quickest in their order; one past the end is allowed."""
        starts = self._line_starts
        if starts is None:
            starts = self._line_starts = array("I", _line_starts(self.text))
        begin = end = lead = 0
        for offset in offsets:
            if not begin <= offset < end:
                line = bisect_right(starts, offset)
                begin = starts[line - 1]
                end = starts[line] if line < len(starts) else len(self.text) + 1
                lead = (line << COLUMN_BITS) + 1 - begin
            yield lead + offset

    def place_of(self, offset: int) -> Place:
        """Where a character of the text stands, for people."""
        return self.place(next(self.positions_of((offset,))))

    def place(self, position: int) -> Place:
        """A position for people."""
        return Place(self.file, position >> COLUMN_BITS, position & _COLUMN)


def _line_starts(text: str) -> Iterable[int]:
    if "\r" in text:
        return (0, *(found.end() for found in _LINE_BREAK.finditer(text)))
    # Without a loop in Python; one more line begins past the end, where nothing stands.
    return accumulate(map((1).__add__, map(len, text.split("\n"))), initial=0)


class Node:
    """A value of the file and where it stands; a light cursor, made when asked for.

    Walking a whole tree with `items` and iteration is linear in its size. Asking a scalar for its
    items, or a list for a key, finds nothing rather than failing: files are checked elsewhere.

    Attributes:
        value: plain dict, list, str, int, float, bool or None; do not change it.
    """

    __slots__ = ("_children", "_index", "_source", "value")

    def __init__(self, value: Value, source: Source, index: int = 0) -> None:
        self.value = value
        self._source = source
        self._index = index
        self._children: dict[str, int] | None = None

    def __repr__(self) -> str:
        return f"<{self.place} {self.value!r:.40}>"

    @property
    def place(self) -> Place:
        """Where the value begins; for a mapping in block form, its first key."""
        position = self._source.positions[self._index]
        return Place(self._source.file, position >> COLUMN_BITS, position & _COLUMN)

    @property
    def written(self) -> str:
        """A scalar as it was written (`010` for the number ten); empty for mappings and lists."""
        if isinstance(self.value, str):
            return self.value
        return self._source.spelled.get(self._index, "")

    def items(self) -> Iterator[tuple[str, Place, Node]]:
        """Each key of a mapping, the key's place, and its value."""
        if isinstance(self.value, dict):
            source = self._source
            index = self._index + 1
            for key, value in self.value.items():
                yield key, source.place(source.positions[index]), Node(value, source, index + 1)
                index += 1 + source.sizes[index + 1]

    def children(self) -> Iterator[tuple[str, Node]]:
        """Each key of a mapping and its value, for readers who want no place of the key."""
        if isinstance(self.value, dict):
            source, sizes = self._source, self._source.sizes
            index = self._index + 2
            for key, value in self.value.items():
                yield key, Node(value, source, index)
                index += 1 + sizes[index]

    def value_places(self) -> Mapping[str, Place]:
        """Where the value of each key stands; worked out when the first is looked up."""
        return _Places(self)

    def __iter__(self) -> Iterator[Node]:
        """Each entry of a list."""
        if isinstance(self.value, list):
            index = self._index + 1
            for value in self.value:
                yield Node(value, self._source, index)
                index += self._source.sizes[index]

    def get(self, key: str) -> Node | None:
        """The value under a key, or None; constant time after the first call on this node."""
        index = self._key_index(key)
        if index is None or not isinstance(self.value, dict):
            return None
        return Node(self.value[key], self._source, index + 1)

    def key_place(self, key: str) -> Place:
        """Where a key of this mapping stands; the mapping's own place if it has no such key."""
        index = self._key_index(key)
        return self.place if index is None else self._source.place(self._source.positions[index])

    def value_place(self, key: str) -> Place:
        """Where the value of a key of this mapping stands.

        Raises:
            KeyError: it has no such key.
        """
        index = self._key_index(key)
        if index is None:
            raise KeyError(key)
        return self._source.place(self._source.positions[index + 1])

    def at(self, path: Sequence[str | int]) -> Place:
        """Place of the value under a path of keys and list indices; as deep as the path exists."""
        return self.down(path).place

    def down(self, path: Sequence[str | int]) -> Node:
        """The value under a path of keys and list indices; as deep as the path exists."""
        node = self
        for step in path:
            if isinstance(step, str):
                found = node.get(step)
            else:
                found = next((item for i, item in enumerate(node) if i == step), None)
            if found is None:
                break
            node = found
        return node

    def _key_index(self, key: str) -> int | None:
        if self._children is None:
            self._children = {}
            if isinstance(self.value, dict):
                index = self._index + 1
                for name in self.value:
                    self._children[name] = index
                    index += 1 + self._source.sizes[index + 1]
        return self._children.get(key)


class _Places(Mapping[str, Place]):
    """Places of the values of a mapping by key: most of a million of them are never asked for."""

    __slots__ = ("_node",)

    def __init__(self, node: Node) -> None:
        self._node = node

    def __getitem__(self, key: str) -> Place:
        return self._node.value_place(key)

    def get(self, key: str, default: Any = None) -> Any:
        """Of most keys asked for there is nothing, and no fault need be raised to say so."""
        return self._node.value_place(key) if key in self else default

    def __contains__(self, key: object) -> bool:
        return isinstance(self._node.value, dict) and key in self._node.value

    def __iter__(self) -> Iterator[str]:
        return iter(self._node.value if isinstance(self._node.value, dict) else ())

    def __len__(self) -> int:
        return len(self._node.value) if isinstance(self._node.value, dict) else 0
