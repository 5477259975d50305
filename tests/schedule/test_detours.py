"""Changing over by way of a third state is quicker than going straight: only neighbours count."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations, product
from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from planner.schedule import (
    Activity,
    Answer,
    Budget,
    Changeovers,
    Instance,
    Lock,
    Mode,
    Precedence,
    Resource,
    solve,
    verify,
    why_impossible,
)
from planner.schedule.decode import Decoder, Wish
from planner.schedule.indexed import BARE, Indexed, index
from tests.schedule.test_laws import FEW, SLOW, either_way

if TYPE_CHECKING:
    from hypothesis.strategies import DrawFn

# From x to z and back takes 50; from either to y, and from y to either, takes nothing.
FAR = Changeovers(pairs={("", "x", "z"): 50, ("", "z", "x"): 50})


def on_stage(state: str, due: int | None = None, locked: Lock | None = None) -> Activity:
    mode = Mode(2, {"stage": 1}, set_ups={"stage": state})
    return Activity(state, (mode,), due=due, locked=locked)


def asked(*activities: Activity) -> Instance:
    return Instance(activities, (Resource("stage"),), changeovers=FAR)


def test_what_lies_between_is_the_way() -> None:
    # x 0-2, y 2-4, z 4-6: z is next to y alone. Without y it waits 50 after x, until 52.
    indexed = index(asked(*map(on_stage, "xyz")))
    assert not indexed.keeps_triangle_rule()
    free = (-1, -1, -1)
    assert Decoder(indexed).decode(Wish((0, 1, 2), free)).starts == [0, 2, 4]
    assert Decoder(indexed).decode(Wish((0, 2, 1), free)).starts == [0, 2, 52]


def test_only_the_resource_with_the_detour_is_told() -> None:
    # On either stage x, y and z are worked on; only on the second is going from x to z dear.
    far = Changeovers(pairs={("far", "x", "z"): 50, ("far", "z", "x"): 50})
    work = tuple(
        Activity(f"{stage} {state}", (Mode(2, {stage: 1}, set_ups={stage: state}),))
        for stage, state in product(("near", "far"), "xyz")
    )
    indexed = index(Instance(work, (Resource("near"), Resource("far")), changeovers=far))
    assert indexed.with_detours() == {1}
    # The order x, z, y: near one after the other; far z waits 50 after x, and y has room between.
    wish = Wish((0, 2, 1, 3, 5, 4), (-1,) * 6)
    assert Decoder(indexed).decode(wish).starts == [0, 4, 2, 0, 2, 52]


def test_locks_that_only_neighbours_part_are_kept() -> None:
    locks = {"x": Lock(0), "y": Lock(2), "z": Lock(4)}
    instance = asked(*(on_stage(state, locked=lock) for state, lock in locks.items()))
    answer = solve(instance, Budget(evaluations=5))
    assert (answer.thawed, verify(instance, answer)) == ((), ())


def test_what_can_be_done_by_a_detour_is_not_called_impossible() -> None:
    # In the order x, y, z all are done by 6. By 5 only two of the three.
    assert why_impossible(asked(*(on_stage(state, due=6) for state in "xyz"))) is None
    assert why_impossible(asked(*(on_stage(state, due=5) for state in "xyz"))) is not None


def test_what_has_no_due_may_be_on_the_way_of_what_has() -> None:
    # The stage stands in x, 50 from z. y 0-2 lies between, so z is done 2-4, and not sooner.
    def standing(due: int) -> Instance:
        stands = Changeovers(pairs=FAR.pairs, standing={"stage": "x"})
        work = (on_stage("y"), on_stage("z", due=due))
        return Instance(work, (Resource("stage"),), changeovers=stands)

    assert why_impossible(standing(4)) is None
    found = why_impossible(standing(3))
    assert found is not None
    assert [(r.fact.id, r.quarters) for r in found.relaxations] == [("z", 1)]


STATES = "xyz"


@st.composite
def crooked(draw: DrawFn) -> Instance:
    """A few works on one stage, changing over as it comes."""
    some = st.sampled_from([0, 0, 1])
    activities = []
    for n in range(draw(st.integers(2, 4))):
        state = draw(st.sampled_from(["", *STATES, *STATES]))
        waits = (Precedence(f"a{n - 1}", draw(some), draw(some)),) if n and draw(some) else ()
        activities.append(
            Activity(
                f"a{n}",
                (Mode(draw(st.integers(0, 2)), {"stage": 1}, set_ups=_set_up(state)),),
                waits,
                release=draw(st.sampled_from([0, 0, 1, 3])),
                due=draw(st.none() | st.integers(2, 10)),
                locked=draw(st.none() | st.none() | st.builds(Lock, st.integers(0, 7))),
            )
        )
    pair = st.tuples(st.just(""), st.sampled_from(STATES), st.sampled_from(STATES))
    return Instance(
        tuple(activities),
        (Resource("stage"),),
        changeovers=Changeovers(
            set_up={state: draw(some) for state in STATES},
            strike={state: draw(some) for state in STATES},
            pairs=draw(
                st.dictionaries(pair, st.sampled_from([0, 0, 1, 6]), min_size=2, max_size=6)
            ),
            standing=draw(st.sampled_from([{}, {"stage": "x"}])),
        ),
    )


def _set_up(state: str) -> dict[str, str]:
    return {"stage": state} if state else {}


def soonest(instance: Instance, order: tuple[Activity, ...]) -> dict[str, int] | None:
    """When each ends if they are done in turn, each as soon as it may; None if that breaks a lock.

    What is done in turn ends soonest if each begins soonest, so that no other times keep more.
    """
    state, free, set_up_until = instance.changeovers.standing.get("stage"), 0, 0
    ends: dict[str, int] = {}
    for activity in order:
        (mode,) = activity.modes
        if any(wait.id not in ends for wait in activity.after):
            return None
        waits = (ends[w.id] + max(w.lag_quarters, w.lag_clock_quarters) for w in activity.after)
        start = max([activity.release, *waits])
        wanted = mode.set_ups.get("stage")
        if mode.duration_quarters:
            start = max(start, free)
        if mode.duration_quarters and wanted:
            change = instance.changeovers.quarters("stage", state, wanted)
            start = max(start, set_up_until + change)
        if activity.locked and activity.locked.start < start:
            return None
        start = activity.locked.start if activity.locked else start
        ends[activity.id] = start + mode.duration_quarters
        if mode.duration_quarters:
            free = ends[activity.id]
            state, set_up_until = (wanted, free) if wanted else (state, set_up_until)
    return ends


def orders(instance: Instance) -> list[dict[str, int]]:
    found = (soonest(instance, order) for order in permutations(instance.activities))
    return [ends for ends in found if ends is not None]


@SLOW
@given(crooked(), st.data())
def test_it_is_called_impossible_where_no_order_of_all_keeps_everything(
    instance: Instance, data: st.DataObject
) -> None:
    # Dues as close as some order keeps them, or now and then a quarter closer.
    near = data.draw(st.sampled_from([{}, *orders(instance)]))
    sooner = st.sampled_from([0, 0, 0, 0, 1])
    dues = {id_: end - data.draw(sooner) for id_, end in near.items()}
    activities = tuple(replace(a, due=dues.get(a.id, a.due)) for a in instance.activities)
    asked_now = replace(instance, activities=activities)
    dues = {a.id: a.due for a in activities if a.due is not None}
    can_be = any(all(ends[id_] <= due for id_, due in dues.items()) for ends in orders(instance))
    assert (why_impossible(asked_now) is None) == can_be


@SLOW
@given(crooked())
def test_every_order_is_placed_so_that_all_rules_are_kept(instance: Instance) -> None:
    indexed = index(instance)
    parts = solve(instance, Budget(seconds=0)).parts
    count = len(indexed.ids)
    for order in permutations(range(count)):
        at = {i: place for place, i in enumerate(order)}
        if any(at[j] > at[i] for i in order for j, _, _ in indexed.before[i]):
            continue
        board = Decoder(indexed).decode(Wish(order, (-1,) * count))
        if not board.broken:
            starts, ends, modes = (
                dict(zip(indexed.ids, each, strict=True))
                for each in (board.starts, board.finishes, board.modes)
            )
            assert verify(instance, Answer(starts, ends, modes, {}, parts)) == ()


@SLOW
@given(crooked())
def test_no_lock_gives_way_where_all_are_locked_as_some_order_has_them(instance: Instance) -> None:
    for ends in orders(instance):
        locked = Instance(
            tuple(
                Activity(
                    a.id, a.modes, a.after, locked=Lock(ends[a.id] - a.modes[0].duration_quarters)
                )
                for a in instance.activities
            ),
            instance.resources,
            changeovers=instance.changeovers,
        )
        assert Decoder(index(locked)).blank().broken == []


def goes_straight(indexed: Indexed) -> bool:
    """Whether of any three states that a stage may be in none is on a quicker way of two others."""
    on: list[set[int]] = [{state} - {BARE} for state in indexed.standing]
    for ways in indexed.ways:
        for r, state in (pair for way in ways for pair in way.states):
            on[r].add(state)
    return all(
        indexed.change(r, a, b) <= indexed.change(r, a, c) + indexed.change(r, c, b)
        for r, states in enumerate(on)
        for a, b, c in product((*states, BARE), states, states)
    )


@FEW
@given(either_way() | crooked())
def test_the_triangle_rule_is_kept_where_no_three_states_break_it(instance: Instance) -> None:
    indexed = index(instance)
    assert indexed.keeps_triangle_rule() == goes_straight(indexed)
