"""Work that is placed again stays where it was as far as it can, or goes as early as it fits."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from planner.schedule import (
    Activity,
    Answer,
    Budget,
    Instance,
    Mode,
    Parts,
    Precedence,
    Replay,
    Resource,
    solve,
    verify,
)
from planner.schedule.decode import Decoder
from tests.schedule.test_laws import SLOW, instances, staged


def on_the_bench(**quarters: int) -> Instance:
    activities = (Activity(id_, (Mode(long, {"bench": 1}),)) for id_, long in quarters.items())
    return Instance(tuple(activities), (Resource("bench"),))


def answer(**spans: tuple[int, int]) -> Answer:
    return Answer(
        starts={id_: start for id_, (start, _) in spans.items()},
        finishes={id_: finish for id_, (_, finish) in spans.items()},
        modes=dict.fromkeys(spans, 0),
        priorities={id_: n for n, id_ in enumerate(spans)},
        parts=Parts(0, 0, 0, 0, 0, 0, 0),
        changeover_patience=2.0,
        method="by hand",
    )


def changed(instance: Instance, id_: str, **facts: object) -> Instance:
    activities = tuple(
        replace(each, **facts) if each.id == id_ else each  # type: ignore[arg-type]
        for each in instance.activities
    )
    return replace(instance, activities=activities)


CALLED = answer(a=(0, 4), b=(4, 7), c=(10, 12))


def stood(instance: Instance) -> dict[str, int]:
    found = Replay(instance, CALLED).standing()
    assert verify(instance, found) == ()
    return dict(found.starts)


def test_what_is_left_begins_when_it_was_to_though_it_could_sooner() -> None:
    left = on_the_bench(b=3, c=2)  # a is done
    assert stood(left) == {"b": 4, "c": 10}
    assert Replay(left, CALLED).answer().starts == {"b": 0, "c": 3}


def test_what_became_late_pushes_nothing_that_can_stay() -> None:
    late = changed(on_the_bench(a=4, b=3, c=2), "a", release=2)
    # From quarter 2 on the bench is free 2..4, 7..10 and from 12; a takes 4 quarters.
    assert stood(late) == {"a": 12, "b": 4, "c": 10}
    shorter = changed(on_the_bench(a=3, b=3, c=2), "a", release=2)
    assert stood(shorter) == {"a": 7, "b": 4, "c": 10}


def test_what_waits_for_the_late_goes_as_soon_as_it_can() -> None:
    late = changed(on_the_bench(a=4, b=3, c=2), "a", release=6)
    waiting = changed(late, "b", after=(Precedence("a"),))
    # b must go, so that a has 6..10 to itself; c keeps 10..12, and b follows it.
    assert stood(waiting) == {"a": 6, "b": 12, "c": 10}


def test_what_is_new_goes_where_the_rest_leaves_room() -> None:
    # 7..10 is free, so d, of which the answer knows nothing, has its 3 quarters there; a longer one
    # would have had to wait until 12.
    called = answer(a=(0, 4), b=(4, 7), c=(10, 12))
    for quarters, start in ((3, 7), (4, 12)):
        with_new = on_the_bench(a=4, b=3, c=2, d=quarters)
        assert Replay(with_new, called).standing().starts == {"a": 0, "b": 4, "c": 10, "d": start}


def test_without_one_thing_only_what_comes_after_it_is_placed_again() -> None:
    replay = Replay(on_the_bench(a=4, b=3, c=2), CALLED)
    assert replay.answer().finishes == {"a": 4, "b": 7, "c": 9}
    # Without the last the others stay; without the first they are sooner by its four quarters.
    assert replay.without({"c"}) == {"a": 4, "b": 7}
    assert replay.without({"a"}) == {"b": 3, "c": 5}
    assert replay.without({"b"}) == {"a": 4, "c": 6}


@SLOW
@given(instances() | staged(), st.data())
def test_what_is_remembered_of_the_way_changes_no_date(
    instance: Instance, data: st.DataObject
) -> None:
    free = tuple(replace(each, locked=None) for each in instance.activities)
    instance = replace(instance, activities=free)
    called = solve(instance, Budget(evaluations=0))
    replay = Replay(instance, called)
    replay.answer()
    for _ in range(3):
        gone = data.draw(st.sets(st.sampled_from([each.id for each in free])))
        afresh = Replay(instance, called)
        afresh.marks = {0: Decoder(afresh.indexed).blank()}
        assert replay.without(gone) == afresh.without(gone)
