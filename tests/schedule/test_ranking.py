"""First orders go by how long everything can wait."""

from __future__ import annotations

from planner.schedule import Activity, Instance, Lock, Mode, Precedence
from planner.schedule.indexed import index
from planner.schedule.ranking import latest_starts

WORK = (Mode(2),)


def test_what_is_waited_for_by_something_due_late_can_wait_as_long() -> None:
    # Due at 100: b from 98, and a before it from 96, although the longest chain takes 4 only.
    chain = (Activity("a", WORK), Activity("b", WORK, (Precedence("a"),), due=100))
    assert latest_starts(index(Instance(chain))) == [96, 98]


def test_what_nothing_due_waits_for_waits_for_the_last_of_what_is_due() -> None:
    one = (Activity("a", WORK, due=100), Activity("b", WORK))
    assert latest_starts(index(Instance(one))) == [98, 98]


def test_where_nothing_is_due_the_longest_chain_says_how_long() -> None:
    # a, then 3 quarters, then b: 7 quarters. c has 5 of them to spare.
    chain = (Activity("a", WORK), Activity("b", WORK, (Precedence("a", 3),)), Activity("c", WORK))
    assert latest_starts(index(Instance(chain))) == [0, 5, 5]


def test_a_lock_is_never_later_than_itself() -> None:
    # b is kept at 10, so a ends by then: from 8.
    chain = (Activity("a", WORK), Activity("b", WORK, (Precedence("a"),), due=50, locked=Lock(10)))
    assert latest_starts(index(Instance(chain))) == [8, 10]
