"""A number opened to its arithmetic."""

from __future__ import annotations

from planner.model.place import Place
from planner.model.quantity import Quantity, Standing
from planner.pages.reasons import reason_text

HERE = Place("dam/sequences/a.yaml", 8, 12)


def test_a_reason_opens_to_its_arithmetic() -> None:
    takes = Quantity("takes", 6, "1", Standing.GIVEN, place=HERE, text="6", reason="supervisor")
    minutes = Quantity(
        "time for a take", 0.5, "h", Standing.ASSUMED, reason="stage.take", source="common practice"
    )
    hours = Quantity("hours to photograph", 3, "h", reason="takes x time", inputs=(takes, minutes))
    assert reason_text(hours) == (
        "hours to photograph = 3 h, reckoned\n"
        "  by takes x time\n"
        '  takes = 6, given, written "6"\n'
        "    supervisor\n"
        "    dam/sequences/a.yaml:8:12\n"
        "  time for a take = 0.5 h, assumed\n"
        "    stage.take; source: common practice\n"
        "Rests on something assumed.\n"
    )


def test_a_number_taken_over_says_so_without_a_word_too_many() -> None:
    stated = Quantity("hours", 2, "h", Standing.GIVEN, place=HERE, text="2 h")
    for reason in ("as stated", "of the rig", "from the plan"):
        text = reason_text(Quantity("hours to rig", 2, "h", reason=reason, inputs=(stated,)))
        assert f"\n  {reason}\n" in text


def test_a_shared_part_is_opened_once() -> None:
    leaf = Quantity("leaf", 1)
    tree = leaf
    for level in range(40):  # as a tree 2^40 parts
        tree = Quantity(f"level {level}", level, inputs=(tree, tree))
    text = reason_text(tree)
    assert text.count("as above") == 39


def test_a_part_is_called_by_the_same_name_again() -> None:
    part = Quantity("close_focus", 2, inputs=(Quantity("leaf", 1),))
    text = reason_text(Quantity("sum", 4, inputs=(part, part)))
    assert "close focus = 2, reckoned\n" in text
    assert "close focus = 2, as above\n" in text


def test_a_deep_reason_needs_no_recursion() -> None:
    tree = Quantity("leaf", 1)
    for _ in range(5000):
        tree = Quantity("sum", 1, inputs=(tree,))
    assert reason_text(tree).count("\n") == 5001
