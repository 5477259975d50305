"""Laws that hold for any question: answers keep every rule, repeat, and respect their bounds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import permutations, product
from typing import TYPE_CHECKING

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.schedule import (
    Activity,
    Answer,
    Band,
    Budget,
    Calendar,
    Changeovers,
    Instance,
    Lock,
    Mode,
    Precedence,
    Preference,
    Replay,
    Resource,
    bounds_of,
    replan,
    solve,
    verify,
    working_days,
)
from planner.schedule.decode import first_gap

if TYPE_CHECKING:
    from hypothesis.strategies import DrawFn

CALENDAR = Calendar(working_days(date(2027, 3, 1), date(2027, 3, 31)), quarters_per_day=6)
SLOW = settings(
    max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True
)
FEW = settings(SLOW, max_examples=25)
FLIP = st.booleans()
LEAST = (0, 0, 2, 4, 9)
"""Quarters at work before a pause; a day has six."""


@st.composite
def modes(draw: DrawFn, capacities: tuple[int, ...]) -> Mode:
    uses = {
        f"r{n}": draw(st.integers(1, capacity))
        for n, capacity in enumerate(capacities)
        if draw(st.booleans())
    }
    single = [name for name in uses if capacities[int(name[1:])] == 1]
    set_ups = {name: draw(st.sampled_from("xyz")) for name in single if draw(st.booleans())}
    return Mode(draw(st.integers(0, 9)), uses, draw(st.integers(0, 3)), set_ups)


@st.composite
def instances(draw: DrawFn, most: int = 9) -> Instance:
    capacities = tuple(draw(st.lists(st.sampled_from([1, 1, 2, 3]), min_size=1, max_size=3)))
    spells = st.lists(st.tuples(st.integers(0, 25), st.integers(1, 6)), max_size=2)
    activities = []
    for n in range(draw(st.integers(1, most))):
        waits = draw(st.lists(st.integers(0, n - 1), max_size=2, unique=True)) if n else []
        activities.append(
            Activity(
                f"a{n}",
                tuple(draw(st.lists(modes(capacities), min_size=1, max_size=2))),
                tuple(
                    Precedence(f"a{w}", draw(st.integers(0, 2)), draw(st.sampled_from([0, 0, 40])))
                    for w in waits
                ),
                release=draw(st.integers(0, 8)),
                due=draw(st.none() | st.integers(0, 20)),
                weight=draw(st.integers(0, 3)),
                splittable=draw(st.booleans()),
                least_quarters=draw(st.sampled_from(LEAST)),
                locked=draw(st.none() | st.none() | st.builds(Lock, st.integers(0, 20))),
            )
        )
    pairs = draw(
        st.dictionaries(
            st.tuples(st.just(""), st.sampled_from("xyz"), st.sampled_from("xyz")),
            st.integers(0, 4),
            max_size=2,
        )
    )
    return Instance(
        tuple(activities),
        tuple(
            Resource(f"r{n}", capacity, tuple((a, a + b) for a, b in draw(spells)), n)
            for n, capacity in enumerate(capacities)
        ),
        draw(st.sampled_from([None, CALENDAR])),
        Changeovers(
            set_up={"x": draw(st.integers(0, 4)), "y": 2},
            strike={"x": 1},
            pairs=pairs,
            standing={"r0": "x"} if capacities[0] == 1 and draw(st.booleans()) else {},
        ),
    )


@st.composite
def costly(draw: DrawFn) -> Instance:
    """The same with groups, modes that go together, preferences, overtime and waiting."""
    instance = draw(instances())
    prefer = st.builds(Preference, st.integers(0, 10), st.integers(10, 20), st.integers(1, 3))
    activities = tuple(
        replace(
            activity,
            group=draw(st.none() | st.sampled_from("gh")),
            together=draw(st.sampled_from(["", f"of {len(activity.modes)}"])),
            preference=draw(st.none() | prefer),
        )
        for activity in instance.activities
    )
    resources = tuple(
        replace(
            resource,
            overtime=draw(st.sampled_from([(), (Band(4, 2),)])),
            waiting_cost=draw(st.integers(0, 2)) if resource.capacity == 1 else 0,
        )
        for resource in instance.resources
    )
    return replace(instance, activities=activities, resources=resources)


@st.composite
def staged(draw: DrawFn) -> Instance:
    """Pieces that are set up, tried and taken on either of two stages without a break."""
    blocked = st.lists(st.tuples(st.integers(0, 30), st.integers(31, 40)), max_size=1)
    resources = (
        Resource("north", blocked=tuple(draw(blocked))),
        Resource("south"),
        Resource("hands", 2, blocked=tuple(draw(blocked))),
    )
    activities: list[Activity] = []
    for n in range(draw(st.integers(2, 5))):
        after = (Precedence(f"take{draw(st.integers(0, n - 1))}"),) if n and draw(FLIP) else ()
        stages = draw(st.sampled_from([("north",), ("south",), ("north", "south")]))
        state, is_pausing = draw(st.sampled_from("xyz")), draw(FLIP)
        for part in draw(st.sampled_from([("set", "take"), ("set", "try", "take")])):
            length, hands = draw(st.integers(1, 7)), draw(st.integers(0, 2))
            ways = tuple(
                Mode(length, {stage: 1, "hands": hands}, set_ups={stage: state}) for stage in stages
            )
            lag = draw(st.sampled_from([0, 0, 3]))
            after = tuple(replace(each, lag_clock_quarters=lag) for each in after)
            activities.append(
                Activity(
                    f"{part}{n}",
                    ways,
                    after,
                    due=draw(st.none() | st.integers(0, 30)),
                    splittable=is_pausing,
                    least_quarters=draw(st.sampled_from(LEAST)),
                    together=f"piece {n}",
                    unbroken=True,
                )
            )
            after = (Precedence(f"{part}{n}"),)
    changeovers = Changeovers(set_up={"x": 2, "y": 1}, strike={"x": 1, "z": 2})
    return Instance(tuple(activities), resources, CALENDAR, changeovers)


@SLOW
@given(staged())
def test_no_answer_breaks_into_what_is_set_up(instance: Instance) -> None:
    answer = solve(instance, Budget(evaluations=40))
    assert verify(instance, answer) == ()
    assert answer.lower_bound <= answer.parts.total


@FEW
@given(staged())
def test_the_constraint_solver_breaks_into_nothing_either(instance: Instance) -> None:
    answer = solve(instance, Budget(evaluations=5, effort=0.2))
    assert verify(instance, answer) == ()
    assert answer.lower_bound <= answer.parts.total


@FEW
@given(staged(), st.integers(0, 20))
def test_what_is_planned_again_is_not_broken_into(instance: Instance, from_quarter: int) -> None:
    answer = solve(instance, Budget(evaluations=10))
    first = instance.activities[0]
    late = replace(
        instance, activities=(replace(first, release=first.release + 5), *instance.activities[1:])
    )
    again = replan(late, answer, from_quarter, 3, Budget(evaluations=20))
    assert verify(again.instance, again.answer) == ()


@FEW
@given(staged(), st.integers(0, 20))
def test_planned_again_it_weighs_no_more_than_where_it_stands(
    instance: Instance, from_quarter: int
) -> None:
    was = solve(instance, Budget(evaluations=10))
    # Over by then and not done: it has no place any more, and nothing has to move for it.
    past = {name for name, end in was.finishes.items() if end <= from_quarter}
    was = replace(was, starts={n: at for n, at in was.starts.items() if n not in past})
    again = replan(instance, was, from_quarter, 3, Budget(seconds=0))
    stood = Replay(again.instance, was).standing()

    def weighed_with_moves(answer: Answer) -> int:
        day = CALENDAR.quarters_per_day
        moved = [
            name
            for name, at in was.starts.items()
            if (at // day, was.modes[name]) != (answer.starts[name] // day, answer.modes[name])
        ]
        return answer.parts.total + 3 * len(moved)

    # What has begun and cannot stay is planned on in one, and begun sooner again in the other.
    if not stood.thawed and not again.answer.thawed:
        assert weighed_with_moves(again.answer) <= weighed_with_moves(stood)


@FEW
@given(staged(), st.integers(1, 20), st.sampled_from([None, 0.1]))
def test_what_is_new_is_put_into_nothing_that_is_begun(
    instance: Instance, from_quarter: int, effort: float | None
) -> None:
    answer = solve(instance, Budget(evaluations=5))
    # Due at once on every stage, so that it goes wherever it is let.
    new = tuple(
        Activity(f"new {stage} {n}", (Mode(1, {stage: 1}),), due=0, weight=9)
        for stage in ("north", "south")
        for n in range(3)
    )
    more = replace(instance, activities=(*instance.activities, *new))
    again = replan(more, answer, from_quarter, 0, Budget(evaluations=10, effort=effort))
    assert verify(again.instance, again.answer) == ()


@SLOW
@given(costly())
def test_no_answer_with_groups_and_overtime_breaks_a_rule(instance: Instance) -> None:
    answer = solve(instance, Budget(evaluations=40))
    assert verify(instance, answer) == ()
    assert answer.lower_bound <= answer.parts.total


@FEW
@given(costly(), st.integers(0, 25))
def test_no_order_planned_again_breaks_a_rule(instance: Instance, from_quarter: int) -> None:
    answer = solve(instance, Budget(evaluations=10))
    late = replace(
        instance,
        activities=(
            replace(instance.activities[0], release=instance.activities[0].release + 5),
            *instance.activities[1:],
        ),
    )
    again = replan(late, answer, from_quarter, 3, Budget(evaluations=20))
    assert verify(again.instance, again.answer) == ()


@FEW
@given(costly())
def test_the_same_seed_and_evaluations_give_the_same_bytes(instance: Instance) -> None:
    budget = Budget(evaluations=40, seed=7)
    once, twice = (repr(solve(instance, budget)).encode() for _ in range(2))
    assert once == twice


@SLOW
@given(instances())
def test_no_answer_breaks_a_rule(instance: Instance) -> None:
    answer = solve(instance, Budget(evaluations=40))
    assert verify(instance, answer) == ()
    assert answer.lower_bound <= answer.parts.total


@FEW
@given(instances())
def test_no_answer_of_the_constraint_solver_breaks_a_rule(instance: Instance) -> None:
    answer = solve(instance, Budget(evaluations=30, effort=0.05))
    assert verify(instance, answer) == ()
    assert answer.lower_bound <= answer.parts.total


@FEW
@given(instances())
def test_the_same_question_gets_the_same_answer(instance: Instance) -> None:
    budget = Budget(evaluations=30, effort=0.05, seed=3)
    assert solve(instance, budget) == solve(instance, budget)


@SLOW
@given(instances(), st.integers(0, 25))
def test_planning_again_with_nothing_changed_moves_nothing(
    instance: Instance, from_quarter: int
) -> None:
    free = Instance(
        tuple(replace(a, release=0, locked=None) for a in instance.activities),
        instance.resources,
        instance.calendar,
        instance.changeovers,
    )
    answer = solve(free, Budget(evaluations=20))
    again = replan(free, answer, from_quarter, 10**6, Budget(evaluations=20))
    assert verify(again.instance, again.answer) == ()
    assert (again.answer.starts, again.answer.modes) == (answer.starts, answer.modes)
    assert again.answer.thawed == ()


def every_best(instance: Instance) -> int:
    """Shortest finish over all orders, placed one after the other without looking for gaps."""
    best = 10**6
    for order in permutations(instance.activities):
        for chosen in product(*(a.modes for a in order)):
            best = min(best, placed(instance, tuple(zip(order, chosen, strict=True))))
    return best


def placed(instance: Instance, order: tuple[tuple[Activity, Mode], ...]) -> int:
    """Finish of one order with every activity as early as it can, trying each quarter in turn."""
    capacity = {r.id: r.capacity for r in instance.resources}
    finishes: dict[str, int] = {}
    used: dict[tuple[str, int], int] = {}
    for activity, mode in order:
        if any(wait.id not in finishes for wait in activity.after):
            return 10**6
        start = max([activity.release, *(finishes[wait.id] for wait in activity.after)])
        while any(
            used.get((name, q), 0) + units > capacity[name]
            for name, units in mode.uses.items()
            for q in range(start, start + mode.duration_quarters)
        ):
            start += 1
        finishes[activity.id] = start + mode.duration_quarters
        for name, units in mode.uses.items():
            for q in range(start, finishes[activity.id]):
                used[name, q] = used.get((name, q), 0) + units
    return max(finishes.values())


@st.composite
def plain(draw: DrawFn) -> Instance:
    """Four activities, no calendar, set-ups or dues: small enough to try every order."""
    capacities = (1, 2)
    activities = tuple(
        Activity(
            f"a{n}",
            tuple(
                Mode(draw(st.integers(1, 5)), {name: 1})
                for name in draw(st.sampled_from([("r0",), ("r1",), ("r0", "r1")]))
            ),
            (Precedence(f"a{n - 1}"),) if n and draw(st.booleans()) else (),
            release=draw(st.integers(0, 4)),
        )
        for n in range(4)
    )
    return Instance(
        activities, tuple(Resource(f"r{n}", capacity) for n, capacity in enumerate(capacities))
    )


def best_answer(instance: Instance) -> Answer:
    return solve(instance, Budget(evaluations=100, effort=0.5))


@FEW
@given(plain())
def test_tiny_questions_are_answered_best_and_the_bound_is_below(instance: Instance) -> None:
    # Serial placing over all orders always meets a best finish (Kolisch 1996, active schedules).
    answer = best_answer(instance)
    assert answer.parts.finish == every_best(instance)


@FEW
@given(plain())
def test_one_more_of_a_resource_never_makes_it_longer(instance: Instance) -> None:
    more = Instance(
        instance.activities, tuple(Resource(r.id, r.capacity + 1) for r in instance.resources)
    )
    assert best_answer(more).parts.finish <= best_answer(instance).parts.finish


@given(st.integers(0, 2**40 - 1), st.integers(0, 30), st.integers(1, 12))
def test_the_first_gap_is_the_first_one(taken: int, earliest: int, length: int) -> None:
    start = earliest
    while any(taken >> q & 1 for q in range(start, start + length)):
        start += 1
    assert first_gap(taken, earliest, length) == start


@st.composite
def either_way(draw: DrawFn) -> Instance:
    """Work on any of some stages, mostly in a state that must be brought up, cheaply or not."""
    stages = [f"s{n}" for n in range(draw(st.integers(1, 3)))]
    activities = []
    for n in range(draw(st.integers(1, 6))):
        state = draw(st.sampled_from(["", "x", "y", "z"]))
        where = draw(st.lists(st.sampled_from(stages), min_size=1, max_size=3, unique=True))
        ways = tuple(
            Mode(draw(st.integers(0, 4)), {s: 1}, set_ups={s: state} if state else {})
            for s in where
        )
        waits = (
            (Precedence(f"a{draw(st.integers(0, n - 1))}"),) if n and draw(st.booleans()) else ()
        )
        activities.append(Activity(f"a{n}", ways, waits, release=draw(st.integers(0, 6))))
    pair = st.tuples(st.just(""), st.sampled_from("xyz"), st.sampled_from("xyz"))
    return Instance(
        tuple(activities),
        tuple(
            Resource(s, blocked=((a, a + 3),) if (a := draw(st.integers(-6, 6))) >= 0 else ())
            for s in stages
        ),
        changeovers=Changeovers(
            set_up={state: draw(st.integers(0, 5)) for state in "xyz"},
            strike={state: draw(st.integers(0, 3)) for state in "xyz"},
            pairs=draw(st.dictionaries(pair, st.integers(0, 4), max_size=4)),
            standing={"s0": "x"} if draw(st.booleans()) else {},
        ),
    )


@settings(SLOW, max_examples=400)
@given(either_way())
def test_no_answer_ends_before_what_is_bound_for_stages_together(instance: Instance) -> None:
    answer = solve(instance, Budget(evaluations=60))
    assert verify(instance, answer) == ()
    assert bounds_of(instance).finish <= answer.parts.finish
