"""The outline of a show, kept beside it so that posting on the floor need not read it all again.

Takes a show's folder, gives its outline and where its ledger is. What is kept lies in a folder of
its own, SHOW/.platewright, which may be thrown away at any time; it is made again whenever a file
of the show has changed, or what is kept is not as it was written.
"""

from __future__ import annotations

import hashlib
import json
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from itertools import accumulate
from typing import TYPE_CHECKING, Any

import click

from planner import __version__
from planner.model.facts import DateRange

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from planner.ledger import Basis
    from planner.ledger.store import Ledger
    from planner.model.show import Show
    from planner.status.outline import Outline, Piece

FOLDER = ".platewright"
NAME = "outline.json"
FACTS = "facts.jsonl"
FORMAT = 5
LEDGER = click.option(
    "--ledger",
    "address",
    metavar="ADDRESS",
    help="postgresql://… or a file; else what show.yaml says, else SHOW/ledger.db.",
)


@dataclass(frozen=True, slots=True)
class Known:
    """What posting needs to know of a show.

    Attributes:
        outline: its pieces.
        ledger: where its ledger is, as show.yaml says; empty where it does not.
        bases: per piece, the facts that what is done on it rests on.
        days: the show's first day, and its last promise or the last day its calendar names.
    """

    outline: Outline
    ledger: str
    bases: Mapping[str, Basis]
    days: DateRange


class _KeptBases(Mapping[str, "Basis"]):
    """Facts by piece, each read from its own line of what is kept when asked for."""

    def __init__(self, lines: bytes, offsets: Mapping[str, int]) -> None:
        self.lines = lines
        self.offsets = offsets

    def __getitem__(self, id_: str) -> Basis:
        from planner.ledger import Basis

        start = self.offsets[id_]
        return Basis(json.loads(self.lines[start : self.lines.index(b"\n", start)]))

    def __iter__(self) -> Iterator[str]:
        return iter(self.offsets)

    def __len__(self) -> int:
        return len(self.offsets)


class _KeptPieces(Mapping[str, "Piece"]):
    """Pieces by id, each made from its row when asked for: posting looks at a few of thousands."""

    def __init__(self, rows: Mapping[str, list[Any]]) -> None:
        self.rows = rows
        self.made: dict[str, Piece] = {}

    def __getitem__(self, id_: str) -> Piece:
        if id_ not in self.made:
            self.made[id_] = _piece(id_, self.rows[id_])
        return self.made[id_]

    def __contains__(self, id_: object) -> bool:
        return id_ in self.rows

    def __iter__(self) -> Iterator[str]:
        return iter(self.rows)

    def __len__(self) -> int:
        return len(self.rows)


def known_show(folder: Path) -> Known:
    """The show's outline; a folder that holds no show ends the command with code 1."""
    stamp = _stamp(folder)
    known = _kept(folder, stamp)
    if known is not None:
        return known
    from planner.cli.opening import open_show, tell
    from planner.status.outlining import bases, outline

    opened, problems = open_show(folder)
    if opened is None:
        tell(problems)
        sys.exit(1)
    drawn = outline(opened.show, opened.graph, opened.estimates)
    show = opened.show
    known = Known(drawn, show.facts.word("ledger"), bases(show), _days(show))
    _keep(folder, stamp, known)
    return known


def _days(show: Show) -> DateRange:
    starts, holidays = show.calendar.starts, show.calendar.holidays
    named = (*(each.day for each in show.deliveries), *(each.last for each in holidays))
    return DateRange(starts, max((starts, *named)))


def open_known_ledger(
    folder: Path, stated: str, address: str | None, *, make: bool
) -> Ledger | None:
    """A show's ledger; None where there is none yet and none is made.

    Args:
        folder: of the show.
        stated: what show.yaml says; empty where it does not.
        address: what the command line says, before all else.
        make: whether to make one where there is none, and to bring up one of an older version,
            which is said on standard error.

    Raises:
        LedgerError: it cannot be opened.
    """
    from pathlib import Path as AnyPath

    from planner.ledger.store import NAME as LEDGER_NAME
    from planner.ledger.store import open_ledger

    wanted = address or stated
    where = AnyPath(wanted) if wanted else folder / LEDGER_NAME
    ledger = open_ledger(wanted if "://" in wanted else where, make=make)
    if ledger is None and "://" not in wanted and where.exists():
        _tell_empty(where)
    if ledger is not None and ledger.brought_up:
        click.echo(f"{ledger.brought_up}.", err=True)
    return ledger


