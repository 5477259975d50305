"""Connections to the two databases that keep ledgers, and what they say in words of people.

Takes a path or an address, gives a `Door`: one connection, transactions that are whole or not at
all, and writers that queue. What differs between the databases stands in a `Dialect`; every other
statement is the same. Knows nothing of events.

Both are spoken to through the interface that Python gives them, with nothing in between: whoever
posts on the floor waits for every library to be read in, and the statements are few.
"""

from __future__ import annotations

import random
import sqlite3
import time
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from urllib.parse import parse_qsl, urlencode, urlsplit

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

PATIENCE_SECONDS = 30
"""How long a writer waits for the others before it gives up; nothing is lost by asking again."""
_CONNECTING_SECONDS = 10
# One writer at a time to a show's schema; the number only has to be nobody else's.
_QUEUE = "SELECT pg_advisory_xact_lock(7316042, hashtext(current_schema()))"
_REFUSED = "nothing in a ledger is changed or taken away"
_KEPT = ("happened", "rested_on")


class LedgerError(Exception):
    """The ledger cannot be read or written; its text is a sentence for people."""


@dataclass(frozen=True, slots=True)
class Dialect:
    """What one database says otherwise than the other.

    Attributes:
        mark: stands for a value in a statement.
        counting: type of a column that numbers rows as they come.
        has_table: asks for a row where a table of some name is there.
        unchanged: statements that make the tables refuse change.
    """

    mark: str
    counting: str
    has_table: str
    unchanged: tuple[str, ...]


SQLITE = Dialect(
    "?",
    "INTEGER PRIMARY KEY",
    "SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = ?",
    tuple(
        f"CREATE TRIGGER no_{doing}_{table} BEFORE {doing} ON {table}"
        f" BEGIN SELECT RAISE(ABORT, '{_REFUSED}'); END"
        for table in _KEPT
        for doing in ("UPDATE", "DELETE")
    ),
)
POSTGRESQL = Dialect(
    "%s",
    "BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY",
    "SELECT 1 FROM pg_tables WHERE schemaname = current_schema() AND tablename = %s",
    (
        (
            "CREATE FUNCTION ledger_unchanged() RETURNS trigger LANGUAGE plpgsql AS"
            f" 'BEGIN RAISE EXCEPTION ''{_REFUSED}''; END'"
        ),
        *(
            f"CREATE TRIGGER unchanged BEFORE UPDATE OR DELETE OR TRUNCATE ON {table}"
            " FOR EACH STATEMENT EXECUTE FUNCTION ledger_unchanged()"
            for table in _KEPT
        ),
    ),
)


class Door:
    """One connection to a database, made when it is first wanted; for one thread at a time."""

    def __init__(
        self,
        where: str,
        dialect: Dialect,
        fault: type[Exception],
        connect: Callable[[], Any],
        begin: Callable[[Any, bool], None],
    ) -> None:
        self.where = where
        self.dialect = dialect
        self.fault = fault
        self.connect = connect
        self.begin = begin
        self.connection: Any = None

    @contextmanager
    def transaction(self, *, writes: bool) -> Iterator[Any]:
        """A cursor; what is done with it is kept whole, or not at all.

        Args:
            writes: whether anything is to be written; writers come one after the other.

        Raises:
            LedgerError: the database refuses.
        """
        committing = False
        try:
            if self.connection is None:
                self.connection = self.connect()
            self.begin(self.connection, writes)
            yield self.connection.cursor()
            committing = True
            self.connection.execute("COMMIT")
        except BaseException as fault:
            self.close()  # which takes back what was begun
            if not isinstance(fault, self.fault):
                raise
            is_lost = writes and committing and self.dialect is POSTGRESQL
            raise LedgerError(_sentence(self.where, fault, is_lost=is_lost)) from fault

    def close(self) -> None:
        """Let go of the database; it is opened again when next wanted."""
        if self.connection is not None:
            with suppress(self.fault):
                self.connection.close()
            self.connection = None


def file_door(path: Path) -> Door:
    """A ledger in a file."""

    def connect() -> sqlite3.Connection:
        try:
            return _connected(path)
        except sqlite3.OperationalError:
            if not _is_left_alone(path):
                raise
        # Where nobody may write there is nothing to wait for, and no side file can be made.
        uri = f"{path.resolve().as_uri()}?mode=ro&immutable=1"
        return sqlite3.connect(uri, uri=True, isolation_level=None)

    return Door(str(path), SQLITE, sqlite3.Error, connect, _begin_file)


def _connected(path: Path) -> sqlite3.Connection:
    """Readers never wait for writers; what is acknowledged has reached the disk."""
    connection = sqlite3.connect(path, timeout=PATIENCE_SECONDS, isolation_level=None)
    try:
        connection.execute("PRAGMA journal_mode=WAL")
        connection.execute("PRAGMA synchronous=FULL")
        connection.execute("SELECT 1 FROM sqlite_master").fetchone()
    except BaseException:
        connection.close()
        raise
    return connection


def _is_left_alone(path: Path) -> bool:
    """Whether a file is there, can be read, and holds all there is: no writer's pages beside it."""
    side = path.with_name(f"{path.name}-wal")
    try:
        with path.open("rb") as file:
            begins = file.read(16)
        return begins == b"SQLite format 3\0" and not (side.exists() and side.stat().st_size)
    except OSError:
        return False


