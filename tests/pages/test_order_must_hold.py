"""Promises that cannot hold, as text."""

from __future__ import annotations

from dataclasses import replace

from planner.model.place import Place
from planner.order.must_hold import Contradiction, Easing, Promise
from planner.pages.order_must_hold import must_hold_text
from tests.pages.test_order_text import show_with

DUE = Promise("due", "S_1", "S_1 is due on 2027-06-04", Place("show.yaml", 3, 5))
ALONE = Contradiction(
    promises=(DUE,),
    short_of=(),
    because="At the soonest it is done on 2027-06-07, were nothing scarce: build it may not begin",
    easings=(Easing("give S_1 1 working day more, to 2027-06-07", 1),),
    is_fewest=True,
)


def test_what_would_do_is_told_the_smallest_first() -> None:
    later = Easing("give S_1 2 working days more, to 2027-06-08", 2)
    text = must_hold_text((replace(ALONE, easings=(*ALONE.easings, later)),), show_with())
    assert "One of 2 ways would do, the smallest first:\n  - give S_1 1 working day" in text


def test_a_due_of_which_it_was_not_found_how_far_it_must_give_way_says_how_far_at_least() -> None:
    text = must_hold_text((replace(ALONE, easings=()),), show_with())
    assert text.endswith(
        "It must give way to that day at the least; how much further was not found.\n"
    )
    assert "would do" not in text


def test_promises_of_which_no_easing_was_found_are_not_said_to_be_past_easing() -> None:
    both = replace(ALONE, promises=(DUE, DUE), because="", easings=())
    text = " ".join(must_hold_text((both,), show_with()).split())
    assert text.endswith(
        "How far any of them must give way was not found in the time there is for it."
    )
