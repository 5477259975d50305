from __future__ import annotations

import pytest

from planner.model.facts import FrameRange
from planner.model.place import Place, Severity
from planner.model.quantity import Standing
from planner.model.show import Move, MoveAxis
from planner_plugins.camera_move import CameraMove

BOAT = Move(
    "nb010_boat",
    1,
    {
        "track": MoveAxis("mm", (0.0, 100.0, 300.0, 600.0)),
        "pan": MoveAxis("deg", (0.0, 10.0, 20.0, 30.0)),
        "tilt": MoveAxis("deg", (2.0, 2.0, 2.0, 2.0)),
    },
    Place("moves/nb010_boat.csv"),
)


@pytest.fixture
def estimate(make, quantity):
    """A move in a shot of 100 frames, seen by a 50 mm lens on the full aperture."""

    def of(facts, *, lens=True, **surroundings):
        camera = {"format": "full-aperture-35"}
        if lens:
            camera["focal_length"] = quantity(50.0, "mm")
        surroundings.setdefault("shot_camera", camera)
        return CameraMove().estimate(make("camera_move", facts, **surroundings))

    return of


def codes(estimate) -> list[str]:
    return [each.code for each in estimate.problems]


def test_a_camera_of_which_nothing_is_known_is_an_error(estimate, finding) -> None:
    for origin in ("recorded", "reconstructed", "designed"):
        result = estimate({"origin": origin})
        assert finding(result, "no-camera-data").severity is Severity.ERROR
        assert "recording-not-in-hand" not in codes(result)


def test_a_recording_gives_travel_and_peak_speed_of_each_moving_axis(estimate) -> None:
    facts = {"origin": "recorded", "data": "nb010_boat", "zero_logged": True}
    found = estimate(facts, moves={"nb010_boat": BOAT}).quantities
    assert found["frames of the move"].value == 4
    assert found["travel of track"].value == 600
    # The largest step is 300 mm; shown at 24 fps it is 7 200 mm/s. 10 deg a frame is 240 deg/s.
    assert found["peak speed of track"].value == 7200
    assert (found["peak speed of pan"].value, found["peak speed of pan"].unit) == (240, "deg/s")
    assert "peak speed of tilt" not in found  # it never moves


def test_a_recording_shorter_than_the_cut_is_short_at_both_ends(estimate, finding) -> None:
    facts = {"origin": "recorded", "data": "nb010_boat", "zero_logged": True}
    told = finding(
        estimate(facts, moves={"nb010_boat": BOAT}, cut=FrameRange(1, 10)),
        "move-shorter-than-cut",
    )
    # Cut 1-10 with handles of 8 wants -7 to 18; the file has 1 to 4.
    assert "8 frames short at the head" in told.message
    assert "14 frames short at the tail" in told.message


def test_a_zero_that_was_not_logged_warns(estimate, finding) -> None:
    facts = {"origin": "recorded", "data": "nb010_boat"}
    result = estimate(facts, moves={"nb010_boat": BOAT})
    assert finding(result, "zero-not-logged").severity is Severity.WARNING


def test_an_axis_that_was_recorded_and_is_not_in_the_file_is_named(estimate, finding) -> None:
    facts = {
        "origin": "recorded",
        "data": "nb010_boat",
        "zero_logged": True,
        "axes": ("track", "boom", "focus"),
    }
    told = finding(estimate(facts, moves={"nb010_boat": BOAT}), "axis-missing")
    assert "boom and focus" in told.message
    assert "track, pan, tilt" in told.message


def test_a_recording_held_by_somebody_else_is_missing(estimate, finding) -> None:
    result = estimate({"origin": "recorded", "axes": ("pan",), "zero_logged": True})
    assert finding(result, "recording-not-in-hand").severity is Severity.WARNING
    assert "data" in [each.name for each in result.missing]
    assert "no-camera-data" not in codes(result)


