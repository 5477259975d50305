"""Laws of models built at 1:N.

Takes full-size ("story") lengths, speeds and times with a scale denominator N of at least 1, gives
what happens on stage. Angles, focal lengths and film formats do not change with scale. Drops and
foam of water, flame, the curl of smoke and the settling of dust do not scale at all: build them as
large as money and safety allow. Knows nothing of stages, rigs or cost.
"""

from __future__ import annotations

import math

from planner.craft import demands

STORY_FPS = 24.0
GRAVITY_MPS2 = 9.80665
"""Standard gravity, metres a second squared (published)."""


def stage_m(story_m: float, scale_denominator: float) -> float:
    """A story distance as built, metres: ``1/N``.

    Args:
        story_m: distance at full size, metres.
        scale_denominator: N of a 1:N model, dimensionless, at least 1.

    Raises:
        ValueError: N below 1.

    Source:
        Geometry; camera height and distance shrink together, angles stay.
    """
    return story_m / demands.scale_denominator(scale_denominator)


def story_m(stage_m: float, scale_denominator: float) -> float:
    """A built distance as it reads in the story, metres.

    Args:
        stage_m: distance as built, metres.
        scale_denominator: N of a 1:N model, dimensionless, at least 1.

    Raises:
        ValueError: N below 1.

    Source:
        Definition of a scale 1:N.
    """
    return stage_m * demands.scale_denominator(scale_denominator)


def controlled_speed_mps(
    story_mps: float,
    scale_denominator: float,
    filming_fps: float = STORY_FPS,
    shown_fps: float = STORY_FPS,
) -> float:
    """Speed on stage of something moved under control, metres a second.

    Nothing falls or floats here: the speed is the story's over N, slowed or quickened as the camera
    is: ``V/N * filming/shown``.

    Args:
        story_mps: speed at full size, metres a second.
        scale_denominator: N of a 1:N model, dimensionless, at least 1.
        filming_fps: camera rate, frames a second.
        shown_fps: projection rate, frames a second.

    Raises:
        ValueError: N below 1 or a rate not above zero.

    Source:
        Geometry: lengths go as 1/N, times as the camera's rate over the projector's.
    """
    demands.above_zero(filming_fps=filming_fps, shown_fps=shown_fps)
    return story_mps / demands.scale_denominator(scale_denominator) * filming_fps / shown_fps


def gravity_fps(scale_denominator: float, shown_fps: float = STORY_FPS) -> float:
    """Camera rate at which a falling or floating model moves as if full size, frames a second.

    Args:
        scale_denominator: N of a 1:N model.
        shown_fps: projection rate, frames a second.

    Returns:
        ``shown_fps * sqrt(N)``. It holds while gravity and inertia rule the action.

    Raises:
        ValueError: N below 1 or the rate not above zero.

    Source:
        Equal Froude numbers; VES Handbook of Visual Effects, Appendix A (1:4, 48 fps).
    """
    demands.above_zero(shown_fps=shown_fps)
    return shown_fps * math.sqrt(demands.scale_denominator(scale_denominator))


def largest_denominator(top_fps: float, shown_fps: float = STORY_FPS) -> float:
    """Smallest model, as the N of 1:N, whose gravity rate a camera still reaches.

    Args:
        top_fps: fastest rate of the camera, frames a second.
        shown_fps: projection rate, frames a second.

    Returns:
        ``(top_fps / shown_fps)^2``.

    Raises:
        ValueError: a rate is not above zero, or the camera is slower than projection.

    Source:
        `gravity_fps` solved for N; dimensionless.
    """
    demands.above_zero(top_fps=top_fps, shown_fps=shown_fps)
    if top_fps < shown_fps:
        raise ValueError(
            f"a camera that stops at {top_fps:g} fps cannot slow action shown at {shown_fps:g}"
        )
    return (top_fps / shown_fps) ** 2


def stage_seconds(story_seconds: float, scale_denominator: float) -> float:
    """Time a falling or floating action takes on stage, seconds: story time over sqrt N.

    Args:
        story_seconds: time at full size, seconds.
        scale_denominator: N of a 1:N model, dimensionless, at least 1.

    Raises:
        ValueError: N below 1.

    Source:
        Equal Froude numbers, as of `gravity_fps`: times go as ``sqrt N``.
    """
    return story_seconds / math.sqrt(demands.scale_denominator(scale_denominator))


def gravity_speed_mps(story_mps: float, scale_denominator: float) -> float:
    """Speed on stage of something in free action at the gravity rate, metres a second.

    Args:
        story_mps: speed at full size, metres a second.
        scale_denominator: N of a 1:N model, dimensionless, at least 1.

    Returns:
        ``V / sqrt(N)``.

    Raises:
        ValueError: N below 1.

    Source:
        Equal Froude numbers, as of `gravity_fps`: speeds go as ``1 / sqrt N``.
    """
    return story_mps / math.sqrt(demands.scale_denominator(scale_denominator))


