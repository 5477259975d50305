"""One caution for each hazard of the trade.

Takes a hazard, gives a sentence that hands the decision to local codes and licensed people. Nothing
here computes a charge, a distance or a limit of exposure.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

CAUTIONS: Mapping[str, str] = MappingProxyType(
    {
        "flame": (
            "Flame, pyrotechnics and projectiles are for licensed operators with permits and a "
            "fire watch, as local codes require; this plan sets no charges and no distances."
        ),
        "smoke": (
            "Use only fluids and exposures that the standard and local codes in force allow, "
            "ventilate, monitor, and let a qualified person call the stage clear."
        ),
        "water": (
            "Water drowns, makes floors slip, loads what holds it and carries current: tanks, wet "
            "floors, rescue and lamps near them are for a qualified safety adviser and a licensed "
            "electrician under local codes."
        ),
        "ultraviolet": (
            "Ultraviolet lamps harm eyes and skin; shields, filters, eyewear and time under them "
            "are for a qualified safety adviser to set under local codes."
        ),
        "moving_rig": (
            "The fastest rate of a rig is the machine's and no safety limit; a qualified operator "
            "sets the keep-out zone and emergency stop under local codes, and runs it slow first."
        ),
        "overhead_load": (
            "Planned masses are estimates; anything overhead hangs from rated hardware under a "
            "competent, licensed rigger and local codes."
        ),
        "height": (
            "Work at height is from guarded platforms or with fall arrest as local codes require, "
            "never from set pieces, and under a competent person."
        ),
        "chemicals": (
            "For pigments, solvents, resins and foam dust follow the data sheets and local codes; "
            "a qualified person decides on extraction and respirators."
        ),
        "electricity": (
            "Load, diversity and earthing are for a licensed electrician to decide under local "
            "codes; watts alone do not decide."
        ),
        "long_hours": (
            "Turnaround and longest hours are fixed by agreement, law and local codes, which the "
            "responsible manager must apply; they are not costs to trade."
        ),
    }
)


def caution(hazard: str) -> str:
    """The caution for a hazard.

    Args:
        hazard: a key of `CAUTIONS`, such as flame.

    Raises:
        ValueError: there is none for it; the sentence lists those there are.

    Source:
        Common practice on stages; the caution defers to local codes and licensed people.
    """
    if hazard not in CAUTIONS:
        raise ValueError(f"no caution is kept for {hazard!r}; there are {', '.join(CAUTIONS)}")
    return CAUTIONS[hazard]
