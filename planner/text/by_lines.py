"""Files as most people write them, read line by line.

Takes the text of one file, gives its `Node`, or nothing where the text is written in any other way
or where anything is wrong: then a parser reads it all. Where a node is given it is the very one
that the parser's events lead to, with the same places, in half the time.

What is read here: `key: value` and `- item`, each on a line of its own, and what stands in `[]` and
`{}` within one line; text that is plain, or in quotes with no escape; text on lines of its own
(after `|` or `>`), which the parser is given alone; comments.
"""

from __future__ import annotations

import math
import re
import sys
from functools import lru_cache
from typing import TYPE_CHECKING, Any, TypeAlias

import yaml

from planner.text.node import COLUMN_BITS, Node, Source
from planner.text.scalar import NUMBER_STARTS, WORDS, meaning

if TYPE_CHECKING:
    from collections.abc import Iterator

    from planner.text.node import Value

    _Row: TypeAlias = tuple[str, str, str, str, str]
    """A line: indent, dash, key, gap and value."""
    _Token: TypeAlias = tuple[int, str, str, str]
    """Characters before it; then one of: a mark, a key, a scalar."""

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_LINE = 1 << COLUMN_BITS
_DEEPEST = 16
"""Levels of nesting by lines, and of brackets within one; together fewer than a parser may meet."""
_CACHE = 4096  # spellings; many are written again and again in a large show

# Tabs, other breaks of a line, and whatever may not stand in YAML.
_ODD = re.compile(
    "[^\n\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
).search
_QUOTED = r""" "[^"\\\n]*+" | '[^'\n]*+'(?!') """
_KEY = r""" [A-Za-z0-9_][A-Za-z0-9_.-]{0,99}+ | "[^"\\\n]{1,99}+" | '[^'\n]{1,99}+' """
_ROWS = re.compile(
    rf"""
    ^ (\ *+)
    (-\ ++)?
    (?: ({_KEY}) :(?=[ \n]|\Z) )?
    (\ *+)
    (
        (?: [^ \n?:,\[\]{{}}\#&*!|>'"%@`-] | -(?=[^ \n]) )
        [^ \n:\#]*+ (?: (?:\ ++|:++) [^ \n:\#]++ )*+
        | [\[{{] (?: [^"'\#\n]++ | {_QUOTED} )*+
        | {_QUOTED}
        | \?
        | [|>][+-]?+ (?: \n\1\ [^\n]*+ | \n\ *+(?=\n) )*+ (?=\n)
        |
    )
    \ *+
    (?: (?<![^ \n]) \#[^\n]*+ )?
    (?: \n | \Z )""",
    re.VERBOSE | re.MULTILINE,
).findall
_TOKENS = re.compile(
    rf"""
    (
        (?:
            ([\[\]{{}},])
            | ({_KEY}) :(?=[ ])
            | (
                (?: [^ ?:,\[\]{{}}\#&*!|>'"%@`-] | -(?=[0-9A-Za-z.]) )
                [^ ?:,\[\]{{}}\#'"]*+ (?: (?:\ ++|:(?=[0-9A-Za-z])) [^ ?:,\[\]{{}}\#'"]++ )*+
                | {_QUOTED}
                | \?(?=[ ,\]}}])
            )
        )
        \ *+
    )""",
    re.VERBOSE,
).findall
_NOTHING = (0, "", "", "")
_OPENING = frozenset("[{")
_QUOTES = frozenset("\"'")
_FOLDS = frozenset("|>")
_TO_READ = NUMBER_STARTS | _OPENING | _QUOTES | _FOLDS
"""What stands before a value that is not simply text, or a word of the language."""


class _OtherwiseError(Exception):
    """The text is written in another way than is read here, or something in it is wrong."""


def read_by_lines(source: Source) -> Node | None:
    """The root of a file, whose places are then in `source`; None where a parser must read it."""
    text = source.text
    if _ODD(text):
        return None
    rows = _ROWS(text)
    # Of lines that do not fit there are no rows; text on lines of its own is one row with its key.
    lacking = text.count("\n") + 1 - len(rows)
    if lacking and lacking != sum(row[4].count("\n") for row in rows):
        return None
    reading = _Reading()
    try:
        root = reading.read(rows)
    except _OtherwiseError:
        return None
    if root is None:
        return None
    source.keep(reading.positions, reading.spans, reading.spelled)
    return Node(root, source)


