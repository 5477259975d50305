"""Placing in a given order, the patience with changeovers, and pushing back."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.schedule import (
    Activity,
    Calendar,
    Changeovers,
    Instance,
    Lock,
    Mode,
    Precedence,
    Resource,
    decode,
    working_days,
)
from planner.schedule.decode import NEVER, Decoder, Wish, first_gap
from planner.schedule.indexed import index
from planner.schedule.mirror import Mirror
from tests.schedule.test_laws import SLOW, costly, instances, staged


def shooting(name: str, quarters: int, state: str, release: int = 0) -> Activity:
    return Activity(
        name, (Mode(quarters, {"stage": 1}, set_ups={"stage": state}),), release=release
    )


def starts(instance: Instance, price: float) -> list[int]:
    indexed = index(instance)
    free = (-1,) * len(indexed.ids)
    return Decoder(indexed).decode(Wish(indexed.topological, free, price)).starts


def test_patience_decides_between_a_gap_and_the_end_of_the_row() -> None:
    # red 0-2 and, released at 10, red 10-12. Blue of 2 fits between, 3-5, with 1 quarter of
    # changeover each way; after the row it would start at 13 and cost 1 instead of 2.
    instance = Instance(
        (
            shooting("early", 2, "red"),
            shooting("late", 2, "red", release=10),
            shooting("blue", 2, "blue"),
        ),
        (Resource("stage"),),
        changeovers=Changeovers(pairs={("", "red", "blue"): 1, ("", "blue", "red"): 1}),
    )
    # One quarter saved is worth 5 quarters of waiting, not the ten from 3 to 13 ...
    assert starts(instance, price=5)[2] == 3
    # ... and worth 12: 3 + 2 x 12 is more than 13 + 12.
    assert starts(instance, price=12)[2] == 13


def test_gaps_are_filled_by_what_comes_later_in_the_order() -> None:
    # a 0-2; b released at 5; c of 3 fits exactly between, d of 4 does not.
    instance = Instance(
        tuple(
            Activity(name, (Mode(length, {"bench": 1}),), release=release)
            for name, length, release in (("a", 2, 0), ("b", 2, 5), ("c", 3, 0), ("d", 4, 0))
        ),
        (Resource("bench"),),
    )
    assert starts(instance, price=0) == [0, 5, 2, 7]


def test_pushing_back_puts_the_long_chain_first() -> None:
    # One bench. Short s was placed before c, though after c there are 9 more quarters elsewhere:
    # s 0-3, c 3-5, tail 5-14. Pushed back from 14: tail 5-14, c 3-5, s 11-14; so c, tail, s.
    instance = Instance(
        (
            Activity("s", (Mode(3, {"bench": 1}),)),
            Activity("c", (Mode(2, {"bench": 1}),)),
            Activity("tail", (Mode(9),), after=(Precedence("c"),)),
        ),
        (Resource("bench"),),
    )
    indexed = index(instance)
    free = (-1, -1, -1)
    board = Decoder(indexed).decode(Wish((0, 1, 2), free))
    assert board.starts == [0, 3, 5]
    order = Mirror(indexed, horizon=20).justified(board, price=0)
    assert order == (1, 2, 0)
    # Forwards again: c 0-2, tail 2-11, s 2-5.
    assert Decoder(indexed).decode(Wish(order, free)).starts == [2, 0, 2]


def test_work_is_pushed_back_no_further_than_its_due() -> None:
    # All ends at 5, so c stays at 3-5. s may end by 4, not by 5: it cannot go after c, stays 0-3.
    instance = Instance(
        (
            Activity("s", (Mode(3, {"bench": 1}),), due=4),
            Activity("c", (Mode(2, {"bench": 1}),)),
        ),
        (Resource("bench"),),
    )
    indexed = index(instance)
    board = Decoder(indexed).decode(Wish((0, 1), (-1, -1)))
    assert Mirror(indexed, horizon=20).justified(board, price=0) == (0, 1)


def test_no_gap_before_what_is_taken_for_ever_is_never() -> None:
    # Quarters 0-3 held, 4-5 free, everything from 6 on closed: two fit at 4, three nowhere.
    taken = ~0b110000
    assert first_gap(taken, 0, 2) == 4
    assert first_gap(taken, 0, 3) == NEVER
    assert first_gap(-1, 7, 1) == NEVER


@pytest.mark.parametrize("pauses", [False, True])
def test_work_that_fits_nowhere_is_told_and_does_not_search_for_ever(pauses: bool) -> None:
    instance = Instance(
        (Activity("a", (Mode(3, {"bench": 1}),), splittable=pauses),),
        (Resource("bench", blocked=((1, 2),)),),
    )
    indexed = index(instance)
    assert Decoder(indexed).fit(~0b1110, indexed.ways[0][0], 0) == NEVER


@SLOW
@given(instances(most=14))
def test_work_looked_at_together_closes_what_it_closes_one_by_one(instance: Instance) -> None:
    indexed = index(instance)
    wish = Wish(indexed.topological, (-1,) * len(indexed.ids))
    one_by_one = Decoder(indexed).decode(wish)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(decode, "MANY", 0)
        together = Decoder(indexed).decode(wish)
    assert together.starts == one_by_one.starts
    assert together.modes == one_by_one.modes
    assert together.masks == one_by_one.masks


@given(st.lists(st.tuples(st.integers(1, 900), st.integers(1, 900)), min_size=1), st.data())
def test_a_gap_is_the_first_however_far_away_it_is(
    rows: list[tuple[int, int]], data: st.DataObject
) -> None:
    # Taken and free stretches in turn; a gap fits in the first free one that is long enough, from
    # its beginning or from the earliest quarter on, and else after all of them.
    taken, at, free = 0, 0, []
    for busy, clear in rows:
        taken |= ((1 << busy) - 1) << at
        free.append((at + busy, at + busy + clear))
        at += busy + clear
    free[-1] = (free[-1][0], NEVER)
    earliest, length = data.draw(st.integers(0, at + 50)), data.draw(st.integers(1, 1000))
    starts = (max(first, earliest) for first, last in free if max(first, earliest) + length <= last)
    assert first_gap(taken, earliest, length) == next(starts)


@SLOW
@given(instances() | staged() | costly(), st.sampled_from([0.0, 2.0]))
def test_what_was_found_not_to_fit_never_would_have(instance: Instance, price: float) -> None:
    indexed = index(instance)
    decoder, free = Decoder(indexed), (-1,) * len(indexed.ids)
    wish = Wish(indexed.topological, free, price)
    forgetful = decoder.blank()
    for at in range(len(wish.order)):
        forgetful.reached.clear()
        decoder.extend(forgetful, wish, range(at, at + 1))
    board = decoder.decode(wish)
    assert (board.starts, board.modes) == (forgetful.starts, forgetful.modes)


def test_without_a_calendar_both_lags_pass_at_once() -> None:
    # a ends at 2; 1 quarter of work and 3 by the clock after it, the longer of which ends at 5.
    # Days of 24 hours, Monday to Friday, have no night either, so that it is the same.
    after = (Precedence("a", lag_quarters=1, lag_clock_quarters=3),)
    work = (Activity("a", (Mode(2),)), Activity("b", (Mode(1),), after))
    always = Calendar(working_days(date(2027, 3, 1), date(2027, 3, 5)), 96, time(0))
    for calendar in (None, always):
        assert starts(Instance(work, calendar=calendar), price=0) == [0, 5]
    locked = Instance((work[0], replace(work[1], locked=Lock(5))))
    assert Decoder(index(locked)).decode(Wish((0, 1), (-1, -1))).broken == []


def test_work_may_begin_before_the_end_of_what_it_waits_for_if_the_lag_says_so() -> None:
    work = (Activity("a", (Mode(4),)), Activity("b", (Mode(1),), (Precedence("a", -3),)))
    assert starts(Instance(work), price=0) == [0, 1]
