"""The table of what is held, worked out and warned about, held to the code.

Every property it names is in a schema, every number and code is written in the source, every code
is expected by some test, and every test it names is there.
"""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[1]
TABLE = Path(__file__).with_name("capabilities_pieces.md")
QUOTED = re.compile(r"`([^`]+)`")
COLUMNS = ("what", "held", "worked out", "warned", "test")


def rows() -> list[dict[str, str]]:
    lines = TABLE.read_text(encoding="utf-8").splitlines()
    cells = [[cell.strip() for cell in line.split("|")[1:-1]] for line in lines if line[:2] == "| "]
    return [dict(zip(COLUMNS, row, strict=True)) for row in cells if row[0] != "what"]


@cache
def source() -> str:
    files = [*ROOT.glob("planner/**/*.py"), *ROOT.glob("plugins/**/*.py")]
    return "\n".join(file.read_text(encoding="utf-8") for file in files)


@cache
def shows() -> str:
    files = ROOT.glob("tests/**/test_*.py")
    return "\n".join(file.read_text(encoding="utf-8") for file in files)


@cache
def names_of_tests() -> frozenset[str]:
    return frozenset(re.findall(r"^def (test_\w+)", shows(), re.MULTILINE))


@cache
def properties() -> frozenset[str]:
    files = [
        *ROOT.glob("schemas/planner_schemas/*.json"),
        *ROOT.glob("plugins/planner_plugins/*/schema.json"),
    ]
    return frozenset(
        name for file in files for name in _named(json.loads(file.read_text(encoding="utf-8")))
    )


def _named(schema: object) -> Iterator[str]:
    if isinstance(schema, dict):
        yield from schema.get("properties", {})
        for each in schema.values():
            yield from _named(each)
    elif isinstance(schema, list):
        for each in schema:
            yield from _named(each)


ROWS = rows()


def test_the_table_has_its_rows() -> None:
    # Thirty-five of environments, eleven of fire, people and light, ten of joining.
    assert len(ROWS) == 56


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["what"])
def test_a_row_names_what_there_is(row: dict[str, str]) -> None:
    held, worked, warned, shown = (QUOTED.findall(row[name]) for name in COLUMNS[1:])
    assert held
    assert shown
    assert [name for name in held if name not in properties()] == []
    assert [name for name in worked if name not in source()] == []
    assert [code for code in warned if f'"{code}' not in source()] == []
    assert [code for code in warned if f'"{code}' not in shows()] == []
    assert [name for name in shown if name not in names_of_tests()] == []
