"""A strict subset of YAML 1.2 in which every key and value knows where it was written.

Takes the bytes of one file, gives a `Node` over plain Python values and every `Problem` found on
the way. Knows nothing of shows, units, schemas or the disk.

What is read: block and flow mappings, lists, plain, quoted and block text, comments, one document.
Plain scalars follow the core schema of YAML 1.2 and no more: `null`, `~` and nothing; `true` and
`false`; whole numbers (`010` is ten), `0x1F`, `0o17`; `1.5`, `1e3`. All else is text: `no`, `on`,
`1:24`, `12:30`, `2026-03-01`. Keys are always the text that was written, `010` included.

A lone `?` where a value stands means the text `?`. YAML keeps `?` for keys that are not text, so
its parsers refuse `distance: ?`. Before parsing, each lone `?` is exchanged for one character that
the file does not hold, and exchanged back in the values; no position moves.

Most files are read line by line (`by_lines`), which comes to the same; the parser reads the others,
and finds the words for what is wrong.
"""

from __future__ import annotations

import math
import re
import sys
from bisect import bisect_right
from typing import TYPE_CHECKING, Any

import yaml
from yaml.events import (
    AliasEvent,
    DocumentEndEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
    StreamStartEvent,
)

from planner.model.place import Place, Problem, Severity
from planner.text.by_lines import read_by_lines
from planner.text.node import Node, Source
from planner.text.plain_words import NEVER_CLOSED, NEVER_OPENED, in_plain_words
from planner.text.scalar import NUMBER_STARTS, WORDS, meaning

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.text.node import Value

try:
    from yaml._yaml import CParser as _Parser
except ImportError:  # PyYAML built without libyaml: same events, some ten times slower
    from yaml import SafeLoader as _Parser  # type: ignore[assignment]

MAX_DEPTH = 40
MAX_BYTES = 8_000_000
MAX_PROBLEMS = 100

_LONE_QUESTION_MARK = re.compile(r"(?<![^\s,\[{])\?(?=[ \t]*(?:[\r\n,\]}]|\Z|[ \t]#))")
_CONTROL = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_TAB_OR_COMMENT = re.compile(r"\t|(?<!\S)#")


def read_yaml(data: bytes, file: str) -> tuple[Node | None, tuple[Problem, ...]]:
    """Read one file of the strict subset; bad input is told, never raised.

    Args:
        data: the file as it stands on disk: UTF-8 with or without a byte order mark, lines ended
            by LF, CRLF or CR.
        file: its name, for the places.

    Returns:
        The root and no problem; or problems, in the order of the file, with the root when all of
        it could still be read (a key written twice counts once, the first time; anchors and tags
        are passed over), else None.
    """
    if len(data) > MAX_BYTES:
        message = f"the file is {len(data):,} bytes long; {MAX_BYTES:,} is the limit"
        remedy = "split it, or move tables into a .csv file"
        return None, (_problem("yaml-too-large", message, remedy, Place(file)),)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        return None, (_undecodable(data, fault.start, file),)
    source = Source(file, text)
    root = read_by_lines(source)
    if root is not None:
        return root, ()
    builder = _Builder(source)
    root = builder.read()
    return root, tuple(sorted(builder.problems, key=lambda problem: problem.place))


def without_lone_marks(text: str) -> tuple[str, str]:
    """One character that stands in for each lone `?`, and text that any YAML parser reads.

    No position moves. The character is empty, and the text as given, where there is no `?`.
    """
    if "?" not in text:
        return "", text
    stand_in = next(c for c in map(chr, range(0xE000, 0xF8FF)) if c not in text)
    return stand_in, _LONE_QUESTION_MARK.sub(stand_in, text)


