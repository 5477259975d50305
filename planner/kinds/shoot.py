"""One element photographed on a stage, from set-up to film.

Takes the set-up and its takes, who works before the camera runs and what photographing adds, gives
the stage work, the film and the findings of room, rig and light. Knows nothing of what is
photographed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.kinds.floor import SetUp, lay_out
from planner.kinds.move import is_moving
from planner.kinds.stretches import Stretch, on_stage
from planner.kinds.takes import TAKEN, buy_film, lab_hours, running_hours
from planner.kinds.worksheet import Rule

if TYPE_CHECKING:
    from planner.kinds.floor import Floor
    from planner.kinds.stretches import Hands
    from planner.kinds.takes import Takes
    from planner.kinds.worksheet import Worksheet
    from planner.model.quantity import Quantity

PROGRAM = Rule("shoot.program", "hours to load and prove a camera program", 1, 2, 4)
CAMERA_HANDS = 2
"""Common practice: one who runs the camera and one who loads and measures."""


@dataclass(frozen=True, slots=True)
class Shoot:
    """How an element is photographed.

    Attributes:
        set_up: what stands before which lens, at what rate.
        takes: what goes through the camera.
        reset: between takes, s.
        before: work on the stage before the camera runs, in order.
        also: hours of photographing beside the running time.
        beside: hands called with the camera while it runs.
    """

    set_up: SetUp
    takes: Takes
    reset: Quantity
    before: tuple[Stretch, ...]
    also: tuple[tuple[Rule, Quantity | float] | Quantity, ...] = ()
    beside: tuple[Hands, ...] = ()


def prove_program(sheet: Worksheet) -> Stretch:
    """A move that is there already, loaded on the rig that repeats it and run before film is."""
    effort = sheet.effort("prove the program", (PROGRAM, 1))
    return Stretch("prove the program", "programming", effort)


def photograph(sheet: Worksheet, shoot: Shoot) -> Floor:
    """Add the stage work and the film; what follows waits for the laboratory."""
    floor = lay_out(sheet, shoot.set_up)
    stretches = list(shoot.before)
    if is_moving(sheet.element):
        stretches.append(prove_program(sheet))
    running = running_hours(sheet, shoot.takes, shoot.reset)
    effort = sheet.effort("photograph", *shoot.also, (TAKEN, running))
    stretches.append(Stretch("photograph", "camera", effort, CAMERA_HANDS, beside=shoot.beside))
    on_stage(sheet, floor, stretches, wait_hours=lab_hours(sheet))
    buy_film(sheet, shoot.takes)
    return floor