@cache
def _tell_empty(where: Path) -> None:
    """Say, once in a command, that a ledger is there and holds nothing, not even its tables."""
    said = "bring back a copy, or import the last export, if anything was ever posted"
    click.echo(f"{where}: the file is empty: {said}.", err=True)


def reached(folder: Path, stated: str, address: str | None) -> str:
    """Which ledger a show has, and how far it has come; empty where that cannot be told.

    A ledger that cannot be read ends the command with code 1.
    """
    from planner.ledger.store import LedgerError

    try:
        ledger = open_known_ledger(folder, stated, address, make=False)
        if ledger is None:
            return "none"
        come = ledger.reached()
        ledger.close()
    except LedgerError as fault:
        click.echo(str(fault), err=True)
        sys.exit(1)
    return come and f"{ledger.door.where} {come}"


def _stamp(folder: Path) -> list[list[object]]:
    """Name, times and size of every file that an outline rests on.

    The time of change is the disk's own: no copying or touching sets it back.
    """
    paths = (*folder.glob("*.yaml"), *folder.glob("sequences/*.yaml"), *folder.glob("moves/*.csv"))
    found: list[list[object]] = [[__version__, FORMAT]]
    # An editor may hold a lock beside a file: a link to nothing, which is no file of the show.
    for path in sorted(each for each in paths if each.is_file()):
        about = path.stat()
        times = (about.st_mtime_ns, about.st_ctime_ns)
        found.append([path.relative_to(folder).as_posix(), *times, about.st_size])
    return found


def _kept(folder: Path, stamp: list[list[object]]) -> Known | None:
    try:
        mark, _, data = (folder / FOLDER / NAME).read_bytes().partition(b"\n")
        facts = (folder / FOLDER / FACTS).read_bytes()
        if mark != _mark(data, facts):
            return None
        values = json.loads(data)
        return _read(values, facts) if values["stamp"] == stamp else None
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _keep(folder: Path, stamp: list[list[object]], known: Known) -> None:
    """Keep it where the disk allows; posting goes on without, only slower."""
    from planner.pages.files import write_bytes, write_text

    lines = [f"{json.dumps(dict(each.facts))}\n".encode() for each in known.bases.values()]
    ends = accumulate((len(line) for line in lines), initial=0)
    offsets = dict(zip(known.bases, ends, strict=False))
    facts = b"".join(lines)
    data = json.dumps(_written(stamp, known, offsets)).encode()
    try:
        write_bytes(folder / FOLDER / FACTS, facts)
        write_bytes(folder / FOLDER / NAME, b"\n".join((_mark(data, facts), data)))
        write_text(folder / FOLDER / ".gitignore", "*\n")
    except OSError:
        return


def _mark(data: bytes, facts: bytes) -> bytes:
    """Of both files: what is cut short, or of two writers by half, counts as not kept."""
    mark = hashlib.sha256(data)
    mark.update(facts)
    return mark.hexdigest().encode()


def _written(
    stamp: list[list[object]], known: Known, offsets: Mapping[str, int]
) -> dict[str, object]:
    outline = known.outline
    return {
        "stamp": stamp,
        "ledger": known.ledger,
        "days": [known.days.first.isoformat(), known.days.last.isoformat()],
        "shots": dict(outline.shots),
        "sequences": dict(outline.sequences),
        "resources": outline.resources,
        "pieces": {each.id: _row(each) for each in outline.pieces.values()},
        "after": {id_: list(each) for id_, each in outline.followers().items()},
        "facts": offsets,
    }


def _row(piece: Piece) -> list[object]:
    names, steps = [piece.kind, piece.shot, piece.waits], [piece.made_at, piece.shot_at]
    return [*names, *steps, piece.is_wanted, piece.is_settled, piece.grantor]


def _read(values: dict[str, Any], facts: bytes) -> Known:
    from planner.status.outline import Outline

    outline = Outline(
        _KeptPieces(values["pieces"]),
        values["shots"],
        {id_: tuple(shots) for id_, shots in values["sequences"].items()},
        tuple(values["resources"]),
        values["after"],
    )
    days = DateRange(*map(date.fromisoformat, values["days"]))
    return Known(outline, values["ledger"], _KeptBases(facts, values["facts"]), days)


def _piece(id_: str, row: list[Any]) -> Piece:
    from planner.status.outline import Piece
    from planner.status.state import Step

    kind, shot, waits, made_at, shot_at, *rest = row
    made = None if made_at is None else Step(made_at)
    photographed = None if shot_at is None else Step(shot_at)
    return Piece(id_, kind, shot, tuple(waits), made, photographed, *rest)
