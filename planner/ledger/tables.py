"""The tables of a ledger, their version, and how an older one is brought up.

Takes a `Door`, makes its tables or brings them to this version, whole or not at all. Knows nothing
of what events mean.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planner.ledger.doors import SQLITE, LedgerError, back_up

if TYPE_CHECKING:
    from pathlib import Path

    from planner.ledger.doors import Dialect, Door

VERSION = 2
"""Of the tables. Version 1 did not number events as they came; it is read as it is."""
COLUMNS = ("id", "client", "utc", "at", "told", "what", "about", "author", "against", "details")
"""Of one event, in every version."""


def version_of(door: Door, cursor: Any) -> int | None:
    """Version of the tables; None where there are none."""
    if not cursor.execute(door.dialect.has_table, ("ledger_version",)).fetchone():
        return None
    row = cursor.execute("SELECT version FROM ledger_version").fetchone()
    return int(row[0]) if row else 0


def check_version(version: int | None, where: str) -> None:
    """Refuse a version that is not known here.

    Raises:
        LedgerError: it is none of those.
    """
    if version is None or not 1 <= version <= VERSION:
        raise LedgerError(
            f"{where} is a ledger of version {version}, and {VERSION} is known here; install the"
            " version that wrote it"
        )


def make_tables(door: Door, path: Path | None) -> str:
    """Make the tables where there are none, and bring older ones up.

    Args:
        door: of the ledger.
        path: of its file; None on a server.

    Returns:
        What was brought up, in a sentence; empty where nothing was.

    Raises:
        LedgerError: the database refuses; it is as it was.
    """
    with door.transaction(writes=False) as cursor:
        version = version_of(door, cursor)
    if version == VERSION:
        return ""
    with door.transaction(writes=True) as cursor:
        version = version_of(door, cursor)  # another writer may have been here first
        if version is None:
            _make(door.dialect, cursor)
            return ""
        check_version(version, door.where)
        return _bring_up(door, cursor, path) if version < VERSION else ""


def _make(dialect: Dialect, cursor: Any) -> None:
    _make_happened(dialect, cursor)
    cursor.execute("CREATE TABLE rested_on (mark VARCHAR(16) PRIMARY KEY, facts TEXT NOT NULL)")
    cursor.execute("CREATE TABLE ledger_version (version INTEGER NOT NULL)")
    cursor.execute(f"INSERT INTO ledger_version (version) VALUES ({VERSION})")  # noqa: S608
    for statement in dialect.unchanged:
        cursor.execute(statement)


def _make_happened(dialect: Dialect, cursor: Any) -> None:
    cursor.execute(
        f"""
        CREATE TABLE happened (
            place {dialect.counting},
            id VARCHAR(16) NOT NULL UNIQUE,
            client TEXT NOT NULL UNIQUE,
            utc VARCHAR(32) NOT NULL,
            at VARCHAR(40) NOT NULL,
            told VARCHAR(40) NOT NULL,
            what VARCHAR(16) NOT NULL,
            about TEXT NOT NULL,
            author TEXT NOT NULL,
            against VARCHAR(16) NOT NULL,
            details TEXT NOT NULL
        )
        """
    )
    cursor.execute("CREATE INDEX happened_about ON happened (about)")


def _bring_up(door: Door, cursor: Any, path: Path | None) -> str:
    """From version 1: number the events, in the order in which they came."""
    said = f"{door.where} was brought from version 1 to {VERSION}"
    if door.dialect is SQLITE and path is not None:
        copy = back_up(path, 1)
        _rebuild(cursor)
        said += f"; what it was is kept as {copy.name}"
    else:
        cursor.execute("ALTER TABLE happened DROP CONSTRAINT happened_pkey")
        cursor.execute("ALTER TABLE happened ADD UNIQUE (id)")
        cursor.execute(f"ALTER TABLE happened ADD COLUMN place {door.dialect.counting}")
    cursor.execute(f"UPDATE ledger_version SET version = {VERSION}")  # noqa: S608
    return said


def _rebuild(cursor: Any) -> None:
    """SQLite adds no numbering to a table that is there: it is written anew beside the old one."""
    columns = ", ".join(COLUMNS)
    cursor.execute("DROP INDEX happened_about")
    cursor.execute("ALTER TABLE happened RENAME TO happened_before")
    _make_happened(SQLITE, cursor)
    cursor.execute(
        f"INSERT INTO happened ({columns}) SELECT {columns} FROM happened_before ORDER BY rowid"  # noqa: S608
    )
    cursor.execute("DROP TABLE happened_before")
    for statement in SQLITE.unchanged:
        if statement.partition(" ON ")[2].startswith("happened "):
            cursor.execute(statement)
