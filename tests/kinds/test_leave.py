"""Which written leave a piece of work goes by."""

from __future__ import annotations

from planner.kinds.leave import permits_of

OTHERS = {
    "fire_leave": ("permit", {}),
    "river_leave": ("permit", {}),
    "flame_test": ("test", {"waits_for": "fire_leave"}),
    "S010.plate": ("plate", {"waits_for": "river_leave"}),
}


def named(make, **facts) -> list[str]:
    context = make("miniature", facts, elements=OTHERS)
    return [each.id for each in permits_of(context.show, "S010.it")]


def test_leave_it_waits_for_itself_or_through_what_stands_outside_shots(make) -> None:
    assert named(make, waits_for="fire_leave") == ["fire_leave"]
    assert named(make, waits_for="flame_test") == ["fire_leave"]
    assert named(make, waits_for=("flame_test", "fire_leave")) == ["fire_leave"]
    assert named(make) == []


def test_leave_for_another_piece_is_that_piece_s_own(make) -> None:
    assert named(make, waits_for="S010.plate") == []
    context = make("miniature", {}, elements=OTHERS)
    assert [each.id for each in permits_of(context.show, "S010.plate")] == ["river_leave"]


def test_what_the_show_no_longer_has_goes_by_none(make) -> None:
    assert permits_of(make("miniature", {}).show, "S010.gone") == ()
