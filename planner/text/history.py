"""Finished shots and the hours they took, from history.yaml beside show.yaml.

Takes a show's folder, gives the facts of its history and every problem found. A show needs no
history; nothing of the plan reads it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.model.place import Place, Problem, Severity
from planner.text.checked import Checker
from planner.text.facts_reader import FactsReader
from planner.text.located import read_yaml
from planner.text.plans import compile_plan
from planner.text.show_folder import file_schemas

if TYPE_CHECKING:
    from pathlib import Path

    from planner.model.facts import Facts

NAME = "history.yaml"


def load_history(folder: Path) -> tuple[Facts | None, tuple[Problem, ...]]:
    """Read the history of a show.

    Args:
        folder: of the show.

    Returns:
        Its facts, None where there is no such file or it cannot be read; and every problem found.
    """
    path = folder / NAME
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        message = f"there is no {NAME}, so there are no finished shots to learn from"
        return None, (_fault(path, message, "write down finished shots with the hours spent"),)
    except OSError as error:
        return None, (_fault(path, f"cannot be read: {error.strerror}", ""),)
    node, problems = read_yaml(data, str(path))
    if node is None:
        return None, tuple(problems)
    schemas = file_schemas()
    schema = schemas["history.json"]
    reader = FactsReader()
    faults = Checker(schema, schemas).check(node)
    facts = reader.facts(node, compile_plan(schema, schemas))
    return facts, (*problems, *faults, *reader.problems)


def _fault(path: Path, message: str, remedy: str) -> Problem:
    return Problem(Severity.ERROR, Place(str(path)), "history-missing", message, remedy)
