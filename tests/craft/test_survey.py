"""Derived checks and laws of projection and resection."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.craft import survey

# derived fixture: 35 mm on 24.892 mm scanned to 2048 px, camera (1.2, 1.6, -9.0); the pixels are
# its rectilinear projections rounded to 0.1 px; OpenCV's solvePnP finds the same place from them
VIEW = survey.View(survey.focal_px(35, 24.892, 2048), 2048, 1536)
POINTS = ((0, 0, 0), (2, 0, 0), (2, 1.2, 0), (0, 1.2, 0.5), (1, 2, 1.5), (3, 0.3, 2.5))
PIXELS = (
    (505.1, 1115.6),
    (1142.1, 1098.3),
    (1136.0, 719.3),
    (514.0, 725.4),
    (820.4, 486.8),
    (1331.0, 910.4),
)
SIGHTINGS = tuple(survey.Sighting(p, q) for p, q in zip(POINTS, PIXELS, strict=True))
METRES = st.floats(-20, 20)
POSES = st.builds(
    survey.Pose,
    METRES,
    METRES,
    METRES,
    st.floats(-180, 180),
    st.floats(-89, 89),
    st.floats(-180, 180),
)


def test_35_mm_lens_on_full_aperture_is_2880_pixels_long() -> None:
    # derived: 35 x 2048 / 24.892 = 2879.64
    assert VIEW.focal_px == pytest.approx(2879.64, abs=0.005)


def test_a_point_on_the_axis_lands_in_the_middle() -> None:
    assert survey.project(survey.Pose(0, 0, 0), VIEW, (0, 0, 5)) == (1024, 768)


@pytest.mark.parametrize(
    ("pose", "point", "pixel"),
    [
        # derived: right of the axis is right, above it is up the frame (y down): 2879.64 / 10 = 288
        (survey.Pose(0, 0, 0), (1, 0, 10), (1024 + 287.964, 768)),
        (survey.Pose(0, 0, 0), (0, 1, 10), (1024, 768 - 287.964)),
        # panned right by 90 degrees the camera looks along +x, and far points are at its left
        (survey.Pose(0, 0, 0, pan_deg=90), (10, 0, 1), (1024 - 287.964, 768)),
        # tilted up by 45 degrees it looks at what is as high as it is far
        (survey.Pose(0, 0, 0, tilt_deg=45), (0, 10, 10), (1024, 768)),
        # rolled clockwise by 90 degrees, what was right is up
        (survey.Pose(0, 0, 0, roll_deg=90), (1, 0, 10), (1024, 768 - 287.964)),
    ],
)
def test_pan_is_to_the_right_tilt_up_and_roll_clockwise(
    pose: survey.Pose, point: survey.Point, pixel: survey.Pixel
) -> None:
    assert survey.project(pose, VIEW, point) == pytest.approx(pixel, abs=0.005)


def test_resection_finds_the_camera_within_two_millimetres() -> None:
    found = survey.resect(VIEW, SIGHTINGS)
    pose = found.pose
    assert math.dist((pose.x_m, pose.y_m, pose.z_m), (1.2, 1.6, -9.0)) < 0.002
    assert found.residual_px < 0.1


def test_a_pixel_of_clicking_spreads_the_camera_by_a_centimetre_or_two() -> None:
    # derived: 16, 17 and 11 mm (10.5) from inv(J'J) at one pixel
    spread_mm = [1000 * s for s in survey.resect(VIEW, SIGHTINGS).spread[:3]]
    assert spread_mm == pytest.approx([16.0, 16.9, 10.5], abs=0.5)


def test_spread_is_proportional_to_clicking() -> None:
    one = survey.resect(VIEW, SIGHTINGS, click_px=1).spread
    two = survey.resect(VIEW, SIGHTINGS, click_px=2).spread
    assert two == pytest.approx([2 * s for s in one], rel=1e-6)


def test_covariance_holds_the_squares_of_the_spread() -> None:
    found = survey.resect(VIEW, SIGHTINGS)
    diagonal = [found.covariance[i][i] for i in range(6)]
    assert diagonal == pytest.approx([s * s for s in found.spread])


def test_an_unknown_focal_length_is_found_with_wider_spread() -> None:
    sought = survey.resect(survey.View(2000, 2048, 1536), SIGHTINGS, seek_focal=True)
    assert sought.focal_px == pytest.approx(2879.64, rel=0.002)
    assert sought.spread[2] > survey.resect(VIEW, SIGHTINGS).spread[2]


def test_a_start_near_the_camera_gives_the_same_pose_as_none() -> None:
    started = survey.resect(VIEW, SIGHTINGS, survey.Pose(0, 1, -4))
    assert started.pose.numbers() == pytest.approx(survey.resect(VIEW, SIGHTINGS).pose.numbers())


def test_three_sightings_are_too_few() -> None:
    with pytest.raises(ValueError, match="a camera is fixed by at least 4 sightings, not 3"):
        survey.resect(VIEW, SIGHTINGS[:3])


def test_sightings_of_one_spot_are_refused() -> None:
    with pytest.raises(ValueError, match="one spot"):
        survey.resect(VIEW, (SIGHTINGS[0],) * 4)


@given(POSES, st.floats(0, 2048), st.floats(0, 1536), st.floats(0.5, 100))
def test_a_pixel_comes_back_from_the_set(
    pose: survey.Pose, across_px: float, down_px: float, ahead_m: float
) -> None:
    point = survey.set_point(pose, VIEW, (across_px, down_px), ahead_m)
    assert survey.project(pose, VIEW, point) == pytest.approx((across_px, down_px), abs=1e-6)


@given(POSES, METRES, METRES, METRES)
def test_turning_the_camera_keeps_distances(
    pose: survey.Pose, x_m: float, y_m: float, z_m: float
) -> None:
    seen = survey.camera_point(pose, (x_m, y_m, z_m))
    away = math.dist((x_m, y_m, z_m), (pose.x_m, pose.y_m, pose.z_m))
    assert math.hypot(*seen) == pytest.approx(away, abs=1e-9)


def test_a_point_behind_the_camera_is_refused() -> None:
    with pytest.raises(ValueError, match="not in front of the camera"):
        survey.project(survey.Pose(0, 0, 0), VIEW, (0, 0, -1))


def test_a_two_metre_door_480_pixels_high_is_twelve_metres_away() -> None:
    # derived: 2879.64 x 2 / 479.94 = 12.0; spread 12 x sqrt 2 / 480 = 35 mm a pixel
    distance_m = survey.known_size_distance_m(VIEW.focal_px, 2.0, 479.94)
    assert distance_m == pytest.approx(12.0, abs=1e-3)
    assert survey.known_size_spread_m(12, 480) == pytest.approx(0.03536, abs=1e-5)


def test_a_size_of_no_pixels_gives_no_distance() -> None:
    with pytest.raises(ValueError, match="must be above zero"):
        survey.known_size_distance_m(2880, 2.0, 0)


def test_a_point_to_the_right_and_up_lies_right_of_and_above_the_middle() -> None:
    # derived: 1000 px x 0.1 / 2 = 50 to the right of 1024; 1000 x 0.2 / 2 = 100 above 768
    view = survey.View(1000, 2048, 1536)
    assert survey.pixel_of(view, (0.1, 0.2, 2.0)) == pytest.approx((1074, 668))
