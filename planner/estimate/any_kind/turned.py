"""A subject rolled about the lens axis, by turning the set or the camera.

Takes what is rolled, how far, from where it is held and what hangs free, gives the roll the program
needs, which rods hang and which push, and findings. Knows nothing of moves and rigs.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.kinds import Rule

if TYPE_CHECKING:
    from planner.kinds import Estimate, Worksheet
    from planner.model.facts import Facts
    from planner.model.quantity import Quantity

HANGS = Rule("turned.hangs", "degrees off the vertical that pass unseen", 2, 5, 10, "deg")


def check_turned(sheet: Worksheet, _estimate: Estimate) -> None:
    """Roll to add, rods that hang and push, and what hangs wrong."""
    turned = sheet.element.facts.group("turned")
    angle = turned.number("angle")
    if angle is None:
        sheet.miss("turned.angle", rests="the roll of the program, and how its rods pull")
        return
    by_set = turned.word("by") == "set"
    _note_roll(sheet, angle, by_set=by_set)
    _sort_rods(sheet, angle, by_set=by_set)
    if by_set:
        _check_hanging(sheet, turned, angle)
    if turned.word("support") == "camera_side":
        sheet.warn(
            "support-on-camera-side",
            f"it is rolled {angle.value:g} deg and held from the camera's side: what holds it"
            " stands between it and the lens",
            "hold it from the far side, or through the side that is turned away",
            at="turned",
        )


def _note_roll(sheet: Worksheet, angle: Quantity, *, by_set: bool) -> None:
    added = 0.0 if by_set else -angle.value
    reason = "the set is rolled, the camera is not" if by_set else "the camera rolls the other way"
    sheet.reckon("roll added to the program", added, "deg", reason, angle)


def _sort_rods(sheet: Worksheet, angle: Quantity, *, by_set: bool) -> None:
    """A rod whose hand is above its attach point carries by hanging, one below it by pushing."""
    rods = [rod for rod in sheet.element.facts.groups("rods") if _runs(rod) is not None]
    if not rods:
        return
    turn = math.radians(angle.value) if by_set else 0.0
    hanging = [rod for rod in rods if _rise(rod, turn) > 0]
    names = ", ".join(rod.word("name") for rod in hanging) or "none"
    reason = f"rods whose hand is above what they hold, as it is turned: {names}"
    sheet.reckon("rods that hang", len(hanging), "1", reason, angle)
    sheet.reckon("rods that push", len(rods) - len(hanging), "1", "the rest", angle)


def _runs(rod: Facts) -> tuple[float, float] | None:
    """Right and up from attach point to hand, as the picture shows them, mm."""
    attach, toward = rod.numbers("attach"), rod.numbers("toward")
    if len(attach) != 3 or len(toward) != 3:
        return None
    return toward[0].value - attach[0].value, toward[1].value - attach[1].value


def _rise(rod: Facts, turn: float) -> float:
    """Rise of the hand over the attach point on the stage, mm.

    Turned clockwise as the lens sees it, what points right points down.
    """
    right, up = _runs(rod) or (0.0, 0.0)
    return up * math.cos(turn) - right * math.sin(turn)


def _check_hanging(sheet: Worksheet, turned: Facts, angle: Quantity) -> None:
    hangs = turned.words("hangs")
    seen = sheet.rule(HANGS)[0]
    off = abs((angle.value + 180) % 360 - 180)
    if not hangs or off <= seen.value:
        return
    sheet.warn(
        "hangs-wrong",
        f"the set is rolled {angle.value:g} deg: {' and '.join(hangs)}: hanging {off:g} deg off the"
        " vertical of the picture",
        "roll the camera instead, stiffen what hangs, or photograph it apart",
        at="turned",
    )
