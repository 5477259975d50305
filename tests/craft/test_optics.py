"""Published checks and laws of lenses.

Misprint not used as truth: the handbook page on depth of field gives the 16 mm circle of confusion
as "0.15mm"; 0.0006 in is 0.015 mm. A published f/11 magnification and depth table runs 19 to 32 per
cent below 2Nc(1+m)/m^2 with its own c and is not used either.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.craft import optics

FOOT_M = 0.3048
FOCALS = st.floats(10, 300)
STOPS = st.floats(1, 32)
CIRCLES = st.floats(0.005, 0.05)
DISTANCES = st.floats(1.0, 500.0)

# published weakly: lens page, Table 1, view angles of 16 x 22 mm, printed to 10 minutes of arc; the
# exact angle of 50 mm is 24 deg 49', printed 25 deg, hence the 12 minutes allowed
ACROSS_22_MM = {
    16: (69, 0),
    18: (62, 50),
    22: (53, 10),
    28: (42, 50),
    35: (34, 50),
    40: (30, 50),
    50: (25, 0),
    75: (16, 40),
    80: (15, 40),
    100: (12, 30),
    150: (8, 20),
    200: (6, 20),
    300: (4, 10),
}
UP_16_MM = {
    16: (53, 10),
    18: (47, 50),
    22: (39, 50),
    28: (31, 50),
    35: (25, 40),
    40: (22, 40),
    50: (18, 10),
    75: (12, 10),
    80: (11, 30),
    100: (9, 10),
    150: (6, 10),
    200: (4, 40),
}


@pytest.mark.parametrize(("focal_mm", "printed"), ACROSS_22_MM.items())
def test_horizontal_angle_matches_the_lens_table(focal_mm: int, printed: tuple[int, int]) -> None:
    degrees, minutes = printed
    angle = optics.view_angle_deg(22, focal_mm)
    assert angle == pytest.approx(degrees + minutes / 60, abs=12 / 60)


@pytest.mark.parametrize(("focal_mm", "printed"), UP_16_MM.items())
def test_vertical_angle_matches_the_lens_table(focal_mm: int, printed: tuple[int, int]) -> None:
    degrees, minutes = printed
    angle = optics.view_angle_deg(16, focal_mm)
    assert angle == pytest.approx(degrees + minutes / 60, abs=12 / 60)


@pytest.mark.parametrize(
    ("side_mm", "angle", "tolerance"),
    # published weakly: university-style page on field of view, 20 mm lens
    [(36, 84, 0.05), (24, 62, 0.1), (56, 109, 0.1)],
)
def test_angle_of_a_20_mm_lens_matches_the_field_of_view_page(
    side_mm: float, angle: float, tolerance: float
) -> None:
    assert optics.view_angle_deg(side_mm, 20) == pytest.approx(angle, abs=tolerance)


def test_squeeze_widens_the_angle_as_a_wider_frame_would() -> None:
    assert optics.view_angle_deg(22, 50, squeeze=2) == optics.view_angle_deg(44, 50)


def test_close_focus_narrows_the_angle_as_a_longer_lens_would() -> None:
    # derived: at m = 1 the film is two focal lengths away
    assert optics.view_angle_deg(22, 50, magnification=1) == optics.view_angle_deg(22, 100)


def test_a_30_mm_stamp_imaged_at_12_mm_is_magnified_four_tenths() -> None:
    # published weakly: close-up photography page; u = 50 (1 + 1/0.4) = 175 mm
    assert optics.subject_from_image_m(50, 0.030, 12) == pytest.approx(0.175)
    assert optics.magnification(50, 0.175) == pytest.approx(0.4)


def test_field_width_of_22_mm_frame_at_ten_metres() -> None:
    # derived: thin lens 22 x 9.95 / 50 = 4.378
    assert optics.field_width_m(22, 50, 10) == pytest.approx(4.378)


def test_six_foot_subject_fills_16_mm_at_under_six_metres() -> None:
    # derived: 50 (1 + 1828.8/16) = 5765 mm
    assert optics.subject_from_image_m(50, 6 * FOOT_M, 16) == pytest.approx(5.765)


def test_close_focus_mark_of_600_mm_on_a_50_mm_lens() -> None:
    # derived: m = 0.1010, u = 545 mm, field of a 24.892 mm frame 246.4 mm
    magnification = optics.film_plane_magnification(50, 0.600)
    assert magnification == pytest.approx(0.1010, abs=1e-4)
    assert optics.subject_from_film_plane_m(50, 0.600) == pytest.approx(0.545, abs=3e-4)
    assert 24.892 / magnification == pytest.approx(246.4, abs=0.1)


def test_hyperfocal_of_50_mm_at_f4() -> None:
    # published weakly: cinematography blog 2014-03, c 0.018 mm: 34 772 mm
    assert optics.hyperfocal_m(50, 4, 0.018) == pytest.approx(34.772, abs=5e-4)


@pytest.mark.parametrize(
    ("coc_mm", "near_feet", "far_feet"),
    # published weakly: magazine article on depth of field, 50 mm f/4 at 10 ft
    [(0.030, 8 + 9 / 12, 11 + 8 / 12), (0.019, 9 + 2 / 12, 11)],
)
def test_depth_at_ten_feet_matches_the_article(
    coc_mm: float, near_feet: float, far_feet: float
) -> None:
    limits = optics.depth_limits(50, 4, coc_mm, 10 * FOOT_M)
    assert limits.near_m / FOOT_M == pytest.approx(near_feet, abs=0.03)
    assert limits.far_m / FOOT_M == pytest.approx(far_feet, abs=0.03)


def test_depth_at_ten_feet_totals_nearly_three_feet() -> None:
    # published weakly: the same article, 2 ft 11 in
    total = optics.depth_limits(50, 4, 0.030, 10 * FOOT_M).total_m / FOOT_M
    assert total == pytest.approx(2 + 11 / 12, abs=0.04)


@pytest.mark.parametrize(
    ("focal_mm", "f_number", "subject_m", "near_mm", "far_mm"),
    # derived: A = 25 000, near 3000 x 25000 / 27950 = 2683.4, far 3000 x 25000 / 22050 = 3401.4
    [(50, 4, 3.0, 2683.4, 3401.4), (35, 22, 1.0, 697.7, 1764.5)],
)
def test_depth_worked_by_hand(
    focal_mm: float, f_number: float, subject_m: float, near_mm: float, far_mm: float
) -> None:
    limits = optics.depth_limits(focal_mm, f_number, 0.025, subject_m)
    assert limits.near_m * 1000 == pytest.approx(near_mm, abs=0.06)
    assert limits.far_m * 1000 == pytest.approx(far_mm, abs=0.06)


def test_close_depth_at_a_tenth() -> None:
    # published: Cinematography: Theory and Practice; 2 x 11 x .025 x 1.1 / .01 = 60.5 mm
    assert optics.close_depth_mm(11, 0.025, 0.1) == pytest.approx(60.5)


def test_close_depth_agrees_with_the_exact_limits_close_up() -> None:
    # derived: u = 50 (1 + 10) = 550 mm; the two formulas agree within 2 per cent there
    exact_mm = optics.depth_limits(50, 11, 0.025, 0.550).total_m * 1000
    assert exact_mm == pytest.approx(optics.close_depth_mm(11, 0.025, 0.1), rel=0.02)


@pytest.mark.parametrize(
    ("f_number", "disc_mm"),
    # derived: 2.44 x 0.00055 x N
    [(16, 0.0215), (22, 0.0295), (32, 0.0429)],
)
def test_diffraction_disc_grows_with_the_stop(f_number: float, disc_mm: float) -> None:
    assert optics.airy_disc_mm(f_number) == pytest.approx(disc_mm, abs=6e-5)


def test_diffraction_reaches_the_35_mm_circle_at_f18_6() -> None:
    # derived: 0.025 / (2.44 x 0.00055) = 18.63
    assert optics.diffraction_f_number(0.025) == pytest.approx(18.6, abs=0.05)
    assert optics.is_diffraction_limited(19.2, 0.025)
    assert not optics.is_diffraction_limited(16, 0.025)


def test_a_50_mm_lens_at_f100_has_a_half_millimetre_opening() -> None:
    # published weakly: cinematographers' list, 50 mm f/100: 0.5 mm
    assert optics.aperture_diameter_mm(50, 100) == 0.5


def test_academy_lens_grows_by_width_on_the_horizontal_frame() -> None:
    # derived: 50 x 37.72 / 21.95 = 85.92 mm
    assert optics.equivalent_focal_mm(50, 21.95, 37.72) == pytest.approx(85.92, abs=0.01)


def test_holding_8_to_25_metres_on_35_mm() -> None:
    # derived: u = 2/(1/8 + 1/25) = 12.121 m; N = 35^2 (.085e-3) / (.05 (1 - 35/12121)) = 2.0885
    assert optics.holding_focus_m(8, 25) == pytest.approx(400 / 33)
    assert optics.holding_f_number(35, 8, 25, 0.025) == pytest.approx(2.0885, abs=1e-4)


def test_holding_to_infinity_focuses_at_twice_the_near_distance() -> None:
    # derived: the harmonic mean of 10 m and endlessness
    assert optics.holding_focus_m(10, math.inf) == 20


@given(FOCALS, st.floats(1.0, 50.0), st.floats(1.05, 20.0), CIRCLES)
def test_the_holding_stop_holds_just_what_was_asked(
    focal_mm: float, near_m: float, ratio: float, coc_mm: float
) -> None:
    far_m = near_m * ratio
    stop = optics.holding_f_number(focal_mm, near_m, far_m, coc_mm)
    focus_m = optics.holding_focus_m(near_m, far_m)
    limits = optics.depth_limits(focal_mm, stop, coc_mm, focus_m)
    assert limits.near_m == pytest.approx(near_m, rel=1e-9)
    assert limits.far_m == pytest.approx(far_m, rel=1e-6)


@given(FOCALS, STOPS, CIRCLES)
def test_focus_at_the_hyperfocal_holds_half_of_it_to_infinity(
    focal_mm: float, f_number: float, coc_mm: float
) -> None:
    hyperfocal = optics.hyperfocal_m(focal_mm, f_number, coc_mm)
    beyond = optics.depth_limits(focal_mm, f_number, coc_mm, hyperfocal * 1.000001)
    assert beyond.near_m == pytest.approx(hyperfocal / 2, rel=1e-4)
    assert beyond.far_m == math.inf


@given(FOCALS, STOPS, CIRCLES, DISTANCES)
def test_stopping_down_never_loses_depth(
    focal_mm: float, f_number: float, coc_mm: float, subject_m: float
) -> None:
    open_limits = optics.depth_limits(focal_mm, f_number, coc_mm, subject_m)
    closed = optics.depth_limits(focal_mm, f_number * 1.4, coc_mm, subject_m)
    assert closed.near_m < open_limits.near_m < subject_m < open_limits.far_m <= closed.far_m


@given(FOCALS, st.floats(0.001, 0.999))
def test_film_plane_distance_gives_its_magnification_back(
    focal_mm: float, magnification: float
) -> None:
    distance_m = optics.film_plane_m(focal_mm, magnification)
    back = optics.film_plane_magnification(focal_mm, distance_m)
    assert back == pytest.approx(magnification, rel=1e-5)


@given(FOCALS, st.floats(0.001, 4))
def test_subject_distance_gives_its_magnification_back(
    focal_mm: float, magnification: float
) -> None:
    distance_m = optics.subject_at_magnification_m(focal_mm, magnification)
    assert optics.magnification(focal_mm, distance_m) == pytest.approx(magnification, rel=1e-9)


@given(st.floats(5, 60), FOCALS)
def test_angle_gives_its_focal_length_back(width_mm: float, focal_mm: float) -> None:
    angle = optics.view_angle_deg(width_mm, focal_mm)
    assert optics.focal_for_angle_mm(width_mm, angle) == pytest.approx(focal_mm, rel=1e-9)


@given(st.floats(5, 60), st.floats(5, 60), FOCALS)
def test_an_equivalent_lens_sees_the_same_angle(
    from_mm: float, to_mm: float, focal_mm: float
) -> None:
    other_mm = optics.equivalent_focal_mm(focal_mm, from_mm, to_mm)
    angle = optics.view_angle_deg(from_mm, focal_mm)
    assert optics.view_angle_deg(to_mm, other_mm) == pytest.approx(angle)


def test_a_subject_inside_the_focal_length_is_refused() -> None:
    with pytest.raises(ValueError, match="forms no image of a subject 40 mm away"):
        optics.magnification(50, 0.040)


def test_a_film_plane_distance_under_four_focal_lengths_is_refused() -> None:
    with pytest.raises(ValueError, match=r"needs at least 0\.2 m"):
        optics.film_plane_magnification(50, 0.199)


@pytest.mark.parametrize("stop", [0, -4, math.inf, math.nan])
def test_an_impossible_stop_is_refused(stop: float) -> None:
    with pytest.raises(ValueError, match="f number must be above zero"):
        optics.depth_limits(50, stop, 0.025, 3)


def test_a_far_distance_nearer_than_the_near_one_is_refused() -> None:
    with pytest.raises(ValueError, match="is nearer than"):
        optics.holding_f_number(50, 10, 8, 0.025)


def test_a_lens_that_makes_light_is_refused() -> None:
    with pytest.raises(ValueError, match="never below its f-number"):
        optics.t_number(4, 0.9)


def test_a_point_at_a_depth_limit_is_as_soft_as_the_circle_of_confusion() -> None:
    # 50 mm f/4 focused at 3 m, 0.025 mm: sharp from 2683.4 to 3401.4 mm (derived).
    assert optics.defocus_mm(50, 4, 3.0, 2.6834) == pytest.approx(0.025, rel=1e-3)
    assert optics.defocus_mm(50, 4, 3.0, 3.4014) == pytest.approx(0.025, rel=1e-3)
    assert optics.defocus_mm(50, 4, 3.0, 3.0) == 0
