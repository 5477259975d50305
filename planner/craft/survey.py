"""Where set points land on the frame, and where the camera stood.

Takes points measured on set, a camera's pose and its view, gives pixels; or takes pixels and gives
the pose with its spread. Axes: x right, y up, z forward, metres; pixels from the top left, y down.
Knows nothing of lens distortion, and nothing of what the points belong to.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray

Point = tuple[float, float, float]
Pixel = tuple[float, float]

START_VIEWS = 8


@dataclass(frozen=True, slots=True)
class View:
    """What the camera records.

    Attributes:
        focal_px: focal length in pixels (see `focal_px`).
        width_px: frame width, pixels.
        height_px: frame height, pixels.
    """

    focal_px: float
    width_px: float
    height_px: float

    def __post_init__(self) -> None:
        if min(self.focal_px, self.width_px, self.height_px) <= 0:
            raise ValueError(f"a view needs lengths above zero, not {self}")


@dataclass(frozen=True, slots=True)
class Pose:
    """Where the camera's entrance pupil is and where it looks.

    Attributes:
        x_m: to the right, metres.
        y_m: up, metres.
        z_m: forward, metres.
        pan_deg: to the right, degrees.
        tilt_deg: upward, degrees.
        roll_deg: clockwise as seen from behind the camera, degrees.
    """

    x_m: float
    y_m: float
    z_m: float
    pan_deg: float = 0.0
    tilt_deg: float = 0.0
    roll_deg: float = 0.0

    def numbers(self) -> tuple[float, float, float, float, float, float]:
        """The six numbers in the order of the attributes, metres and degrees."""
        return (self.x_m, self.y_m, self.z_m, self.pan_deg, self.tilt_deg, self.roll_deg)


@dataclass(frozen=True, slots=True)
class Sighting:
    """A surveyed point and where it was seen.

    Attributes:
        point_m: the point in the set's axes, metres.
        pixel: right and down from the top left of the frame, pixels.
    """

    point_m: Point
    pixel: Pixel


@dataclass(frozen=True, slots=True)
class Resection:
    """A camera found from its sightings.

    Attributes:
        pose: the camera.
        focal_px: focal length, pixels; the given one unless it was sought.
        residual_px: root mean square distance between seen and reckoned pixels.
        spread: one standard deviation of x, y, z (metres), pan, tilt, roll (degrees) and, when
            sought, the focal length (pixels).
        covariance: matrix whose diagonal is the square of `spread`, in its units squared.
    """

    pose: Pose
    focal_px: float
    residual_px: float
    spread: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]


def focal_px(focal_mm: float, width_mm: float, width_px: float) -> float:
    """Focal length in pixels of a frame ``width_mm`` wide scanned to ``width_px``.

    Args:
        focal_mm: focal length, millimetres.
        width_mm: frame width on film, millimetres.
        width_px: width it is scanned to, pixels.

    Raises:
        ValueError: a length is not above zero.

    Source:
        Similar triangles: pixels go as millimetres on film.
    """
    if min(focal_mm, width_mm, width_px) <= 0:
        raise ValueError(
            f"focal length, frame width and scan width must be above zero, not {focal_mm:g} mm, "
            f"{width_mm:g} mm and {width_px:g} px"
        )
    return focal_mm * width_px / width_mm


def camera_point(pose: Pose, point_m: Point) -> Point:
    """A set point in the camera's own axes, metres: right, up, ahead of the pupil.

    Args:
        pose: where the camera stands and looks.
        point_m: the point in the set's axes, metres.

    Source:
        Rotation by pan, tilt and roll, after a move to the pupil.
    """
    x, y, z = point_m[0] - pose.x_m, point_m[1] - pose.y_m, point_m[2] - pose.z_m
    pan, tilt, roll = (math.radians(a) for a in (pose.pan_deg, pose.tilt_deg, pose.roll_deg))
    x, z = x * math.cos(pan) - z * math.sin(pan), x * math.sin(pan) + z * math.cos(pan)
    y, z = y * math.cos(tilt) - z * math.sin(tilt), y * math.sin(tilt) + z * math.cos(tilt)
    x, y = x * math.cos(roll) - y * math.sin(roll), x * math.sin(roll) + y * math.cos(roll)
    return (x, y, z)


def pixel_of(view: View, point_m: Point) -> Pixel:
    """Pixel of a point given in the camera's own axes.

    Args:
        view: the camera's focal length and frame, pixels.
        point_m: the point in the camera's axes, metres.

    Raises:
        ValueError: the point is not ahead of the pupil.

    Source:
        Pinhole camera: central projection through the pupil, pixels.
    """
    x, y, z = point_m
    if z <= 0:
        raise ValueError(f"a point {z:g} m ahead of the pupil is not in front of the camera")
    return (
        view.width_px / 2 + view.focal_px * x / z,
        view.height_px / 2 - view.focal_px * y / z,
    )


def project(pose: Pose, view: View, point_m: Point) -> Pixel:
    """Pixel at which a camera sees a set point; it may lie outside the frame.

    Args:
        pose: where the camera stands and looks.
        view: the camera's focal length and frame, pixels.
        point_m: the point in the set's axes, metres.

    Raises:
        ValueError: the point is behind the camera.

    Source:
        Rectilinear perspective from the entrance pupil.
    """
    return pixel_of(view, camera_point(pose, point_m))


def set_point(pose: Pose, view: View, pixel: Pixel, ahead_m: float) -> Point:
    """Set point seen at a pixel, ``ahead_m`` in front of the pupil along the lens axis, metres.

    Undoes `project`.

    Args:
        pose: where the camera stands and looks.
        view: the camera's focal length and frame, pixels.
        pixel: right and down from the top left of the frame, pixels.
        ahead_m: depth of the point along the lens axis, metres.

    Raises:
        ValueError: the distance ahead is not above zero.

    Source:
        `project` undone at a known depth.
    """
    if ahead_m <= 0:
        raise ValueError(f"a point {ahead_m:g} m ahead of the pupil is not in front of the camera")
    x = (pixel[0] - view.width_px / 2) * ahead_m / view.focal_px
    y = (view.height_px / 2 - pixel[1]) * ahead_m / view.focal_px
    z = ahead_m
    pan, tilt, roll = (-math.radians(a) for a in (pose.pan_deg, pose.tilt_deg, pose.roll_deg))
    x, y = x * math.cos(roll) - y * math.sin(roll), x * math.sin(roll) + y * math.cos(roll)
    y, z = y * math.cos(tilt) - z * math.sin(tilt), y * math.sin(tilt) + z * math.cos(tilt)
    x, z = x * math.cos(pan) - z * math.sin(pan), x * math.sin(pan) + z * math.cos(pan)
    return (x + pose.x_m, y + pose.y_m, z + pose.z_m)


def known_size_distance_m(focal_px: float, size_m: float, size_px: float) -> float:
    """Distance along the lens axis of something of known size facing the camera, metres.

    Args:
        focal_px: focal length, pixels.
        size_m: size of the thing, metres.
        size_px: its size on the frame, pixels.

    Raises:
        ValueError: a length is not above zero.

    Source:
        Similar triangles through the pupil.
    """
    if min(focal_px, size_m, size_px) <= 0:
        raise ValueError(f"{size_m:g} m cannot be seen as {size_px:g} px; both must be above zero")
    return focal_px * size_m / size_px


def known_size_spread_m(distance_m: float, size_px: float, click_px: float = 1.0) -> float:
    """One standard deviation of `known_size_distance_m`, metres.

    Args:
        distance_m: the distance found, metres.
        size_px: size on the frame, pixels.
        click_px: one standard deviation of each of the two clicks, pixels.

    Raises:
        ValueError: the size on the frame is not above zero.

    Source:
        First-order propagation: two independent clicks blur the size by ``sqrt(2) click_px``.
    """
    if size_px <= 0:
        raise ValueError(f"a size of {size_px:g} px gives no distance")
    return distance_m * math.sqrt(2) * click_px / size_px


def resect(
    view: View,
    sightings: Sequence[Sighting],
    start: Pose | None = None,
    *,
    click_px: float = 1.0,
    seek_focal: bool = False,
) -> Resection:
    """Camera pose, and the focal length if sought, from surveyed points and their pixels.

    Args:
        view: the camera's view; its focal length is the start when sought.
        sightings: at least 4 points, 5 with the focal length unknown; points spread in depth
            make the answer steadier.
        start: a pose to start from; without one, eight poses around the points are tried.
        click_px: one standard deviation of a click, pixels, for the spread.
        seek_focal: solve for the focal length too.

    Returns:
        The pose of least squared pixel error, with ``click_px^2 inv(J'J)`` as its covariance.

    Raises:
        ValueError: too few sightings, or points that do not fix the camera.

    Source:
        Least squares of what `project` leaves over (collinearity equations).
    """
    # Imported here because they take longer to load than all the rest of a plan.
    import numpy as np
    from scipy.optimize import least_squares  # type: ignore[import-untyped, unused-ignore]

    needed = 5 if seek_focal else 4
    if len(sightings) < needed:
        raise ValueError(f"a camera is fixed by at least {needed} sightings, not {len(sightings)}")
    focal = (view.focal_px,) if seek_focal else ()
    starts = (start,) if start is not None else _poses_around(view, sightings)
    fits = [
        least_squares(
            _pixel_errors,
            np.array((*pose.numbers(), *focal)),
            x_scale="jac",
            max_nfev=200,
            bounds=_search_bounds(len(focal)),
            args=(view, sightings),
        )
        for pose in starts
    ]
    best = min(fits, key=lambda fit: float(fit.cost))
    normal = best.jac.T @ best.jac
    if np.linalg.matrix_rank(normal) < len(best.x):
        raise ValueError("these points do not fix the camera; add points off their line or plane")
    covariance = click_px**2 * np.linalg.inv(normal)
    numbers = [float(number) for number in best.x]
    numbers[3] = (numbers[3] + 180) % 360 - 180
    return Resection(
        pose=Pose(*numbers[:6]),
        focal_px=numbers[6] if seek_focal else view.focal_px,
        residual_px=math.sqrt(2 * float(best.cost) / len(sightings)),
        spread=tuple(float(v) for v in np.sqrt(np.diag(covariance))),
        covariance=tuple(tuple(float(v) for v in row) for row in covariance),
    )


def _search_bounds(focals: int) -> tuple[list[float], list[float]]:
    """Bounds of the search: tilt within the vertical, so that no pose is written two ways."""
    lowest = [-math.inf] * 4 + [-90.0, -math.inf] + [1.0] * focals
    highest = [math.inf] * 4 + [90.0, math.inf] + [math.inf] * focals
    return lowest, highest


def _pixel_errors(
    numbers: NDArray[np.float64], view: View, sightings: Sequence[Sighting]
) -> list[float]:
    pose = Pose(*(float(number) for number in numbers[:6]))
    focal = float(numbers[6]) if len(numbers) > 6 else view.focal_px
    errors = []
    for sighting in sightings:
        x, y, z = camera_point(pose, sighting.point_m)
        # A point behind the pupil is drawn far off the frame rather than refused, so that the
        # search can turn round and come back.
        ahead = max(z, 1e-3)
        errors.append(view.width_px / 2 + focal * x / ahead - sighting.pixel[0])
        errors.append(view.height_px / 2 - focal * y / ahead - sighting.pixel[1])
    return errors


def _poses_around(view: View, sightings: Sequence[Sighting]) -> tuple[Pose, ...]:
    """Poses on a ring about the points, at the distance their size on the frame suggests."""
    points = [sighting.point_m for sighting in sightings]
    pixels = [sighting.pixel for sighting in sightings]
    centre = tuple(sum(axis) / len(points) for axis in zip(*points, strict=True))
    size_m = max(math.dist(point, centre) for point in points)
    middle = tuple(sum(axis) / len(pixels) for axis in zip(*pixels, strict=True))
    size_px = max(math.dist(pixel, middle) for pixel in pixels)
    if size_m == 0 or size_px == 0:
        raise ValueError("all sightings are of one spot, which does not fix a camera")
    away = view.focal_px * size_m / size_px
    poses = []
    for step in range(START_VIEWS):
        pan = 360.0 * step / START_VIEWS
        x, z = away * math.sin(math.radians(pan)), away * math.cos(math.radians(pan))
        poses.append(Pose(centre[0] - x, centre[1], centre[2] - z, pan))
    return tuple(poses)