def test_a_known_size_gives_the_distance_with_its_spread(estimate, quantity) -> None:
    facts = {
        "origin": "reconstructed",
        "known_size": quantity(1828.8, "mm"),
        "image_size": quantity(16.0, "mm"),
    }
    distance = estimate(facts).quantities["distance of the camera"]
    # 50 mm x (1 + 1828.8 / 16) = 5 765 mm: a 6 ft subject filling 16 mm (published worked check).
    assert distance.value == pytest.approx(5765.0)
    assert distance.standing is Standing.RECONSTRUCTED
    # Read to 0.025 mm of 16 and a lens marked to 1 %: sqrt(.0015625^2 + .01^2) x 5 765 = 58.35.
    assert distance.spread == pytest.approx(58.35, abs=0.01)


def test_without_the_lens_no_distance_is_given(estimate, finding, quantity) -> None:
    facts = {
        "origin": "reconstructed",
        "known_size": quantity(1828.8, "mm"),
        "image_size": quantity(16.0, "mm"),
    }
    result = estimate(facts, lens=False)
    assert finding(result, "lens-not-known").severity is Severity.WARNING
    assert "distance of the camera" not in result.quantities
    assert "focal_length" in [each.name for each in result.missing]


def test_too_few_points_and_nothing_of_known_size_are_told(estimate, finding) -> None:
    result = estimate({"origin": "reconstructed", "points": 4})
    assert "2 more" in finding(result, "too-few-points").remedy
    assert finding(result, "no-known-size").severity is Severity.WARNING


def test_points_in_one_plane_do_not_do(estimate, finding) -> None:
    result = estimate({"origin": "reconstructed", "points": 8, "planar": True})
    assert "8 points" in finding(result, "points-on-one-plane").message
    good = estimate({"origin": "reconstructed", "points": 8})
    assert codes(good) == []


def test_hours_follow_the_frames_and_what_there_is_to_go_by(estimate, quantity) -> None:
    by_points = estimate({"origin": "reconstructed", "points": 8}).work[0]
    # 2 h to begin + 116 frames x 0.02 h.
    assert by_points.hours.likely == pytest.approx(4.32)
    assert by_points.craft == "computer"
    size = {"known_size": quantity(1000.0, "mm"), "image_size": quantity(2.0, "mm")}
    by_size = estimate({"origin": "reconstructed", **size}).work[0]
    assert by_size.hours.likely == pytest.approx(11.28)  # 2 h + 116 x 0.08 h
    still = estimate({"origin": "reconstructed", **size, "travel": quantity(0.0, "mm")}).work[0]
    assert still.hours.likely == pytest.approx(2.08)  # one frame


def test_a_stated_distance_that_the_known_size_belies_is_told(estimate, finding, quantity) -> None:
    facts = {
        "origin": "reconstructed",
        "known_size": quantity(1828.8, "mm"),
        "image_size": quantity(16.0, "mm"),
        "distance": quantity(7200.0, "mm"),
    }
    told = finding(estimate(facts), "distances-disagree")
    assert "7.20 m" in told.message
    assert "5.76 m" in told.message  # 5.765, rounded to even by the printer
    near = estimate({**facts, "distance": quantity(5850.0, "mm")})  # 85 mm, within 2 x 58
    assert "distances-disagree" not in codes(near)


def test_a_tilted_view_is_remarked_where_a_known_size_is_used(estimate, finding, quantity) -> None:
    facts = {
        "origin": "reconstructed",
        "known_size": quantity(1000.0, "mm"),
        "image_size": quantity(2.0, "mm"),
    }
    camera = {"focal_length": quantity(50.0, "mm"), "tilt": quantity(-20.0, "deg")}
    told = finding(estimate(facts, shot_camera=camera), "known-size-in-tilted-view")
    assert "6.0 %" in told.message  # 1 - cos 20 deg = 0.0603


def test_an_impossible_size_is_told_not_raised(estimate, finding, quantity) -> None:
    facts = {
        "origin": "reconstructed",
        "known_size": quantity(0.0, "mm"),
        "image_size": quantity(2.0, "mm"),
    }
    assert finding(estimate(facts), "known-size-impossible").severity is Severity.ERROR


