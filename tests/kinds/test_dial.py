"""What the floor dials in: numbers worked by hand from thin-lens arithmetic."""

from __future__ import annotations

import math
from types import MappingProxyType

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.kinds import Estimate, Need, Phase, Work
from planner.kinds.dial import dial_in, is_photographed, nearest_owned
from planner.kinds.estimate import Hours
from planner.model.facts import FrameRange
from planner.model.place import Place
from planner.model.quantity import Quantity, Standing
from planner.model.show import Move, MoveAxis


def q(name: str, value: float, unit: str = "1") -> Quantity:
    return Quantity(name, value, unit, Standing.GIVEN)


def estimate(*more: Quantity, needs: tuple[Need, ...] = ()) -> Estimate:
    """What a kind keeps at the least: 24 fps, one pass of 100 frames and 6.25 ft, at 1:10."""
    kept = (
        q("rate", 24, "fps"),
        q("pass time", 4, "s"),
        q("frames", 116),
        q("passes", 2),
        q("film of a pass", 6.25, "ft"),
        q("scale", 10, "1:N"),
        *more,
    )
    reason = q("hours to photograph", 1, "h")
    work = Work("photograph", "camera", Phase.STAGE, Hours(1, 1, 1), reason, needs=needs)
    return Estimate("S010.it", (work,), MappingProxyType({each.name: each for each in kept}))


CAMERA = {"focal_length": q("focal length", 50, "mm"), "format": "full-aperture-35"}


def dial(make, facts=None, camera=None, kept=(), needs=(), **more):
    context = make("miniature", facts or {}, shot_camera=camera or CAMERA, **more)
    return dial_in(context, estimate(*kept, needs=needs))


def test_only_what_passes_through_a_camera_is_photographed() -> None:
    assert is_photographed(estimate())
    assert not is_photographed(Estimate("S010.rods"))


def test_focus_is_told_full_size_and_on_the_stage_from_film_and_from_lens(make, quantity) -> None:
    holds = {"from": quantity(20_000, "mm"), "to": quantity(60_000, "mm")}
    found = dial(make, {"holds": holds})
    # 2 x 20 x 60 / 80 = 30 m full size; 3 m on the stage at 1:10.
    assert found["focus full size, from the lens"].value == pytest.approx(30_000)
    assert found["focus on the stage, from the lens"].value == pytest.approx(3_000)
    # The film lies f u / (u - f) behind the lens: 50 x 3000 / 2950 = 50.847 mm.
    assert found["focus on the stage, from the film plane"].value == pytest.approx(3_050.847)
    # And 50 x 30000 / 29950 = 50.083 mm.
    assert found["focus full size, from the film plane"].value == pytest.approx(30_050.083)


def test_focus_stated_from_the_film_plane_is_carried_to_the_lens(make, quantity) -> None:
    camera = {**CAMERA, "focus": quantity(30_050.083, "mm")}
    found = dial(make, camera=camera)
    assert found["focus full size, from the lens"].value == pytest.approx(30_000, rel=1e-6)


def test_without_anything_to_focus_on_nothing_is_said(make) -> None:
    assert not [name for name in dial(make) if name.startswith("focus")]


def test_a_lens_within_its_own_focal_length_says_nothing_of_the_film_plane(make, quantity) -> None:
    # 400 mm / 10 = 40 mm before a 50 mm lens forms no image.
    found = dial(make, {"nearest": quantity(400, "mm")})
    assert "focus on the stage, from the film plane" not in found
    assert found["focus on the stage, from the lens"].value == pytest.approx(40)


def test_heights_and_distances_shrink_by_the_scale(make, quantity) -> None:
    facts = {"camera_height": quantity(1_800, "mm"), "nearest": quantity(25_000, "mm")}
    found = dial(make, facts)
    assert found["lens above the ground on the stage"].value == pytest.approx(180)
    assert found["nearest thing on the stage, from the lens"].value == pytest.approx(2_500)


def test_another_frame_asks_for_a_lens_in_proportion_to_its_width(make) -> None:
    lens = {"sort": "lens", "focal_length": q("focal length", 85, "mm")}
    facts = {"format": "horizontal-8-perf-35", "lens": "prime_85"}
    found = dial(make, facts, resources={"prime_85": lens})
    wide, narrow = found["frame width"].value, 24.892
    assert wide > narrow
    wanted = 50 * wide / narrow
    assert found["equivalent focal length"].value == pytest.approx(wanted)
    assert found["error of the field"].value == pytest.approx((wanted / 85 - 1) * 100)


def test_a_reconstructed_lens_keeps_its_spread_in_the_equivalent(make) -> None:
    focal = Quantity("focal length", 41, "mm", Standing.RECONSTRUCTED, spread=0.8)
    lenses = {
        name: {"sort": "lens", "focal_length": q("focal length", mm, "mm")}
        for name, mm in (("prime_35", 35), ("prime_40", 40), ("prime_50", 50))
    }
    found = dial(make, camera={**CAMERA, "focal_length": focal}, resources=lenses)
    assert found["equivalent focal length"].spread == pytest.approx(0.8)
    # 41 / 40 - 1 = 2.5 %: the 40 mm owned sees that much more than the picture's lens.
    assert found["error of the field"].value == pytest.approx(2.5)


def test_the_nearest_lens_is_nearest_as_a_ratio(make) -> None:
    lenses = {
        name: {"sort": "lens", "focal_length": q("focal length", mm, "mm")}
        for name, mm in (("wide", 20), ("long", 45))
    }
    context = make("miniature", {}, resources=lenses)
    # 30 / 20 = 1.5 and 45 / 30 = 1.5 are equal; 31 mm lies nearer to 45 mm.
    assert nearest_owned(context.show, 31).id == "long"
    assert nearest_owned(context.show, 29).id == "wide"
    assert nearest_owned(make("miniature", {}).show, 31) is None


