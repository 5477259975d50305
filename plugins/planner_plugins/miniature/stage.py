"""The stage work of a model: set up, program, rig the effect, photograph.

Takes what fits and how long the camera runs, gives the stretches of work. Knows nothing of optics.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.kinds.move import is_moving
from planner.kinds.stretches import Hands, Stretch, heads, on_stage
from planner.kinds.subject import hazards_of
from planner.kinds.takes import TAKEN
from planner_plugins.miniature import rules

if TYPE_CHECKING:
    from planner.kinds import Worksheet
    from planner.kinds.floor import Floor
    from planner.model.quantity import Quantity

EFFECTS = frozenset({"flame", "smoke", "water"})


def put_on_stage(
    sheet: Worksheet, floor: Floor, running: Quantity, *, is_gravity: bool, wait_hours: float
) -> None:
    """Add the model's stage work; the film is waited for after the last of it.

    Args:
        sheet: of the element.
        floor: what it holds.
        running: hours of passes and resets.
        is_gravity: whether something falls, flows or breaks, which hands must rig and stand by.
        wait_hours: until the film is back.
    """
    facts = sheet.element.facts
    is_hanging = facts.word("sort") == "hanging_foreground"
    has_effect = bool(EFFECTS & set(hazards_of(sheet))) or is_gravity
    set_up = sheet.effort("set up", (rules.HANG if is_hanging else rules.SET_UP, 1))
    stretches = [Stretch("set up", "stage", set_up, heads(sheet, rules.SET_UP_HANDS))]
    if is_moving(sheet.element):
        program = sheet.effort("program the move", (rules.PROGRAM, 1))
        stretches.append(Stretch("program the move", "programming", program))
    stand_by: tuple[Hands, ...] = ()
    if has_effect:
        rigging = sheet.effort("rig the effect", (rules.RIG_EFFECT, 1))
        hands = heads(sheet, rules.EFFECT_HANDS)
        stretches.append(Stretch("rig the effect", "effects", rigging, hands))
        stand_by = (Hands("stand by with the effect", "effects", hands),)
    more = max(len(facts.words("passes")) - 1, 0)
    photograph = sheet.effort(
        "photograph", (rules.WEDGE, 1), (rules.PASS_LINE_UP, more), (TAKEN, running)
    )
    camera = heads(sheet, rules.CAMERA_HANDS)
    stretches.append(Stretch("photograph", "camera", photograph, camera, beside=stand_by))
    on_stage(sheet, floor, stretches, wait_hours=wait_hours)
