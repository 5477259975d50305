"""Planning again keeps what started, and moves the rest only when that pays."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

import pytest

from planner.schedule import (
    Activity,
    Answer,
    Budget,
    Calendar,
    Instance,
    Lock,
    Mode,
    MovePrice,
    Precedence,
    Progress,
    Replanned,
    Resource,
    Weights,
    replan,
    solve,
    verify,
    working_days,
)
from planner.schedule.lifting import Surcharge
from planner.schedule.run import Run

if TYPE_CHECKING:
    from planner.schedule.beginning import First

STOP_AT_ONCE = Budget(seconds=0)
A_WHILE = Budget(evaluations=200)


def on(resource: str, quarters: int) -> tuple[Mode, ...]:
    return (Mode(quarters, {resource: 1}),)


INSTANCE = Instance(
    (
        Activity("a", on("bench", 4), due=4),
        Activity("b", on("bench", 3), due=7),
        Activity("c", on("bench", 2), due=9),
    ),
    (Resource("bench"),),
)


def issued() -> Answer:
    answer = solve(INSTANCE, STOP_AT_ONCE)
    assert answer.starts == {"a": 0, "b": 4, "c": 7}
    return answer


def moved(before: Answer, again: Replanned) -> set[str]:
    """What has another start or mode than before."""
    now = again.answer
    return {
        name
        for name in before.starts
        if (before.starts[name], before.modes[name]) != (now.starts[name], now.modes[name])
    }


def test_what_started_stays_and_the_rest_follows_in_order() -> None:
    # The bench breaks from 4 to 6, seen at 2: a is under way, b and c slip by 2.
    broken = replace(INSTANCE, resources=(Resource("bench", blocked=((4, 6),)),))
    again = replan(broken, issued(), 2, price_of_move=0, budget=STOP_AT_ONCE)
    assert again.answer.starts == {"a": 0, "b": 6, "c": 9}
    assert verify(again.instance, again.answer) == ()


def test_what_has_to_move_chooses_after_what_it_waits_for() -> None:
    # b waits for a, and c for b. a takes 200 quarters now, not 100: it still begins at 0, and b,
    # which takes c with it, is the first that has to move: to 200, and c to 300. d is new.
    def chain(first: int, *more: Activity) -> Instance:
        return Instance(
            (
                Activity("a", on("bench", first)),
                Activity("b", on("table", 100), after=(Precedence("a"),)),
                Activity("c", on("shelf", 100), after=(Precedence("b"),)),
                *more,
            ),
            (Resource("bench"), Resource("table"), Resource("shelf")),
        )

    was = solve(chain(100), STOP_AT_ONCE)
    now = chain(200, Activity("d", on("shelf", 10)))
    again = replan(now, was, 0, price_of_move=10, budget=A_WHILE)
    assert again.answer.starts == {"a": 0, "b": 200, "c": 300, "d": 0}
    assert verify(again.instance, again.answer) == ()


def late_and_light() -> tuple[Instance, Answer]:
    """b now weighs 1 and c 50: c before b would be lighter, but both would move."""
    a, b, c = INSTANCE.activities
    changed = replace(
        INSTANCE, activities=(a, replace(b, due=4, weight=1), replace(c, due=4, weight=50))
    )
    return changed, issued()


def test_a_better_order_is_taken_when_moving_costs_little() -> None:
    # b then c: 3 x 1 + 5 x 50 = 253 late; c then b: 2 x 50 + 5 x 1 = 105, at 100 each 14800 less.
    changed, before = late_and_light()
    again = replan(changed, before, 4, price_of_move=100, budget=A_WHILE)
    assert again.answer.starts == {"a": 0, "c": 4, "b": 6}


def test_a_better_order_is_left_alone_when_moving_costs_more() -> None:
    changed, before = late_and_light()
    again = replan(changed, before, 4, price_of_move=10_000, budget=A_WHILE)
    assert moved(before, again) == set()


def test_something_new_goes_before_what_waits_for_it() -> None:
    a, b, c = INSTANCE.activities
    more = replace(
        INSTANCE,
        activities=(a, b, replace(c, after=(Precedence("new"),)), Activity("new", on("bench", 1))),
    )
    again = replan(more, issued(), 1, price_of_move=0, budget=STOP_AT_ONCE)
    # Placed just before c in rank: after b.
    assert again.answer.starts == {"a": 0, "b": 4, "new": 7, "c": 8}


def test_what_started_on_a_resource_that_is_gone_thaws_and_says_so() -> None:
    # b started at 4; at 5 the bench turns out to be away from 5 to 9: b cannot have been whole.
    broken = replace(INSTANCE, resources=(Resource("bench", blocked=((5, 9),)),))
    again = replan(broken, issued(), 5, price_of_move=0, budget=STOP_AT_ONCE)
    assert again.answer.thawed == ("b",)
    assert again.answer.starts["b"] >= 9
    assert verify(again.instance, again.answer) == ()


def test_what_started_and_thaws_is_not_planned_into_the_past() -> None:
    # b started at 4; the bench was away at 4, says the news at 6. From 5 it would fit, but 5 is
    # past: b goes from 6 to 9, c after it.
    broken = replace(INSTANCE, resources=(Resource("bench", blocked=((4, 5),)),))
    again = replan(broken, issued(), 6, price_of_move=0, budget=STOP_AT_ONCE)
    assert again.answer.thawed == ("b",)
    assert again.answer.starts == {"a": 0, "b": 6, "c": 9}
    assert verify(again.instance, again.answer) == ()


def test_only_moves_of_what_was_near_cost_the_near_price() -> None:
    # As above: swapping b and c saves 14800 and moves both. From 4, b at 4 is near, c at 7 is not.
    changed, before = late_and_light()
    dear = MovePrice(near=20_000, far=0, window_quarters=2)
    assert moved(before, replan(changed, before, 4, dear, A_WHILE)) == set()
    cheap = MovePrice(near=0, far=20_000, window_quarters=0)
    assert moved(before, replan(changed, before, 4, cheap, A_WHILE)) == set()
    free = MovePrice(near=20_000, far=0, window_quarters=0)
    assert len(moved(before, replan(changed, before, 4, free, A_WHILE))) == 2


def test_a_move_costs_as_much_again_for_so_many_days() -> None:
    # From day 2 at 500, doubled after 20 days: 500 alone where only the mode is another, 25 more
    # for one day sooner or later, 500 more for twenty.
    adds = Surcharge(40, ((2, 0, 500),), 20)
    starts = (80, 119, 40, 120, 80 + 20 * 40)
    assert [adds(0, start, 0) for start in starts] == [0, 0, 525, 525, 1000]
    assert adds(0, 80, 1) == 500


def test_nothing_goes_sooner_than_it_was_called_unless_that_pays() -> None:
    # a turns out shorter, 2. b could start at 2, but its due is met at 4 too and moving costs 50.
    a, b, c = INSTANCE.activities
    shorter = replace(INSTANCE, activities=(replace(a, modes=on("bench", 2)), b, c))
    assert moved(issued(), replan(shorter, issued(), 1, 50, A_WHILE)) == set()


def test_what_is_late_moves_alone_where_the_rest_can_stay() -> None:
    # a turns out 4 longer, so b cannot start before 8. Placed as it was ranked, b at 8 would leave
    # c no room from 6 to 9 and push d as well; after them at 12 it is the only one that moves.
    instance = Instance(
        (
            Activity("a", on("bench", 4)),
            Activity("b", on("table", 2), (Precedence("a"),)),
            Activity("c", on("table", 3), release=6),
            Activity("d", on("table", 3), release=9),
        ),
        (Resource("bench"), Resource("table")),
    )
    before = solve(instance, STOP_AT_ONCE)
    assert before.starts == {"a": 0, "b": 4, "c": 6, "d": 9}
    a, *others = instance.activities
    late = replace(instance, activities=(replace(a, modes=on("bench", 8)), *others))
    again = replan(late, before, 1, price_of_move=1000, budget=STOP_AT_ONCE)
    assert again.answer.starts == {"a": 0, "c": 6, "d": 9, "b": 12}
    assert moved(before, again) == {"b"}


def test_what_takes_others_with_it_has_the_first_choice_of_where_to_move() -> None:
    # w turns out 2 longer, until 6, so b and x move. Keeping c at 6 would send b to 8 and both that
    # wait for it from 8 on: b, two tests and x move. With b at 6 only c gives way: b, c and x do.
    # In the issued order x at 6 would push y and z as well.
    instance = Instance(
        (
            Activity("w", on("shop", 4)),
            Activity("b", on("shop", 2), (Precedence("w"),)),
            Activity("x", on("desk", 2), (Precedence("w"),)),
            Activity("c", on("shop", 2), release=6),
            Activity("y", on("desk", 3), release=6),
            Activity("test1", on("table1", 1), (Precedence("b"),), release=8),
            Activity("test2", on("table2", 1), (Precedence("b"),), release=8),
            Activity("z", on("desk", 3), release=9),
        ),
        tuple(Resource(name) for name in ("shop", "desk", "table1", "table2")),
    )
    was = {"w": 0, "b": 4, "x": 4, "c": 6, "y": 6, "test1": 8, "test2": 8, "z": 9}
    before = solve(instance, STOP_AT_ONCE)
    assert before.starts == was
    w, *others = instance.activities
    late = replace(instance, activities=(replace(w, modes=on("shop", 6)), *others))
    again = replan(late, before, 1, price_of_move=1000, budget=STOP_AT_ONCE)
    assert again.answer.starts == was | {"b": 6, "c": 8, "x": 12}


def test_what_chooses_first_finds_room_around_what_is_shorter() -> None:
    # w turns out 2 longer, until 6. Keeping t at 8 and c from 9 would send b to 15 and what waits
    # for it from 13 on: three move. b at 6 would push t and c: three as well. With t where it was,
    # b goes from 9 to 13, so that only c gives way.
    instance = Instance(
        (
            Activity("w", on("shop", 4)),
            Activity("b", on("shop", 4), (Precedence("w"),)),
            Activity("t", on("shop", 1), release=8),
            Activity("c", on("shop", 6), release=9),
            Activity("take1", on("stage1", 1), (Precedence("b"),), release=13),
            Activity("take2", on("stage2", 1), (Precedence("b"),), release=13),
        ),
        tuple(Resource(name) for name in ("shop", "stage1", "stage2")),
    )
    was = {"w": 0, "b": 4, "t": 8, "c": 9, "take1": 13, "take2": 13}
    before = solve(instance, STOP_AT_ONCE)
    assert before.starts == was
    w, *others = instance.activities
    late = replace(instance, activities=(replace(w, modes=on("shop", 6)), *others))
    again = replan(late, before, 1, price_of_move=1000, budget=STOP_AT_ONCE)
    assert again.answer.starts == was | {"b": 9, "c": 13}


def test_what_cannot_keep_its_day_takes_no_room_from_what_can() -> None:
    # Days of ten quarters; w turns out 14 longer, until 24. c has lost its day, 10 to 20; in its
    # turn it would take 24 to 28, and send d on to the next day. With d from 24 to 27 only c moves.
    instance = Instance(
        (
            Activity("w", on("shop", 10)),
            Activity("c", on("shop", 4), release=10),
            Activity("d", on("shop", 3), release=22),
        ),
        (Resource("shop"),),
        Calendar(working_days(date(2027, 3, 1), date(2027, 3, 31)), 10),
    )
    before = solve(instance, STOP_AT_ONCE)
    assert before.starts == {"w": 0, "c": 10, "d": 22}
    before = replace(before, priorities={"w": 0, "c": 1, "d": 2})
    w, *others = instance.activities
    late = replace(instance, activities=(replace(w, modes=on("shop", 24)), *others))
    again = replan(late, before, 1, price_of_move=1000, budget=STOP_AT_ONCE)
    assert again.answer.starts == {"w": 0, "d": 24, "c": 30}


@pytest.mark.parametrize(
    ("price", "now"),
    [
        (10, {"w": 0, "u": 4, "v": 6, "long": 6, "x": 10, "y": 4, "z": 7}),
        (1000, {"w": 0, "u": 12, "v": 14, "long": 4, "x": 10, "y": 4, "z": 7}),
    ],
)
def test_what_is_long_gives_way_where_that_is_worth_one_more_move(
    price: int, now: dict[str, int]
) -> None:
    # w turns out 2 longer, so u, v and x move. With long where it is, v ends at 15, 10 late at 10
    # each, for three moves; with u at 4 and long after it, at 7, 2 late, for four. In the issued
    # order x at 4 would push y and z as well.
    instance = Instance(
        (
            Activity("w", on("bench", 2)),
            Activity("u", on("shop", 2), (Precedence("w"),)),
            Activity("v", on("desk", 1), (Precedence("u"),), due=5, weight=10),
            Activity("long", on("shop", 8), release=4),
            Activity("x", on("table", 2), (Precedence("w"),)),
            Activity("y", on("table", 3), release=4),
            Activity("z", on("table", 3), release=7),
        ),
        tuple(Resource(name) for name in ("bench", "shop", "desk", "table")),
        weights=Weights(late=1, finish=1),
    )
    before = solve(instance, STOP_AT_ONCE)
    assert before.starts == {"w": 0, "u": 2, "v": 4, "long": 4, "x": 2, "y": 4, "z": 7}
    w, *others = instance.activities
    late = replace(instance, activities=(replace(w, modes=on("bench", 4)), *others))
    assert replan(late, before, 1, price, STOP_AT_ONCE).answer.starts == now


def test_what_is_far_is_ordered_from_scratch_around_what_is_near() -> None:
    # Twelve jobs of 2 quarters, all due at once, issued lightest first; then weights turn around.
    # By Smith's rule the heaviest goes first, but the first two are near and stay.
    jobs = [Activity(f"j{n:02}", on("bench", 2), due=0, weight=12 - n) for n in range(12)]
    instance = Instance(tuple(jobs), (Resource("bench"),))
    before = solve(instance, A_WHILE)
    assert before.starts == {job.id: 2 * n for n, job in enumerate(jobs)}
    turned = replace(
        instance, activities=tuple(replace(job, weight=n + 1) for n, job in enumerate(jobs))
    )
    near = MovePrice(near=20_000, window_quarters=4)
    again = replan(turned, before, 0, near, Budget(evaluations=5))
    assert sorted(again.answer.starts, key=again.answer.starts.__getitem__) == [
        *("j00", "j01"),
        *(f"j{n:02}" for n in range(11, 1, -1)),
    ]


def watched(monkeypatch: pytest.MonkeyPatch) -> tuple[list[Run], list[Run]]:
    """Runs that race, and those that go on alone, as they do."""
    raced: list[Run] = []
    won: list[Run] = []
    race, win = Run.race, Run.win

    def noted_race(run: Run) -> None:
        raced.append(run)
        race(run)

    def noted_win(run: Run, tries: int) -> None:
        won.append(run)
        win(run, tries)

    monkeypatch.setattr(Run, "race", noted_race)
    monkeypatch.setattr(Run, "win", noted_win)
    return raced, won


@pytest.mark.parametrize(("is_turned", "leads"), [(False, "issued"), (True, "afresh")])
def test_of_many_the_issued_order_or_one_begun_afresh_goes_on_whichever_leads(
    monkeypatch: pytest.MonkeyPatch, *, is_turned: bool, leads: str
) -> None:
    # As above, of twenty jobs. Where the weights turn around, the heaviest first is soon lighter;
    # where nothing changes, the lightest first is a third heavier than what was issued.
    monkeypatch.setattr("planner.schedule.run.MOST_FOR_REPAIR", 10)
    monkeypatch.setattr("planner.schedule.replanning.MOST_FOR_REPAIR", 10)
    raced, won = watched(monkeypatch)
    jobs = [Activity(f"j{n:02}", on("bench", 2), due=0, weight=20 - n) for n in range(20)]
    instance = Instance(tuple(jobs), (Resource("bench"),))
    before = solve(instance, A_WHILE)
    assert before.starts == {job.id: 2 * n for n, job in enumerate(jobs)}
    turned = tuple(replace(job, weight=n + 1) for n, job in enumerate(jobs))
    now = replace(instance, activities=turned) if is_turned else instance
    if not is_turned:
        lightest_first = tuple(range(19, -1, -1))
        monkeypatch.setattr("planner.schedule.beginning.gathered", lambda *_, **_k: lightest_first)
        monkeypatch.setattr("planner.schedule.run.other_firsts", lambda _: iter(()))
    budget = Budget(evaluations=100)
    again = replan(now, before, 0, MovePrice(near=20_000, window_quarters=4), budget)
    assert verify(again.instance, again.answer) == ()
    issued, afresh = raced
    assert won == [{"issued": issued, "afresh": afresh}[leads]]
    order = sorted(jobs, key=lambda job: again.answer.starts[job.id])
    rest = range(19, 1, -1) if is_turned else range(2, 20)
    assert [job.id for job in order] == [f"j{n:02}" for n in (0, 1, *rest)]


@pytest.mark.parametrize(
    ("quarters", "waiting"),
    [
        pytest.param(13, 0, id="long"),
        # Short, but more than one that is due waits for it.
        pytest.param(3, 2, id="waited for"),
    ],
)
def test_of_many_what_holds_up_much_keeps_its_day_but_not_its_quarter(
    monkeypatch: pytest.MonkeyPatch, quarters: int, waiting: int
) -> None:
    # A day has 6 quarters. In the shop one was called for 6 and x for 19 to 21, which is due
    # at 8 since. It may begin at 8 on the same day, which moves no call; y stays, which is
    # short and which one that is due waits for.
    monkeypatch.setattr("planner.schedule.run.MOST_FOR_REPAIR", 2)
    monkeypatch.setattr("planner.schedule.replanning.MOST_FOR_REPAIR", 2)
    seen: list[First | None] = []
    set_out = Run.__init__

    def noted(run: Run, *given: Any, **named: Any) -> None:
        set_out(run, *given, **named)
        if run.issued is not None and run.issued.around is not None:
            seen.append(run.issued.around)

    monkeypatch.setattr(Run, "__init__", noted)
    instance = Instance(
        (
            Activity("one", on("shop", quarters), release=6),
            Activity("x", on("shop", 2), release=6, due=30, weight=10),
            Activity("y", on("table", 3), release=6),
            Activity("z", on("table", 3), (Precedence("y"),), release=60, due=90, weight=1),
            *(
                Activity(f"w{n}", (Mode(1),), (Precedence("one"),), release=60, due=90, weight=1)
                for n in range(waiting)
            ),
        ),
        (Resource("shop"), Resource("table")),
        Calendar(working_days(date(2027, 3, 1), date(2027, 3, 31)), 6),
    )
    before = solve(instance, STOP_AT_ONCE)
    before = replace(before, starts=before.starts | {"one": 6, "x": 19})
    one, x, *rest = instance.activities
    urgent = replace(instance, activities=(one, replace(x, due=8), *rest))
    price = MovePrice(near=1000, window_quarters=12)
    again = replan(urgent, before, 0, price, Budget(evaluations=50))
    starts = again.answer.starts
    assert [starts[name] for name in ("one", "x", "y", "z")] == [8, 6, 6, 60]
    (around,) = seen
    assert around is not None
    assert {around.indexed.ids[i] for i in around.indexed.locks} == {"y"}


def test_a_lock_that_gives_way_leaves_an_order_that_can_be_kept() -> None:
    # c was to stay at 4 after b, which now takes until 6: c is thawed and goes after b.
    a, b, c = INSTANCE.activities
    locked = replace(c, after=(Precedence("b"),), locked=Lock(4))
    tight = replace(INSTANCE, activities=(a, replace(b, release=3), locked))
    again = replan(tight, issued(), 1, price_of_move=10, budget=A_WHILE)
    assert again.answer.thawed == ("c",)
    assert again.answer.starts == {"a": 0, "b": 4, "c": 7}
    assert verify(again.instance, again.answer) == ()


def test_progress_is_told() -> None:
    heard: list[Progress] = []
    changed, before = late_and_light()
    replan(changed, before, 4, 100, A_WHILE, progress=heard.append)
    assert heard[0].doing == "as issued"
    assert heard[-1].best < heard[0].best
