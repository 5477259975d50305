"""The ledger in a database: events are added, and never changed or taken away.

Takes an address and events, gives what was kept and what is there. SQLite beside the show by
default, PostgreSQL for a team; both keep an event only when it is on disk. Knows nothing of what
events mean.
"""

from __future__ import annotations

import json
import random
import sqlite3
import time
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import (
    Column,
    Connection,
    Engine,
    Index,
    Integer,
    MetaData,
    Select,
    String,
    Table,
    Text,
    create_engine,
    event,
    exc,
    inspect,
    select,
)
from sqlalchemy.engine import make_url

from planner.ledger.event import NOTHING_ELSE, Basis, Event, What
from planner.ledger.lines import VERSION
from planner.ledger.written import kept_details, plain_details

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from pathlib import Path

NAME = "ledger.db"
PATIENCE_SECONDS = 30
"""How long a writer waits for the others before it gives up; nothing is lost by asking again."""
_WAIT = f"PRAGMA busy_timeout={PATIENCE_SECONDS * 1000}"
_AT_ONCE = 500
# One writer at a time to a show's schema; the number only has to be nobody else's.
_QUEUE = "SELECT pg_advisory_xact_lock(7316042, hashtext(current_schema()))"

_metadata = MetaData()
_kept = Table(
    "happened",
    _metadata,
    Column("id", String(16), primary_key=True),
    Column("client", Text, nullable=False, unique=True),
    Column("utc", String(32), nullable=False),
    Column("at", String(40), nullable=False),
    Column("told", String(40), nullable=False),
    Column("what", String(16), nullable=False),
    Column("about", Text, nullable=False),
    Column("author", Text, nullable=False),
    Column("against", String(16), nullable=False),
    Column("details", Text, nullable=False),
    Index("happened_about", "about"),
)
_rested = Table(
    "rested_on",
    _metadata,
    Column("mark", String(16), primary_key=True),
    Column("facts", Text, nullable=False),
)
_version = Table("ledger_version", _metadata, Column("version", Integer, nullable=False))

_REFUSED = "nothing in a ledger is changed or taken away"
_UNCHANGED = {
    "sqlite": [
        f"CREATE TRIGGER no_{doing}_{table.name} BEFORE {doing} ON {table.name}"
        f" BEGIN SELECT RAISE(ABORT, '{_REFUSED}'); END"
        for table in (_kept, _rested)
        for doing in ("UPDATE", "DELETE")
    ],
    "postgresql": [
        (
            "CREATE FUNCTION ledger_unchanged() RETURNS trigger LANGUAGE plpgsql AS"
            f" 'BEGIN RAISE EXCEPTION ''{_REFUSED}''; END'"
        ),
        *(
            f"CREATE TRIGGER unchanged BEFORE UPDATE OR DELETE OR TRUNCATE ON {table.name}"
            " FOR EACH STATEMENT EXECUTE FUNCTION ledger_unchanged()"
            for table in (_kept, _rested)
        ),
    ],
}


