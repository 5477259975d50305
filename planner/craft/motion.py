"""Moves of motion-controlled axes.

Takes an axis position for each frame, in metres or degrees, and the limits of the rig, gives peak
speeds and the fastest safe rate. That rate is the machine's: it is no safety limit for people. No
published limits of speed or acceleration were found. Knows nothing of exposure or stages.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType
from typing import TYPE_CHECKING

from planner.craft import demands, exposure

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

LIMIT_NAMES = ("speed", "acceleration", "jerk")


@dataclass(frozen=True, slots=True)
class AxisLimits:
    """What an axis can do, in its own unit (metres or degrees).

    Attributes:
        speed: units a second.
        acceleration: units a second squared; infinite where unknown.
        jerk: units a second cubed; infinite where unknown.
    """

    speed: float
    acceleration: float = math.inf
    jerk: float = math.inf

    def __post_init__(self) -> None:
        if not min(self.speed, self.acceleration, self.jerk) > 0:
            raise ValueError(f"an axis needs limits above zero, not {self}")


@dataclass(frozen=True, slots=True)
class Peak:
    """Largest change of an axis and where it happens.

    Attributes:
        size: largest absolute difference, axis units per frame (or frame squared, or cubed).
        frame: index of the frame it happens at, counted from 0.
    """

    size: float
    frame: int


@dataclass(frozen=True, slots=True)
class FastestRate:
    """How fast a move may be run and what keeps it from running faster.

    Attributes:
        fps: frames a second; infinite when nothing moves.
        axis: the axis that binds; empty when nothing moves.
        limit: ``speed``, ``acceleration`` or ``jerk``; empty when nothing moves.
        frame: index of the frame where it binds, counted from 0.
    """

    fps: float
    axis: str = ""
    limit: str = ""
    frame: int = 0


def peaks(positions: Sequence[float]) -> tuple[Peak, Peak, Peak]:
    """Largest first, second and third differences of an axis, per frame.

    Multiply by the rate, its square and its cube for speed, acceleration and jerk.

    Args:
        positions: position of the axis at each frame, axis units.

    Raises:
        ValueError: a position is not a number.

    Source:
        Definition of finite differences, in axis units a frame, a frame squared and cubed.
    """
    if not all(map(math.isfinite, positions)):
        raise ValueError("every position of an axis must be a finite number")
    found = []
    differences = list(positions)
    for order in range(1, 4):
        differences = [after - before for before, after in pairwise(differences)]
        sizes = [abs(difference) for difference in differences]
        largest = max(sizes, default=0.0)
        # A difference of order k lies between its k + 1 frames; name the one in their middle.
        frame = sizes.index(largest) + order // 2 if sizes else 0
        found.append(Peak(largest, frame))
    return (found[0], found[1], found[2])


def peak_speed(positions: Sequence[float], fps: float) -> float:
    """Largest speed of an axis run at a rate, units a second.

    Args:
        positions: position of the axis at each frame, axis units.
        fps: rate, frames a second.

    Source:
        First differences times the rate.
    """
    return peaks(positions)[0].size * fps


def peak_acceleration(positions: Sequence[float], fps: float) -> float:
    """Largest acceleration of an axis run at a rate, units a second squared.

    Args:
        positions: position of the axis at each frame, axis units.
        fps: rate, frames a second.

    Source:
        Second differences times the rate squared.
    """
    return peaks(positions)[1].size * fps**2


def peak_jerk(positions: Sequence[float], fps: float) -> float:
    """Largest jerk of an axis run at a rate, units a second cubed.

    Args:
        positions: position of the axis at each frame, axis units.
        fps: rate, frames a second.

    Source:
        Third differences times the rate cubed.
    """
    return peaks(positions)[2].size * fps**3


def fastest_rate(
    axes: Mapping[str, Sequence[float]], limits: Mapping[str, AxisLimits]
) -> FastestRate:
    """Fastest rate at which no axis passes its limits.

    Args:
        axes: position of each axis at each frame, in its unit.
        limits: limits of each axis, in its unit; axes without limits are not held back.

    Returns:
        The least of ``v / max|dx|``, ``sqrt(a / max|d2x|)`` and ``cbrt(j / max|d3x|)``.

    Raises:
        ValueError: a position is not a number.

    Source:
        `peak_speed`, `peak_acceleration` and `peak_jerk` solved for the rate, frames a second.
    """
    slowest = FastestRate(math.inf)
    for axis, positions in axes.items():
        allowed = limits.get(axis, AxisLimits(math.inf))
        ceilings = (allowed.speed, allowed.acceleration, allowed.jerk)
        for order, peak in enumerate(peaks(positions), start=1):
            if peak.size == 0:
                continue
            fps = (ceilings[order - 1] / peak.size) ** (1 / order)
            if fps < slowest.fps:
                slowest = FastestRate(fps, axis, LIMIT_NAMES[order - 1], peak.frame)
    return slowest


def smoothstep(part: float) -> float:
    """Share of the way gone after a share of the time, 0 to 1: ``3u^2 - 2u^3``.

    Args:
        part: share of the time gone, dimensionless, 0 to 1.

    Source:
        Cubic Hermite interpolation with no speed at either end.
    """
    return part * part * (3 - 2 * part)


def minimum_jerk(part: float) -> float:
    """Share of the way gone after a share of the time, 0 to 1: ``10u^3 - 15u^4 + 6u^5``.

    Args:
        part: share of the time gone, dimensionless, 0 to 1.

    Source:
        Least integral of squared jerk from rest to rest (calculus of variations).
    """
    return part**3 * (10 - part * (15 - 6 * part))


def half_cosine(part: float) -> float:
    """Share of the way gone after a share of the time, 0 to 1: ``(1 - cos pi u) / 2``.

    Args:
        part: share of the time gone, dimensionless, 0 to 1.

    Source:
        Common practice: half a turn seen from the side.
    """
    return (1 - math.cos(math.pi * part)) / 2


@dataclass(frozen=True, slots=True)
class Profile:
    """A way of starting and stopping a move.

    Attributes:
        way: share of the way for a share of the time.
        speed_factor: peak speed over ``D / T``, dimensionless.
        acceleration_factor: peak acceleration over ``D / T^2``, dimensionless.
    """

    way: Callable[[float], float]
    speed_factor: float
    acceleration_factor: float


PROFILES: Mapping[str, Profile] = MappingProxyType(
    {
        "smoothstep": Profile(smoothstep, 1.5, 6.0),
        "minimum jerk": Profile(minimum_jerk, 1.875, 10 / math.sqrt(3)),
        "half cosine": Profile(half_cosine, math.pi / 2, math.pi**2 / 2),
    }
)


def positions(distance: float, frames: int, profile: str = "smoothstep") -> tuple[float, ...]:
    """Position at each frame of a move from rest to rest, in the unit of the distance.

    Args:
        distance: way from rest to rest, in any unit.
        frames: a count of frames, at least 2.
        profile: a key of `PROFILES`, such as smoothstep.

    Raises:
        ValueError: fewer than two frames or more than a million, or a profile that is not in
            `PROFILES`.

    Source:
        Whichever profile is given, over the distance.
    """
    demands.worked_out_singly(frames=frames)
    if frames < 2:
        raise ValueError(f"a move takes at least 2 frames, not {frames}")
    if profile not in PROFILES:
        raise ValueError(f"no profile is called {profile!r}; there are {', '.join(PROFILES)}")
    way = PROFILES[profile].way
    return tuple(distance * way(frame / (frames - 1)) for frame in range(frames))


def run_up_distance(speed: float, acceleration: float) -> float:
    """Distance to reach a speed from rest (or to stop from it), in axis units: ``v^2 / 2a``.

    Args:
        speed: speed to reach, axis units a second.
        acceleration: of the axis, axis units a second squared.

    Raises:
        ValueError: the speed is negative or the acceleration not above zero.

    Source:
        Constant acceleration from rest: ``v^2 = 2 a s``.
    """
    demands.not_negative(speed=speed)
    demands.above_zero(acceleration=acceleration)
    return speed * speed / (2 * acceleration)


def run_up_frames(speed: float, acceleration: float, fps: float) -> float:
    """Frames to reach a speed from rest, not rounded: ``v fps / a``.

    Args:
        speed: speed to reach, axis units a second.
        acceleration: of the axis, axis units a second squared.
        fps: rate, frames a second.

    Raises:
        ValueError: the speed is negative, or the acceleration or rate not above zero.

    Source:
        Constant acceleration from rest: ``v = a t``.
    """
    demands.not_negative(speed=speed)
    demands.above_zero(acceleration=acceleration, fps=fps)
    return speed * fps / acceleration


def track_needed(move: float, entry_speed: float, exit_speed: float, acceleration: float) -> float:
    """Track for a move with its run-up and run-out, in axis units.

    Args:
        move: length of the move, axis units.
        entry_speed: at the start of the move, axis units a second.
        exit_speed: at the end of the move, axis units a second.
        acceleration: of the axis, axis units a second squared.

    Raises:
        ValueError: move or a speed is negative, or the acceleration not above zero.

    Source:
        `run_up_distance` at both ends of the move.
    """
    demands.not_negative(move=move)
    run_up = run_up_distance(entry_speed, acceleration)
    return move + run_up + run_up_distance(exit_speed, acceleration)


def extent(positions: Sequence[float]) -> float:
    """Distance between the farthest positions of an axis, in its unit; 0 for none.

    Args:
        positions: position of the axis at each frame, axis units.

    Source:
        Definition.
    """
    return max(positions, default=0.0) - min(positions, default=0.0)


def smallest_step(positions: Sequence[float]) -> float:
    """Smallest change between frames that is not zero, in axis units; 0 when nothing moves.

    Compare it, scaled, with the rig's resolution (0.01 to 0.05 mm: common practice, no source).

    Args:
        positions: position of the axis at each frame, axis units.

    Source:
        Definition of finite differences.
    """
    steps = (abs(after - before) for before, after in pairwise(positions))
    return min((step for step in steps if step > 0), default=0.0)


def blur_px(angle_deg: float, px_per_frame: float) -> float:
    """Smear of something that crosses so many pixels a frame, pixels.

    The share of the frame's time the shutter is open counts, not the seconds: a model pass matches
    live action at the same angle. Interrupted shooting has none.

    Args:
        angle_deg: shutter angle, degrees.
        px_per_frame: movement between frames, pixels.

    Raises:
        ValueError: the shutter angle is not in (0, 360].

    Source:
        Distance is speed times the time the shutter is open.
    """
    return exposure.shutter_fraction(angle_deg) * abs(px_per_frame)
