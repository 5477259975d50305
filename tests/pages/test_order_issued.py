"""Issued orders as text and back; whatever else a file holds is told, never raised."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime

import pytest

from planner.model.place import Problem
from planner.order import IssuedCall, IssuedOrder, Stamp
from planner.order.stage_order import Worked
from planner.pages.order_issued import issued_json, read_issued

CALL = IssuedCall(
    element="HL010.town",
    work="photograph",
    craft="camera",
    starts=datetime(2027, 3, 2, 8),
    ends=datetime(2027, 3, 3, 12, 30),
    hours=14.5,
    stage="north",
    set_up='the "hill" 1/24',
    way="north, cam",
    holds=("crew", "north", "cam"),
    rank=7,
)
WORKED = Worked(CALL.id, CALL.starts, datetime(2027, 3, 3), 10.0, 0.689655, CALL.holds)
ORDER = IssuedOrder(
    Stamp(3, date(2027, 2, 26), "Zoë, stage manager", "as agreed", "0.1.0", 5, "ab12"),
    "A small show",
    0.5,
    (CALL, CALL),
    {"HL010": datetime(2027, 3, 9, 10, 15)},
    {"HL010": 2.0},
)


def test_an_issued_order_comes_back_as_it_was() -> None:
    assert read_issued(issued_json(ORDER).encode(), "order_003.json") == ORDER


def test_days_that_were_spent_on_what_is_done_again_come_back() -> None:
    spent = {"south": (date(2027, 3, 1), date(2027, 3, 2))}
    order = replace(ORDER, spent=spent, joined={CALL.id: date(2027, 3, 3)}, redone=(WORKED,))
    assert read_issued(issued_json(order).encode(), "order_003.json") == order


def test_an_order_that_names_what_is_done_again_alone_tells_of_all_of_it() -> None:
    text = issued_json(replace(ORDER, redone=(WORKED,)))
    first, _redone, last = (text.partition('"redone": ')[0], *text.rpartition(',\n"calls"')[::2])
    plain = f'{first}"redone": ["{CALL.id}"],\n"calls"{last}'
    read = read_issued(plain.encode(), "order_003.json")
    assert isinstance(read, IssuedOrder)
    # At what hours it was worked is not told: no overtime is paid for it.
    assert read.redone == (replace(WORKED, ends=CALL.starts, hours=14.5, share=1.0),)


def test_each_call_stands_on_a_line_of_its_own() -> None:
    lines = issued_json(ORDER).splitlines()
    assert sum('"work": "photograph"' in line for line in lines) == 2


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"\xff\xfe", "not text in UTF-8"),
        (b'{"issued_order": 1,\n"number"}', "line 2"),
        (b'{"number": 1}', "issued_order is missing"),
        (b'{"issued_order": 9}', "version 9, not 1"),
        (issued_json(ORDER).replace("2027-03-02T08:00", "Tuesday").encode(), "Tuesday"),
        (b"[]", ""),
        (b"null", ""),
    ],
)
def test_a_file_that_does_not_read_is_a_problem(data: bytes, says: str) -> None:
    found = read_issued(data, "issued/order_003.json")
    assert isinstance(found, Problem)
    assert found.code == "issued-unreadable"
    assert says in found.message
    assert found.place.file == "issued/order_003.json"