class LedgerError(Exception):
    """The ledger cannot be read or written; its text is a sentence for people."""


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
    """One show's events in a database."""

    def __init__(self, engine: Engine, where: str) -> None:
        self.engine = engine
        self.where = where

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
        with self._opened(writes=True) as connection:
            stored = {each.client: each for each in _stored(connection, _kept.c.client, told)}
            otherwise = tuple(
                each
                for each in events
                if not each.tells_as(stored.get(each.client, told[each.client]))
            )
            if otherwise:
                return Posted((), (), otherwise)
            new = tuple(each for client, each in told.items() if client not in stored)
            if new:
                _rest(connection, {each.mark: each for each in bases})
                connection.execute(_kept.insert(), [_row(each) for each in new])
        return Posted(new, tuple(stored.values()), ())

    def events(self, about: Iterable[str] | None = None) -> tuple[Event, ...]:
        """Everything that happened, oldest first, or what happened to the things named.

        Raises:
            LedgerError: it cannot be read.
        """
        with self._opened(writes=False) as connection:
            if about is None:
                found = list(_events(connection, select(_kept)))
            else:
                found = list(_stored(connection, _kept.c.about, dict.fromkeys(about)))
        return tuple(sorted(found, key=lambda each: each.order))

    def begins(self, beginning: str) -> tuple[Event, ...]:
        """Events whose id begins so.

        Raises:
            LedgerError: it cannot be read.
        """
        wanted = select(_kept).where(_kept.c.id.startswith(beginning, autoescape=True))
        with self._opened(writes=False) as connection:
            return tuple(_events(connection, wanted))

    def bases(self) -> tuple[Basis, ...]:
        """The facts that events rested on.

        Raises:
            LedgerError: it cannot be read.
        """
        with self._opened(writes=False) as connection:
            rows = connection.execute(select(_rested.c.facts)).all()
        return tuple(Basis(json.loads(facts)) for (facts,) in rows)

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()

    @contextmanager
    def _opened(self, *, writes: bool) -> Iterator[Connection]:
        """One transaction, whole or not at all."""
        try:
            with self._connected(writes=writes) as connection, connection.begin():
                _check_version(connection, self.where)
                yield connection
        except exc.SQLAlchemyError as fault:
            raise LedgerError(_sentence(self.where, fault)) from fault

    def _connected(self, *, writes: bool) -> Connection:
        return self.engine.connect().execution_options(writes=writes)


def open_ledger(address: str | Path, *, make: bool = True) -> Ledger | None:
    """Open a ledger.

    Args:
        address: path of an SQLite file, or ``postgresql://…``.
        make: whether to make one where there is none.

    Returns:
        The ledger; None where there is none and none is made.

    Raises:
        LedgerError: it cannot be opened, or a newer version wrote it.
    """
    if isinstance(address, str):
        engine, where = _server(address)
    elif not make and not address.exists():
        return None
    else:
        engine, where = _file(address), str(address)
    try:
        if make or _has_tables(engine):
            _make_tables(engine)
            return Ledger(engine, where)
    except exc.SQLAlchemyError as fault:
        engine.dispose()
        raise LedgerError(_sentence(where, fault)) from fault
    engine.dispose()
    return None


def _server(address: str) -> tuple[Engine, str]:
    try:
        url = make_url(address)
    except exc.ArgumentError:
        raise LedgerError(f"{address} is no address of a ledger; postgresql://… is one") from None
    if url.get_backend_name() != "postgresql":
        raise LedgerError(f"{url.get_backend_name()} keeps no ledgers; postgresql://… does")
    try:
        engine = create_engine(url.set(drivername="postgresql+psycopg"))
    except ImportError:
        raise LedgerError(
            "a ledger on PostgreSQL wants the package psycopg: pip install platewright[team]"
        ) from None
    event.listen(engine, "begin", _queue)
    return engine, url.render_as_string(hide_password=True)


def _file(path: Path) -> Engine:
    engine = create_engine(
        f"sqlite:///{path}",
        connect_args={"timeout": PATIENCE_SECONDS},
    )
    event.listen(engine, "connect", _set_up_connection)
    event.listen(engine, "begin", _begin)
    return engine


def _queue(connection: Connection) -> None:
    if connection.get_execution_options().get("writes"):
        connection.exec_driver_sql(_QUEUE)


def _set_up_connection(connection: Any, _record: object) -> None:
    """Readers never wait for writers; what is acknowledged has reached the disk."""
    connection.isolation_level = None
    connection.execute("PRAGMA journal_mode=WAL")
    connection.execute("PRAGMA synchronous=FULL")


def _begin(connection: Connection) -> None:
    """Writers wait at the door, so that none is turned away half-way.

    They knock every few milliseconds: SQLite's own waiting grows longer with every knock, and lets
    those who came later in first.
    """
    if not connection.get_execution_options().get("writes"):
        connection.exec_driver_sql("BEGIN")
        return
    door: sqlite3.Connection = connection.connection.driver_connection  # type: ignore[assignment]
    until = time.monotonic() + PATIENCE_SECONDS
    door.execute("PRAGMA busy_timeout=0")
    while time.monotonic() < until:
        try:
            door.execute("BEGIN IMMEDIATE")
        except sqlite3.OperationalError as fault:
            if fault.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY:
                break
            time.sleep(random.uniform(0.001, 0.004))  # noqa: S311 - no secret
        else:
            door.execute(_WAIT)
            return
    door.execute(_WAIT)
    connection.exec_driver_sql("BEGIN IMMEDIATE")


