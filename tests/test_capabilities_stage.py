"""Every name in capabilities_stage.md is one of ours: property, number, finding and test."""

from __future__ import annotations

import ast
import json
import re
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

TESTS = Path(__file__).parent
ROOT = TESTS.parent
TABLE = TESTS / "capabilities_stage.md"
WAITS = "waits for the ledger"
NAME = re.compile(r"`([^`]+)`")


class Row(NamedTuple):
    what: str
    held: tuple[str, ...]
    worked_out: tuple[str, ...]
    warned: tuple[str, ...]
    tests: tuple[str, ...]

    @property
    def is_waiting(self) -> bool:
        return not self.tests


def table() -> list[Row]:
    rows = []
    for line in TABLE.read_text(encoding="utf-8").splitlines():
        cells = [cell.strip() for cell in line.strip("|").split(" | ")]
        if not line.startswith("| ") or cells[0] == "what":
            continue
        assert len(cells) == 5, line
        rows.append(Row(cells[0], *(tuple(NAME.findall(cell)) for cell in cells[1:])))
        assert rows[-1].tests or cells[4].rstrip(" |") == WAITS, line
    return rows


ROWS = table()
DONE = [pytest.param(row, id=row.what) for row in ROWS if not row.is_waiting]


def _properties(schema: Any) -> Iterator[str]:
    """Names of properties at any depth."""
    if isinstance(schema, dict):
        found = schema.get("properties")
        if isinstance(found, dict):
            yield from found
        for each in schema.values():
            yield from _properties(each)
    elif isinstance(schema, list):
        for each in schema:
            yield from _properties(each)


@cache
def properties() -> frozenset[str]:
    files = [*ROOT.glob("schemas/*/*.json"), *ROOT.glob("plugins/*/*/schema.json")]
    return frozenset(name for file in files for name in _properties(json.loads(file.read_text())))


@cache
def literals() -> frozenset[str]:
    """Every text of the source but its docstrings; what an f-string fills in stands as ``{}``."""
    files = [*ROOT.glob("planner/**/*.py"), *ROOT.glob("plugins/**/*.py")]
    return frozenset(
        text for file in files for text in _texts(ast.parse(file.read_text(encoding="utf-8")))
    )


def _texts(tree: ast.AST) -> Iterator[str]:
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            continue
        if isinstance(node, ast.JoinedStr):
            yield "".join(
                str(part.value) if isinstance(part, ast.Constant) else "{}" for part in node.values
            )
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value
        yield from _texts(node)


@cache
def codes() -> re.Pattern[str]:
    """What a code may be: one written out, or one put together such as ``check-against-old-{}``."""
    hyphened = (each for each in literals() if re.fullmatch(r"[a-z0-9]+(-[a-z0-9{}]+)+", each))
    return re.compile("|".join(re.escape(each).replace(r"\{\}", "[a-z-]+") for each in hyphened))


def test_the_table_has_a_row_for_everything_asked() -> None:
    assert len(ROWS) == 51
    assert len({row.what for row in ROWS}) == len(ROWS)
    assert len(DONE) == 48


@pytest.mark.parametrize("row", DONE)
def test_a_row_names_what_is_held_and_what_warns(row: Row) -> None:
    assert row.held
    assert row.warned


@pytest.mark.parametrize("row", DONE)
def test_every_property_stands_in_a_schema(row: Row) -> None:
    assert [name for name in row.held if name not in properties()] == []


@pytest.mark.parametrize("row", DONE)
def test_every_number_is_worked_out_somewhere(row: Row) -> None:
    unknown = [
        name for name in row.worked_out if not any(text.startswith(name) for text in literals())
    ]
    assert unknown == []


@pytest.mark.parametrize("row", DONE)
def test_every_finding_has_its_code_in_the_source(row: Row) -> None:
    assert [code for code in row.warned if not codes().fullmatch(code)] == []


def test_a_code_nobody_wrote_is_no_code() -> None:
    assert codes().fullmatch("check-against-old-plate")
    assert not codes().fullmatch("camera-turned-inside-out")


@pytest.mark.parametrize("row", DONE)
def test_every_test_is_there(row: Row) -> None:
    for name in row.tests:
        file, _, test = name.partition("::")
        text = (TESTS / file).read_text(encoding="utf-8")
        assert re.search(rf"^def {re.escape(test)}\(", text, re.MULTILINE), name


def test_every_warning_of_a_row_is_tried_by_some_test() -> None:
    tried = "\n".join(file.read_text(encoding="utf-8") for file in TESTS.glob("**/test_*.py"))
    warned = {code for row in ROWS for code in row.warned}
    assert sorted(code for code in warned if code not in tried) == []
