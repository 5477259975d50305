"""The ledger in a database: events are added, and never changed or taken away.

Takes an address and events, gives what was kept and what is there. SQLite beside the show by
default, PostgreSQL for a team; both keep an event only when it is on disk. Knows nothing of what
events mean.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from planner.ledger.doors import LedgerError, file_door, server_door
from planner.ledger.event import MARK_LENGTH, NOTHING_ELSE, Basis, Details, Event, What
from planner.ledger.tables import COLUMNS, VERSION, check_version, make_tables, version_of
from planner.ledger.written import kept_details, plain_details

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from pathlib import Path

    from planner.ledger.doors import Door

__all__ = ["NAME", "Ledger", "LedgerError", "Posted", "open_ledger"]

NAME = "ledger.db"
_AT_ONCE = 500
_TOLD = "client, what, about, at, told, author, against, details"
_SOME = f"SELECT {_TOLD} FROM happened"  # noqa: S608 - names of columns


@dataclass(frozen=True, slots=True)
class Posted:
    """What became of events that were told.

    Attributes:
        kept: new to the ledger, in the order told.
        known: there already, saying the same.
        otherwise: there already under the same client's word, telling another thing; not kept.
    """

    kept: tuple[Event, ...]
    known: tuple[Event, ...]
    otherwise: tuple[Event, ...]


class Ledger:
    """One show's events in a database; for one thread at a time.

    Attributes:
        brought_up: what was done to a ledger of an older version, in a sentence; empty where it is
            of this one.
    """

    def __init__(self, door: Door, brought_up: str = "") -> None:
        self.door = door
        self.brought_up = brought_up

    def post(self, events: Sequence[Event], bases: Iterable[Basis] = ()) -> Posted:
        """Keep events, all or none; those it knows already stay as they are.

        Where one tells otherwise than the ledger under the same client's word, none is kept.

        Args:
            events: told now.
            bases: the facts they rested on.

        Raises:
            LedgerError: nothing was kept.
        """
        told = {each.client: each for each in events}
        with self.door.transaction(writes=True) as cursor:
            check_version(version_of(self.door, cursor), self.door.where)
            stored = {each.client: each for each in self._stored(cursor, "client", told)}
            otherwise = tuple(
                each
                for each in events
                if not each.tells_as(stored.get(each.client, told[each.client]))
            )
            if otherwise:
                return Posted((), (), otherwise)
            new = tuple(each for client, each in told.items() if client not in stored)
            if new:
                self._rest(cursor, {each.mark: each for each in bases})
                self._add(cursor, "happened", COLUMNS, [_row(each) for each in new])
        return Posted(new, tuple(stored.values()), ())

    def events(self, about: Iterable[str] | None = None) -> tuple[Event, ...]:
        """Everything that happened, oldest first, or what happened to the things named.

        Raises:
            LedgerError: it cannot be read.
        """
        return self._told("about", None if about is None else dict.fromkeys(about))

    def events_of(self, sorts: Iterable[What]) -> tuple[Event, ...]:
        """What happened of some sorts, oldest first; the rest of a long ledger is not read.

        Raises:
            LedgerError: it cannot be read.
        """
        return self._told("what", dict.fromkeys(each.value for each in sorts))

    def _told(self, column: str, wanted: Mapping[str, object] | None) -> tuple[Event, ...]:
        with self.door.transaction(writes=False) as cursor:
            check_version(version_of(self.door, cursor), self.door.where)
            if wanted is None:
                found = list(_events(cursor.execute(_SOME)))
            else:
                found = list(self._stored(cursor, column, wanted))
        return tuple(sorted(found, key=lambda each: each.order))

    def latest(self, first: datetime, before: datetime) -> datetime | None:
        """When the last thing happened of those from one moment on and before another.

        Raises:
            LedgerError: it cannot be read.
        """
        mark = self.door.dialect.mark
        found = f"SELECT MAX(utc) FROM happened WHERE utc >= {mark} AND utc < {mark}"  # noqa: S608
        with self.door.transaction(writes=False) as cursor:
            check_version(version_of(self.door, cursor), self.door.where)
            (utc,) = cursor.execute(found, (_utc(first), _utc(before))).fetchone()
        return datetime.fromisoformat(utc) if utc else None

    def begins(self, beginning: str) -> tuple[Event, ...]:
        """Events whose id begins so.

        Raises:
            LedgerError: it cannot be read.
        """
        if not 0 < len(beginning) <= MARK_LENGTH or set(beginning) - set("0123456789abcdef"):
            return ()
        mark = self.door.dialect.mark
        with self.door.transaction(writes=False) as cursor:
            check_version(version_of(self.door, cursor), self.door.where)
            # No id has a letter after f, so this spans those that begin so, and the index serves.
            wanted = f"{_SOME} WHERE id >= {mark} AND id < {mark}"
            return tuple(_events(cursor.execute(wanted, (beginning, f"{beginning}g"))))

    def bases(self) -> tuple[Basis, ...]:
        """The facts that events rested on.

        Raises:
            LedgerError: it cannot be read.
        """
        with self.door.transaction(writes=False) as cursor:
            check_version(version_of(self.door, cursor), self.door.where)
            rows = cursor.execute("SELECT facts FROM rested_on").fetchall()
        return tuple(Basis(json.loads(facts)) for (facts,) in rows)

    def reached(self) -> str:
        """How far the ledger has come: the same word, the same events.

        Events are only ever added, and each has its number; a copy brought back and posted to
        otherwise has another event at the same number. Empty where events are not numbered.

        Raises:
            LedgerError: it cannot be read.
        """
        with self.door.transaction(writes=False) as cursor:
            version = version_of(self.door, cursor)
            check_version(version, self.door.where)
            if version != VERSION:
                return ""
            last = "SELECT place, id FROM happened ORDER BY place DESC LIMIT 1"
            place, id_ = cursor.execute(last).fetchone() or (0, "none")
        return f"{place} {id_}"

    def close(self) -> None:
        """Let go of the database."""
        self.door.close()

    def _stored(self, cursor: Any, column: str, wanted: Mapping[str, object]) -> Iterator[Event]:
        """Events by client, sort or what they are about, a few hundred asked for at once."""
        for some in _parts(list(wanted)):
            found = f"{_SOME} WHERE {column} IN ({self._marks(len(some))})"
            yield from _events(cursor.execute(found, some))

    def _rest(self, cursor: Any, bases: Mapping[str, Basis]) -> None:
        """Keep facts that are not kept yet. Writers queue: nobody else adds them in between."""
        known: set[str] = set()
        for some in _parts(list(bases)):
            found = f"SELECT mark FROM rested_on WHERE mark IN ({self._marks(len(some))})"  # noqa: S608
            known |= {mark for (mark,) in cursor.execute(found, some).fetchall()}
        rows = [
            (mark, _json(dict(each.facts))) for mark, each in bases.items() if mark not in known
        ]
        self._add(cursor, "rested_on", ("mark", "facts"), rows)

    def _add(
        self, cursor: Any, table: str, columns: tuple[str, ...], rows: Sequence[tuple[str, ...]]
    ) -> None:
        marks = self._marks(len(columns))
        adding = f"INSERT INTO {table} ({', '.join(columns)}) VALUES ({marks})"  # noqa: S608
        if rows:
            cursor.executemany(adding, rows)

    def _marks(self, count: int) -> str:
        return ", ".join([self.door.dialect.mark] * count)


def open_ledger(address: str | Path, *, make: bool = True) -> Ledger | None:
    """Open a ledger.

    Args:
        address: path of an SQLite file, or ``postgresql://…``.
        make: whether it is to be written: then one is made where there is none, and one of an older
            version is brought to this one.

    Returns:
        The ledger; None where there is none and none is made.

    Raises:
        LedgerError: it cannot be opened, or a newer version wrote it.
    """
    path = None if isinstance(address, str) else address
    if path is not None and not make and not path.exists():
        return None
    door = server_door(str(address)) if path is None else file_door(path)
    try:
        if make:
            return Ledger(door, make_tables(door, path))
        with door.transaction(writes=False) as cursor:
            version = version_of(door, cursor)
        if version is not None:
            check_version(version, door.where)
            return Ledger(door)
    except LedgerError:
        door.close()
        raise
    door.close()
    return None


def _parts(names: list[str]) -> Iterator[list[str]]:
    for n in range(0, len(names), _AT_ONCE):
        yield names[n : n + _AT_ONCE]


def _events(rows: Iterable[tuple[str, ...]]) -> Iterator[Event]:
    # Most events say one of a few things, such as a good third take, so each is read once.
    known: dict[str, Details] = {"{}": NOTHING_ELSE}
    for client, what, about, at, told_at, author, against, details in rows:
        if details not in known:
            known[details] = kept_details(json.loads(details))
        happened = datetime.fromisoformat(at)
        told = datetime.fromisoformat(told_at) if told_at else None
        yield Event(client, _WHATS[what], about, happened, author, known[details], against, told)


_WHATS = {each.value: each for each in What}


def _row(told: Event) -> tuple[str, ...]:
    """One event, in the order of `COLUMNS`."""
    return (
        told.id,
        told.client,
        _utc(told.at),
        told.at.isoformat(),
        told.told.isoformat() if told.told else "",
        told.what.value,
        told.about,
        told.author,
        told.against,
        _json(plain_details(told.details)),
    )


def _utc(moment: datetime) -> str:
    """As text that sorts by time."""
    return moment.astimezone(UTC).isoformat(timespec="microseconds")


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, sort_keys=True)
