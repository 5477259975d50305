"""Lifting a few activities and putting them back keeps every rule and weighs what it says."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from random import Random
from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from planner.schedule import (
    Activity,
    Answer,
    Calendar,
    Changeovers,
    Instance,
    Mode,
    Precedence,
    Resource,
    Weights,
    verify,
    working_days,
)
from planner.schedule.appraise import appraise, rows, work_by_day
from planner.schedule.decode import Decoder, Wish
from planner.schedule.indexed import Indexed, index
from planner.schedule.lifting import Change, Floor, Staying, Surcharge
from planner.schedule.search import Search
from planner.schedule.windows import Windows
from tests.schedule.test_laws import SLOW, instances, staged

if TYPE_CHECKING:
    from planner.schedule.search import Found


def placed(indexed: Indexed) -> tuple[Decoder, Found | None]:
    decoder = Decoder(indexed)
    search = Search(decoder, 0)
    return decoder, search.consider(Wish(indexed.topological, (-1,) * len(indexed.ids)))


def answer(indexed: Indexed, floor: Floor) -> Answer:
    starts, finishes, modes = (
        dict(zip(indexed.ids, values, strict=True))
        for values in (floor.starts, floor.finishes, floor.modes)
    )
    parts = appraise(indexed, floor.starts, floor.finishes, floor.modes)
    return Answer(starts, finishes, modes, {}, parts)


def test_what_was_issued_goes_back_where_it_was_unless_that_ends_too_late() -> None:
    # Issued at 5 and free from 0. One quarter late weighs 100 x 1 + 1 = 101, so a move at 1010 is
    # worth waiting 10 quarters, more than the 5; a move at 101 is worth waiting one.
    one = (Activity("a", (Mode(2, {"bench": 1}),), due=20),)
    indexed = index(Instance(one, (Resource("bench"),)))
    decoder, found = placed(indexed)
    assert found is not None
    for price, start in ((1010, 5), (101, 0)):
        # It was on day 5 of days of one quarter.
        surcharge = Surcharge(1, ((5, 0, price),))
        change = Change(Floor(decoder, found, Staying(surcharge, (5,))))
        change.lift(0)
        assert change.put(0, 0.0, are_free=False)
        assert change.of.starts == [start]


@SLOW
@given(instances() | staged(), st.integers(0, 5), st.sampled_from((0, 7)))
def test_every_try_keeps_the_rules_and_its_own_total(
    instance: Instance, seed: int, price: int
) -> None:
    held = tuple(replace(each, held_day_cost=price) for each in instance.resources)
    indexed = index(replace(instance, resources=held))
    decoder, found = placed(indexed)
    if found is None:
        return
    windows = Windows(Floor(decoder, found), found.total, Random(seed))  # noqa: S311 - repeatable
    for _ in range(15):
        windows.try_once()
        now = answer(indexed, windows.floor)
        assert verify(indexed.instance, now) == ()
        assert windows.total == now.parts.total


def test_work_of_a_day_of_its_own_goes_to_a_day_held_anyway() -> None:
    # Days of 10. The red run can be done at 0-1 and 1-2 and blue only from 10 on, 10-14: 2 days
    # held, 200, and the end at 14. After blue, 14-15 and 15-16, red needs no day of its own: 100
    # and the end at 16. Put back as early as it fits, or drawn up to blue, red stays on day 0.
    def red(name: str, *after: str) -> Activity:
        way = Mode(1, {"stage": 1}, set_ups={"stage": "red"})
        waits = tuple(map(Precedence, after))
        return Activity(name, (way,), waits, together="red", unbroken=True)

    blue = Mode(4, {"stage": 1}, set_ups={"stage": "blue"})
    instance = Instance(
        (red("r1"), red("r2", "r1"), Activity("b", (blue,), release=10)),
        (Resource("stage", held_day_cost=100),),
        Calendar(working_days(date(2027, 3, 1), date(2027, 4, 1)), 10),
        Changeovers(default_set_up=0),
        Weights(late=0, finish=1, cost=1, changeover=1),
    )
    indexed = index(instance)
    decoder, found = placed(indexed)
    assert found is not None
    assert (found.board.starts, found.total) == ([0, 1, 10], 214)
    windows = Windows(Floor(decoder, found), found.total, Random(1))  # noqa: S311 - repeatable
    while windows.placed < 200:
        windows.try_once()
    assert windows.lightest == 116
    assert windows.best[0] == [14, 15, 10]


def test_days_of_nothing_but_standing_or_changing_over_are_held_for_no_work() -> None:
    # Days of 10. Red 8-12 is 2 quarters of day 0 and 2 of day 1; it stands on day 2 until red
    # 31-32; blue 50-52 is brought in for 3 quarters at the end of day 4, 47-50.
    def work(name: str, length: int, state: str) -> Activity:
        way = Mode(length, {"stage": 1}, set_ups={"stage": state})
        return Activity(name, (way,), splittable=True)

    instance = Instance(
        (work("a", 4, "red"), work("b", 1, "red"), work("c", 2, "blue")),
        (Resource("stage", held_day_cost=100),),
        Calendar(working_days(date(2027, 3, 1), date(2027, 4, 1)), 10),
        Changeovers(pairs={("", "red", "blue"): 3}, default_set_up=0),
    )
    indexed = index(instance)
    row = rows(indexed, [8, 31, 50], [12, 32, 52], [0, 0, 0])[0]
    assert work_by_day(indexed, 0, row) == {0: 2, 1: 2, 2: 0, 3: 1, 4: 0, 5: 2}


def two_states() -> Instance:
    # red 0-2, blue after 3 of changeover 5-7, red after 3 more 10-12; what follows each is free.
    def work(name: str, state: str) -> Activity:
        return Activity(name, (Mode(2, {"stage": 1}, set_ups={"stage": state}),))

    return Instance(
        (work("r1", "red"), work("b", "blue"), work("r2", "red")),
        (Resource("stage"),),
        changeovers=Changeovers(
            pairs={("", "red", "blue"): 3, ("", "blue", "red"): 3}, default_set_up=0
        ),
        weights=Weights(late=0, finish=1, cost=0, changeover=10),
    )


def test_putting_a_work_beside_its_like_saves_two_changeovers() -> None:
    indexed = index(two_states())
    decoder = Decoder(indexed)
    found = Search(decoder, 0).consider(Wish((0, 1, 2), (0, 0, 0), price=0))
    assert found is not None
    # r2 fits at 2 from the start: red 0-2, red 2-4, blue 7-9? Placed in order, blue came first.
    assert found.board.starts == [0, 5, 10]
    assert found.total == 12 + 10 * 6
    floor = Floor(decoder, found)
    change = Change(floor)
    change.lift(1)
    change.lift(2)
    assert change.put(2, 0.0, are_free=False)
    assert change.put(1, 0.0, are_free=False)
    # red 0-2, 2-4, blue 7-9: 3 quarters earlier, one changeover of 3 fewer.
    assert floor.starts == [0, 7, 2]
    assert change.difference() == -10 * 3
    assert change.later_finish() == -3
    change.undo()
    assert floor.starts == [0, 5, 10]


def test_what_stands_still_is_not_held_up() -> None:
    # a 0-2 then c 2-3; b 3-5 on a's bench. Lifted, a cannot go after b: c starts at 2.
    indexed = index(
        Instance(
            (
                Activity("a", (Mode(2, {"bench": 1}),)),
                Activity("c", (Mode(1, {"bench": 1}),), after=(Precedence("a"),)),
                Activity("b", (Mode(2, {"bench": 1}),)),
            ),
            (Resource("bench"),),
        )
    )
    decoder = Decoder(indexed)
    found = Search(decoder, 0).consider(Wish((0, 1, 2), (0, 0, 0)))
    assert found is not None
    floor = Floor(decoder, found)
    change = Change(floor)
    change.lift(0)
    change.lift(2)
    assert change.put(2, 0.0, are_free=False)
    assert not change.put(0, 0.0, are_free=False)