class _Builder:
    """Turns parser events into plain values, without recursion; notes where each began.

    Each open mapping or list is a flat list of what it has so far (for a mapping key, value, key,
    value …), so that the common case, a scalar, costs one append.
    """

    def __init__(self, source: Source) -> None:
        self.source = source
        self.offsets: list[int] = []
        self.problems: list[Problem] = []
        self.is_whole = True
        self.documents = 0
        self.items: list[Any] = []
        self.in_mapping = False
        self.stack: list[tuple[list[Any], bool, int]] = []
        self.spans: list[tuple[int, int]] = []
        self.spelled: dict[int, str] = {}
        self.kept_tabs: list[tuple[int, int]] = []
        self.stand_in = ""
        self.stopped_at = len(source.text)
        self.look_closer = any(mark in source.text for mark in "?&!\t")

    def read(self) -> Node | None:
        """Read the whole text; what is wrong gathers in `problems`."""
        text = self.source.text
        self.stand_in, text = without_lone_marks(text)
        try:
            self.walk(_Parser(text).get_event)
        except yaml.reader.ReaderError:
            self.read_without_control_characters()
            return None
        except yaml.MarkedYAMLError as fault:
            self.tell_syntax(fault)
        if "\t" in text:
            self.tell_tabs()
        if not (self.is_whole or self.problems):
            # The tab that reading stopped at stands behind quotes that nobody had seen closed.
            self.tell_tab(self.stopped_at)
        return self.root() if self.is_whole else None

    def walk(self, next_event: Callable[[], Any]) -> None:
        """Consume events until the end of the document, or until reading on makes no sense."""
        look_closer = self.look_closer
        note = self.offsets.append
        steps: dict[type, Callable[[Any], list[Any] | None]] = {
            MappingStartEvent: self.open,
            SequenceStartEvent: self.open,
            MappingEndEvent: self.close,
            SequenceEndEvent: self.close,
            AliasEvent: self.alias,
            DocumentStartEvent: self.document,
            DocumentEndEvent: lambda _: self.items,
            StreamStartEvent: lambda _: self.items,
            StreamEndEvent: lambda _: None,
        }
        items: list[Any] | None = self.items
        while items is not None:
            event = next_event()
            kind = event.__class__
            if kind is ScalarEvent:
                note(event.start_mark.index)
                value = event.value
                if look_closer:
                    value = self.scalar(event)
                if (value in WORDS or value[0] in NUMBER_STARTS) and not event.style:
                    value = self.plain(value)
                items.append(value)
            else:
                items = steps[kind](event)

    def scalar(self, event: ScalarEvent) -> str:
        """Text of a scalar in a file that may hold `?`, anchors, tags or tabs."""
        if event.anchor is not None or event.tag is not None:
            self.refuse_properties(event)
        if event.style and event.start_mark and event.end_mark:
            self.kept_tabs.append((event.start_mark.index, event.end_mark.index))
        return event.value.replace(self.stand_in, "?") if self.stand_in else event.value

    def plain(self, text: str) -> str | int | float | None:
        """The core schema's reading of a plain scalar; keys stay text, as do numbers refused."""
        if self.in_mapping and not len(self.items) & 1:
            if not text:
                self.refuse_key("a key is missing before the colon")
            return text
        value = meaning(text)
        if value != math.inf:
            if text and value is not text:
                self.spelled[len(self.offsets) - 1] = text
            return value
        shown = text if len(text) <= 20 else f"{text[:17]}..."
        self.tell("yaml-number-not-finite", f"`{shown}` is not a finite number", "write a number")
        return text

    def open(self, event: Any) -> list[Any] | None:
        """Begin a mapping or list inside the present one."""
        offset = event.start_mark.index
        offsets = self.offsets
        stack = self.stack
        if len(stack) >= MAX_DEPTH:
            self.lose_too_deep(offset)
            return None
        stack.append((self.items, self.in_mapping, len(offsets)))
        offsets.append(offset)
        if self.look_closer:
            self.refuse_properties(event)
        if self.in_mapping and not len(self.items) & 1:
            self.refuse_key("a key is a list or a mapping")
        self.in_mapping = event.__class__ is MappingStartEvent
        items: list[Any] = []
        self.items = items
        return items

    def close(self, _event: Any) -> list[Any]:
        """End the present mapping or list and put it into the one around it."""
        items, is_mapping = self.items, self.in_mapping
        around, self.in_mapping, start = self.stack.pop()
        value: Value = self.mapping(items, start) if is_mapping else items
        self.spans.append((start, len(self.offsets) - start))
        if self.in_mapping and not len(around) & 1:
            value = f"key {start}"  # refused when it opened; a stand-in keeps the count right
        around.append(value)
        self.items = around
        return around

    def mapping(self, items: list[Any], start: int) -> dict[str, Value]:
        """A mapping from its flat list; the first of several equal keys stands."""
        interned = map(sys.intern, items[::2])
        value: dict[str, Value] = dict(zip(interned, items[1::2], strict=True))
        if 2 * len(value) == len(items):
            return value
        keys = items[::2]
        self.drop_repeats(keys, start)
        value.clear()
        for key, item in zip(keys, items[1::2], strict=True):
            value.setdefault(key, item)
        return value

    def drop_repeats(self, keys: list[str], start: int) -> None:
        """Tell keys written twice, and forget the positions of all but the first."""
        offsets, spans = self.offsets, self.spans
        inner: dict[int, int] = {}
        while spans and spans[-1][0] > start:
            index, size = spans.pop()
            inner[index] = size
        spelled: list[tuple[int, str]] = []
        while self.spelled and next(reversed(self.spelled)) > start:
            spelled.append(self.spelled.popitem())
        first: dict[str, int] = {}
        moved: dict[int, int] = {}
        index = start + 1
        for key in keys:
            end = index + 1 + inner.get(index + 1, 1)
            if key in first:
                line = self.source.place_of(offsets[first[key]]).line
                self.tell(
                    "yaml-duplicate-key",
                    f"`{key}` is written twice in one mapping, first on line {line}",
                    "keep one of them",
                    offsets[index],
                )
            else:
                first[key] = index
                for old in range(index, end):
                    moved[old] = start + 1 + len(moved)
            index = end
        offsets[start + 1 :] = [offsets[old] for old in moved]
        # Innermost last to first came off the pile; put back in the order they were closed.
        spans.extend((moved[old], inner[old]) for old in reversed(inner) if old in moved)
        self.spelled.update((moved[old], text) for old, text in reversed(spelled) if old in moved)

    def alias(self, event: AliasEvent) -> list[Any]:
        """Refuse `*name`; an empty text holds its place."""
        self.offsets.append(event.start_mark.index if event.start_mark else 0)
        message = f"`*{event.anchor}` would repeat a value written elsewhere"
        self.lose("yaml-alias", message, "write the value out, or put text with a `*` in quotes")
        self.items.append(f"alias {len(self.offsets)}")
        return self.items

    def document(self, event: Any) -> list[Any] | None:
        """Begin the document; a second one is refused and ends the reading."""
        self.documents += 1
        if self.documents == 1:
            return self.items
        offset = event.start_mark.index
        message = "a second document begins here"
        self.tell("yaml-second-document", message, "keep one document in a file", offset)
        self.stopped_at = offset
        return None

    def refuse_properties(self, event: Any) -> None:
        """Refuse `&name` and `!tag` before a value."""
        if event.anchor is not None:
            message = f"`&{event.anchor}` names a value to be repeated elsewhere"
            self.tell("yaml-anchor", message, "leave it out, or put text with a `&` in quotes")
        if event.tag is not None:
            message = "a `!` before a value would change its type"
            self.tell("yaml-tag", message, "leave it out, or put text with a `!` in quotes")

    def refuse_key(self, message: str) -> None:
        self.lose("yaml-key-not-text", message, "write a word, a colon and a space")

    def lose_too_deep(self, offset: int) -> None:
        self.is_whole = False
        self.stopped_at = offset
        message = f"more than {MAX_DEPTH} levels of nesting"
        self.tell("yaml-too-deep", message, "flatten it", offset)

    def lose(self, code: str, message: str, remedy: str) -> None:
        """Tell a problem that leaves the document without a value."""
        self.is_whole = False
        self.tell(code, message, remedy)

    def tell(self, code: str, message: str, remedy: str, offset: int | None = None) -> None:
        """Note a problem at an offset; by default at the latest key or value."""
        if len(self.problems) < MAX_PROBLEMS:
            place = self.source.place_of(self.offsets[-1] if offset is None else offset)
            self.problems.append(_problem(code, message, remedy, place))

    def tell_syntax(self, fault: yaml.MarkedYAMLError) -> None:
        """Note what stopped the parser, in plain words."""
        self.is_whole = False
        text = self.source.text
        mark = fault.problem_mark or fault.context_mark
        offset = min(mark.index, len(text)) if mark else 0
        opened = min(fault.context_mark.index, len(text)) if fault.context_mark else offset
        self.stopped_at = offset
        if text[offset : offset + 1] == "\t":
            return  # told with the other tabs
        problem = f"{fault.context}: {fault.problem}"
        if "nesting depth" in problem:
            self.lose_too_deep(offset)
            return
        words = in_plain_words(problem)
        bracket = self.open_bracket()
        is_in_quotes = "quoted scalar" in problem
        if bracket is not None and not (text[offset:].strip() or is_in_quotes):
            words, opened = NEVER_CLOSED, bracket
        elif bracket is None and text[offset : offset + 1] in {"]", "}"}:
            words = NEVER_OPENED
        if words is not None:
            offset = opened if words.at_opening else offset
            found = text[offset : offset + 1].strip() or "nothing"
            self.tell("yaml-syntax", words.message.replace("%", found), words.remedy, offset)
            return
        message = f"this cannot be read as YAML: {fault.problem}"
        self.tell("yaml-syntax", message, "put text in quotes", offset)

    def open_bracket(self) -> int | None:
        """Where the bracket begins that reading stopped in; None where it stopped in none."""
        if not self.stack:
            return None
        offset = self.offsets[self.stack[-1][2]]
        return offset if self.source.text[offset : offset + 1] in {"[", "{"} else None

    def tell_tabs(self) -> None:
        """Note each line with a tab outside quoted text, block text and comments.

        Past the place where reading stopped only tabs that indent a line are told, as what is
        quoted there is not known.
        """
        starts = [start for start, _ in self.kept_tabs]
        line_start = 0
        for line in self.source.text.splitlines(keepends=True):
            for found in _TAB_OR_COMMENT.finditer(line):
                offset = line_start + found.start()
                span = bisect_right(starts, offset) - 1
                if span >= 0 and offset < self.kept_tabs[span][1]:
                    continue
                indents = not line[: found.start()].strip(" ")
                if found.group() == "\t" and (indents or offset <= self.stopped_at):
                    self.is_whole = False
                    self.tell_tab(offset)
                break
            line_start += len(line)

    def tell_tab(self, offset: int) -> None:
        self.tell("yaml-tab", "a tab stands where spaces must", "use two spaces", offset)

    def read_without_control_characters(self) -> None:
        """Tell each control character, then read on with harmless ones in their place."""
        source = self.source
        # A space ends a word and a key as what people meant to write there would.
        clean = _CONTROL.sub(" ", source.text)
        again = _Builder(Source(source.file, clean))
        for found in _CONTROL.finditer(source.text):
            message = f"an invisible control character (code {ord(found.group())}) stands here"
            self.tell("yaml-control-character", message, "delete it", found.start())
        again.problems = self.problems
        again.read()

    def root(self) -> Node | None:
        """The document's value, if all of it could be read."""
        source = self.source
        source.keep(source.positions_of(self.offsets), self.spans, self.spelled)
        if not self.items or not (self.items[0] is not None or self.spelled.get(0)):
            remedy = "write its keys, or delete the file"
            self.problems.append(
                _problem("yaml-empty", "the file is empty", remedy, Place(source.file))
            )
            return None
        return Node(self.items[0], source)


def _problem(code: str, message: str, remedy: str, place: Place) -> Problem:
    return Problem(Severity.ERROR, place, code, message, remedy)


def _undecodable(data: bytes, offset: int, file: str) -> Problem:
    before = data[:offset].decode("utf-8-sig", errors="replace")
    message = f"byte {data[offset]:#04x} is not UTF-8 text"
    if data[:2] in {b"\xff\xfe", b"\xfe\xff"}:
        message = "the file is written in UTF-16, not UTF-8"
    place = Source(file, before).place_of(len(before))
    return _problem("yaml-not-utf8", message, "save the file as UTF-8", place)
