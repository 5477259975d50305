"""A show's folder, read from disk.

Takes a path, gives the show and every problem in its files. But for `history` the only module of
this room that reads the disk; nothing is ever written.
"""

from __future__ import annotations

import gc
import json
from contextlib import contextmanager
from functools import partial
from hashlib import sha256
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from planner.model.place import Place, Problem, Severity
from planner.text.assemble import Documents, assemble
from planner.text.located import read_yaml
from planner.text.moves import read_move
from planner.text.parts import KindSchemas, Part, PartReader
from planner.text.sections import (
    read_builds,
    read_rates,
    read_resources,
    read_sequence,
    read_show,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping
    from pathlib import Path
    from typing import TypeAlias

    from planner.model.show import Move, Show
    from planner.text.node import Node
    from planner.text.parts import SequenceRead

    _Read: TypeAlias = Callable[[PartReader, Node, tuple[Problem, ...]], Part["Says"]]

Says = TypeVar("Says")


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


class KeptParts(Protocol):
    """Where parts of a show are kept from one reading to the next."""

    def recall(self, file: str, mark: bytes) -> Part[Any] | None:
        """What was kept of a file under this very mark; None where nothing was."""
        ...

    def keep(self, file: str, mark: bytes, part: Part[Any]) -> None:
        """Keep a part in the place of whatever was kept of the file."""
        ...


@contextmanager
def _without_collecting() -> Iterator[None]:
    """No looking for dead objects: what is read lives on, and no cycle is among it."""
    was_enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        # Set aside and let go, all counts as old: else it is looked through once at the very end.
        gc.freeze()
        gc.unfreeze()
        if was_enabled:
            gc.enable()


@_without_collecting()
def load_show(
    folder: Path, kinds: Kinds, kept: KeptParts | None = None
) -> tuple[Show | None, tuple[Problem, ...]]:
    """Read a show.

    Args:
        folder: holds show.yaml and the rest.
        kinds: where element kinds come from.
        kept: parts of an earlier reading by the same kinds and schemas; a file that has not
            changed is not read again, and what was wrong with it is told again.

    Returns:
        The show, None where its folder or show.yaml cannot be read; and every problem found.
    """
    if fault := _not_a_show(folder):
        return None, (fault,)
    reader = _Reader(folder, PartReader(kinds, file_schemas()), kept)
    show = reader.part("show.yaml", read_show)
    says = show.says if show else None
    if says and says.chosen is not None:
        kinds.choose(says.chosen)
        reader.beside = repr(sorted(says.chosen.items()))
    currency = says.facts.word("currency") if says else ""
    resources = reader.part("resources.yaml", read_resources)
    builds = reader.part("builds.yaml", read_builds)
    rates = reader.part("rates.yaml", partial(read_rates, currency=currency), currency)
    sequences = tuple(reader.sequences())
    moves = reader.moves()
    if show is None or says is None:
        return None, tuple(reader.problems)
    lost = frozenset(reader.lost)
    documents = Documents(str(folder), show, resources, builds, rates, sequences, moves, lost)
    read, problems = assemble(documents, says.facts)
    return read, (*reader.problems, *problems)


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


def _read_move(data: bytes, file: str) -> Part[Move]:
    move, problems = read_move(data, file)
    return Part(problems, move)


class _Reader:
    def __init__(self, folder: Path, parts: PartReader, kept: KeptParts | None) -> None:
        self.folder = folder
        self.parts = parts
        self.kept = kept
        self.beside = ""
        self.problems: list[Problem] = []
        self.lost: set[str] = set()

    def part(self, name: str, read: _Read[Says], *beside: str) -> Part[Says] | None:
        """One file of the show; None where it is absent or its bytes cannot be had.

        Args:
            name: of the file, from the show's folder.
            read: reads its node.
            beside: what else it is read by.
        """
        path = self.folder / name
        if not path.is_file():
            return None
        data = self._bytes(path)
        part = None
        if data is not None:
            make = partial(self._read, data, str(path), read)
            part = self._kept(str(path), data, make, beside)
        self.problems += part.faults if part else ()
        if part is None or part.says is None:
            self.lost.add(name.partition("/")[0])
        return part

    def _read(self, data: bytes, file: str, read: _Read[Says]) -> Part[Says]:
        node, faults = read_yaml(data, file)
        return Part(faults) if node is None else read(self.parts, node, faults)

    def _kept(
        self, file: str, data: bytes, make: Callable[[], Part[Says]], beside: tuple[str, ...] = ()
    ) -> Part[Says]:
        """A part as it was kept, else made and kept."""
        if self.kept is None:
            return make()
        about = repr((file, self.beside, beside)).encode()
        mark = sha256(about + sha256(data).digest()).digest()
        part: Part[Says] | None = self.kept.recall(file, mark)
        if part is None:
            self.parts.is_sure = True
            part = make()
            if self.parts.is_sure:
                self.kept.keep(file, mark, part)
        return part

    def sequences(self) -> Iterator[Part[SequenceRead]]:
        names = sorted(each.name for each in (self.folder / "sequences").glob("*.yaml"))
        if not names:
            place = Place(str(self.folder / "sequences"))
            message = "there are no sequences: no *.yaml in this folder"
            self.problems.append(Problem(Severity.ERROR, place, "no-sequences", message))
        for name in names:
            part = self.part(f"sequences/{name}", read_sequence)
            if part is not None:
                yield part

    def moves(self) -> dict[str, Move]:
        moves = {}
        for path in sorted((self.folder / "moves").glob("*.csv")):
            data = self._bytes(path)
            file = str(path)
            make = partial(_read_move, data or b"", file)
            part = self._kept(file, data, make) if data is not None else None
            self.problems += part.faults if part else ()
            move = part.says if part else None
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
