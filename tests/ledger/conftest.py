"""Ledgers of both sorts, empty, on real databases."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING
from urllib.parse import quote
from uuid import uuid4

import pytest

from planner.ledger.store import open_ledger

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from planner.ledger.store import Ledger

SERVER = os.environ.get("PLATEWRIGHT_TEST_POSTGRESQL", "")


@pytest.fixture(params=["sqlite", "postgresql"])
def address(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str | Path]:
    """Where a ledger may be made; of a server, a schema of its own."""
    if request.param == "sqlite":
        yield tmp_path / "ledger.db"
        return
    if not SERVER:
        pytest.skip("no server: run .ci/test, or set PLATEWRIGHT_TEST_POSTGRESQL")
    import psycopg

    schema = f"ledger_{uuid4().hex}"
    with psycopg.connect(SERVER, autocommit=True) as connection:
        connection.execute(f"CREATE SCHEMA {schema}")
        path = quote(f"-csearch_path={schema}")
        yield f"{SERVER}{'&' if '?' in SERVER else '?'}options={path}"
        connection.execute(f"DROP SCHEMA {schema} CASCADE")


@pytest.fixture
def ledger(address: str | Path) -> Iterator[Ledger]:
    opened = open_ledger(address)
    assert opened is not None
    yield opened
    opened.close()
