"""Shadows and reflections of things on stage.

Takes the places of lamps, casters, surfaces and eyes in metres, any axes, gives where shadows and
reflections fall and how soft their edges are. All derived from straight rays. Knows nothing of
brightness, colour or curved surfaces.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from planner.craft import demands

Point = tuple[float, float, float]

PARALLEL = 1e-12


@dataclass(frozen=True, slots=True)
class Plane:
    """A flat surface.

    Attributes:
        point: any point on it, metres.
        normal: the direction it faces, dimensionless, of any length.
    """

    point: Point
    normal: Point

    def __post_init__(self) -> None:
        if not 0 < math.hypot(*self.normal) < math.inf:
            raise ValueError(f"a plane must face somewhere, not {self.normal}")

    def height_m(self, point: Point) -> float:
        """Signed distance of a point from the plane, metres, positive on the side it faces."""
        return _dot(_less(point, self.point), self.normal) / math.hypot(*self.normal)


@dataclass(frozen=True, slots=True)
class Lamp:
    """A lamp.

    Attributes:
        place: its middle, metres.
        width_m: of what shines, metres.
    """

    place: Point
    width_m: float = 0.0

    def __post_init__(self) -> None:
        demands.not_negative(width_m=self.width_m)


@dataclass(frozen=True, slots=True)
class Shadow:
    """The shadow of something a lamp shines past.

    Attributes:
        place: middle of the shadow on the surface, metres.
        size_ratio: shadow over caster, measured across the ray, a ratio.
        penumbra_m: width of the soft edge across the ray, metres.
        stretch: how many times longer shadow and edge are along the slant of the surface, a ratio.
    """

    place: Point
    size_ratio: float
    penumbra_m: float
    stretch: float

    def width_m(self, caster_m: float) -> float:
        """Width across the ray from the middle of one soft edge to that of the other, metres."""
        return caster_m * self.size_ratio

    def umbra_m(self, caster_m: float) -> float:
        """Width across the ray of the full shadow, metres; 0 where the soft edges meet."""
        return max(0.0, self.width_m(caster_m) - self.penumbra_m)


def cast(lamp: Lamp, caster: Point, surface: Plane) -> Shadow:
    """Shadow of a small caster on a surface.

    With a metres from lamp to caster and b from caster to surface along the ray, the shadow is
    ``(a + b) / a`` as wide and its edge ``lamp b / a``.

    Args:
        lamp: the lamp.
        caster: the point that casts it, metres.
        surface: the flat surface.

    Raises:
        ValueError: caster and lamp coincide, the ray misses the surface, or the surface is not
            beyond the caster.

    Source:
        Central projection from the lamp onto a plane.
    """
    ray = _less(caster, lamp.place)
    reach_m = math.hypot(*ray)
    if reach_m == 0:
        raise ValueError("a caster at the lamp itself has no shadow")
    slant = _dot(ray, surface.normal) / (reach_m * math.hypot(*surface.normal))
    if abs(slant) < PARALLEL:
        raise ValueError("the light runs along the surface and casts no shadow on it")
    size_ratio = -surface.height_m(lamp.place) / (slant * reach_m)
    if size_ratio < 1:
        raise ValueError("the surface is not beyond the caster as seen from the lamp")
    return Shadow(
        place=_along(lamp.place, ray, size_ratio),
        size_ratio=size_ratio,
        penumbra_m=lamp.width_m * (size_ratio - 1),
        stretch=1 / abs(slant),
    )


def lamp_distance_m(size_ratio: float, caster_to_surface_m: float) -> float:
    """Distance from lamp to caster that enlarges a shadow so many times, metres.

    Args:
        size_ratio: how many times larger, dimensionless.
        caster_to_surface_m: caster to surface, metres.

    Raises:
        ValueError: the ratio is not above 1, which takes a lamp infinitely far, or the distance
            is not above zero.

    Source:
        Similar triangles from the lamp.
    """
    demands.above_zero(caster_to_surface_m=caster_to_surface_m)
    if not 1 < size_ratio < math.inf:
        raise ValueError(f"a near lamp enlarges shadows; a ratio of {size_ratio:g} cannot be had")
    return caster_to_surface_m / (size_ratio - 1)


def mirrored(point: Point, surface: Plane) -> Point:
    """Image of a point in a flat mirror or still water, metres.

    Args:
        point: the point, metres.
        surface: the flat surface.

    Source:
        Geometry of a flat mirror, metres.
    """
    normal = surface.normal
    height = surface.height_m(point) / math.hypot(*normal)
    return _along(point, normal, -2 * height)


def reflection_place(eye: Point, point: Point, surface: Plane) -> Point:
    """Spot on a mirror where an eye sees a point reflected, metres.

    Args:
        eye: where the eye is, metres.
        point: the point, metres.
        surface: the flat surface.

    Raises:
        ValueError: eye and point are not both in front of, or both behind, the mirror.

    Source:
        Straight line from the eye to the mirrored point, metres.
    """
    eye_m, point_m = surface.height_m(eye), surface.height_m(point)
    if eye_m * point_m <= 0:
        raise ValueError("a mirror shows only what is on the same side of it as the eye")
    return _along(eye, _less(mirrored(point, surface), eye), eye_m / (eye_m + point_m))


def incidence_deg(point: Point, spot: Point, surface: Plane) -> float:
    """Angle of a ray from a point to a spot on a surface off the square-on direction, degrees.

    Args:
        point: the point, metres.
        spot: place on the surface, metres.
        surface: the flat surface.

    Raises:
        ValueError: point and spot coincide.

    Source:
        Angle between two directions by their dot product.
    """
    ray = _less(point, spot)
    length = math.hypot(*ray)
    if length == 0:
        raise ValueError("a ray needs two places")
    cosine = abs(_dot(ray, surface.normal)) / (length * math.hypot(*surface.normal))
    return math.degrees(math.acos(min(1.0, cosine)))


def _dot(a: Point, b: Point) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _less(a: Point, b: Point) -> Point:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def _along(start: Point, step: Point, times: float) -> Point:
    return (start[0] + times * step[0], start[1] + times * step[1], start[2] + times * step[2])
