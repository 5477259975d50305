"""Families of set-ups are placed one after the other, each in the way that weighs least."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import product
from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from planner.schedule import (
    Activity,
    Answer,
    Budget,
    Calendar,
    Changeovers,
    Instance,
    Lock,
    Mode,
    Precedence,
    Resource,
    Weights,
    solve,
    verify,
    working_days,
)
from planner.schedule.decode import Decoder
from planner.schedule.families import Families, filling
from planner.schedule.indexed import index
from planner.schedule.search import Found, Search
from tests.schedule.test_laws import SLOW, costly, instances, staged

if TYPE_CHECKING:
    import pytest


def by_families(instance: Instance, ways: int, seed: int = 0) -> tuple[Found | None, Families]:
    """The order that so many ways of each family lead to."""
    indexed = index(instance)
    search = Search(Decoder(indexed), 0)
    families = Families(search.decoder, seed, 0.0)
    asked: list[float] = []

    def spent() -> float:
        asked.append(0.0)
        return len(asked) / max(1, ways * len(families.families))

    return search.consider(next(families.wishes(spent))), families


@SLOW
@given(instances() | costly() | staged(), st.integers(0, 5))
def test_what_they_lead_to_keeps_the_rules(instance: Instance, seed: int) -> None:
    found, _ = by_families(instance, 12, seed)
    if found is None:
        return  # a lock could not be kept
    ids, board = index(instance).ids, found.board
    times = (board.starts, board.finishes, board.modes)
    starts, finishes, modes = (dict(zip(ids, each, strict=True)) for each in times)
    assert verify(instance, Answer(starts, finishes, modes, {}, found.parts)) == ()


DAY = 40


def on_two_stages(*activities: Activity) -> Instance:
    """A day of either stage is dear, and bringing anything up takes 9 quarters."""
    return Instance(
        activities,
        (Resource("north", held_day_cost=800), Resource("south", held_day_cost=800)),
        Calendar(working_days(date(2027, 3, 1), date(2027, 3, 31)), DAY),
        Changeovers(default_set_up=9),
    )


def shot(name: str, state: str, quarters: int, stages: tuple[str, ...], due: int) -> Activity:
    ways = tuple(Mode(quarters, {stage: 1}, set_ups={stage: state}) for stage in stages)
    return Activity(name, ways, due=due)


BOTH = ("north", "south")


def test_a_family_goes_where_a_day_is_held_already() -> None:
    asked = on_two_stages(shot("a", "hill", 5, BOTH[:1], 100), shot("b", "town", 5, BOTH, 200))
    # The hill is up on the north stage at 9 and done at 14. The town would be done at 14 as well on
    # the south one, which is held for a day then. After the hill, 9 to bring it up, it is from 23
    # to 28 of the same day, well before it is due.
    found, families = by_families(asked, 40)
    assert found is not None
    assert found.parts.held_days == 1
    assert found.board.starts == [9, 23]
    # The more urgent is placed first.
    assert families.families == [[0], [1]]


def test_a_day_is_held_where_being_late_is_dearer() -> None:
    # As above, but the town is due, with a day in hand for what nobody foresaw, by 20: after the
    # hill it begins 48 later than 15, its latest, less that day; on the south stage 14 sooner. At
    # 100 a quarter those 14 are dearer than the day's 800.
    late = on_two_stages(shot("a", "hill", 5, BOTH[:1], 10), shot("b", "town", 5, BOTH, 20))
    found, _ = by_families(replace(late, weights=Weights(late=100)), 40)
    assert found is not None
    assert found.parts.held_days == 2
    assert found.board.starts == [9, 9]


def test_chains_are_cut_where_they_come_nearest_to_what_is_left() -> None:
    # 7 + 3 of the first and nothing of the second are 10; 7 and 4 are 11, more than the 10 there.
    assert filling([[7, 3, 5], [4, 9]], 10) == [2, 0]
    # 13 are 4 + 9; with any of the first chain they are 7, 10, 11 or more than 13.
    assert filling([[7, 3, 5], [4, 9]], 13) == [0, 2]
    assert filling([[7], [9]], 6) == [0, 0]


@given(
    st.lists(st.lists(st.integers(1, 20), min_size=1, max_size=3), max_size=4), st.integers(1, 40)
)
def test_no_other_cuts_fill_more(chains: list[list[int]], room: int) -> None:
    sums = [[sum(chain[:n]) for n in range(len(chain) + 1)] for chain in chains]
    most = max(total for each in product(*sums) if (total := sum(each)) <= room)
    counts = filling(chains, room)
    assert sum(each[n] for each, n in zip(sums, counts, strict=True)) == most


def test_days_are_filled_before_the_longest_goes_first() -> None:
    lengths = (16, 15, 13, 12, 12, 12)
    one = [shot(f"a{n}", "hill", length, BOTH[:1], 400) for n, length in enumerate(lengths)]
    # 80 in all, which the longest first spreads over three days, after 40 to bring it up: 16 + 15,
    # to which no 12 can be added, 13 + 12 + 12, and 12. Filled, 16 + 12 + 12 and 15 + 13 + 12 make
    # two of 40.
    asked = replace(on_two_stages(*one), changeovers=Changeovers(default_set_up=40))
    longest, _ = by_families(asked, 1)
    found, _ = by_families(asked, 40)
    assert longest is not None
    assert found is not None
    assert (longest.parts.held_days, found.parts.held_days) == (4, 3)


def test_they_are_placed_once_more_while_effort_is_left() -> None:
    asked = on_two_stages(shot("a", "hill", 5, BOTH[:1], 100), shot("b", "town", 5, BOTH, 200))
    # Two families of one, each in 12 ways, are 24 of 200 placings. The 8 that are left after eight
    # times are less than half of what they took.
    families = Families(Decoder(index(asked)), 0, 0.0)
    assert len(list(families.wishes(lambda: families.placed / 200))) == 8


def test_what_is_locked_is_not_placed_again_and_again() -> None:
    locked = replace(shot("a", "hill", 5, BOTH, 100), locked=Lock(9, 0))
    families = Families(Decoder(index(on_two_stages(locked))), 0, 0.0)
    assert len(list(families.wishes(lambda: 0.0))) == 1


def test_each_is_placed_once_where_no_effort_is_left() -> None:
    before = Activity("build", (Mode(3),))
    one = shot("a", "hill", 5, BOTH[:1], 100)
    after = Activity(one.id, one.modes, (Precedence("build"),), due=100)
    _, families = by_families(on_two_stages(before, after, shot("b", "town", 5, BOTH, 200)), 0)
    assert families.placed == 3


def test_the_same_seed_leads_to_the_same_order() -> None:
    asked = on_two_stages(
        *(shot(f"a{n}", "hill" if n % 2 else "town", 3 + n, BOTH, 60 + n) for n in range(8))
    )
    one, other = (by_families(asked, 60, seed=3)[0] for _ in range(2))
    assert one is not None
    assert other is not None
    assert one.wish == other.wish


def tells_of_families(asked: Instance) -> bool:
    heard: list[str] = []
    solve(asked, Budget(evaluations=40), lambda news: heard.append(news.doing))
    return "placed family by family" in heard


def test_many_activities_are_placed_so_where_nothing_is_late(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("planner.schedule.run.MOST_FOR_REPAIR", 1)
    # Brought up for 9 and taken for 5, the hill is in time if it is due at 14. Due at 4 it is late
    # by 10 quarters at 100 each, of a total that is less than 100 times as much.
    town = shot("b", "town", 5, BOTH, 200)
    assert tells_of_families(on_two_stages(shot("a", "hill", 5, BOTH[:1], 14), town))
    assert not tells_of_families(on_two_stages(shot("a", "hill", 5, BOTH[:1], 4), town))
