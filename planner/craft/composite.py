"""Putting elements together: film strips, exposures, generations, scanning and recording.

Takes counts of foregrounds and frames, gives strips, exposures and machine time. Photochemical
counts are common practice with no source over a published order of steps. Knows nothing of matte
quality or of what the elements show.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.craft import demands
from planner.craft.mark import Mark

if TYPE_CHECKING:
    from collections.abc import Mapping

BLUE_SCREEN_STRIPS = (
    "original",
    "blue-record positive",
    "bi-pack positive",
    "red-record positive",
    "high-contrast duplicate negative (matte)",
    "counter-matte",
)
"""Strips of one foreground: bilingual cinematography dictionary, "blue screen process"."""
OPTICAL_GENERATIONS = 2
"""Generations from original to composite: intermediate or separations, then duplicate negative."""
DIGITAL_GENERATIONS = 0
"""Generations layers add once scanned; the recording is one strip whatever their number."""


@dataclass(frozen=True, slots=True)
class MachineRate:
    """Time a scanner or recorder takes for a frame.

    Attributes:
        name: what machine at what size.
        seconds: seconds a frame.
        source: where the figure comes from.
        mark: how well it is supported.
    """

    name: str
    seconds: float
    source: str
    mark: Mark


_RECORDERS = 'broadcast-technology glossary "film recorder"'
MACHINE_RATES: Mapping[str, MachineRate] = MappingProxyType(
    {
        "scan": MachineRate(
            "pin-registered scanner",
            1.0,
            'encyclopedia "motion picture film scanner"',
            Mark.PUBLISHED_WEAKLY,
        ),
        "laser-2k": MachineRate("laser recorder, 2K", 2.0, _RECORDERS, Mark.PUBLISHED_WEAKLY),
        "laser-4k": MachineRate("laser recorder, 4K", 4.0, _RECORDERS, Mark.PUBLISHED_WEAKLY),
        "tube-2k": MachineRate(
            "cathode-ray-tube recorder, 2K", 1.0, _RECORDERS, Mark.PUBLISHED_WEAKLY
        ),
        "tube-4k": MachineRate(
            "cathode-ray-tube recorder, 4K", 3.5, _RECORDERS, Mark.PUBLISHED_WEAKLY
        ),
        "liquid-crystal-2k": MachineRate(
            "liquid-crystal recorder, 2K", 1 / 3, _RECORDERS, Mark.PUBLISHED_WEAKLY
        ),
    }
)


def matte_strips(foregrounds: int) -> int:
    """Count of strips of film for so many blue-screen foregrounds, originals included: six each.

    Args:
        foregrounds: count of blue-screen foregrounds.

    Raises:
        ValueError: the count is negative.

    Source:
        Common practice in photochemical blue-screen work, no source.
    """
    demands.not_negative(foregrounds=foregrounds)
    return len(BLUE_SCREEN_STRIPS) * foregrounds


def optical_exposures(foregrounds: int, *, from_separations: bool = False) -> int:
    """Count of exposures of the composite negative: each foreground and the background.

    Args:
        foregrounds: count of foregrounds.
        from_separations: printed from three separation masters each, not one intermediate
            positive.

    Raises:
        ValueError: the count is negative.

    Source:
        Common practice in optical printing, no source.
    """
    demands.not_negative(foregrounds=foregrounds)
    layers = foregrounds + 1
    return 3 * layers if from_separations else layers


def machine_seconds(frames: int, machine: str) -> float:
    """Time to scan or record so many frames, seconds.

    Args:
        frames: a count of frames.
        machine: a key of `MACHINE_RATES`, such as laser-2k.

    Raises:
        ValueError: frames are negative, or the machine is not a key of `MACHINE_RATES`.

    Source:
        Frames over a rate: a definition; rates come from the maker of the machine.
    """
    demands.not_negative(frames=frames)
    if machine not in MACHINE_RATES:
        raise ValueError(f"no machine is called {machine!r}; there are {', '.join(MACHINE_RATES)}")
    return frames * MACHINE_RATES[machine].seconds