class _Reading:
    """Mappings and lists that are open, the innermost at hand.

    Each has a rank by the column it begins at, a list above a mapping of the same column: one that
    stands right under its key need not be indented.

    Attributes:
        positions: of each key and each value, in the order written.
        spans: index of a mapping or list among these, and how many of them it spans.
        spelled: how what is neither was written, where it is no text either, by index.
        held: the innermost mapping or list.
        rank: of it.
        start: its index.
        around: the others, with rank and index.
        waiting: the latest key, while its value is still to come; nothing for the file's.
        after: position past the colon of that key.
    """

    def __init__(self) -> None:
        self.positions: list[int] = []
        self.spans: list[tuple[int, int]] = []
        self.spelled: dict[int, str] = {}
        self.held: Any = {}
        self.rank = -1
        self.start = 0
        self.around: list[tuple[Any, int, int]] = []
        self.waiting: str | None = ""
        self.after = 0

    def read(self, rows: list[_Row]) -> Value:
        """The file's value; None where it has no line but empty ones and comments."""
        line = _LINE + 1
        for indent, dash, key, gap, value in rows:
            column = len(indent)
            begin = line + column
            line += _LINE * (1 + value.count("\n"))
            if dash:
                self.settle(2 * column + 1, begin, [])
                column, begin = column + len(dash), begin + len(dash)
                if not key:
                    self.held.append(self.value(value, begin))
                    continue
                if "\n" in value:  # which must stand further in than this key, not than its line
                    raise _OtherwiseError
                self.open(2 * column, begin, {})
            if key:
                if self.rank != 2 * column or self.waiting is not None:
                    self.settle(2 * column, begin, {})
                self.entry(key, begin, gap, value)
            elif value:
                raise _OtherwiseError
        self.settle(-1, 0, None)
        root: Value = self.held[""]
        return root

    def entry(self, key: str, begin: int, gap: str, value: str) -> None:
        """A key and its value, which may stand on the lines that follow."""
        self.positions.append(begin)
        after = begin + len(key) + 1
        key = sys.intern(key if key[0] not in _QUOTES else key[1:-1])
        if key in self.held:
            raise _OtherwiseError
        if value:
            self.held[key] = self.value(value, after + len(gap))
        else:
            self.waiting, self.after = key, after

    def settle(self, rank: int, begin: int, wanted: Any) -> None:
        """Close what is done before something of this rank; open what begins with it."""
        if rank > self.rank:
            if self.waiting is None:
                raise _OtherwiseError
            self.open(rank, begin, wanted)
            return
        if self.waiting is not None:
            self.positions.append(self.after)
            self.held[self.waiting] = self.waiting = None
        while self.rank > rank:
            self.spans.append((self.start, len(self.positions) - self.start))
            self.held, self.rank, self.start = self.around.pop()
        if self.rank != rank:
            raise _OtherwiseError

    def open(self, rank: int, begin: int, opened: Any) -> None:
        """Begin a mapping or list as the latest item, or as the value of the waiting key."""
        if len(self.around) > _DEEPEST:
            raise _OtherwiseError
        if self.waiting is None:
            self.held.append(opened)
        else:
            self.held[self.waiting] = opened
            self.waiting = None
        self.around.append((self.held, self.rank, self.start))
        self.held, self.rank, self.start = opened, rank, len(self.positions)
        self.positions.append(begin)

    def value(self, written: str, begin: int) -> Value:
        """What stands after a key or a dash."""
        if not written:
            raise _OtherwiseError
        if written[0] not in _TO_READ and written not in WORDS:
            self.positions.append(begin)
            return written
        if written[0] in _OPENING:
            tokens = iter(_tokens(written))
            value = self.bracketed(next(tokens, _NOTHING), tokens, begin, _DEEPEST)
            if next(tokens, None) is not None:
                raise _OtherwiseError
            return value
        value = _meaning(written)
        if not isinstance(value, str):
            self.spelled[len(self.positions)] = written
        self.positions.append(begin)
        return value

    def bracketed(self, token: _Token, tokens: Iterator[_Token], begin: int, room: int) -> Value:
        """One value within brackets that begin at a position; its first token, then the others."""
        before, mark, _key, written = token
        if written:
            return self.value(written, begin + before)
        if mark not in _OPENING or not room:
            raise _OtherwiseError
        start = len(self.positions)
        self.positions.append(begin + before)
        inner = self.inner_list if mark == "[" else self.inner_mapping
        value = inner(tokens, begin, room - 1)
        self.spans.append((start, len(self.positions) - start))
        return value

    def inner_list(self, tokens: Iterator[_Token], begin: int, room: int) -> Value:
        """Items up to the bracket that closes them."""
        items: list[Value] = []
        token = next(tokens, _NOTHING)
        while token[1] != "]" or items:
            items.append(self.bracketed(token, tokens, begin, room))
            if _closes(tokens, "]"):
                break
            token = next(tokens, _NOTHING)
        return items

    def inner_mapping(self, tokens: Iterator[_Token], begin: int, room: int) -> Value:
        """Keys with values up to the bracket that closes them."""
        entries: dict[str, Value] = {}
        before, mark, key, _written = next(tokens, _NOTHING)
        while mark != "}" or entries:
            if not key or key in entries:
                raise _OtherwiseError
            self.positions.append(begin + before)
            entries[key] = self.bracketed(next(tokens, _NOTHING), tokens, begin, room)
            if _closes(tokens, "}"):
                break
            before, mark, key, _written = next(tokens, _NOTHING)
        return entries


def _closes(tokens: Iterator[_Token], mark: str) -> bool:
    """Whether a bracket closes next, where a comma else leads to more."""
    found = next(tokens, _NOTHING)[1]
    if found not in {mark, ","}:
        raise _OtherwiseError
    return found == mark


@lru_cache(maxsize=_CACHE)
def _tokens(written: str) -> tuple[_Token, ...]:
    """What stands in brackets, and they themselves; nothing where it is written otherwise."""
    tokens = []
    before = 0
    for whole, mark, key, scalar in _TOKENS(written):
        name = key[1:-1] if key[:1] in _QUOTES else key
        tokens.append((before, mark, sys.intern(name), scalar))
        before += len(whole)
    return tuple(tokens) if before == len(written) else ()


def _meaning(written: str) -> Value:
    """Of a scalar that may be more than text."""
    if written[0] in _QUOTES:
        return written[1:-1]
    if written[0] in _FOLDS:
        return _on_lines_of_its_own(written)
    value = meaning(written)
    if value == math.inf:
        raise _OtherwiseError
    return value


def _on_lines_of_its_own(written: str) -> str:
    """Text after `|` or `>`."""
    try:
        text = yaml.load(f"key: {written}\n", _Loader)["key"]  # noqa: S506  a safe loader
    except yaml.YAMLError:
        raise _OtherwiseError from None
    return str(text)
