"""Derived checks and laws of shadows and reflections: straight rays, worked by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.craft import shadow

FLOOR = shadow.Plane((0, 0, 0), (0, 1, 0))
LAMP = shadow.Lamp((0, 3, 0), width_m=0.2)
PLACES = st.tuples(st.floats(-5, 5), st.floats(0.1, 5), st.floats(-5, 5))


def test_caster_a_third_of_the_way_down_throws_half_as_much_again() -> None:
    # lamp 3 m up, caster 2 m up: a = 1, b = 2, ratio 3; edge 0.2 x 2 / 1 = 0.4 m
    cast = shadow.cast(LAMP, (0, 2, 0), FLOOR)
    assert cast.place == pytest.approx((0, 0, 0))
    assert cast.size_ratio == pytest.approx(3)
    assert cast.penumbra_m == pytest.approx(0.4)
    assert cast.stretch == pytest.approx(1)


def test_umbra_is_what_the_soft_edges_leave() -> None:
    # a 0.3 m caster: 0.9 m between the middles of the edges, 0.5 m of full shadow
    cast = shadow.cast(LAMP, (0, 2, 0), FLOOR)
    assert cast.width_m(0.3) == pytest.approx(0.9)
    assert cast.umbra_m(0.3) == pytest.approx(0.5)


def test_a_caster_smaller_than_the_lamp_loses_its_umbra() -> None:
    # 0.1 m: 0.3 - 0.4 is below zero
    assert shadow.cast(LAMP, (0, 2, 0), FLOOR).umbra_m(0.1) == 0


def test_slanting_light_throws_a_shadow_along_the_floor() -> None:
    # from (0,3,0) past (1,2,0) to (3,0,0); 45 degrees stretches by sqrt 2; lengths along the ray
    # keep the ratio 3
    cast = shadow.cast(LAMP, (1, 2, 0), FLOOR)
    assert cast.place == pytest.approx((3, 0, 0))
    assert cast.size_ratio == pytest.approx(3)
    assert cast.stretch == pytest.approx(math.sqrt(2))


def test_a_point_lamp_throws_a_hard_edge() -> None:
    assert shadow.cast(shadow.Lamp((0, 3, 0)), (0, 2, 0), FLOOR).penumbra_m == 0


def test_a_caster_on_the_surface_has_its_own_size() -> None:
    cast = shadow.cast(LAMP, (1, 0, 0), FLOOR)
    assert cast.size_ratio == pytest.approx(1)
    assert cast.penumbra_m == pytest.approx(0)


@given(PLACES, PLACES, st.floats(1, 50))
def test_shadows_scale_with_lamp_and_caster(
    lamp_place: shadow.Point, caster: shadow.Point, denominator: float
) -> None:
    lamp_place = (lamp_place[0], lamp_place[1] + caster[1] + 0.1, lamp_place[2])
    full = shadow.cast(shadow.Lamp(lamp_place, 0.3), caster, FLOOR)
    small = shadow.cast(
        shadow.Lamp(_over(lamp_place, denominator), 0.3 / denominator),
        _over(caster, denominator),
        FLOOR,
    )
    assert small.size_ratio == pytest.approx(full.size_ratio)
    assert small.penumbra_m * denominator == pytest.approx(full.penumbra_m, abs=1e-9)
    assert small.place == pytest.approx(_over(full.place, denominator), abs=1e-9)


@given(st.floats(0.1, 10), st.floats(1.01, 20))
def test_lamp_distance_gives_the_ratio_it_was_asked_for(gap_m: float, ratio: float) -> None:
    lamp_m = shadow.lamp_distance_m(ratio, gap_m)
    cast = shadow.cast(shadow.Lamp((0, lamp_m + gap_m, 0)), (0, gap_m, 0), FLOOR)
    assert cast.size_ratio == pytest.approx(ratio)


def test_an_eye_and_a_point_at_one_height_meet_halfway_in_the_water() -> None:
    assert shadow.reflection_place((0, 2, 0), (4, 2, 0), FLOOR) == pytest.approx((2, 0, 0))


def test_a_lower_point_is_reflected_nearer_to_it() -> None:
    # heights 3 and 1: three quarters of the way, at x = 3
    assert shadow.reflection_place((0, 3, 0), (4, 1, 0), FLOOR) == pytest.approx((3, 0, 0))


@given(PLACES, PLACES)
def test_a_reflection_leaves_at_the_angle_it_came(eye: shadow.Point, point: shadow.Point) -> None:
    spot = shadow.reflection_place(eye, point, FLOOR)
    arriving = shadow.incidence_deg(point, spot, FLOOR)
    leaving = shadow.incidence_deg(eye, spot, FLOOR)
    assert spot[1] == pytest.approx(0, abs=1e-9)
    assert arriving == pytest.approx(leaving, abs=1e-4)


@given(PLACES, PLACES, PLACES)
def test_mirroring_twice_comes_back(
    point: shadow.Point, on: shadow.Point, facing: shadow.Point
) -> None:
    glass = shadow.Plane(on, facing)
    twice = shadow.mirrored(shadow.mirrored(point, glass), glass)
    assert twice == pytest.approx(point, abs=1e-9)


def test_a_caster_above_the_lamp_throws_nothing_on_the_floor() -> None:
    with pytest.raises(ValueError, match="not beyond the caster"):
        shadow.cast(LAMP, (0, 4, 0), FLOOR)


def test_a_caster_below_the_floor_throws_nothing_on_it() -> None:
    with pytest.raises(ValueError, match="not beyond the caster"):
        shadow.cast(LAMP, (0, -1, 0), FLOOR)


def test_light_along_the_floor_is_refused() -> None:
    with pytest.raises(ValueError, match="along the surface"):
        shadow.cast(LAMP, (1, 3, 0), FLOOR)


def test_a_caster_at_the_lamp_is_refused() -> None:
    with pytest.raises(ValueError, match="at the lamp itself"):
        shadow.cast(LAMP, LAMP.place, FLOOR)


def test_a_mirror_between_eye_and_point_shows_nothing() -> None:
    with pytest.raises(ValueError, match="same side"):
        shadow.reflection_place((0, 2, 0), (4, -2, 0), FLOOR)


def test_a_shadow_cannot_be_made_smaller() -> None:
    with pytest.raises(ValueError, match="cannot be had"):
        shadow.lamp_distance_m(1.0, 2)


def _over(point: shadow.Point, divisor: float) -> shadow.Point:
    return (point[0] / divisor, point[1] / divisor, point[2] / divisor)
