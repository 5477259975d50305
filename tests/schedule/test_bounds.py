"""Bounds are below every answer, and as high as hand-made examples allow."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.schedule import (
    Activity,
    Budget,
    Changeovers,
    Instance,
    Mode,
    Precedence,
    Resource,
    Weights,
    bounds_of,
    solve,
)
from planner.schedule.indexed import index


def on_arrows(arrows: dict[tuple[int, int], int]) -> Instance:
    """A network drawn with activities as arrows between numbered events."""
    return Instance(
        tuple(
            Activity(
                f"{tail}-{head}",
                (Mode(duration),),
                after=tuple(Precedence(f"{t}-{h}") for t, h in arrows if h == tail),
            )
            for (tail, head), duration in arrows.items()
        ),
        weights=Weights(late=0, finish=1, cost=0, changeover=0),
    )


FIRST = {(1, 2): 7, (1, 3): 10, (2, 4): 6, (3, 4): 5, (3, 5): 4, (4, 5): 3, (5, 6): 2}
SECOND = {
    (1, 2): 8,
    (1, 3): 10,
    (1, 4): 9,
    (2, 5): 6,
    (2, 6): 4,
    (3, 5): 5,
    (4, 5): 0,
    (4, 7): 7,
    (5, 7): 12,
    (5, 8): 15,
    (6, 9): 18,
    (7, 8): 4,
    (8, 9): 7,
}


# Published: "Introduction to Management Science", solutions to chapter 8 (project management),
# two networks on arrows; 20 and 38 are the project durations given there.
@pytest.mark.parametrize(("arrows", "duration"), [(FIRST, 20), (SECOND, 38)])
def test_published_networks_have_their_published_durations(
    arrows: dict[tuple[int, int], int], duration: int
) -> None:
    instance = on_arrows(arrows)
    assert bounds_of(instance).chain_finish == duration
    answer = solve(instance, Budget(seconds=0))
    assert answer.parts.finish == duration
    assert answer.proven


def test_published_earliest_starts_are_kept() -> None:
    # Same source, first network: earliest starts of 1-2, 1-3, 2-4, 3-4, 3-5, 4-5, 5-6.
    answer = solve(on_arrows(FIRST), Budget(seconds=0))
    assert list(answer.starts.values()) == [0, 0, 7, 10, 10, 15, 18]


def test_the_work_of_a_resource_bounds_the_finish() -> None:
    # Three of 4 on two hands, 2 + 1 + 2 units: 20 unit-quarters on 3 hands take 7, the chain 4.
    # After the last there are 2 more quarters of varnish for each: 9.
    jobs = tuple(
        Activity(name, (Mode(4, {"hands": units}),))
        for name, units in (("a", 2), ("b", 1), ("c", 2))
    )
    varnish = tuple(Activity(f"v{j.id}", (Mode(2),), (Precedence(j.id),)) for j in jobs)
    found = bounds_of(Instance(jobs + varnish, (Resource("hands", 3),)))
    assert (found.chain_finish, found.finish) == (6, 9)


def test_a_spell_in_which_the_resource_is_away_is_counted() -> None:
    # 6 quarters on one bench that is away from 2 to 5: not before 9.
    jobs = tuple(Activity(n, (Mode(2, {"bench": 1}),)) for n in "abc")
    assert bounds_of(Instance(jobs, (Resource("bench", 1, ((2, 5),)),))).finish == 9


def test_lateness_that_no_order_can_spare_is_bounded() -> None:
    # Due at 3 after 2 + 4 in a chain: at least 3 late, weight 5.
    jobs = (
        Activity("a", (Mode(2),)),
        Activity("b", (Mode(4),), (Precedence("a"),), due=3, weight=5),
    )
    assert bounds_of(Instance(jobs)).lateness == 15


def test_a_mode_that_avoids_the_resource_takes_its_work_out_of_the_bound() -> None:
    jobs = tuple(Activity(n, (Mode(4, {"bench": 1}), Mode(4))) for n in "abc")
    assert bounds_of(Instance(jobs, (Resource("bench"),))).finish == 4


def on_either(count: int, states: str = "", spell: tuple[int, int] = (0, 0)) -> Instance:
    """Pieces of 4 quarters, each on either of two stages, each in its own state if any."""
    jobs = tuple(
        Activity(
            f"a{n}",
            tuple(
                Mode(4, {stage: 1}, set_ups={stage: states[n]} if states else {})
                for stage in ("left", "right")
            ),
        )
        for n in range(count)
    )
    changes = Changeovers(
        set_up={"x": 5, "y": 6, "z": 7}, pairs={("", "x", "y"): 2, ("", "y", "x"): 2}
    )
    stages = (Resource("left", 1, (spell,)), Resource("right"))
    return Instance(jobs, stages, changeovers=changes, weights=Weights(late=0, finish=1, cost=0))


def test_stages_that_stand_in_for_one_another_are_bounded_together() -> None:
    # 5 x 4 = 20 stage-quarters on two stages take 10; any one stage could be left out.
    assert bounds_of(on_either(5)).finish == 10
    # Left is away from 2 to 6: 4 done by 2, 4 more by 6 on the right, 12 more on both by 12.
    assert bounds_of(on_either(5, spell=(2, 6))).finish == 12


def test_each_state_is_brought_up_once_on_stages_together() -> None:
    # Work 3 x 4 = 12. x and y: one from bare, 5 at the least, the other from it, 2; z 7: 14.
    # 26 stage-quarters on two stages: 13. Really: x y on one (5 + 4 + 2 + 4 = 15), z 11.
    instance = on_either(3, "xyz")
    assert bounds_of(instance).finish == 13
    answer = solve(instance, Budget(evaluations=60))
    assert answer.parts.finish == 15


def test_a_state_that_stands_needs_no_bringing_up_nor_does_its_family() -> None:
    # y stands on the left, so x may cost 2 and z 7: 12 + 2 + 7 = 21 on two stages, 11.
    instance = on_either(3, "xyz")
    standing = replace(instance.changeovers, standing={"left": "y"})
    assert bounds_of(replace(instance, changeovers=standing)).finish == 11


def test_a_state_dearer_than_by_a_detour_is_bounded_as_by_that() -> None:
    # z takes 9 to bring up, x takes 3, and from x to z nothing: whatever is done, something takes
    # 3 before z can begin, and its 2 quarters end at 5 or later.
    mode = Mode(2, {"stage": 1}, set_ups={"stage": "z"})
    other = Mode(1, {"stage": 1}, set_ups={"stage": "x"})
    changes = Changeovers(set_up={"x": 3, "z": 9}, pairs={("", "x", "z"): 0})
    work = (Activity("late", (mode,)), Activity("soon", (other,)))
    instance = Instance(work, (Resource("stage"),), changeovers=changes)
    assert not index(instance).keeps_triangle_rule()
    assert bounds_of(instance).chain_finish == 5
    # x from 3 to 4, z from 4 to 6.
    assert solve(instance, Budget(evaluations=20, effort=0.5)).parts.finish == 6
