"""Values of a show's file made other, and shots put in, with all else kept as it stands.

Takes the text of one file with what is to be written where, gives the new text: comments, layout
and line ends stay. Only what the file's schema lets stand there may be asked for. Knows nothing of
the disk, or of why.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from datetime import time
from typing import TYPE_CHECKING, TypeAlias

import yaml

from planner.model.facts import Facts, Missing
from planner.model.quantity import Quantity
from planner.text.located import without_lone_marks

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from planner.model.facts import Value

try:
    from yaml import CSafeLoader as _Loader
except ImportError:  # PyYAML built without libyaml: the same nodes, slower
    from yaml import SafeLoader as _Loader  # type: ignore[assignment]

Path: TypeAlias = "tuple[str | int, ...]"
_PLAIN = re.compile(r"[A-Za-z][A-Za-z0-9 _./%()+-]*")
_WORDS = {"true", "false", "null", "yes", "no", "on", "off", "y", "n"}
_ANCHORS = ("cut", "state", "says", "kind")
"""Keys after which a new one is written, the first that is there."""


class NoPlaceError(ValueError):
    """The file has no place where a value could be written; its text is a sentence for people."""


@dataclass(frozen=True, slots=True)
class _Cut:
    """Text from `start` to `end` to be exchanged for other text; offsets in characters."""

    start: int
    end: int
    text: str


def edited(text: str, values: Sequence[tuple[Path, Value]]) -> str:
    """The text with each value under its path.

    Args:
        text: of a whole file, readable as YAML.
        values: paths from the root of the file, and what is to stand there. A path whose last keys
            are not written is put in after the nearest of its neighbours.

    Raises:
        NoPlaceError: a value cannot be written there with all else left as it stands.
    """
    root: yaml.Node | None = yaml.compose(without_lone_marks(text)[1], Loader=_Loader)
    cuts: list[_Cut] = []
    new: dict[tuple[int, str], list[tuple[Path, Value]]] = {}
    owners: dict[int, yaml.Node] = {}
    for path, value in values:
        node, rest = _down(root, path)
        if not rest:
            cuts.append(_Cut(node.start_mark.index, node.end_mark.index, _scalar(node, value)))
            continue
        key = (id(node), str(rest[0]))
        owners[id(node)] = node
        new.setdefault(key, []).append((rest[1:], value))
    for (owner, name), parts in new.items():
        cuts.append(_put_in(text, owners[owner], name, _written(parts)))
    return _with_cuts(text, cuts)


def with_shot(text: str, after: str, id_: str, lines: Iterable[str]) -> str:
    """The text with a shot put in after another, or after the last one.

    Args:
        text: of a whole sequence file, readable as YAML.
        after: shot it follows; of no such shot, the last.
        id_: the new shot's number.
        lines: of its mapping, without their indent.

    Raises:
        NoPlaceError: the file's shots are not written one under the other.
    """
    root: yaml.Node | None = yaml.compose(without_lone_marks(text)[1], Loader=_Loader)
    shots, rest = _down(root, ("shots",))
    if rest or not isinstance(shots, yaml.MappingNode) or shots.flow_style:
        raise NoPlaceError("the shots of this file do not stand one under the other")
    names = [key.value for key, _node in shots.value]
    position = names.index(after) + 1 if after in names else len(names)
    indent = " " * int(shots.value[0][0].start_mark.column)
    before = text[: shots.value[position][0].start_mark.index] if position < len(names) else text
    end = _content_end(before, len(indent))
    step = _step_of(shots)
    ends = _line_end(text)
    block = [f"{indent}{id_}:", *(f"{indent}{step}{line}" for line in lines)]
    gap = ends if _has_gap(text, shots, min(position, len(names) - 1)) else ""
    head, tail = text[:end], text[end:]
    if not head.endswith("\n"):
        head += ends
    return head + gap + ends.join(block) + ends + tail


def _has_gap(text: str, shots: yaml.MappingNode, position: int) -> bool:
    """Whether an empty line stands before the shot at a position, remarks on it included."""
    key = shots.value[position][0].start_mark
    before = text[: key.index]
    between = before[_content_end(before, key.column) :]
    return position > 0 and any(not line.strip() for line in between.splitlines()[:-1])


def _step_of(shots: yaml.MappingNode) -> str:
    """Indent of what a shot holds, beyond its own."""
    for key, node in shots.value:
        if isinstance(node, yaml.MappingNode) and not node.flow_style:
            return " " * max(int(node.start_mark.column - key.start_mark.column), 1)
    return "  "


def _content_end(before: str, indent: int) -> int:
    """End of the last line that holds more than space or a comment of what follows."""
    lines = before.splitlines(keepends=True)
    if lines and not lines[-1].endswith(("\n", "\r")) and not lines[-1].strip():
        lines.pop()
    while lines:
        bare = lines[-1].strip()
        column = len(lines[-1]) - len(lines[-1].lstrip())
        if bare and not (bare.startswith("#") and column <= indent):
            break
        lines.pop()
    return sum(map(len, lines))


def _down(root: yaml.Node | None, path: Path) -> tuple[yaml.Node, Path]:
    """The node as far down a path as it is written, and what is left of the path."""
    if root is None:
        raise NoPlaceError("the file is empty")
    node = root
    for n, step in enumerate(path):
        found = _child(node, step)
        if found is None:
            return node, path[n:]
        node = found
    return node, ()


def _child(node: yaml.Node, step: str | int) -> yaml.Node | None:
    if isinstance(node, yaml.MappingNode):
        return next((value for key, value in node.value if key.value == str(step)), None)
    if isinstance(node, yaml.SequenceNode) and isinstance(step, int) and step < len(node.value):
        found: yaml.Node = node.value[step]
        return found
    return None


def _scalar(node: yaml.Node, value: Value) -> str:
    """What is written instead of a node: double quotes are kept, a block becomes a line."""
    if isinstance(node, yaml.MappingNode):
        inner = _child(node, "is")
        if inner is None:
            raise NoPlaceError("a group of facts stands where one value was expected")
        raise NoPlaceError("a value with its standing is written here; change it by hand")
    style = getattr(node, "style", None)
    ends = "\n" if style in {"|", ">"} else ""
    if style == '"' and isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    return f"{written_value(value)}{ends}"


def written_value(value: Value) -> str:
    """A value as a show's file has it, groups in braces and lists in brackets."""
    match value:
        case Missing(by):
            return f"{{is: ?, by: {_text(by)}}}" if by else "?"
        case Facts():
            named = (f"{name}: {written_value(each)}" for name, each in value.values.items())
            return f"{{{', '.join(named)}}}"
        case tuple():
            return f"[{', '.join(map(written_value, value))}]"
        case str():
            return _text(value)
    return _bare(value)


