"""A show's folder, read from disk.

Takes a path, gives the show and every problem in its files. The only module of this room that reads
the disk; nothing is ever written.
"""

from __future__ import annotations

import json
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Protocol

from planner.model.place import Place, Problem, Severity
from planner.text.assemble import Documents, assemble
from planner.text.gathering import KindSchemas
from planner.text.located import Node, read_yaml
from planner.text.moves import read_move

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from planner.model.show import Move, Show


class Kinds(KindSchemas, Protocol):
    """Element kinds, some of which a show may want from a named distribution."""

    def choose(self, chosen: Mapping[str, str]) -> None:
        """Take each kind named from the distribution named."""
        ...


def file_schemas() -> dict[str, dict[str, Any]]:
    """The packaged schemas of a show's files, by ``$id``."""
    found = {}
    for each in files("planner_schemas").iterdir():
        if each.name.endswith(".json"):
            schema = json.loads(each.read_text(encoding="utf-8"))
            found[schema["$id"]] = schema
    return found


def load_show(folder: Path, kinds: Kinds) -> tuple[Show | None, tuple[Problem, ...]]:
    """Read a show.

    Args:
        folder: holds show.yaml and the rest.
        kinds: where element kinds come from.

    Returns:
        The show, None where its folder or show.yaml cannot be read; and every problem found.
    """
    if fault := _not_a_show(folder):
        return None, (fault,)
    reader = _Reader(folder)
    show_node = reader.yaml("show.yaml")
    documents = [reader.yaml(name) for name in ("resources.yaml", "builds.yaml", "rates.yaml")]
    sequences = reader.sequences()
    moves = reader.moves()
    if show_node is None:
        return None, tuple(reader.problems)
    chosen = show_node.get("kinds") if isinstance(show_node.value, dict) else None
    if chosen is not None and isinstance(chosen.value, dict):
        kinds.choose({name: str(origin) for name, origin in chosen.value.items()})
    resources, builds, rates = documents
    lost = frozenset(reader.lost)
    parsed = Documents(str(folder), show_node, resources, builds, rates, sequences, moves, lost)
    show, problems = assemble(parsed, kinds, file_schemas())
    return show, (*reader.problems, *problems)


def _not_a_show(folder: Path) -> Problem | None:
    place = Place(str(folder))
    if not folder.exists():
        return Problem(Severity.ERROR, place, "not-a-show", "there is no such folder")
    if not folder.is_dir():
        message = "this is a file; a show is a folder that holds show.yaml"
        return Problem(Severity.ERROR, place, "not-a-show", message)
    if not (folder / "show.yaml").is_file():
        near = sorted(each.parent for each in folder.glob("*/show.yaml"))
        message = "this folder holds no show.yaml, so it is not a show"
        remedy = f"did you mean {near[0]}?" if near else "`platewright new FOLDER` writes one"
        return Problem(Severity.ERROR, place, "not-a-show", message, remedy)
    return None


class _Reader:
    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.problems: list[Problem] = []
        self.lost: set[str] = set()

    def yaml(self, name: str) -> Node | None:
        """Parse one file of the show; None where it is absent or cannot be read."""
        path = self.folder / name
        if not path.is_file():
            return None
        data = self._bytes(path)
        node, problems = read_yaml(data, str(path)) if data is not None else (None, ())
        self.problems += problems
        if node is None:
            self.lost.add(name.partition("/")[0])
        return node

    def sequences(self) -> tuple[Node, ...]:
        names = sorted(each.name for each in (self.folder / "sequences").glob("*.yaml"))
        if not names:
            place = Place(str(self.folder / "sequences"))
            message = "there are no sequences: no *.yaml in this folder"
            self.problems.append(Problem(Severity.ERROR, place, "no-sequences", message))
        nodes = [self.yaml(f"sequences/{name}") for name in names]
        return tuple(node for node in nodes if node is not None)

    def moves(self) -> dict[str, Move]:
        moves = {}
        for path in sorted((self.folder / "moves").glob("*.csv")):
            data = self._bytes(path)
            move, problems = read_move(data, str(path)) if data is not None else (None, ())
            self.problems += problems
            if move is None:
                self.lost.add("moves")
            else:
                moves[move.id] = move
        return moves

    def _bytes(self, path: Path) -> bytes | None:
        try:
            return path.read_bytes()
        except OSError as error:
            message = f"cannot be read: {error.strerror}"
            self.problems.append(
                Problem(Severity.ERROR, Place(str(path)), "file-unreadable", message)
            )
            return None
