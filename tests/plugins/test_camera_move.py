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


# Recorded -----------------------------------------------------------------------------------


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


# Reconstructed ------------------------------------------------------------------------------


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


# Pupil --------------------------------------------------------------------------------------


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