def _bare(value: Value) -> str:
    """What needs no quotes; a sum without the commas that would end it in a list."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Quantity):
        return value.text or f"{value.value:.10g} {value.unit}".removesuffix(" 1")
    return f"{value:%H:%M}" if isinstance(value, time) else str(value).replace(",", "")


def _text(value: str) -> str:
    """Text bare where it reads as text, else in quotes."""
    is_plain = _PLAIN.fullmatch(value) and not value.endswith(" ")
    fits = is_plain and value.lower() not in _WORDS
    return value if fits else json.dumps(value, ensure_ascii=False)


def _written(parts: Sequence[tuple[Path, Value]]) -> str:
    """What is put in under a new key: a value, or a group of them in braces."""
    if len(parts) == 1 and not parts[0][0]:
        return written_value(parts[0][1])
    inner = ", ".join(
        f"{path[0]}: {_written([(path[1:], value)])}" for path, value in parts if path
    )
    return f"{{{inner}}}"


def _put_in(text: str, node: yaml.Node, name: str, value: str) -> _Cut:
    """A new key of a mapping: after a neighbour that ends on its own line."""
    if not isinstance(node, yaml.MappingNode) or not node.value:
        raise NoPlaceError(f"there is no place for `{name}:`")
    if node.flow_style:
        end = node.value[-1][1].end_mark.index
        return _Cut(end, end, f", {name}: {value}")
    key, anchor = _anchor(node)
    end = anchor.end_mark.index
    ends = _line_end(text)
    indent = " " * key.start_mark.column
    if end > 0 and text[end - 1] == "\n":
        return _Cut(end, end, f"{indent}{name}: {value}{ends}")
    while end < len(text) and text[end] not in "\r\n":
        end += 1
    return _Cut(end, end, f"{ends}{indent}{name}: {value}")


def _anchor(node: yaml.MappingNode) -> tuple[yaml.Node, yaml.Node]:
    """The neighbour after which a key is put in: one whose end is known to the character."""
    sound = [
        (key, value)
        for key, value in node.value
        if isinstance(value, yaml.ScalarNode) or value.flow_style
    ]
    for name in _ANCHORS:
        for key, value in sound:
            if key.value == name:
                return key, value
    if not sound:
        raise NoPlaceError("nothing stands here beside which a value could be written")
    return sound[0]


def _line_end(text: str) -> str:
    found = re.search(r"\r\n|\n|\r", text)
    return found.group() if found else "\n"


def _with_cuts(text: str, cuts: Iterable[_Cut]) -> str:
    """Every exchange made; of one place, in the order given."""
    pieces: list[str] = []
    position = 0
    for cut in sorted(cuts, key=lambda each: each.start):
        if cut.start < position:
            raise NoPlaceError("two values would be written in one place")
        pieces += [text[position : cut.start], cut.text]
        position = cut.end
    return "".join([*pieces, text[position:]])
