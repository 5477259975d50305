"""First orders go by how long everything can wait."""

from __future__ import annotations

from planner.schedule import Activity, Changeovers, Instance, Lock, Mode, Precedence, Resource
from planner.schedule.indexed import index
from planner.schedule.ranking import by_family, families, latest_starts

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


def shot_as(name: str, state: str, quarters: int, *before: str) -> Activity:
    mode = Mode(quarters, {"stage": 1}, set_ups={"stage": state})
    return Activity(name, (mode,), tuple(map(Precedence, before)))


def on_one_stage(*activities: Activity) -> Instance:
    """Town on one lens and the other: 2 quarters between them, where bringing it anew takes 9."""
    return Instance(
        activities,
        (Resource("stage"),),
        changeovers=Changeovers(default_set_up=9, pairs={("", "town wide", "town long"): 2}),
    )


def test_a_family_is_what_changes_into_one_another_as_an_exception() -> None:
    asked = on_one_stage(
        shot_as("a", "town wide", 4),
        shot_as("b", "hill", 4),
        shot_as("c", "town long", 4),
        Activity("d", WORK),
    )
    assert sorted(map(sorted, families(index(asked)))) == [[0, 2], [1], [3]]


def test_families_go_one_after_the_other_by_state_by_step_and_the_longest_first() -> None:
    asked = on_one_stage(
        shot_as("again", "town wide", 9, "short"),
        shot_as("short", "town wide", 3),
        shot_as("other lens", "town long", 9),
        shot_as("long", "town wide", 5),
        shot_as("hill", "hill", 5),
    )
    # The hill can wait until 20, the town until 10. Town wide is named first, so it comes before
    # town long: in it what waits for nothing, 5 quarters before 3, then what waits for the short.
    latest = [30.0, 10.0, 40.0, 50.0, 20.0]
    assert by_family(index(asked), latest) == (3, 1, 0, 2, 4)
