"""One camera for all pieces: what differs is told in pixels, with what to set instead.

Expected numbers are worked by hand (derived): 35 mm on a 24.892 mm frame of 2048 px is
35 x 2048 / 24.892 = 2879.64 px of focal length, and half the frame is 1024 px.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.model.place import Problem
    from tests.estimate.conftest import OneShot

    Find = Callable[..., dict[str, Problem]]


def test_pieces_of_one_camera_agree(find: Find) -> None:
    assert find() == {}


def test_another_lens_is_told_in_pixels_at_the_edge_with_the_lens_to_fit(find: Find) -> None:
    problem = find(town="focal_length: 40 mm")["view-differs"]
    # 1024 x (40 / 35 - 1) = 146.3; 2 atan(12.446 / 40) = 34.57 deg, 2 atan(12.446 / 35) = 39.15
    assert "146 px" in problem.message
    assert "14.3 %" in problem.message
    assert "34.6 deg" in problem.message
    assert "39.2 deg" in problem.message
    assert problem.about == "HL010.town"
    assert "HL010's camera" in problem.message
    assert "a 35 mm lens on that format" in problem.remedy


def test_a_difference_within_one_per_cent_passes(find: Find) -> None:
    # 35.3 / 35 is 0.86 % off; no lens owned is nearer than 35 mm: 0.85 %
    assert find(town="focal_length: 35.3 mm") == {}


def test_the_show_may_allow_more(find: Find, one_shot: OneShot) -> None:
    rules = "rules: {agreement.field: {likely: 20, by: the supervisor}}\n"
    one_shot.folder.replace("show.yaml", "handles: 8\n", f"handles: 8\n{rules}")
    assert "view-differs" not in find(town="focal_length: 40 mm")


def test_a_lens_kept_on_another_frame_is_told_with_the_lens_that_converts_it(find: Find) -> None:
    problem = find(town="format: academy-35")["lens-not-converted"]
    # 24.892 / 21.95 = 1.1340: 13.4 %, 1024 x 0.1340 = 137 px; 35 x 21.95 / 24.892 = 30.86 mm
    assert "137 px" in problem.message
    assert "a 30.9 mm lens on that format" in problem.remedy
    assert "prime_35, 13.4 % off" in problem.remedy


def test_a_converted_lens_agrees_and_is_told_only_as_not_owned(find: Find) -> None:
    found = find(town="format: academy-35, focal_length: 30.86 mm")
    assert set(found) == {"no-lens-of-that-length"}
    # 35 / 30.86 = 1.1342: 13.4 %, 1024 x 0.1342 = 137 px; joined at 30.86 / 35 = 88.2 %
    assert "13.4 %, 137 px" in found["no-lens-of-that-length"].message
    assert "88.2 %" in found["no-lens-of-that-length"].remedy


def test_two_pieces_are_held_against_one_another_where_the_shot_states_no_lens(find: Find) -> None:
    report = "report: {taken: true, focal_length: 35 mm}"
    found = find(camera="height: 6 m", sky=report, town="focal_length: 50 mm")
    # 1024 x (50 / 35 - 1) = 438.9
    assert "439 px" in found["view-differs"].message
    assert "HL010.sky" in found["view-differs"].message


def test_a_plate_of_an_unknown_lens_is_held_against_nothing(find: Find) -> None:
    found = find(camera="height: 6 m", sky="report: {taken: true, focal_length: '?'}")
    assert "view-differs" not in found


def test_a_plate_photographed_through_another_lens_is_joined_at_another_size(find: Find) -> None:
    problem = find(sky="report: {taken: true, focal_length: 28 mm}")["view-differs"]
    # 35 / 28 = 125 % of its size; 1024 x (1 - 28 / 35) = 204.8 px
    assert "205 px" in problem.message
    assert "join it at 125.0 % of its size" in problem.remedy


def test_a_lower_camera_shifts_the_horizon(find: Find) -> None:
    found = find(camera="lens: prime_35, height: 6 m", town="camera_height: 4 m")
    problem = found["camera-height-differs"]
    # 2879.64 x (6 - 4) / 40 = 144.0 px; 6 m at 1/24 is 250 mm; lower by 2 m: it stands 2 m up
    assert "144 px" in problem.message
    assert "250 mm" in problem.remedy
    assert "ground: 2 m" in problem.remedy


def test_what_stands_on_higher_ground_is_seen_from_as_much_less_above(find: Find) -> None:
    height = "lens: prime_35, height: 6 m"
    assert find(camera=height, town="camera_height: 4 m, ground: 2 m") == {}


def test_a_height_measured_on_the_stage_is_taken_to_the_picture_by_the_scale(find: Find) -> None:
    height = "lens: prime_35, height: 6 m"
    assert find(camera=height, town="camera_place: {height: 0.25 m}") == {}
    found = find(camera=height, town="camera_place: {height: 0.20 m}")
    # 0.2 x 24 = 4.8 m; 2879.64 x 1.2 / 40 = 86.4 px
    assert "86 px" in found["camera-height-differs"].message


def test_a_tilt_that_differs_shifts_the_horizon(find: Find) -> None:
    camera = "lens: prime_35, tilt: -3 deg"
    found = find(camera=camera, town="camera_place: {tilt: -4 deg}")
    # 2879.64 x (tan 4 deg - tan 3 deg) = 2879.64 x (0.069927 - 0.052408) = 50.4 px
    assert "50 px" in found["tilt-differs"].message
    # From 4 deg below level to 3 deg below it is upward.
    assert "tilt the camera 1 deg up, to -3 deg" in found["tilt-differs"].remedy
    found = find(camera=camera, town="camera_place: {tilt: -2 deg}")
    assert "tilt the camera 1 deg down, to -3 deg" in found["tilt-differs"].remedy


def test_a_reported_tilt_can_only_be_moved_when_it_is_joined(find: Find) -> None:
    camera = "lens: prime_35, tilt: -3 deg"
    found = find(camera=camera, sky="report: {taken: true, tilt: -4 deg}")
    assert "move it 50 px when it is joined" in found["tilt-differs"].remedy


def test_a_camera_tilted_straight_down_has_no_horizon_to_compare(find: Find) -> None:
    camera = "lens: prime_35, tilt: -90 deg"
    assert find(camera=camera, town="camera_place: {tilt: -80 deg}") == {}


def test_a_roll_lifts_one_edge_of_the_frame(find: Find) -> None:
    camera = "lens: prime_35, roll: 0 deg"
    found = find(camera=camera, town="camera_place: {roll: 2 deg}")
    # 1024 x sin 2 deg = 35.7 px
    assert "36 px" in found["roll-differs"].message
    # Clockwise is positive: from 2 deg back to upright is anticlockwise.
    assert "2 deg anticlockwise, seen from behind it, to 0 deg" in found["roll-differs"].remedy


def test_a_lens_too_far_off_at_scale_spoils_sizes_and_perspective(find: Find) -> None:
    problem = find(town="camera_place: {distance: 2 m}")["distance-not-to-scale"]
    # 2 m x 24 = 48 m for 40 m: near things 40 / 48, 16.7 % small, 1024 / 6 = 171 px;
    # enlarged to fit, 90 m shows at (48 / 98) / (40 / 90) = 1.102; the lens belongs 40 / 24 m off
    assert "48 m" in problem.message
    assert "16.7 % too small, 171 px" in problem.message
    assert "90 m off looks 10.2 % too large" in problem.message
    assert problem.remedy == "set the lens 1.67 m off"


def test_a_lens_too_near_at_scale_looks_large(find: Find) -> None:
    problem = find(town="camera_place: {distance: 1.25 m}")["distance-not-to-scale"]
    # 1.25 x 24 = 30 m for 40 m: 40 / 30, 33.3 % large
    assert "33.3 % too large" in problem.message


def test_two_pieces_that_pass_beside_the_camera_are_still_compared(find: Find) -> None:
    report = "report: {taken: true, focal_length: 34.7 mm}"
    found = find(sky=report, town="focal_length: 35.3 mm")
    # 34.7 and 35.3 are each 0.86 % from 35 and 1.73 % from one another: 1024 x 0.0173 = 18 px
    assert "18 px" in found["view-differs"].message
    assert "HL010.sky" in found["view-differs"].message


PAN = "frame,pan [deg]\n" + "".join(f"{frame},{(frame - 1) * 10 / 95}\n" for frame in range(1, 97))
PAN_ELEMENT = "  pan: {kind: camera_move, origin: designed, data: pan}\n"


def test_a_piece_that_does_not_repeat_the_pan_slides(find: Find, one_shot: OneShot) -> None:
    one_shot.folder.write("moves/pan.csv", PAN)
    found = find(town="move_from: pan", more=PAN_ELEMENT)
    problem = found["move-not-shared"]
    # 2879.64 x 10 deg = 2879.64 x 0.174533 = 502.6 px
    assert problem.about == "HL010.sky"
    assert "503 px" in problem.message
    assert "frames 1-96" in problem.message


def test_only_the_frames_a_piece_is_seen_on_count(find: Find, one_shot: OneShot) -> None:
    one_shot.folder.write("moves/pan.csv", PAN)
    found = find(town="move_from: pan", sky="in_frame: 1-20", more=PAN_ELEMENT)
    # 19 of 95 steps: 502.6 / 5 = 100.5 px
    assert "101 px" in found["move-not-shared"].message


def test_a_move_that_begins_after_the_piece_is_gone_carries_it_nowhere(
    find: Find, one_shot: OneShot
) -> None:
    # The move runs on frames 60-155, the plate is seen on 1-20: they share none.
    later = PAN.splitlines(keepends=True)
    rows = [f"{n + 59},{row.partition(',')[2]}" for n, row in enumerate(later[1:], 1)]
    one_shot.folder.write("moves/pan.csv", "".join([later[0], *rows]))
    found = find(town="move_from: pan", sky="in_frame: 1-20", more=PAN_ELEMENT)
    assert "move-not-shared" not in found


def test_pieces_of_one_program_agree(find: Find, one_shot: OneShot) -> None:
    one_shot.folder.write("moves/pan.csv", PAN)
    more = PAN_ELEMENT + "  same: {kind: camera_move, origin: designed, data: pan}\n"
    assert find(town="move_from: pan", sky="move_from: same", more=more) == {}


def test_pieces_of_two_programs_do_not(find: Find, one_shot: OneShot) -> None:
    one_shot.folder.write("moves/pan.csv", PAN)
    one_shot.folder.write("moves/other.csv", PAN)
    more = PAN_ELEMENT + "  other: {kind: camera_move, origin: designed, data: other}\n"
    found = find(town="move_from: pan", sky="move_from: other", more=more)
    assert "repeats HL010.pan" in found["move-differs"].message


def test_a_plate_has_the_move_that_was_recorded_of_it(find: Find, one_shot: OneShot) -> None:
    one_shot.folder.write("moves/pan.csv", PAN)
    more = "  pan: {kind: camera_move, origin: recorded, of: sky, data: pan}\n"
    assert find(town="move_from: pan", more=more) == {}
