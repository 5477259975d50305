"""The formulas, read from the docstrings of the arithmetic.

Takes the text of Python modules, gives a `Formula` for each public function: what it gives, the
formula where one is written, its arguments with their units, and its source. Imports nothing of
what it reads, so that it tells of the text and not of what happens to be loaded.
"""

from __future__ import annotations

import ast
import re
from dataclasses import dataclass
from inspect import cleandoc
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

_HEADS = ("Args", "Returns", "Yields", "Raises", "Source")
_CODE = re.compile(r"``([^`]+)``")


@dataclass(frozen=True, slots=True)
class Formula:
    """One public function.

    Attributes:
        module: it stands in, by its last name.
        name: of the function.
        line: of its ``def`` in the module, from 1.
        call: how it is called: names and types of what it takes and gives.
        gives: the first sentences: what it gives, and in what unit.
        formula: the formulas as written; empty for one that follows steps.
        parts: what is said under each heading of the docstring, such as ``Args`` and ``Source``.
    """

    module: str
    name: str
    line: int
    call: str
    gives: str
    formula: tuple[str, ...]
    parts: Mapping[str, str]

    @property
    def id(self) -> str:
        """Unique on the page."""
        return f"{self.module}.{self.name}"


def formulas_in(module: str, text: str) -> Iterator[Formula]:
    """The public functions of a module, in its order.

    Args:
        module: its last name.
        text: its source.
    """
    for node in ast.parse(text).body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            yield _formula(module, node)


def module_says(text: str) -> str:
    """The first sentence of a module's docstring."""
    return (ast.get_docstring(ast.parse(text)) or "").partition("\n\n")[0].replace("\n", " ")


def _formula(module: str, node: ast.FunctionDef) -> Formula:
    said, parts = _parted(ast.get_docstring(node) or "")
    given = f" -> {ast.unparse(node.returns)}" if node.returns else ""
    return Formula(
        module=module,
        name=node.name,
        line=node.lineno,
        call=f"{node.name}({ast.unparse(node.args)}){given}",
        gives=said,
        formula=tuple(dict.fromkeys(_CODE.findall(f"{said} {parts.get('Returns', '')}"))),
        parts=parts,
    )


def _parted(docstring: str) -> tuple[str, dict[str, str]]:
    """What stands before the first heading, and what stands under each."""
    parts: dict[str, list[str]] = {"": []}
    now = ""
    for line in docstring.splitlines():
        head = line.strip().removesuffix(":")
        if line.endswith(":") and not line.startswith(" ") and head in _HEADS:
            now = head
            parts[now] = []
        else:
            parts[now].append(line)
    told = {name: cleandoc("\n" + "\n".join(lines)) for name, lines in parts.items()}
    return told.pop(""), told
