"""Rods that hold puppets, on stage and in the picture.

Takes rod sizes, loads and places, gives bending and what shows in the frame. Knows nothing of what
it takes to paint them out (`rod_removal`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from planner.craft import demands, survey

if TYPE_CHECKING:
    from planner.craft.survey import Pixel, Point, View

STEEL_GPA = 200.0
NEAR_PLANE_M = 0.01


@dataclass(frozen=True, slots=True)
class RodInFrame:
    """A rod as the frame shows it.

    Attributes:
        length_px: projected length of all of it ahead of the pupil, pixels.
        visible_px: length within the frame, pixels.
        ends: the visible ends, pixels; empty when none of it shows.
    """

    length_px: float
    visible_px: float
    ends: tuple[Pixel, ...]


def bending_mm(
    force_n: float, length_mm: float, diameter_mm: float, stiffness_gpa: float = STEEL_GPA
) -> float:
    """Sag of the free end of a round solid rod, millimetres: ``F l^3 / (3 E I)``.

    Args:
        force_n: at the free end, newtons.
        length_mm: of the rod, millimetres.
        diameter_mm: of the rod, millimetres.
        stiffness_gpa: Young's modulus of the rod, gigapascals.

    Raises:
        ValueError: a length or the stiffness is not above zero, or the force is negative.

    Source:
        Cantilever with an end load, ``I = pi d^4 / 64``; small bends only.
    """
    demands.above_zero(length_mm=length_mm, diameter_mm=diameter_mm, stiffness_gpa=stiffness_gpa)
    demands.not_negative(force_n=force_n)
    stiffness_mpa = stiffness_gpa * 1000
    section_mm4 = math.pi * diameter_mm**4 / 64
    return force_n * length_mm**3 / (3 * stiffness_mpa * section_mm4)


def width_px(focal_px: float, width_m: float, distance_m: float) -> float:
    """Width of a rod in the picture, pixels.

    Args:
        focal_px: focal length, pixels.
        width_m: of the rod, metres.
        distance_m: pupil to the rod along the lens axis, metres.

    Raises:
        ValueError: a length is not above zero.

    Source:
        Similar triangles through the pupil.
    """
    demands.above_zero(focal_px=focal_px, width_m=width_m, distance_m=distance_m)
    return focal_px * width_m / distance_m


def in_frame(view: View, start_m: Point, end_m: Point) -> RodInFrame:
    """A straight rod as the frame shows it.

    Args:
        view: the camera's view.
        start_m: one end in the camera's axes (see `survey.camera_point`), metres.
        end_m: the other end, metres.

    Returns:
        The rod cut at a centimetre ahead of the pupil and at the edges of the frame.

    Source:
        Central projection, cut to the frame by parameter (Liang and Barsky).
    """
    ahead = _cut_at_pupil(start_m, end_m)
    if ahead is None:
        return RodInFrame(0.0, 0.0, ())
    start, end = (survey.pixel_of(view, point) for point in ahead)
    length = math.dist(start, end)
    shares = _shares_in_frame(view, start, end)
    if shares is None:
        return RodInFrame(length, 0.0, ())
    ends = tuple(
        (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
        for share in shares
    )
    return RodInFrame(length, (shares[1] - shares[0]) * length, ends)


def cross(one: RodInFrame, other: RodInFrame) -> bool:
    """Whether two rods lie over one another within the frame.

    Args:
        one: the first rod.
        other: the other.

    Source:
        Geometry: each rod's ends lie on either side of the other.
    """
    if len(one.ends) < 2 or len(other.ends) < 2:
        return False
    (a, b), (c, d) = one.ends, other.ends
    return (_side(a, b, c) * _side(a, b, d) < 0) and (_side(c, d, a) * _side(c, d, b) < 0)


def _side(start: Pixel, end: Pixel, point: Pixel) -> float:
    """Above zero on one side of a line, below it on the other."""
    along = (end[0] - start[0], end[1] - start[1])
    return along[0] * (point[1] - start[1]) - along[1] * (point[0] - start[0])


def _cut_at_pupil(start: Point, end: Point) -> tuple[Point, Point] | None:
    if max(start[2], end[2]) < NEAR_PLANE_M:
        return None
    if min(start[2], end[2]) >= NEAR_PLANE_M:
        return (start, end)
    share = (NEAR_PLANE_M - start[2]) / (end[2] - start[2])
    x, y = (start[axis] + share * (end[axis] - start[axis]) for axis in (0, 1))
    cut = (x, y, NEAR_PLANE_M)
    return (cut, end) if start[2] < NEAR_PLANE_M else (start, cut)


def _shares_in_frame(view: View, start: Pixel, end: Pixel) -> tuple[float, float] | None:
    """Where along the line it enters and leaves the frame, 0 to 1; None if it misses."""
    first, last = 0.0, 1.0
    for axis, size in ((0, view.width_px), (1, view.height_px)):
        step = end[axis] - start[axis]
        if step == 0:
            if not 0 <= start[axis] <= size:
                return None
            continue
        edges = sorted(((0 - start[axis]) / step, (size - start[axis]) / step))
        first, last = max(first, edges[0]), min(last, edges[1])
    return (first, last) if first < last else None