def _has_tables(engine: Engine) -> bool:
    return inspect(engine).has_table(_version.name)


def _make_tables(engine: Engine) -> None:
    if _has_tables(engine):
        return
    with engine.connect().execution_options(writes=True) as connection, connection.begin():
        if inspect(connection).has_table(_version.name):
            return  # another writer was here first
        _metadata.create_all(connection)
        for statement in _UNCHANGED[connection.dialect.name]:
            connection.exec_driver_sql(statement)
        connection.execute(_version.insert().values(version=VERSION))


def _check_version(connection: Connection, where: str) -> None:
    version = connection.execute(select(_version.c.version)).scalar()
    if version != VERSION:
        raise LedgerError(
            f"{where} is a ledger of version {version}, and {VERSION} is known here; install the"
            " version that wrote it"
        )


def _stored(
    connection: Connection, column: Column[str], wanted: Mapping[str, object]
) -> Iterator[Event]:
    """Events by client or by what they are about, a few hundred asked for at once."""
    names = list(wanted)
    for n in range(0, len(names), _AT_ONCE):
        yield from _events(connection, select(_kept).where(column.in_(names[n : n + _AT_ONCE])))


def _events(connection: Connection, wanted: Select[Any]) -> Iterator[Event]:
    kept = _kept.c
    columns = wanted.with_only_columns(
        kept.client,
        kept.what,
        kept.about,
        kept.at,
        kept.told,
        kept.author,
        kept.against,
        kept.details,
    )
    for client, what, about, at, told_at, author, against, details in connection.execute(columns):
        said = kept_details(json.loads(details)) if details != "{}" else NOTHING_ELSE
        happened = datetime.fromisoformat(at)
        told = datetime.fromisoformat(told_at) if told_at else None
        yield Event(client, _WHATS[what], about, happened, author, said, against, told)


_WHATS = {each.value: each for each in What}


def _row(told: Event) -> dict[str, object]:
    return {
        "id": told.id,
        "client": told.client,
        "utc": told.at.astimezone(UTC).isoformat(timespec="microseconds"),
        "at": told.at.isoformat(),
        "told": told.told.isoformat() if told.told else "",
        "what": told.what.value,
        "about": told.about,
        "author": told.author,
        "against": told.against,
        "details": _json(plain_details(told.details)),
    }


def _basis_row(basis: Basis) -> dict[str, object]:
    return {"mark": basis.mark, "facts": _json(dict(basis.facts))}


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, sort_keys=True)


def _rest(connection: Connection, bases: Mapping[str, Basis]) -> None:
    """Keep facts that are not kept yet. Writers queue, so nobody else adds them in between."""
    marks = list(bases)
    known: set[str] = set()
    for n in range(0, len(marks), _AT_ONCE):
        some = select(_rested.c.mark).where(_rested.c.mark.in_(marks[n : n + _AT_ONCE]))
        known |= set(connection.scalars(some))
    if rows := [_basis_row(each) for mark, each in bases.items() if mark not in known]:
        connection.execute(_rested.insert(), rows)


def _sentence(where: str, fault: exc.SQLAlchemyError) -> str:
    """What went wrong, and what to do, in words of people."""
    said = str(getattr(fault, "orig", None) or fault).strip().partition("\n")[0]
    for sign, meaning in _MEANINGS.items():
        if sign in said:
            return f"{where}: {meaning}; nothing was written ({said})"
    return f"{where}: {said}; nothing was written"


_MEANINGS = {
    "disk is full": "the disk is full: make room and post again",
    "readonly": "it may only be read: ask for leave to write there, or copy the show",
    "unable to open": "it cannot be opened: look at the folder and its permissions",
    "locked": "others have been writing all the time: post again",
    "malformed": "the file is damaged: bring back a copy, or import the last export",
    "not a database": "this is no ledger: bring back a copy, or import the last export",
    "disk I/O error": "the disk refuses: look at it before posting again",
    "refused": "nobody answers there: see that the server runs",
}