def fall_seconds(height_m: float, gravity_mps2: float = GRAVITY_MPS2) -> float:
    """Time of a fall from rest without drag, seconds.

    Args:
        height_m: height of the fall, metres.
        gravity_mps2: of the place, metres a second squared.

    Raises:
        ValueError: the height is negative or gravity not above zero.

    Source:
        Free fall from rest: ``s = g t^2 / 2``.
    """
    demands.above_zero(gravity_mps2=gravity_mps2)
    demands.not_negative(height_m=height_m)
    return math.sqrt(2 * height_m / gravity_mps2)


def apparent_enlargement(slowing: float) -> float:
    """Ratio by which free action looks larger when slowed so many times: its square.

    Args:
        slowing: how many times slower than in life, dimensionless.

    Raises:
        ValueError: slowing is not above zero.

    Source:
        Theory of Mechanical Miniatures in Cinematography, Transactions of the SMPE, May 1924, rule
        1.
    """
    demands.above_zero(slowing=slowing)
    return slowing * slowing


def model_strength(full_strength: float, scale_denominator: float) -> float:
    """Strength a model's material should have to break as if full size, in the unit given.

    Args:
        full_strength: strength at full size, in any unit.
        scale_denominator: N of a 1:N model, dimensionless, at least 1.

    Returns:
        ``strength / N``: hence weak materials and scored joints.

    Raises:
        ValueError: N below 1.

    Source:
        Theory of Mechanical Miniatures in Cinematography, Transactions of the SMPE, May 1924, rule
        3.
    """
    return full_strength / demands.scale_denominator(scale_denominator)


def matched_f_number(full_f_number: float, scale_denominator: float) -> float:
    """f-number that gives a model the depth of full size, the same lens at 1/N: ``N f``.

    Near limits agree within a per cent, far ones within a few, and beyond about f/22 diffraction
    takes over.

    Args:
        full_f_number: f-number at full size, dimensionless.
        scale_denominator: N of a 1:N model, dimensionless, at least 1.

    Raises:
        ValueError: the f-number is not above zero or N below 1.

    Source:
        Cinematographers' list (50 mm f/4 at 1:25 asks for f/100), published, weakly.
    """
    demands.above_zero(full_f_number=full_f_number)
    return full_f_number * demands.scale_denominator(scale_denominator)


def depth_cost_stops(scale_denominator: float) -> float:
    """Exposure lost by matching depth at 1:N, stops: ``2 log2 N``.

    Args:
        scale_denominator: N of a 1:N model, dimensionless, at least 1.

    Raises:
        ValueError: N below 1.

    Source:
        `matched_f_number` in stops.
    """
    return 2 * math.log2(demands.scale_denominator(scale_denominator))


def gravity_cost_stops(scale_denominator: float) -> float:
    """Exposure lost by filming at the gravity rate, stops: ``log2(N) / 2``.

    Args:
        scale_denominator: N of a 1:N model, dimensionless, at least 1.

    Raises:
        ValueError: N below 1.

    Source:
        `gravity_fps` in stops.
    """
    return math.log2(demands.scale_denominator(scale_denominator)) / 2


def depth_and_gravity_cost_stops(scale_denominator: float) -> float:
    """Exposure lost by doing both, stops: ``2.5 log2 N``.

    Args:
        scale_denominator: N of a 1:N model, dimensionless, at least 1.

    Raises:
        ValueError: N below 1.

    Source:
        `depth_cost_stops` and `gravity_cost_stops`, added.
    """
    return depth_cost_stops(scale_denominator) + gravity_cost_stops(scale_denominator)


def model_mass_kg(full_mass_kg: float, scale_denominator: float) -> float:
    """Mass of a model of the same materials, kilograms: ``1/N^3``.

    Args:
        full_mass_kg: mass at full size, kilograms.
        scale_denominator: N of a 1:N model, dimensionless, at least 1.

    Raises:
        ValueError: the mass is not above zero or N below 1.

    Source:
        Volumes go as the cube of lengths.
    """
    demands.above_zero(full_mass_kg=full_mass_kg)
    return full_mass_kg / demands.scale_denominator(scale_denominator) ** 3


def mass_at_height_kg(known_mass_kg: float, known_height_m: float, height_m: float) -> float:
    """Mass of the same figure built to another height, kilograms: the cube of the size.

    Args:
        known_mass_kg: its mass, kilograms.
        known_height_m: height of the figure already built, metres.
        height_m: height it is to be built at, metres.

    Raises:
        ValueError: a number is not above zero.

    Source:
        Square-cube law.
    """
    demands.above_zero(
        known_mass_kg=known_mass_kg, known_height_m=known_height_m, height_m=height_m
    )
    return known_mass_kg * (height_m / known_height_m) ** 3


def section_strength(size_ratio: float) -> float:
    """Strength of a part scaled so many times, as a ratio: its square, against mass by the cube.

    Args:
        size_ratio: how many times larger, dimensionless.

    Raises:
        ValueError: the ratio is not above zero.

    Source:
        Sections go as the square of lengths; dimensionless.
    """
    demands.above_zero(size_ratio=size_ratio)
    return size_ratio**2
