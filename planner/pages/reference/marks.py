"""The checks that hold each formula, with what supports their numbers.

Takes the text of test modules, gives for each formula the `Check`s that call it. A check's mark is
what its own comments, or those of the tables it uses, say: published, published weakly, from memory
of a named source, common practice, or derived by hand. One that says nothing and draws its numbers
is a law; any other stands as arithmetic in the test itself.
"""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

MARKS = (
    "published",
    "published in a weak source",
    "from memory of a named source",
    "common practice, no source",
    "derived",
    "a law, tried on drawn numbers",
    "arithmetic in the test",
)
"""Best first."""

_SAID = re.compile(
    r"#\s*(?P<mark>published weakly|published|from memory|common practice|derived)\b"
)
_MARK = {
    "published": MARKS[0],
    "published weakly": MARKS[1],
    "from memory": MARKS[2],
    "common practice": MARKS[3],
    "derived": MARKS[4],
}


@dataclass(frozen=True, slots=True)
class Check:
    """One test that calls a formula.

    Attributes:
        file: name of the test module.
        line: of the test, from 1.
        says: its name as a sentence.
        mark: one of `MARKS`.
        words: what the comment says of the source; may be empty.
    """

    file: str
    line: int
    says: str
    mark: str
    words: str


def checks_in(file: str, text: str) -> Mapping[str, tuple[Check, ...]]:
    """The checks of a test module, by the formula (``module.function``) they call, best mark first.

    Args:
        file: its name.
        text: its source.
    """
    tree = ast.parse(text)
    lines = text.splitlines()
    spans = {name: node for node in tree.body for name in _names(node)}
    found: defaultdict[str, list[Check]] = defaultdict(list)
    for node in tree.body:
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
            reached = _reached(node, spans)
            check = _check(file, node, [_comments(lines, each) for each in reached])
            for name in sorted({call for each in reached for call in _calls(each)}):
                found[name].append(check)
    ranked = (
        (name, sorted(each, key=lambda one: MARKS.index(one.mark))) for name, each in found.items()
    )
    return {name: tuple(each) for name, each in ranked}


def _names(node: ast.stmt) -> Iterator[str]:
    if isinstance(node, ast.FunctionDef):
        yield node.name
    if isinstance(node, ast.Assign):
        yield from (each.id for each in node.targets if isinstance(each, ast.Name))


def _reached(node: ast.stmt, spans: Mapping[str, ast.stmt]) -> list[ast.stmt]:
    """The test, and the tables and helpers of its module that it uses, near ones first."""
    reached = [node]
    for each in reached:
        used = {name.id for name in ast.walk(each) if isinstance(name, ast.Name)}
        reached += [spans[name] for name in sorted(used & set(spans)) if spans[name] not in reached]
    return reached


def _calls(node: ast.stmt) -> Iterator[str]:
    for each in ast.walk(node):
        if isinstance(each, ast.Attribute) and isinstance(each.value, ast.Name):
            yield f"{each.value.id}.{each.attr}"


def _comments(lines: list[str], node: ast.stmt) -> str:
    """Comments of a piece of a module, and those that stand straight above it."""
    decorated = node.decorator_list if isinstance(node, ast.FunctionDef) else ()
    first = min((node.lineno, *(each.lineno for each in decorated))) - 1
    while first > 0 and lines[first - 1].startswith("#"):
        first -= 1
    held = [line[line.index("#") :] for line in lines[first : node.end_lineno] if "#" in line]
    return "\n".join(held)


def _check(file: str, node: ast.FunctionDef, comments: list[str]) -> Check:
    says = node.name.removeprefix("test_").replace("_", " ")
    for comment in comments:
        said = _SAID.search(comment)
        if said is not None:
            words = comment[said.end() :].replace("\n#", " ").strip(" :,;")
            return Check(file, node.lineno, says, _MARK[said["mark"]], " ".join(words.split()))
    drawn = any("given" in ast.unparse(each) for each in node.decorator_list)
    return Check(file, node.lineno, says, MARKS[5] if drawn else MARKS[6], "")
