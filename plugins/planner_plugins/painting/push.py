"""The camera's way between two framings of a board.

Takes the framings, the lens and what stands ready to carry the camera, gives how far it goes, and
findings where nobody has said by what, or where the move says another way. Knows nothing of what
slides or grows meanwhile.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds.move import is_moving, move_of
from planner.kinds.rig import moves_subject
from planner.model.quantity import Quantity
from planner.model.ratio import in_ratio
from planner_plugins.painting.flatness import AHEAD

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.kinds.view import View
    from planner.model.show import Resource
    from planner_plugins.painting.board import Board

PUSH = "travel between the framings"
CARRIED = "travel of the move toward the board"
SAME_WAY = 0.05
"""Share of the travel within which framings and move are one; common practice, no source."""


def check_push(
    sheet: Worksheet, view: View, board: Board, frames: Quantity, reduction: Quantity
) -> None:
    """Reckon the travel between two framings, and tell where no move, rig or stand is to do it.

    Args:
        sheet: of the painting.
        view: of the lens it is photographed with.
        board: with its framings.
        frames: kept, handles included.
        reduction: N of 1:N by which the board is smaller than what it shows; its inputs are empty
            where that is not known.
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
    carried = _carried(sheet, reduction)
    if carried is not None:
        _check_agreed(sheet, (travel, carried), board, reduction)
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


def _carried(sheet: Worksheet, reduction: Quantity) -> Quantity | None:
    """How far the approach, or the move's file, takes the lens to the board; None if not known."""
    ahead = sheet.element.facts.number("approach") or sheet.quantities.get(AHEAD)
    if ahead is None and move_of(sheet) is not None:
        ahead = Quantity(AHEAD, 0.0, "mm", reason="the move only turns")
    if ahead is None or not reduction.inputs:
        return None
    value = abs(ahead.value) / reduction.value
    return Quantity(CARRIED, value, "mm", reason="toward it, / N", inputs=(ahead, reduction))


def _check_agreed(
    sheet: Worksheet, ways: tuple[Quantity, Quantity], board: Board, reduction: Quantity
) -> None:
    """Tell where two facts send the lens two ways; which of them is wrong, nobody here can know."""
    travel, carried = ways
    is_left_to_stand = carried.value == 0 and _has_stand(sheet, travel)
    if is_left_to_stand or abs(travel.value - carried.value) <= SAME_WAY * travel.value:
        return
    sheet.note(carried)
    move = sheet.context.target("move_from")
    whose = "its approach" if move is None else move.id
    wide = board.tightest.value + carried.value * (board.widest.value - board.tightest.value) / (
        travel.value
    )
    sheet.warn(
        "framings-against-move",
        f"between {board.widest.value:g} mm and {board.tightest.value:g} mm across, the lens goes"
        f" {travel.value / 1000:.3g} m toward the board, and {whose} at"
        f" {in_ratio(float(f'{reduction.value:.3g}'))} takes it {carried.value / 1000:.3g} m",
        f"frame from {wide:.0f} mm, as {whose} does, or change that; both are dialled in from here",
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
