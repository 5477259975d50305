"""A ledger of version 1 is read as it is, and brought up by whoever writes to it.

The older tables are made here with the very statements that version 1 used.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from planner.ledger import Basis
from planner.ledger.doors import LedgerError, file_door, server_door
from planner.ledger.store import open_ledger
from tests.cli.test_commands import run
from tests.ledger.told import event

if TYPE_CHECKING:
    from planner.ledger.doors import Door
    from tests.conftest import ShowFolder

MADE = """
CREATE TABLE happened (id VARCHAR(16) NOT NULL, client TEXT NOT NULL, utc VARCHAR(32) NOT NULL,
 at VARCHAR(40) NOT NULL, told VARCHAR(40) NOT NULL, what VARCHAR(16) NOT NULL,
 about TEXT NOT NULL, author TEXT NOT NULL, against VARCHAR(16) NOT NULL, details TEXT NOT NULL,
 PRIMARY KEY (id), UNIQUE (client));
CREATE INDEX happened_about ON happened (about);
CREATE TABLE rested_on (mark VARCHAR(16) NOT NULL, facts TEXT NOT NULL, PRIMARY KEY (mark));
CREATE TABLE ledger_version (version INTEGER NOT NULL);
INSERT INTO ledger_version (version) VALUES (1)
"""
TOLD = [event(3, take="4"), event(1), event(2)]  # as they came, which is not their order
BASIS = Basis({"lens": "35 mm"})


def door_of(address: str | Path) -> Door:
    return file_door(address) if isinstance(address, Path) else server_door(address)


@pytest.fixture
def older(address: str | Path) -> str | Path:
    """A ledger of version 1 with three events."""
    door = door_of(address)
    with door.transaction(writes=True) as cursor:
        for statement in (*MADE.split(";"), *door.dialect.unchanged):
            cursor.execute(statement)
        for each in TOLD:
            at = each.at.isoformat()
            details = '{"take": "4"}' if each.details.take else "{}"
            row = (each.id, each.client, at, at, "", "built", each.about, "anna", "", details)
            marks = ", ".join([door.dialect.mark] * len(row))
            cursor.execute(f"INSERT INTO happened VALUES ({marks})", row)  # noqa: S608
        mark = door.dialect.mark
        basis = (BASIS.mark, '{"lens": "35 mm"}')
        cursor.execute(f"INSERT INTO rested_on VALUES ({mark}, {mark})", basis)  # noqa: S608
    door.close()
    return address


def version(address: str | Path) -> int:
    door = door_of(address)
    with door.transaction(writes=False) as cursor:
        found: int = cursor.execute("SELECT version FROM ledger_version").fetchone()[0]
    door.close()
    return found


def test_looking_leaves_an_older_ledger_as_it_is(older: str | Path) -> None:
    ledger = open_ledger(older, make=False)
    assert ledger is not None
    assert ledger.events() == (event(1), event(2), event(3, take="4"))
    assert ledger.begins(event(2).id[:8]) == (event(2),)
    assert ledger.reached() == ""
    ledger.close()
    assert version(older) == 1


def test_writing_brings_an_older_ledger_up_and_keeps_all_of_it(older: str | Path) -> None:
    ledger = open_ledger(older)
    assert ledger is not None
    assert "was brought from version 1 to 2" in ledger.brought_up
    assert ledger.post([event(1), event(4)]).kept == (event(4),)
    assert ledger.events() == (event(1), event(2), event(3, take="4"), event(4))
    assert ledger.bases() == (BASIS,)
    # Three came before it, so the fourth has the number 4.
    assert ledger.reached() == f"4 {event(4).id}"
    with (
        pytest.raises(LedgerError, match="nothing in a ledger is changed"),
        ledger.door.transaction(writes=True) as cursor,
    ):
        cursor.execute("DELETE FROM happened")
    ledger.close()
    again = open_ledger(older)
    assert again is not None
    assert again.brought_up == ""
    again.close()


def test_who_brings_an_older_ledger_up_is_told_once(older: str | Path, show: ShowFolder) -> None:
    where = ("--ledger", str(older))
    looked = run("ledger", show.path, *where)
    assert "brought" not in looked.output
    first = run("post", show.path, "built", "hill_town", *where)
    assert first.exit_code == 0, first.output
    assert "was brought from version 1 to 2" in first.stderr
    assert "brought" not in first.stdout
    assert run("post", show.path, "proven", "hill_town", *where).stderr == ""


def test_taking_lines_in_tells_that_an_older_ledger_was_brought_up(
    older: str | Path, show: ShowFolder
) -> None:
    lines = show.path / "told.jsonl"
    run("post", show.path, "built", "hill_town")
    run("ledger", show.path, "--export", lines)
    taken = run("ledger", show.path, "--import", lines, "--ledger", str(older))
    assert "was brought from version 1 to 2" in taken.stderr
    assert "1 new, 0 known already" in taken.stdout


def test_what_an_older_file_was_is_kept_beside_it(older: str | Path) -> None:
    if not isinstance(older, Path):
        pytest.skip("a server keeps its own copies")
    for _ in range(2):  # the copy is a ledger of version 1, and may be brought back
        ledger = open_ledger(older)
        assert ledger is not None
        ledger.post([event(9)])
        ledger.close()
        copy = older.with_name("ledger.db.v1-backup")
        with closing(sqlite3.connect(copy)) as connection:
            assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
            assert connection.execute("SELECT count(*) FROM happened").fetchone() == (3,)
            assert connection.execute("SELECT version FROM ledger_version").fetchone() == (1,)
        older.write_bytes(copy.read_bytes())
    names = sorted(each.name for each in older.parent.iterdir() if "backup" in each.name)
    assert names == ["ledger.db.v1-backup", "ledger.db.v1-backup-2"]


def test_a_ledger_that_cannot_be_brought_up_stays_as_it_was(older: str | Path) -> None:
    door = door_of(older)
    # Something is in the way of a statement half-way through.
    with door.transaction(writes=True) as cursor:
        if isinstance(older, Path):
            cursor.execute("CREATE TABLE happened_before (said TEXT)")
        else:
            cursor.execute("ALTER TABLE happened ADD COLUMN place TEXT")
    door.close()
    with pytest.raises(LedgerError, match="already"):
        open_ledger(older)
    assert version(older) == 1
    ledger = open_ledger(older, make=False)
    assert ledger is not None
    assert len(ledger.events()) == 3
    with ledger.door.transaction(writes=False) as cursor:
        # The key of the oldest tables is there still.
        assert cursor.execute("SELECT count(DISTINCT id) FROM happened").fetchone() == (3,)
    ledger.close()


def test_a_copy_that_cannot_be_written_stops_before_anything_is_touched(
    older: str | Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if not isinstance(older, Path):
        pytest.skip("a server keeps its own copies")

    def refuse(_path: Path, _to: Path) -> None:
        raise sqlite3.OperationalError("database or disk is full")

    monkeypatch.setattr("planner.ledger.doors._copy", refuse)
    with pytest.raises(LedgerError, match="v1-backup: the disk is full: make room"):
        open_ledger(older)
    assert version(older) == 1
    assert [each.name for each in older.parent.iterdir() if "backup" in each.name] == []
