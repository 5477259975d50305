"""The camera's way between two framings of a board.

Takes the framings, the lens and what stands ready to carry the camera, gives how far it goes, and a
finding where nobody has said by what. Knows nothing of how it moves within the picture's world.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds.move import is_moving
from planner.kinds.rig import moves_subject

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.kinds.view import View
    from planner.model.quantity import Quantity
    from planner.model.show import Resource
    from planner_plugins.painting.board import Board

PUSH = "travel between the framings"


def check_push(sheet: Worksheet, view: View, board: Board, frames: Quantity) -> None:
    """Reckon the travel between two framings, and tell where no move, rig or stand is to do it.

    Args:
        sheet: of the painting.
        view: of the lens it is photographed with.
        board: with its framings.
        frames: kept, handles included.
    """
    wide, tight = board.widest, board.tightest
    if view.focal is None or not wide.value > tight.value > 0:
        return
    travel = sheet.reckon(
        PUSH,
        view.focal.value * (wide.value - tight.value) / view.width.value,
        "mm",
        "focal length x (widest - tightest) / frame width",
        view.focal,
        wide,
        tight,
        view.width,
        source="thin lens",
    )
    if is_moving(sheet.element) or _has_stand(sheet, travel):
        return
    sheet.warn(
        "framings-without-move",
        f"between {wide.value:g} mm and {tight.value:g} mm across the camera travels"
        f" {travel.value / 1000:.3g} m within {frames.value:g} frames, and no move says so:"
        f" {_uncounted(sheet)}",
        f"name the move as `move_from`, on {_carriers(sheet, travel)}; or state the"
        " `stand_travel` of a camera whose own stand goes so far",
        at="tightest",
    )


def _has_stand(sheet: Worksheet, travel: Quantity) -> bool:
    """Whether a camera that would do goes so far on the stand it has."""
    cameras = map(sheet.context.resource, sheet.context.names("camera"))
    return any(each is not None and _reach(each, "") >= travel.value for each in cameras)


def _uncounted(sheet: Worksheet) -> str:
    rig = "" if sheet.context.names("rig") else "no rig is held for it, and "
    return f"{rig}its programming is not counted"


def _carriers(sheet: Worksheet, travel: Quantity) -> str:
    """The rigs that would do and go so far, by the names people use."""
    context = sheet.context
    named = [each for name in context.names("rig") if (each := context.resource(name))]
    rigs = named or [each for each in context.show.resources_of("rig") if not moves_subject(each)]
    able = [
        each.title
        for each in rigs
        if any(_reach(each, axis) >= travel.value for axis in each.facts.named("axes"))
    ]
    return " or ".join(able) or f"a rig that goes {travel.value / 1000:.3g} m"


def _reach(resource: Resource, axis: str) -> float:
    """How far an axis goes, or the camera's own stand where no axis is named, mm."""
    if not axis:
        return resource.facts.amount("stand_travel", 0.0)
    return resource.facts.named("axes")[axis].amount("travel", 0.0)
