"""What is compiled is kept, and forgotten when any text that it came from has changed."""

from __future__ import annotations

import ast
import os
import types
from pathlib import Path
from typing import TYPE_CHECKING

from planner.schedule import compiled as module
from planner.schedule.compiled import SOURCES, called_from_python, is_kept

if TYPE_CHECKING:
    import pytest

HERE = Path(module.__file__).parent


def imported(name: str) -> set[str]:
    """Modules of the room that a module imports when it is run, not for its types."""
    body = ast.parse((HERE / f"{name}.py").read_text(encoding="utf-8")).body
    froms = [each.module or "" for each in body if isinstance(each, ast.ImportFrom)]
    room = "planner.schedule."
    return {each.removeprefix(room) for each in froms if each.startswith(room)}


def test_all_that_goes_into_compiled_code_is_named() -> None:
    users = {each.stem for each in HERE.glob("*.py") if "compiled" in imported(each.stem)}
    assert users >= {"rows", "moves", "herds"}
    # Whatever group a module is in, all that it imports is in it as well.
    for group in SOURCES:
        assert set().union(*map(imported, group & users)) <= group
    assert users <= set().union(*SOURCES)


def test_what_is_older_than_any_of_its_texts_is_forgotten(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written = dict.fromkeys(frozenset().union(*SOURCES), 100) | {"moves": 200, "herds": 300}
    kept = {
        "moves.move-9.py311.nbi": 150,
        "rows.fit-9.py311.nbi": 150,
        "rows.fit-9.py312.nbi": 250,
        "herds._place-9.py311.nbi": 250,
        "herds._place-9.py312.nbi": 350,
        "pad.chance-9.py311.nbi": 150,
    }
    for name, seconds in ({f"{name}.py": at for name, at in written.items()} | kept).items():
        (tmp_path / name).touch()
        os.utime(tmp_path / name, (seconds, seconds))
    monkeypatch.setattr(module, "__file__", str(tmp_path / "compiled.py"))
    module._forget_outdated(str(tmp_path))
    # Rows go with moves, of 200, but not with herds, of 300; the dice are made of neither.
    left = {each.name for each in tmp_path.glob("*.nbi")}
    assert left == {"rows.fit-9.py312.nbi", "herds._place-9.py312.nbi", "pad.chance-9.py311.nbi"}


def test_where_nothing_can_be_kept_it_is_compiled_all_the_same() -> None:
    # numba finds no place for what was made of text that is in no file.
    code = compile("def twice(x):\n    return 2 * x\n", "<nowhere>", "exec").co_consts[0]
    twice = called_from_python(types.FunctionType(code, {"__name__": "nowhere"}))
    assert twice(21) == 42
    assert not is_kept(twice)