def _begin_file(connection: sqlite3.Connection, writes: bool) -> None:  # noqa: FBT001 - as a Door wants
    """Writers wait at the door, so that none is turned away half-way.

    They knock every few milliseconds: SQLite's own waiting grows longer with every knock, and lets
    those who came later in first.
    """
    if not writes:
        connection.execute("BEGIN")
        return
    until = time.monotonic() + PATIENCE_SECONDS
    connection.execute("PRAGMA busy_timeout=0")
    while not _is_in(connection, is_last=time.monotonic() >= until):
        time.sleep(random.uniform(0.001, 0.004))  # noqa: S311 - no secret
    connection.execute(f"PRAGMA busy_timeout={PATIENCE_SECONDS * 1000}")


def _is_in(connection: sqlite3.Connection, *, is_last: bool) -> bool:
    try:
        connection.execute("BEGIN IMMEDIATE")
    except sqlite3.OperationalError as fault:
        if is_last or fault.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY:
            raise
        return False
    return True


def back_up(path: Path, version: int) -> Path:
    """Copy a ledger beside itself, whole or not at all, and force it to disk.

    Args:
        path: of the ledger; who calls keeps writers out.
        version: of it, which names the copy.

    Returns:
        The copy: ``ledger.db.v1-backup``, or with a number after it where that one is there.

    Raises:
        LedgerError: the disk refuses; nothing is left behind.
    """
    import os

    copy = path.with_name(f"{path.name}.v{version}-backup")
    n = 2
    while copy.exists():
        copy = path.with_name(f"{path.name}.v{version}-backup-{n}")
        n += 1
    begun = copy.with_name(f".{copy.name}.{os.getpid()}")
    try:
        _copy(path, begun)
        with begun.open("rb+") as file:
            os.fsync(file.fileno())
        begun.replace(copy)
    except (sqlite3.Error, OSError) as fault:
        begun.unlink(missing_ok=True)
        raise LedgerError(_sentence(str(copy), fault, is_lost=False)) from fault
    return copy


def _copy(path: Path, to: Path) -> None:
    with suppress(FileNotFoundError):
        to.unlink()
    source, copy = sqlite3.connect(path), sqlite3.connect(to)
    try:
        source.backup(copy)
        # A copy is one file: without this it would want side files wherever it is opened.
        copy.execute("PRAGMA journal_mode=DELETE")
    finally:
        copy.close()
        source.close()


def server_door(address: str) -> Door:
    """A ledger on a server.

    Raises:
        LedgerError: it is no address of one, or the package that speaks to it is not there.
    """
    scheme, colon, _rest = address.partition("://")
    if not colon:
        raise LedgerError(f"{address} is no address of a ledger; postgresql://… is one")
    if scheme not in {"postgresql", "postgres"}:
        raise LedgerError(f"{scheme} keeps no ledgers; postgresql://… does")
    try:
        import psycopg
        from psycopg.conninfo import conninfo_to_dict
    except ImportError:
        raise LedgerError(
            "a ledger on PostgreSQL wants the package psycopg: pip install platewright[team]"
        ) from None

    def connect() -> psycopg.Connection[Any]:
        stated = conninfo_to_dict(address)
        stated.setdefault("connect_timeout", _CONNECTING_SECONDS)
        return psycopg.connect(autocommit=True, **stated)  # type: ignore[arg-type]

    return Door(_without_password(address), POSTGRESQL, psycopg.Error, connect, _begin_server)


def _begin_server(connection: Any, writes: bool) -> None:  # noqa: FBT001 - as a Door wants
    connection.execute("BEGIN")
    if writes:
        connection.execute(f"SET LOCAL lock_timeout = '{PATIENCE_SECONDS}s'")
        connection.execute(_QUEUE)


def _without_password(address: str) -> str:
    try:
        parts = urlsplit(address)
    except ValueError:
        return "postgresql://…"
    user, at, place = parts.netloc.rpartition("@")
    name, colon, _password = user.partition(":")
    hidden = f"{name}{':***' if colon else ''}{at}{place}"
    told = [(key, "***" if key == "password" else each) for key, each in parse_qsl(parts.query)]
    query = urlencode(told, safe="*/=,-")
    return f"{parts.scheme}://{hidden}{parts.path}{'?' if query else ''}{query}"


def _sentence(where: str, fault: BaseException, *, is_lost: bool) -> str:
    """What went wrong, and what to do, in words of people."""
    said = str(fault).strip().partition("\n")[0]
    if is_lost:
        return (
            f"{where}: the connection was lost while it was kept ({said}); look with"
            " `platewright ledger` whether it is there before you post it again"
        )
    for sign, meaning in _MEANINGS.items():
        if sign in said:
            return f"{where}: {meaning}; nothing was written ({said})"
    return f"{where}: {said}; nothing was written"


_MEANINGS = {
    "disk is full": "the disk is full: make room and post again",
    "No space left": "the disk is full: make room and post again",
    "readonly": "it may only be read: ask for leave to write there, or copy the show",
    "Permission denied": "it may only be read: ask for leave to write there, or copy the show",
    "read-only": "it may only be read: ask for leave to write there, or copy the show",
    "unable to open": "it cannot be opened: look at the folder and its permissions",
    "locked": "others have been writing all the time: post again",
    "lock timeout": "others have been writing all the time: post again",
    "malformed": "the file is damaged: bring back a copy, or import the last export",
    "not a database": "this is no ledger: bring back a copy, or import the last export",
    "disk I/O error": "the disk refuses, or is full: look at it before posting again",
    "refused": "nobody answers there: see that the server runs",
    "timeout": "nobody answers there: see that the server runs",
}
