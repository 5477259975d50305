"""Issued orders on the disk: numbered, found, never written over."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from planner.model.place import Problem
from planner.pages.order_files import fetch, fingerprint, keep, numbers
from tests.pages.test_order_issued import ORDER

if TYPE_CHECKING:
    from pathlib import Path

    from planner.order import IssuedOrder
    from tests.conftest import ShowFolder


def numbered(number: int) -> IssuedOrder:
    return replace(ORDER, stamp=replace(ORDER.stamp, number=number))


def test_orders_are_kept_under_their_numbers_and_the_last_is_found(tmp_path: Path) -> None:
    assert numbers(tmp_path) == ()
    for number in (1, 2, 10):
        keep(tmp_path, numbered(number))
    (tmp_path / "issued" / "notes.txt").write_text("mine", encoding="utf-8")
    assert numbers(tmp_path) == (1, 2, 10)
    assert fetch(tmp_path) == numbered(10)
    assert fetch(tmp_path, 2) == numbered(2)
    assert sorted(path.name for path in (tmp_path / "issued").iterdir()) == [
        "notes.txt",
        "order_001.json",
        "order_002.json",
        "order_010.json",
    ]


def test_an_order_is_never_written_over(tmp_path: Path) -> None:
    path = keep(tmp_path, numbered(1))
    before = path.read_bytes()
    with pytest.raises(FileExistsError):
        keep(tmp_path, replace(numbered(1), title="another"))
    assert path.read_bytes() == before
    assert [each.name for each in path.parent.iterdir()] == ["order_001.json"]


@pytest.mark.parametrize(("number", "says"), [(None, "no order has been"), (4, "no order 4 was")])
def test_an_order_never_issued_is_a_problem(tmp_path: Path, number: int | None, says: str) -> None:
    found = fetch(tmp_path, number)
    assert isinstance(found, Problem)
    assert says in found.message
    assert "--issue" in found.remedy


def test_the_fingerprint_is_of_the_files_of_the_show_alone(show: ShowFolder) -> None:
    before = fingerprint(show.path)
    keep(show.path, numbered(1))
    show.write("notes.txt", "mine")
    assert fingerprint(show.path) == before
    show.replace("rates.yaml", "2400 GBP", "2500 GBP")
    assert fingerprint(show.path) != before
