"""The calls of one stage, and what is said at them."""

from __future__ import annotations

from planner.model.place import Problem, Severity
from planner.pages.order_asked import calls_of, calls_text, index_text
from planner.pages.order_text import notes_of
from tests.pages.test_order_text import HERE, MONDAY, STAGE, call, order, show_with

ORDER = order(call("A_010.dam", MONDAY, 3, stage="stage_a"), call("dam", MONDAY, 16))


def test_a_stage_prints_only_its_calls_with_what_is_found_of_them() -> None:
    found = Problem(Severity.ERROR, HERE, "rig-too-slow", "The crane is slow", "", "A_010.dam")
    assert calls_text(ORDER, show_with(STAGE), "stage_a", notes_of((found,))) == (
        "Stage A: 0 days held\n"
        "  Mon 2 Mar 2026\n"
        "    with crane\n"
        "    ! A_010.dam cannot be done as planned: The crane is slow [rig-too-slow]\n"
        "    08:00-11:00     3 h  A_010.dam: photograph\n"
    )


def test_a_build_that_is_guessed_at_is_marked_where_it_stands() -> None:
    says = "its scale is not settled between 1:3, 1:4"
    found = Problem(Severity.WARNING, HERE, "scale-undecided", says, "choose", "crane")
    marked = f"    ! crane is guessed at: {says} [scale-undecided]\n"
    at_stage = " ".join(calls_text(ORDER, show_with(STAGE), "stage_a", notes_of((found,))).split())
    assert " ".join(marked.split()) in at_stage


def test_what_is_no_shot_sequence_or_stage_has_no_calls_and_no_index() -> None:
    assert calls_of(ORDER, show_with(STAGE), "nobody") == ()
    assert index_text(ORDER, show_with(STAGE)) == ""