def test_a_pupil_off_its_axis_slides_the_nearest_subject(estimate, finding, quantity) -> None:
    facts = {
        "origin": "designed",
        "travel": quantity(2000.0, "mm"),
        "pupil_error": quantity(150.0, "mm"),
        "nearest": quantity(1000.0, "mm"),
    }
    result = estimate(facts)
    # 50 mm on 24.892 mm at 2048 px is 4 113.8 px; 2 x .15 x sin 15 deg = .07765 m; over 1 m 319.4.
    assert result.quantities["slide from the pupil error"].value == pytest.approx(319.4, abs=0.1)
    told = finding(result, "pupil-off-axis")
    assert "319.4 px" in told.message
    assert "0.9 mm" in told.remedy  # 150 x 2 / 319.4


def test_the_sweep_of_a_recorded_pan_is_used_where_there_is_one(estimate, quantity) -> None:
    facts = {
        "origin": "recorded",
        "data": "nb010_boat",
        "zero_logged": True,
        "pupil_error": quantity(1.0, "mm"),
        "nearest": quantity(4000.0, "mm"),
    }
    result = estimate(facts, moves={"nb010_boat": BOAT})
    # 30 deg of pan: 4 113.8 x 2 x .001 x sin 15 deg / 4 = 0.53 px, which passes.
    assert result.quantities["slide from the pupil error"].value == pytest.approx(0.532, abs=1e-3)
    assert "pupil-off-axis" not in codes(result)


# Derived fixture of tests/craft: 35 mm on 24.892 mm scanned to 2048 px, camera at (1.2, 1.6, -9.0);
# these are its rectilinear projections rounded to 0.1 px on a frame of 2048 x 1536 px, which is
# what the full aperture's 24.892 x 18.669 mm makes.
SURVEYED = (
    ((0, 0, 0), (505.1, 1115.6)),
    ((2, 0, 0), (1142.1, 1098.3)),
    ((2, 1.2, 0), (1136.0, 719.3)),
    ((0, 1.2, 0.5), (514.0, 725.4)),
    ((1, 2, 1.5), (820.4, 486.8)),
    ((3, 0.3, 2.5), (1331.0, 910.4)),
)


@pytest.fixture
def sighted(make, quantity):
    """A camera of 35 mm to be found from surveyed points."""

    def of(surveyed=SURVEYED, *, focal=35.0, **facts):
        sightings = tuple(
            {
                "name": f"mark {number}",
                "at": tuple(quantity(1000.0 * each, "mm") for each in at),
                "pixel": tuple(quantity(each) for each in pixel),
            }
            for number, (at, pixel) in enumerate(surveyed, start=1)
        )
        camera = {"format": "full-aperture-35"}
        if focal:
            camera["focal_length"] = quantity(focal, "mm")
        facts = {"origin": "reconstructed", "sightings": sightings, **facts}
        return CameraMove().estimate(make("camera_move", facts, shot_camera=camera))

    return of


def test_surveyed_points_give_the_camera_s_place_with_its_spread(sighted) -> None:
    found = sighted()
    numbers = found.quantities
    assert numbers["camera to the right"].value == pytest.approx(1200, abs=2)
    assert numbers["camera height"].value == pytest.approx(1600, abs=2)
    assert numbers["camera forward"].value == pytest.approx(-9000, abs=2)
    # One pixel a click leaves 16.0, 16.9 and 10.5 mm (derived, from inv(J'J)).
    spreads = [
        numbers[each].spread for each in ("camera to the right", "camera height", "camera forward")
    ]
    assert spreads == pytest.approx([16.0, 16.9, 10.5], abs=0.5)
    assert numbers["camera height"].standing is Standing.RECONSTRUCTED
    assert codes(found) == []


