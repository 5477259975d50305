"""What is compiled is kept, and forgotten when any text that it came from has changed."""

from __future__ import annotations

import ast
import os
import types
from pathlib import Path

from planner.schedule import compiled as module
from planner.schedule.compiled import SOURCES, called_from_python, is_kept

HERE = Path(module.__file__).parent


def imported(name: str) -> set[str]:
    """Modules of the room that a module imports when it is run, not for its types."""
    body = ast.parse((HERE / f"{name}.py").read_text(encoding="utf-8")).body
    froms = [each.module or "" for each in body if isinstance(each, ast.ImportFrom)]
    room = "planner.schedule."
    return {each.removeprefix(room) for each in froms if each.startswith(room)}


def test_all_that_goes_into_compiled_code_is_named() -> None:
    users = {each.stem for each in HERE.glob("*.py") if "compiled" in imported(each.stem)}
    assert users >= {"rows", "moves"}
    assert set().union(users, *map(imported, users)) == set(SOURCES)


def test_what_is_older_than_any_of_its_texts_is_forgotten(tmp_path: Path) -> None:
    newest = max((HERE / f"{name}.py").stat().st_mtime for name in SOURCES)
    for name, seconds in (
        ("moves.move-9.py311.nbi", -10),
        ("rows.fit-9.py311.nbi", -10),
        ("rows.fit-9.py312.nbi", 10),
        ("herds._place-9.py311.nbi", -10),
    ):
        (tmp_path / name).touch()
        os.utime(tmp_path / name, (newest + seconds, newest + seconds))
    module._forget_outdated(str(tmp_path))
    # The first two are older; the third is not, and herds are not made of these texts.
    left = {each.name for each in tmp_path.iterdir()}
    assert left == {"rows.fit-9.py312.nbi", "herds._place-9.py311.nbi"}


def test_where_nothing_can_be_kept_it_is_compiled_all_the_same() -> None:
    # numba finds no place for what was made of text that is in no file.
    code = compile("def twice(x):\n    return 2 * x\n", "<nowhere>", "exec").co_consts[0]
    twice = called_from_python(types.FunctionType(code, {"__name__": "nowhere"}))
    assert twice(21) == 42
    assert not is_kept(twice)
