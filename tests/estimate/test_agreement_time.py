"""One time for all pieces: rates, blur, and frames of the cut.

Expected numbers are worked by hand (derived). The cut is frames 1 to 96 at 24 fps; the town is made
at 1/24, whose falling things want 24 x sqrt 24 = 117.58 fps.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.model.place import Problem
    from tests.estimate.conftest import OneShot

    Find = Callable[..., dict[str, Problem]]

FALLS = "action: gravity"


def town_falls(one_shot: OneShot) -> None:
    text = (one_shot.folder.path / "sequences/hill.yaml").read_text(encoding="utf-8")
    one_shot.folder.write("sequences/hill.yaml", text.replace("action: still", FALLS))


def test_a_plate_at_the_rate_shown_and_a_model_at_its_own_rate_agree(one_shot: OneShot) -> None:
    one_shot.write()
    town_falls(one_shot)
    assert one_shot.found() == ()


def test_a_plate_run_twice_as_fast_drifts_by_half_its_frames(one_shot: OneShot) -> None:
    one_shot.write(sky="rate: 48 fps")
    town_falls(one_shot)
    (problem,) = one_shot.found()
    # At 48 fps it runs twice as slow: 96 frames show what belongs into 48, 48 frames apart.
    # Things (48 / 24) squared = 4 times larger would fall so.
    assert problem.code == "time-scale-differs"
    assert problem.about == "HL010.sky"
    assert "2.00 times slower" in problem.message
    assert "48 frames apart over the 96" in problem.message
    assert "HL010.town" in problem.message
    assert "at 24 fps" in problem.remedy
    assert "stands_for: 1:4" in problem.remedy


def test_a_plate_that_stands_for_larger_things_may_run_as_much_faster(one_shot: OneShot) -> None:
    one_shot.write(sky="rate: 48 fps, stands_for: 1/4")
    town_falls(one_shot)
    assert one_shot.found() == ()


def test_the_piece_farther_from_nature_is_the_one_blamed(one_shot: OneShot) -> None:
    one_shot.write(town="rate: 58.8 fps")
    town_falls(one_shot)
    (problem,) = one_shot.found()
    # 117.58 / 58.8 = 2.00: the model runs twice too quick, 96 x (2 - 1) = 96 frames
    assert problem.about == "HL010.town"
    assert "2.00 times quicker" in problem.message
    assert "96 frames apart" in problem.message
    assert "at 118 fps" in problem.remedy


def test_still_things_may_be_photographed_at_any_rate(find: Find) -> None:
    assert find(town="rate: 2 fps", sky="rate: 48 fps") == {}


def test_another_shutter_is_told_in_degrees_where_nothing_states_a_speed(find: Find) -> None:
    problem = find(town="shutter: 90 deg")["motion-blur-differs"]
    assert "open 90 deg" in problem.message
    assert "180 deg" in problem.message
    assert "set the shutter to 180 deg" in problem.remedy


def pan(one_shot: OneShot, degrees: float) -> str:
    rows = "".join(f"{frame},{(frame - 1) * degrees / 95}\n" for frame in range(1, 97))
    one_shot.folder.write("moves/pan.csv", f"frame,pan [deg]\n{rows}")
    return "  pan: {kind: camera_move, origin: designed, data: pan}\n"


def test_another_shutter_is_told_in_pixels_where_the_camera_pans(
    find: Find, one_shot: OneShot
) -> None:
    more = pan(one_shot, 60)
    found = find(sky="move_from: pan", town="move_from: pan, shutter: 90 deg", more=more)
    # 2879.64 px x 60 deg = 3015.6 px over 95 steps is 31.7 px a frame;
    # a quarter of it is 7.9 px of blur, half of it 15.9 px
    message = found["motion-blur-differs"].message
    assert "32 px a frame" in message
    assert "7.9 and 15.9 px" in message


def test_a_shutter_makes_no_odds_where_the_camera_hardly_pans(
    find: Find, one_shot: OneShot
) -> None:
    more = pan(one_shot, 10)
    # 5.3 px a frame: 90 deg of shutter make 1.3 px, and 3 px pass
    assert find(sky="move_from: pan", town="move_from: pan, shutter: 90 deg", more=more) == {}


def test_a_piece_without_blur_beside_one_with_it_is_told(find: Find, one_shot: OneShot) -> None:
    more = pan(one_shot, 60)
    found = find(sky="move_from: pan", town="move_from: pan, blur: none", more=more)
    assert "0.0 and 15.9 px" in found["motion-blur-differs"].message


def test_blur_put_in_afterwards_is_not_compared(find: Find, one_shot: OneShot) -> None:
    more = pan(one_shot, 60)
    assert find(sky="move_from: pan", town="move_from: pan, blur: added", more=more) == {}


def test_frames_lost_to_a_recut_are_counted(find: Find) -> None:
    recut = "recut: {on: 2027-03-11, was: 1-120, by: the editor}"
    problem = find(shot=recut, sky="in_frame: 61-120")["in-frame-outside-cut"]
    # 97 to 120 are 24 of 60
    assert "61-120" in problem.message
    assert "24 of its 60 frames" in problem.message
    assert "the editor" in problem.message
    assert "in_frame: 61-96" in problem.remedy


def test_a_piece_wholly_outside_the_cut_is_told(find: Find) -> None:
    problem = find(sky="in_frame: 97-120")["in-frame-outside-cut"]
    assert "24 of its 24 frames" in problem.message
    assert "take it out" in problem.remedy


def test_a_piece_too_short_for_the_cut_is_told_at_each_end(find: Find) -> None:
    problem = find(sky="frames_in_hand: 5-90")["frames-short"]
    assert "4 frames short at the head and 6 frames short at the tail" in problem.message
    assert "recut to 5-90" in problem.remedy


def test_a_piece_too_short_for_its_handles_only_is_told_so(find: Find) -> None:
    problem = find(sky="frames_in_hand: 1-104")["handles-short"]
    # 1 - 8 = -7 is wanted at the head: 8 frames short; the tail, 104, is there
    assert "8 frames short at the head" in problem.message
    assert "tail" not in problem.message


def test_a_piece_seen_on_part_of_the_cut_needs_only_that(find: Find) -> None:
    assert find(sky="in_frame: 20-50, frames_in_hand: 12-58") == {}