def test_the_distance_is_to_the_middle_of_the_points(sighted) -> None:
    # The middle is (8, 4.7, 4.5) / 6 = (1.333, .783, .75); from (1.2, 1.6, -9) that is
    # sqrt(.133^2 + .817^2 + 9.75^2) = 9.785 m.
    distance = sighted().quantities["distance of the camera"]
    assert distance.value == pytest.approx(9785, abs=3)
    assert 5 < distance.spread < 20


def test_a_stated_distance_starts_the_search_and_is_compared(sighted, finding, quantity) -> None:
    near = sighted(distance=quantity(9800.0, "mm"))
    assert near.quantities["camera forward"].value == pytest.approx(-9000, abs=2)
    assert codes(near) == []
    told = finding(sighted(distance=quantity(7000.0, "mm")), "distances-disagree")
    assert "7.00 m" in told.message
    assert "9.7" in told.message  # 9.785 m


def test_a_lens_nobody_knows_is_found_from_six_points(sighted) -> None:
    found = sighted(focal=None)
    assert found.quantities["focal length found"].value == pytest.approx(35.0, abs=0.1)
    # 46 px of spread x 24.892 / 2048 mm (derived, from inv(J'J) at one pixel)
    assert found.quantities["focal length found"].spread == pytest.approx(0.56, abs=0.02)
    assert "lens-not-known" not in codes(found)


def test_four_points_do_with_a_lens_and_six_without(sighted, finding) -> None:
    assert "too-few-sightings" not in codes(sighted(SURVEYED[:4]))
    assert "1 more" in finding(sighted(SURVEYED[:3]), "too-few-sightings").remedy
    assert "2 more" in finding(sighted(SURVEYED[:4], focal=None), "too-few-sightings").remedy


def test_a_point_clicked_wrong_is_named(sighted, finding) -> None:
    at, (x, y) = SURVEYED[2]
    told = finding(sighted((*SURVEYED[:2], (at, (x + 60, y)), *SURVEYED[3:])), "sightings-disagree")
    assert "mark 3 misses most" in told.message


def test_sightings_that_fix_nothing_are_told_not_raised(sighted, finding) -> None:
    one_spot = (SURVEYED[0],) * 6
    assert "spread over the picture" in finding(sighted(one_spot), "sightings-do-not-fix").remedy


def test_a_sighting_without_its_pixel_is_left_out_and_told(sighted, finding) -> None:
    halved = (*SURVEYED, ((1, 1, 1), ()))
    found = sighted(halved)
    assert "1 of 7" in finding(found, "sighting-incomplete").message
    assert found.quantities["camera height"].value == pytest.approx(1600, abs=2)


def test_a_designed_pan_that_strobes_is_told_with_the_turn_that_would_not(
    estimate, quantity, finding
) -> None:
    # 50 mm on 24.892 mm, 2048 px: 4113.8 px; 12 deg/s is .20944 rad/s: 861.6 px/s, 35.9 px a frame.
    # 2048 / 861.6 = 2.377 s to cross; 5 s want 12 x 2.377 / 5 = 5.71 deg/s.
    facts = {"origin": "designed", "peak_turn": quantity(12, "deg/s")}
    found = estimate(facts)
    assert found.quantities["sweep of the picture"].value == pytest.approx(35.90, abs=0.01)
    assert found.quantities["time to cross the frame"].value == pytest.approx(2.377, abs=0.001)
    told = finding(found, "sweep-strobes")
    assert told.severity is Severity.WARNING
    assert "36 px a frame" in told.message
    assert "5.7 deg/s" in told.remedy
    slow = estimate({"origin": "designed", "peak_turn": quantity(4, "deg/s")})
    assert "sweep-strobes" not in codes(slow)


def test_a_recorded_pan_that_strobes_is_only_noted(estimate, finding) -> None:
    found = estimate({"data": "nb010_boat", "zero_logged": True}, moves={"nb010_boat": BOAT})
    assert finding(found, "sweep-strobes").severity is Severity.NOTE
