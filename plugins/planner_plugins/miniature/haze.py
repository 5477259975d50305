"""Smoke that hangs in the air of a model stage.

Takes its level, how long it settles and clears, and the fans, gives the time it adds to every reset
and findings. Knows nothing of how smoke is made; who may make it is for licensed people to say.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds.subject import hazards_of
from planner_plugins.miniature import rules

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.model.quantity import Quantity


def reset_with_haze(sheet: Worksheet, reset: Quantity) -> Quantity:
    """The reset with the smoke cleared and settled again, where there is smoke."""
    if "smoke" not in hazards_of(sheet):
        return reset
    haze = sheet.element.facts.group("haze")
    settle, clear = haze.number("settle"), haze.number("clear")
    if settle is None:
        return _by_rule(sheet, reset, clear)
    if clear is None:
        return sheet.reckon(
            "reset", reset.value + settle.value, "s", "reset + smoke settles", reset, settle
        )
    return sheet.reckon(
        "reset",
        reset.value + clear.value + settle.value,
        "s",
        "reset + smoke clears + smoke settles",
        reset,
        clear,
        settle,
    )


def _by_rule(sheet: Worksheet, reset: Quantity, clear: Quantity | None) -> Quantity:
    """The reset where nobody says how long smoke settles: the rule's time clears it as well."""
    both = sheet.rule(rules.SMOKE_SETTLE)[0]
    if clear is None:
        reason = "reset + smoke clears and settles"
        return sheet.reckon("reset", reset.value + both.value, "s", reason, reset, both)
    sheet.miss(
        "haze.settle",
        rests="time between takes",
        assumed="what the rule of thumb leaves once it has cleared",
    )
    return sheet.reckon(
        "reset",
        reset.value + max(clear.value, both.value),
        "s",
        "reset + the longer of smoke clears, and smoke clears and settles by rule",
        reset,
        clear,
        both,
    )


def check_haze(sheet: Worksheet) -> None:
    """A level that can be found again, still air, and no screen behind it."""
    if "smoke" not in hazards_of(sheet):
        return
    facts = sheet.element.facts
    haze = facts.group("haze")
    if not haze.values:
        sheet.miss("haze", rests="whether every pass and take has the same smoke")
    elif not haze.word("level"):
        sheet.warn(
            "haze-not-logged",
            "nothing says how thick the smoke is to be: no other pass can be brought to it",
            "read it by a meter or a card at a set distance before each take, and write `level`",
            at="haze",
        )
    if haze.word("fans") == "on":
        sheet.warn(
            "fans-move-haze",
            "the fans run while smoke hangs: it drifts through the pass",
            "clear with the fans, switch them off, and let it settle before the camera runs",
            at="haze",
        )
    if facts.word("screen") and "smoke" not in facts.words("passes"):
        sheet.warn(
            "smoke-before-screen",
            f"smoke hangs between the lens and {facts.word('screen')}: it takes the screen's colour"
            " and greys the matte",
            "photograph the smoke as a pass of its own before black: add smoke to passes",
            at="screen",
        )