def test_a_board_is_told_by_its_framings(make, quantity) -> None:
    found = dial(make, {"widest": quantity(1_200, "mm"), "tightest": quantity(400, "mm")})
    # u = f (1 + framed / frame width): 50 x (1 + 1200 / 24.892) = 2460.4 mm.
    assert found["lens to the board, widest framing"].value == pytest.approx(2_460.41, abs=0.01)
    assert found["lens to the board, tightest framing"].value == pytest.approx(853.47, abs=0.01)
    assert "equivalent focal length" not in found


def test_film_and_magazine_are_told_by_the_take(make) -> None:
    camera = {"sort": "camera", "magazine": q("magazine", 400 * 304.8, "mm")}
    found = dial(make, resources={"cam": camera}, needs=(Need("camera", ("cam",)),))
    assert found["film of a take"].value == pytest.approx(12.5)  # 2 passes of 6.25 ft
    assert found["takes to a magazine"].value == 32  # 400 / 12.5


def test_a_clean_plate_is_one_frame_locked_and_all_on_a_move(make, quantity) -> None:
    assert dial(make)["frames of the clean plate"].value == 1
    moving = dial(make, {"travel": quantity(2_000, "mm")})
    assert moving["frames of the clean plate"].value == 116


def test_light_is_compared_even_where_the_pass_may_take_its_time(make) -> None:
    found = dial(make, kept=(q("exposure of a frame", 1 / 192, "s"),))
    # 180 deg at 24 fps is 1/48 s, four times what is wanted: two stops to spare.
    assert found["exposure a frame has"].value == pytest.approx(1 / 48)
    assert found["light to spare"].value == pytest.approx(2)
    assert "light short" not in found


def test_light_that_falls_short_is_told_so(make) -> None:
    found = dial(make, kept=(q("exposure of a frame", 1 / 12, "s"),))
    # 1/12 s is four times the 1/48 s a frame has.
    assert found["light short"].value == pytest.approx(2)
    assert "light to spare" not in found


def moved(make, standing_of: str):
    frames = 49
    track = tuple(12_000 * (n / 48) for n in range(frames))
    move = Move("glide", 1, {"track": MoveAxis("mm", track)}, Place("moves/glide.csv"))
    source = ("camera_move", {"data": "glide", "origin": standing_of})
    return dial(
        make,
        {"move_from": "S010.glide"},
        elements={"S010.glide": source},
        moves={"glide": move},
        cut=FrameRange(1, frames),
    )


def test_each_axis_is_told_at_the_scale_and_the_rate(make) -> None:
    found = moved(make, "recorded")
    # 12 m in 48 steps at 1:10: 1.2 m of track, 25 mm a frame, 600 mm/s at 24 fps.
    assert found["track travel"].value == pytest.approx(1_200)
    assert found["track peak speed"].value == pytest.approx(600)
    # At one speed throughout nothing accelerates, and a run-up is the rig's to tell.
    assert "track peak acceleration" not in found
    assert "track run-up" not in found


@pytest.mark.parametrize(
    ("origin", "standing"),
    [
        ("recorded", Standing.RECORDED),
        ("reconstructed", Standing.RECONSTRUCTED),
        ("designed", Standing.GIVEN),
    ],
)
def test_an_axis_rests_on_the_move_as_it_was_had(make, origin: str, standing: Standing) -> None:
    found = moved(make, origin)["track travel"]
    assert found.inputs[0].standing is standing
    assert found.inputs[0].value == 49


def test_a_t_stop_is_the_stop_times_the_lens_transmission(make) -> None:
    lens = {
        "sort": "lens",
        "focal_length": q("focal length", 50, "mm"),
        "transmission": q("transmission", 1.1),
    }
    found = dial(
        make, camera={"lens": "prime_50"}, kept=(q("stop", 8, "f"),), resources={"prime_50": lens}
    )
    assert math.isclose(found["T-stop"].value, 8.8)


ODD = st.sampled_from([0.0, -1.0, 1e-9, 1.0, 50.0, 20_000.0, 1e12])
LENGTHS = ("nearest", "camera_height", "widest", "tightest", "travel", "screen_distance")


@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    st.dictionaries(st.sampled_from(LENGTHS), ODD),
    st.tuples(ODD, ODD),
    st.tuples(ODD, ODD),
    st.tuples(ODD, ODD, ODD, ODD),
)
def test_no_number_however_odd_stops_the_card(make, lengths, holds, camera, kept) -> None:
    """What is impossible is told by the estimate; the card leaves a blank and no infinity."""
    near, far = (q("near", each, "mm") for each in holds)
    focal, focus = (q("of the camera", each, "mm") for each in camera)
    scale, stop, wanted, feet = kept
    facts = {name: q(name, each, "mm") for name, each in lengths.items()}
    found = dial(
        make,
        {**facts, "holds": {"from": near, "to": far}},
        camera={"focal_length": focal, "focus": focus},
        kept=(
            q("scale", scale, "1:N"),
            q("stop", stop, "f"),
            q("exposure of a frame", wanted, "s"),
            q("film of a pass", feet, "ft"),
        ),
        resources={
            "prime_50": {"sort": "lens", "focal_length": q("focal length", 50, "mm")},
            "cam": {"sort": "camera", "magazine": q("magazine", 121_920, "mm")},
        },
        needs=(Need("camera", ("cam",)),),
    )
    assert all(math.isfinite(each.value) for each in found.values())
