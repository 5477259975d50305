"""Projection and resection held against another library's, on cameras drawn at random.

OpenCV's axes are right, down and ahead where ours are right, up and ahead, so heights change sign,
and so do the turns: its own Rodrigues' formula makes them, and none of our arithmetic is used.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import cv2
import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from planner.craft import survey

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Matrix = NDArray[np.float64]

VIEWS = st.builds(
    survey.View,
    st.floats(300, 12_000),
    st.sampled_from([1828, 2048, 4096]),
    st.sampled_from([988, 1556, 3112]),
)
METRES = st.floats(-50, 50)
DEGREES = st.floats(-180, 180)
POSES = st.builds(survey.Pose, METRES, METRES, METRES, DEGREES, st.floats(-89, 89), DEGREES)

# six corners of a made-up set, no plane through all of them
CORNERS: tuple[survey.Point, ...] = (
    (0, 0, 0),
    (2, 0, 0),
    (2, 1.2, 0),
    (0, 1.2, 0.5),
    (1, 2, 1.5),
    (3, 0.3, 2.5),
)
CENTRE = (1.3, 0.8, 0.75)


def _turn(pose: survey.Pose) -> Matrix:
    """Rotation from the set to the camera, heights downward: pan, then tilt, then roll."""
    about = (
        (0.0, -math.radians(pose.pan_deg), 0.0),
        (-math.radians(pose.tilt_deg), 0.0, 0.0),
        (0.0, 0.0, -math.radians(pose.roll_deg)),
    )
    pan, tilt, roll = (cv2.Rodrigues(np.array(each))[0] for each in about)
    return np.asarray(roll @ tilt @ pan, dtype=np.float64)


def _lens(view: survey.View) -> Matrix:
    return np.array(
        [
            [view.focal_px, 0, view.width_px / 2],
            [0, view.focal_px, view.height_px / 2],
            [0, 0, 1.0],
        ]
    )


def _downward(points: tuple[survey.Point, ...]) -> Matrix:
    return np.array([(x, -y, z) for x, y, z in points], dtype=np.float64)


def _projected(
    pose: survey.Pose, view: survey.View, points: tuple[survey.Point, ...]
) -> list[survey.Pixel]:
    at = _downward(((pose.x_m, pose.y_m, pose.z_m),))[0]
    # turned beforehand: written as one vector again, turns below some 1e-5 are lost in OpenCV
    ahead = (_downward(points) - at) @ _turn(pose).T
    pixels = cv2.projectPoints(ahead, np.zeros(3), np.zeros(3), _lens(view), None)[0]
    return [(float(x), float(y)) for x, y in pixels.reshape(-1, 2)]


def _solved(view: survey.View, pixels: list[survey.Pixel]) -> survey.Point:
    """Where OpenCV's default, iterative solution puts the camera, heights upward."""
    found, turned, moved = cv2.solvePnP(
        _downward(CORNERS), np.array(pixels), _lens(view), None, flags=cv2.SOLVEPNP_ITERATIVE
    )
    assert found
    x, down, z = (-cv2.Rodrigues(turned)[0].T @ moved).ravel()
    return (float(x), -float(down), float(z))


@given(POSES, VIEWS, METRES, METRES, METRES)
@settings(max_examples=300, deadline=None)
def test_every_camera_projects_as_opencv_does(
    pose: survey.Pose, view: survey.View, x_m: float, y_m: float, z_m: float
) -> None:
    point = (x_m, y_m, z_m)
    assume(survey.camera_point(pose, point)[2] > 0.5)
    (theirs,) = _projected(pose, view, (point,))
    # at half a metre ahead and 12 000 px a rounding of 1e-14 m grows to some 1e-9 px
    assert survey.project(pose, view, point) == pytest.approx(theirs, abs=1e-6, rel=1e-9)


@st.composite
def _cameras_on_the_set(draw: st.DrawFn) -> survey.Pose:
    """A camera 4 to 30 m from the set, from anywhere round it, aimed a little beside it."""
    away = draw(st.floats(4, 30))
    azimuth, tilt = draw(DEGREES), draw(st.floats(-60, 60))
    turned, raised = math.radians(azimuth), math.radians(tilt)
    return survey.Pose(
        CENTRE[0] - away * math.cos(raised) * math.sin(turned),
        CENTRE[1] - away * math.sin(raised),
        CENTRE[2] - away * math.cos(raised) * math.cos(turned),
        azimuth + draw(st.floats(-4, 4)),
        tilt + draw(st.floats(-4, 4)),
        draw(st.floats(-30, 30)),
    )


@given(_cameras_on_the_set(), st.lists(st.floats(-0.5, 0.5), min_size=12, max_size=12))
@settings(max_examples=40, deadline=None)
def test_every_camera_is_found_where_opencv_finds_it(
    pose: survey.Pose, clicked_off_px: list[float]
) -> None:
    view = survey.View(survey.focal_px(35, 24.892, 2048), 2048, 1556)
    exact = [survey.project(pose, view, corner) for corner in CORNERS]
    off = iter(clicked_off_px)
    pixels = [(x + next(off), y + next(off)) for x, y in exact]
    sightings = tuple(survey.Sighting(p, q) for p, q in zip(CORNERS, pixels, strict=True))
    ours = survey.resect(view, sightings)
    theirs = _solved(view, pixels)
    # both lower the same sum of squares; two searches stop within a hair of its lowest point,
    # far within what half a pixel of clicking leaves open
    apart = math.dist(ours.pose.numbers()[:3], theirs)
    assert apart < 0.02 * math.hypot(*ours.spread[:3])


def test_the_worked_camera_is_found_where_opencv_finds_it() -> None:
    # derived fixture of test_survey: pixels rounded to 0.1 px, camera at (1.2, 1.6, -9.0)
    view = survey.View(survey.focal_px(35, 24.892, 2048), 2048, 1536)
    pixels = [
        (505.1, 1115.6),
        (1142.1, 1098.3),
        (1136.0, 719.3),
        (514.0, 725.4),
        (820.4, 486.8),
        (1331.0, 910.4),
    ]
    sightings = tuple(survey.Sighting(p, q) for p, q in zip(CORNERS, pixels, strict=True))
    theirs = _solved(view, pixels)
    assert theirs == pytest.approx((1.2, 1.6, -9.0), abs=0.002)
    assert survey.resect(view, sightings).pose.numbers()[:3] == pytest.approx(theirs, abs=1e-6)
